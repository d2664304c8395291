import { describe, expect, test } from 'vitest';
import { cellAt } from '../../language/answers/derivation.ts';
import { tryBlock } from '../../language/compute/adopt.ts';
import { type Cell, cellOf } from '../../language/compute/cell.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import type { Instance } from '../../language/machine/tree.ts';
import { Project } from '../../language/project.ts';
import { library, read, shown } from '../support.ts';

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

test('a block that stepped aside for one of another kind comes back with what is said of it by then', () => {
  const text = (need: string, length: string, more = '') => `kind hall {
  toplevel
  has beam
  need: Force
  whole: Length = beam.long
}
kind beam {
  length: Length default 1 m
  bears: Force
  long: Length = 2 * length
  stiff: Length = length + 1 m
  order bears
}
kind wood is beam {
  grain: Length = 3 * length
}
kind steel is beam
part plank is wood {
  bears = 10 N
}
part plate is steel {
  bears = 100 N
}
rule weak on hall {
  holds beam.bears >= need
  error "weak"
}
hall H {
  need = ${need}
  beam is ? {
    length = ${length}
  }
${more}}
`;
  const project = new Project(library, { read: () => undefined });
  const told = (of: Project, at: string) => {
    const [machine] = of.machines(of.update('file:///hall.gusset', at));
    const paths = ['whole', 'beam.length', 'beam.stiff', 'beam.grain'];
    const value = (path: string) => machine && cellAt(path, machine) && shown(machine, path);
    // Choices are solved before values are looked at.
    return [machine?.choices[0]?.proposed?.text, ...paths.map(value)];
  };
  const after = (...at: Parameters<typeof text>) => {
    const now = told(project, text(...at));
    expect(now).toEqual(told(new Project(library, { read: () => undefined }), text(...at)));
    return now;
  };
  expect(after('5 N', '1 m')).toEqual(['plank', '2 m', '1 m', '2 m', '3 m']);
  expect(after('50 N', '1 m')?.[0]).toBe('plate');
  // Said otherwise while it is aside, and with the one that stands in its place.
  expect(after('50 N', '4 m')?.slice(0, 2)).toEqual(['plate', '8 m']);
  expect(after('5 N', '4 m')).toEqual(['plank', '8 m', '4 m', '5 m', '12 m']);
  expect(after('50 N', '4 m', '  require beam.length > 1 m\n')?.[0]).toBe('plate');
  expect(after('5 N', '2 m')).toEqual(['plank', '4 m', '2 m', '3 m', '6 m']);
});

test('what was found out with a block that stepped aside is found out anew once the text says otherwise of it', () => {
  const text = (length: string, count = '', more = '', beside = '') => `kind hall {
  toplevel
  has beam
  need: Force default 50 N
}
kind beam {
  length: Length default 1 m
  slack: Length?
  bears: Force
  order bears
}
kind wood is beam
kind steel is beam
part plank is wood {
  bears = 10 N
}
part plate is steel {
  bears = 100 N
}
rule weak on hall {
  holds beam.bears * (1 m / beam.length) * beam.count >= need
  error "weak"
}
hall H {
  beam b${count} is ? {
    length = ${length}
${more}  }
${beside}}
`;
  const told = (of: Project, at: string) =>
    of.machines(of.update('file:///hall.gusset', at))[0]?.choices[0]?.proposed?.text;
  const project = new Project(library, { read: () => undefined });
  const steps: Parameters<typeof text>[] = [
    ['1 m'],
    ['0.1 m'],
    ['1 m'],
    ['1 m', ' * 6'],
    ['1 m'],
    ['0.1 m', '', '    slack = 1 mm\n'],
    ['1 m', '', '    slack = 1 mm\n'],
    ['0.1 m', '', '    no slack\n'],
    ['1 m', '', '    require length > 2 m\n'],
    ['0.1 m', '', '    require length > 2 m\n'],
  ];
  // What stands beside the block comes and goes: more than a value is written otherwise each time.
  for (const [i, step] of steps.entries())
    if (i % 2 === 1) steps[i] = [step[0], step[1], step[2], '  require need > 1 N\n'];
  const proposed = steps.map((step) => told(project, text(...step)));
  // 10 N at 1 m, and 100 N at 0.1 m, of one; 60 N of six.
  expect(proposed).toEqual(['plate', 'plank', 'plate', 'plank', 'plate', 'plank', 'plate', 'plank', 'plate', 'plank']);
  for (const [i, step] of steps.entries())
    expect(proposed[i], step.join()).toBe(told(new Project(library, { read: () => undefined }), text(...step)));
});

