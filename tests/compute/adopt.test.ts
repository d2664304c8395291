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

test('what a block without a name of its own is meant to be follows each edit', () => {
  const text = (own: string, line: string) => `kind hall {
  toplevel
  has lamp*
  wide: Length default 1 m
}
kind lamp {
  power: Power default 1 W
}
hall H {
  lamp left
${own}}
hall V is H {
${line}
}
`;
  const project = new Project(library, { read: () => undefined });
  const meant = (own: string, line: string) => {
    const file = project.update('file:///hall.gusset', text(own, line));
    const machine = project.machines(file).find(({ tree }) => tree.name === 'V');
    if (!machine) throw new Error('there is no V');
    const fresh = new Project(library, { read: () => undefined });
    const [, anew] = fresh.machines(fresh.update('file:///hall.gusset', text(own, line)));
    const told = (tree: typeof machine.tree) => ({
      meant: [...tree.meant].map(([entry, name]) => [entry.first.text, name]),
      unclear: [...tree.unclear].map(([entry, names]) => [entry.first.text, names]),
      children: [...tree.children.keys()],
      broken: [...tree.broken].length,
      endless: [...tree.endless].length,
    });
    expect(told(machine.tree)).toEqual(told(anew?.tree as typeof machine.tree));
    return told(machine.tree);
  };
  expect(meant('', '  wide = 1 m').meant).toEqual([]);
  const one = meant('', '  lamp { power = 2 W }');
  expect([one.meant, one.unclear]).toEqual([[['lamp', 'left']], []]);
  const two = meant('  lamp right\n', '  lamp { power = 2 W }');
  expect([two.meant, two.unclear]).toEqual([[], [['lamp', ['left', 'right']]]]);
  expect(meant('  lamp right\n', '  wide = 2 m').unclear).toEqual([]);
  expect(meant('', '  lamp { power = 3 W }').meant).toEqual([['lamp', 'left']]);
  meant('', '  lamp is nothing_there');
  meant('', '  lamp { power = 4 W }');
});
