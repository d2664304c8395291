import { expect, test } from 'vitest';
import { cellOf } from '../../language/compute/cell.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { Project } from '../../language/project.ts';
import { library, shown } from '../support.ts';

test('what cannot be computed is told of where it stands after an edit, though its own text is as before', () => {
  const uri = 'file:///box.gusset';
  const text = (line: string) => `/// A box.
kind box {
  toplevel
  /// How wide.
  width: Length
}
box B {
${line}  width = 1 mm + 1 mm / (1 - 1)
}
`;
  const project = new Project(library, { read: () => text('') });
  const places = (at: string) =>
    project
      .machines(project.update(uri, at))
      .flatMap(({ assessment }) =>
        assessment.findings.map(({ places: [first] }) => rangeOf(first as never).start - at.indexOf('1 mm / (1 - 1)')),
      );
  expect(places(text(''))).toEqual([0]);
  expect(places(text('  // a word\n'))).toEqual([0]);
});

test('a machine, or a block in it, that is called otherwise is another', () => {
  const text = (machine: string, block: string) => `kind hall {
  toplevel
  has lamp*
  own: Text = name
}
kind lamp {
  own: Text = name
}
hall ${machine} {
  lamp ${block}
}
`;
  const project = new Project(library, { read: () => undefined });
  const names = (machine: string, block: string) =>
    project.machines(project.update('file:///hall.gusset', text(machine, block))).flatMap(({ tree, engine }) =>
      tree.all().flatMap((each) => {
        const own = cellOf(each, 'own');
        return own ? [each.path, engine.value(own)] : [];
      }),
    );
  expect(names('H', 'a')).toEqual(['H', 'H', 'H.a', 'a']);
  expect(names('G', 'a')).toEqual(['G', 'G', 'G.a', 'a']);
  expect(names('G', 'b')).toEqual(['G', 'G', 'G.b', 'b']);
});

test('a block of another kind, or of which there are more, is another, though it goes by the same name', () => {
  const text = (block: string) => `kind hall {
  toplevel
  has thing*
  load: Mass = sum(t.mass for t in every thing)
}
kind thing {
  mass: Mass default 1 kg
}
kind heavy is thing {
  mass: Mass default 5 kg
}
hall H {
  ${block}
}
`;
  const project = new Project(library, { read: () => undefined });
  const load = (block: string) => {
    const [machine] = project.machines(project.update('file:///hall.gusset', text(block)));
    return machine && shown(machine, 'load');
  };
  expect(['thing a', 'heavy a', 'heavy a * 2', 'thing a * 2', 'thing a'].map(load)).toEqual([
    '1 kg',
    '5 kg',
    '10 kg',
    '2 kg',
    '1 kg',
  ]);
});