test('a block that is open and then is not, or is gone, is what the text says', () => {
  const text = (block: string) => `kind hall {
  toplevel
  has beam*
  total: Length = sum(b.length for b in every beam)
}
kind beam {
  length: Length
}
kind wood is beam
kind steel is beam
part plank is wood {
  length = 1 m
}
part plate is steel {
  length = 2 m
}
rule short on hall {
  holds total >= 2 m
  error "short"
}
hall H {
${block}
}
`;
  const project = new Project(library, { read: () => undefined });
  for (const block of [
    '  beam a is ?',
    '  beam b is plank',
    '  beam a is ?\n  beam b is ?',
    '  beam a * 2 is ?',
    '  beam a * 3 is ?',
    '  beam a is ?',
    '  beam a is plank',
  ]) {
    const told = (of: Project) => {
      const [machine] = of.machines(of.update('file:///hall.gusset', text(block)));
      return machine && [shown(machine, 'total'), ...machine.choices.map(({ proposed }) => proposed?.text)];
    };
    expect(told(project), block).toEqual(told(new Project(library, { read: () => undefined })));
  }
});

describe('a block that is tried in place of the one of its name', () => {
  /** Halls of the same kinds, of which one lends its blocks to be tried. */
  const halls = () => {
    const { project, file } = read(`kind hall {
  toplevel
  has lamp*
  load: Power = sum(l.power for l in every lamp)
}
kind lamp {
  power: Power default 1 W
}
kind bulb is lamp
hall H {
  lamp a
  lamp b
}
hall Other {
  bulb a { power = 5 W }
}
hall Same {
  lamp a { power = 3 W }
}
hall Several {
  lamp a * 4
}
`);
    const [tried, ...others] = project.machines(file);
    if (!tried) throw new Error('there is no hall');
    const { tree, engine } = tried;
    const load = cellOf(tree, 'load') as Cell;
    const blocks = others.map((each) => each.tree.children.get('a') as Instance);
    const trying = (block: Instance) => {
      const adopted = tryBlock(tree, block);
      engine.takeIn(adopted, tree, true);
      return { gone: adopted.gone.size, changed: [...adopted.changed].map(({ name }) => name).toSorted() };
    };
    return { tree, engine, load, blocks: blocks as [Instance, Instance, Instance], trying };
  };

  test('takes its place, and the one that was there steps aside and comes back with what was computed of it', () => {
    const { tree, engine, load, blocks, trying } = halls();
    const [other, same] = blocks;
    const first = tree.children.get('a') as Instance;
    const power = cellOf(first, 'power');
    expect(engine.value(load)).toBe(2);
    expect(trying(other)).toEqual({ gone: 0, changed: ['every lamp'] });
    expect([...tree.children.keys()]).toEqual(['a', 'b']);
    expect(tree.children.get('a')).toBe(other);
    expect(other.holder).toBe(tree);
    expect(tree.spares).toEqual([first]);
    expect(engine.value(load)).toBe(6);
    // One of the first’s kind is the first, with what is said of it now.
    expect(trying(same)).toEqual({ gone: 0, changed: ['every lamp', 'power'] });
    expect(tree.children.get('a')).toBe(first);
    expect(cellOf(first, 'power')).toBe(power);
    expect(tree.spares).toEqual([other]);
    expect(engine.value(load)).toBe(4);
  });

  test('is the one that is there where that is the same but for what it says, and another where there are more of it', () => {
    const { tree, engine, load, blocks, trying } = halls();
    const [, same, several] = blocks;
    const first = tree.children.get('a') as Instance;
    expect(engine.value(load)).toBe(2);
    expect(trying(same)).toEqual({ gone: 0, changed: ['power'] });
    expect(tree.children.get('a')).toBe(first);
    expect(tree.spares).toEqual([]);
    expect(engine.value(load)).toBe(4);
    trying(several);
    expect(tree.children.get('a')).toBe(several);
    expect(engine.value(load)).toBe(5);
  });
});

describe('after an edit', () => {
  const text = (lines: string) => `kind yard {
  toplevel
  shared air: Temperature default 20 degC
  has hall*
}
kind hall {
  toplevel
  has lamp*
  width: Length default 2 m
  half: Length = width / 2
  seen: Temperature = air
  load: Power = sum(l.power for l in every lamp)
  named: list of Text = each(l.name for l in every lamp)
}
kind lamp {
  power: Power default 1 W
  twice: Power = 2 * power
}
part small is lamp {
  power = 3 W
}
part big is lamp {
  power = 5 W
}
${lines}`;
  /** The machine after each of these texts, and one of its values then. */
  const steps = (texts: readonly string[], path: string) => {
    const project = new Project(library, { read: () => undefined });
    return texts.map((lines) => {
      const machine = project
        .machines(project.update('file:///hall.gusset', text(lines)))
        .find(({ tree }) => tree.name === 'H');
      if (!machine) throw new Error('there is no H');
      // What is read of it now: with the next text it is another.
      return { tree: machine.tree, engine: machine.engine, half: cellAt('half', machine), value: shown(machine, path) };
    });
  };

  test('the machine is the same, with the cells of what it did not reach', () => {
    const hall = (lines: string) => `hall H {\n${lines}}\n`;
    const made = steps(
      [hall('  lamp a\n'), hall('  lamp a\n  lamp b { power = 2 W }\n'), hall('  lamp b { power = 4 W }\n  // gone\n')],
      'load',
    );
    expect(made.map(({ value }) => value)).toEqual(['1 W', '3 W', '4 W']);
    expect([...(made[0]?.tree.children.keys() ?? [])]).toEqual(['b']);
    const [first] = made;
    // What an edit took away is gone, and does not wait aside.
    expect(first?.tree.spares).toEqual([]);
    expect(
      made.map(({ tree, engine, half }) =>
        [tree, engine, half].map((each, i) => each === [first?.tree, first?.engine, first?.half][i]),
      ),
    ).toEqual(made.map(() => [true, true, true]));
  });

  test('a block that is open no longer, or comes to be, is another', () => {
    const hall = (lamp: string) => `hall H {\n  ${lamp}\n}\n`;
    const texts = ['lamp a', 'lamp a is ? of [big]', 'lamp a', 'lamp a is small'];
    expect(steps(texts.map(hall), 'a.twice').map(({ value }) => value)).toEqual(['2 W', '10 W', '2 W', '6 W']);
  });

  test('what it stands on is looked at again, as far out as it goes', () => {
    // More than a value is written otherwise each time: the tree is built anew, and the old one takes it over.
    const site = (air: string, more = '') => `yard Y {\n  air = ${air}\n  hall h is H\n${more}}\nhall H {\n}\n`;
    const texts = [site('20 degC'), site('25 degC', '  hall g\n'), site('28 degC'), 'hall H {\n}\n', site('30 degC')];
    const made = steps(texts, 'seen');
    expect(made.map(({ value }) => value)).toEqual(['20 °C', '25 °C', '28 °C', 'not known', '30 °C']);
    expect(made[2]?.tree).toBe(made[0]?.tree);
  });

  test('a machine of another kind is another, though it goes by the same name', () => {
    const wide = 'kind tower is hall {\n  width: Length default 6 m\n}\n';
    const made = steps([`${wide}hall H {\n}\n`, `${wide}tower H {\n}\n`, `${wide}hall H {\n}\n`], 'half');
    expect(made.map(({ value }) => value)).toEqual(['1 m', '3 m', '1 m']);
    expect(made[1]?.tree).not.toBe(made[0]?.tree);
  });

  test('what is counted goes by which blocks there are, in their order, and where their kind is not known', () => {
    const hall = (lines: string) => `hall H {\n${lines}}\n`;
    const texts = [
      '  lamp a\n  lamp b\n',
      '  lamp b\n  lamp a\n',
      '  lamp b\n  lamp a is nothing\n',
      '  lamp a\n',
      '  nothing a\n',
      '',
    ];
    const fresh = (lines: string) => steps([hall(lines)], 'load')[0]?.value;
    expect(steps(texts.map(hall), 'load').map(({ value }) => value)).toEqual(texts.map(fresh));
    const names = steps(texts.map(hall), 'named').map(({ value }) => value);
    expect(names.slice(0, 2)).toEqual(['[a, b]', '[b, a]']);
  });

  test('what it stands on is the same as well, down to what has changed there', () => {
    const site = (air: string, width: string) =>
      `yard Y {\n  air = ${air}\n  hall h is H\n}\nhall H {\n  width = ${width}\n  // ${air}\n}\n`;
    const made = steps([site('20 degC', '2 m'), site('25 degC', '2 m'), site('25 degC', '4 m')], 'half');
    expect(made.map(({ value }) => value)).toEqual(['1 m', '1 m', '2 m']);
    expect(made.map(({ tree }) => tree.ground?.name)).toEqual(['Y', 'Y', 'Y']);
    expect(made[1]?.tree).toBe(made[0]?.tree);
    expect(made[1]?.tree.ground).toBe(made[0]?.tree.ground);
  });
});
