import { describe, expect, test } from 'vitest';
import { adoptTree, rereadStatements, tryBlock } from '../../language/compute/adopt.ts';
import { blocksOf, type Cell, cellOf, everyCell, everyOf } from '../../language/compute/cell.ts';
import type { Entry } from '../../language/grammar/generated/ast.ts';
import { statementsOf } from '../../language/machine/statements.ts';
import type { Instance, Layer } from '../../language/machine/tree.ts';
import type { Kind } from '../../language/names/kind.ts';
import type { Scope } from '../../language/names/scope.ts';
import { machineIn, read } from '../support.ts';

// What is told of an edit, block by block: which values are to be looked at again, which blocks are gone, and which wait aside. What
// is expected follows from the two texts.

const kinds = `kind yard {
  toplevel
  has hall*
}
kind hall {
  has lamp*
  wide: Length default 1 m
  high: Length default 2 m
  load: Power = sum(l.power for l in every lamp)
}
kind tower is hall
kind lamp {
  has shade*
  power: Power default 1 W
  wide: Length default 1 mm
}
kind bulb is lamp
kind shade {
  wide: Length default 3 mm
}
part small is lamp {
  power = 3 W
}
part shine is bulb {
  power = 9 W
}
`;

/** All cells of a block and of what is in it are made, those of which blocks there are among them. */
function looked(hall: Instance, scope: Scope): Instance {
  for (const each of hall.all()) {
    for (const name of each.kind.members.keys()) cellOf(each, name)?.definition;
    blocksOf(each);
  }
  everyOf(hall, scope.kindNamed('lamp') as Kind);
  return hall;
}

/** Halls of one file, which stand in yards of their own: so they are of the same kinds. */
function halls(...bodies: string[]): Instance[] {
  const text = bodies.map((body, i) => `yard Y${i} {\n${body}\n}\n`).join('');
  const { project, file } = read(`${kinds}${text}`);
  return project.machines(file).flatMap(({ tree, scope }) => {
    const made = tree.children.get('h');
    return made ? [looked(made, scope)] : [];
  });
}

const hall = (...lines: string[]) => `  hall h {\n${lines.map((line) => `    ${line}\n`).join('')}  }`;

const label = ({ kind, path }: Instance) => `${kind.name} ${path.replace(/^Y\d\./, '')}`;
const labels = (blocks: Iterable<Instance>) => Array.from(blocks, label).toSorted();
const paths = (cells: Iterable<Cell>) => Array.from(cells, ({ path }) => path.replace(/^Y\d\./, '')).toSorted();
const there = (block: Instance) => [...block.children.values()].map(label);

describe('an edit of a block tells', () => {
  const surveys = ['h.blocks', 'h.every lamp'];
  const cases: [what: string, before: string[], after: string[], changed: string[], gone?: string[]][] = [
    ['nothing where it says the same', ['wide = 2 m', 'lamp a'], ['wide = 2 m', 'lamp a'], []],
    ['of a value that is said otherwise', ['wide = 2 m'], ['wide = 3 m'], ['h.wide']],
    ['of a value that was left out', [], ['wide = 2 m'], ['h.wide']],
    ['of a value that is left out', ['wide = 2 m', 'high = 1 m'], ['high = 1 m'], ['h.wide']],
    ['of one that came and one that went', ['wide = 2 m'], ['high = 3 m'], ['h.high', 'h.wide']],
    ['of a value in a block of it', ['lamp a { power = 2 W }'], ['lamp a { power = 3 W }'], ['h.a.power']],
    [
      'of a value two blocks deep',
      ['lamp a { shade s { wide = 2 mm } }'],
      ['lamp a { shade s { wide = 1 mm } }'],
      ['h.a.s.wide'],
    ],
    ['of what a part brings', ['lamp a'], ['lamp a is small'], ['h.a.power']],
    ['of a block that came', ['lamp a'], ['lamp a', 'lamp b'], surveys],
    ['of a block that went', ['lamp a', 'lamp b'], ['lamp b'], surveys, ['lamp h.a']],
    ['of what was in that too', ['lamp a { shade s }'], [], surveys, ['lamp h.a', 'shade h.a.s']],
    ['of blocks in another order', ['lamp a', 'lamp b'], ['lamp b', 'lamp a'], surveys],
    ['of a block that is called otherwise', ['lamp a'], ['lamp b'], surveys, ['lamp h.a']],
    ['of a block of another kind', ['lamp a'], ['bulb a'], surveys, ['lamp h.a']],
    ['of a block of which there are more', ['lamp a'], ['lamp a * 2'], surveys, ['lamp h.a']],
    ['of a block whose part cannot be found', ['lamp a'], ['lamp a is nowhere'], surveys, ['lamp h.a']],
    ['of a block whose kind is not known', ['lamp a'], ['lamp a', 'nothing b'], surveys],
    ['of one that is called otherwise', ['nothing a'], ['nothing b'], surveys],
    ['nothing of one that stays so', ['nothing a', 'wide = 1 m'], ['nothing a', 'wide = 2 m'], ['h.wide']],
    ['of a block deeper in', ['lamp a'], ['lamp a { shade s }'], ['h.a.blocks', 'h.every lamp']],
  ];

  test.each(cases)('%s', (_, before, after, changed, gone = []) => {
    const [old, fresh] = halls(hall(...before), hall(...after)) as [Instance, Instance];
    const blocks = new Map(old.children);
    const expected = there(fresh);
    const { layers } = fresh;
    const [broken, kinds] = [[...fresh.broken], [...fresh.children.values()]];
    const adopted = adoptTree(old, fresh);
    expect([paths(adopted?.changed ?? []), labels(adopted?.gone ?? [])]).toEqual([changed, gone]);
    // The old block is as the new one is, with those of its blocks that are the same.
    expect([there(old), old.layers, [...old.broken]]).toEqual([expected, layers, broken]);
    const stays = ({ name, kind, count, open }: Instance) => {
      const was = blocks.get(name);
      return was?.kind === kind && was.count === count && was.open === open;
    };
    expect([...old.children.values()].map((block) => block === blocks.get(block.name))).toEqual(kinds.map(stays));
    expect([...old.children.values()].map(({ holder }) => holder)).toEqual(kinds.map(() => old));
    expect(labels(old.all())).toEqual(labels([old, ...[...old.children.values()].flatMap((each) => each.all())]));
    expect(old.spares).toEqual([]);
  });

  test.each<[string, string, Partial<Layer>]>([
    ['is seen from elsewhere', 'wide = 1 m', { scope: {} as Scope }],
    ['is read as that of a kind', 'wide = 1 m', { mode: 'kind' }],
    [
      'is another machine’s, where what was measured is none of it',
      'measured wide = 3 m on 2026-03-02 in place',
      { elsewhere: true },
    ],
  ])('of what is said by a text that %s, though it says the same', (_, said, as) => {
    const [old, fresh] = halls(hall(said), hall()) as [Instance, Instance];
    const spoils = { isSpoiled: () => false };
    if (as.scope) Object.assign(as.scope, spoils);
    fresh.layers = old.layers.map((layer) => ({ ...layer, ...as }));
    expect(paths(adoptTree(old, fresh)?.changed ?? [])).toEqual(['h.wide']);
    expect(paths(adoptTree(old, { ...fresh, layers: old.layers } as Instance)?.changed ?? [])).toEqual([]);
  });

  test('nothing of what is said as before, which is not even read again', () => {
    const said = (wide: string) => hall('lamp a is small {', `  wide = ${wide}`, '}');
    const [old, fresh] = halls(said('1 mm'), said('2 mm')) as [Instance, Instance];
    const cells = (name: string) => {
      const block = name === 'load' ? old : (old.children.get('a') as Instance);
      return cellOf(block, name) as Cell;
    };
    const read = ['power', 'wide', 'load'].map((name) => ({ name, before: cells(name).definition }));
    adoptTree(old, fresh);
    const again = read.filter(({ name, before }) => cells(name).definition !== before);
    expect(again.map(({ name }) => name)).toEqual(['wide']);
  });

  test('what is proposed for a value stays while that is open, and no longer', () => {
    const [old, still, given] = halls(hall('wide = ?'), hall('wide = ?', 'high = 1 m'), hall('wide = 2 m')) as [
      Instance,
      Instance,
      Instance,
    ];
    const wide = cellOf(old, 'wide') as Cell;
    wide.trial = 5;
    adoptTree(old, still);
    expect(wide.trial).toBe(5);
    adoptTree(old, given);
    expect(wide.trial).toBeUndefined();
  });

  test('which blocks would never end', () => {
    const [old, fresh] = halls(hall(), hall()) as [Instance, Instance];
    old.endless.add('was');
    fresh.endless.add('is');
    adoptTree(old, fresh);
    expect([...old.endless]).toEqual(['is']);
  });

  test('nothing of what stands beside a block that is tried', () => {
    const [old, tried] = halls(hall('lamp a', 'lamp b { nothing x }'), hall('bulb a')) as [Instance, Instance];
    tryBlock(old, tried.children.get('a') as Instance);
    expect([...(old.children.get('b')?.broken ?? [])]).toEqual(['x']);
  });

  test('nothing where not even the outermost is the same', () => {
    const [old, ...others] = halls(
      hall('lamp a'),
      '  tower h { lamp a }',
      '  hall h * 2 { lamp a }',
      '  hall h is nowhere',
      '  hall h { lamp b }',
    ) as [Instance, ...Instance[]];
    expect(others.map((other) => adoptTree(old, other) !== undefined)).toEqual([false, false, false, true]);
    expect(there(old)).toEqual(['lamp h.b']);
  });
});

describe('what it stands on', () => {
  /** Two lamps, each of which stands on a hall, and that perhaps on another. */
  const both = (before: string[], after: string[]) => {
    const made = halls(...before, ...after);
    const chain = ([first, ...grounds]: Instance[]) => {
      const lamp = first?.children.get('a') as Instance;
      lamp.holder = undefined;
      let at = lamp;
      for (const ground of grounds) {
        ground.holder = undefined;
        at.ground = ground;
        at = ground;
      }
      return lamp;
    };
    return [chain(made.slice(0, before.length)), chain(made.slice(before.length))] as [Instance, Instance];
  };
  const changed = (before: string[], after: string[]) => {
    const [old, fresh] = both(before, after);
    const adopted = adoptTree(old, fresh);
    return adopted && [paths(adopted.changed), labels(adopted.gone)];
  };
  const lamp = hall('lamp a');

  test('is looked at as well, as far out as it goes', () => {
    expect(changed([lamp, hall('wide = 1 m')], [lamp, hall('wide = 2 m')])).toEqual([['h.wide'], []]);
    const far = (wide: string) => [hall('lamp a { power = 2 W }'), hall('lamp b'), hall(`wide = ${wide}`)];
    expect(changed(far('1 m'), far('2 m'))).toEqual([['h.wide'], []]);
    expect(changed([hall('lamp a { power = 1 W }'), hall('high = 1 m')], [lamp, hall()])).toEqual([
      ['a.power', 'h.high'],
      [],
    ]);
  });

  test('is another where it, or what that stands on, is another', () => {
    const plain = hall();
    const tower = '  tower h';
    const several = '  hall h * 2';
    expect(changed([lamp, plain], [lamp, tower])).toBeUndefined();
    expect(changed([lamp, plain], [lamp, several])).toBeUndefined();
    expect(changed([lamp, plain], [lamp])).toBeUndefined();
    expect(changed([lamp], [lamp, plain])).toBeUndefined();
    expect(changed([lamp, plain, plain], [lamp, plain, tower])).toBeUndefined();
    expect(changed([lamp, plain, plain], [lamp, plain])).toBeUndefined();
    expect(changed([lamp, plain, plain], [lamp, plain, plain])).toEqual([[], []]);
  });

  test('is not compared where both stand on the same', () => {
    const [old, fresh] = both(
      [hall('lamp a { power = 1 W }'), hall('nothing b')],
      [hall('lamp a { power = 2 W }'), hall()],
    );
    fresh.ground = old.ground;
    expect(paths(adoptTree(old, fresh)?.changed ?? [])).toEqual(['a.power']);
    // It keeps what it knows of itself.
    expect([...(old.ground?.broken ?? [])]).toEqual(['b']);
  });
});

describe('a block that waits aside while the text is written otherwise', () => {
  /** A hall in which a bulb stands in place of a lamp, which waits aside; and then the text says otherwise. */
  const rewritten = (lines: string[], aside = 'lamp a { power = 1 W }', beside: string[] = []) => {
    const [old, tried, fresh] = halls(hall(aside, ...beside), hall('bulb a { power = 1 W }'), hall(...lines)) as [
      Instance,
      Instance,
      Instance,
    ];
    const first = old.children.get('a') as Instance;
    const adopted = tryBlock(old, tried.children.get('a') as Instance);
    expect([paths(adopted.changed), labels(adopted.gone)]).toEqual([['h.blocks', 'h.every lamp'], []]);
    expect([old.spares, there(old)[0]]).toEqual([[first], 'bulb h.a']);
    for (const each of old.all()) blocksOf(each);
    const told = adoptTree(old, fresh);
    const own = [...everyCell(first)].filter((cell) => told?.changed.has(cell));
    return {
      aside: own.map(({ name }) => name).toSorted(),
      changed: paths(told?.changed ?? []),
      gone: labels(told?.gone ?? []),
      spares: labels(old.spares),
      there: there(old),
    };
  };

  test('stays aside, and what the text says otherwise of it is looked at again', () => {
    expect(rewritten(['bulb a { power = 2 W }'])).toEqual({
      aside: ['power'],
      changed: ['h.a.power', 'h.a.power'],
      gone: [],
      spares: ['lamp h.a'],
      there: ['bulb h.a'],
    });
    expect(rewritten(['bulb a { wide = 2 mm }']).aside).toEqual(['power', 'wide']);
    expect(rewritten(['bulb a { power = 1 W }', 'lamp c']).aside).toEqual([]);
    // What was not said at all is no more than a value, and what means nothing is no value.
    const first = rewritten(['bulb a { power = 2 W }'], 'lamp a');
    expect([first.aside, first.spares]).toEqual([['power'], ['lamp h.a']]);
    expect(rewritten(['bulb a { power = 1 W\n nonsense = 3 }']).changed).toEqual([]);
    // What a part says of it is no concern of what waits: that brings its own.
    const part = rewritten(['bulb a is shine { power = 1 W }']);
    expect([part.aside, part.spares]).toEqual([[], ['lamp h.a']]);
  });

  test('comes back where the text says so, and what stood in its place is gone', () => {
    const back = rewritten(['lamp a { power = 2 W }']);
    expect([back.aside, back.gone, back.spares, back.there]).toEqual([['power'], ['bulb h.a'], [], ['lamp h.a']]);
  });

  test('is gone where the text says more than values otherwise, with what is in it', () => {
    const all = ['blocks', 'power', 'wide'];
    // However their names run into each other.
    const letters = rewritten(['bulb a { shade ss\n hade t }'], 'lamp a { shade s\n shade t }');
    expect(letters.gone).toEqual(['lamp h.a', 'shade h.a.s', 'shade h.a.t']);
    for (const lines of [
      ['bulb a { power = 1 W\n shade s }'],
      ['bulb a { power = 1 W\n require power > 0 W }'],
      ['bulb a * 2 { power = 1 W }'],
      ['lamp b'],
      [],
    ]) {
      const said = rewritten(lines);
      expect([said.aside, said.spares], lines.join()).toEqual([all, []]);
      expect(said.gone).toContain('lamp h.a');
    }
    const deep = rewritten(['bulb a'], 'lamp a { shade s { wide = 1 mm } }');
    expect(deep.gone).toEqual(['lamp h.a', 'shade h.a.s']);
    expect(deep.changed).toEqual(['h.a.blocks', 'h.a.power', 'h.a.power', 'h.a.s.blocks', 'h.a.s.wide', 'h.a.wide']);
  });

  test('stays aside while something is only tried', () => {
    const [old, tried, again] = halls(hall('lamp a'), hall('bulb a'), hall('lamp b { shade s }')) as [
      Instance,
      Instance,
      Instance,
    ];
    tryBlock(old, tried.children.get('a') as Instance);
    const told = adoptTree(old, again, true);
    expect([labels(told?.gone ?? []), labels(old.spares)]).toEqual([[], ['bulb h.a', 'lamp h.a']]);
  });

  test('is gone where there are more texts of it, or fewer, which say more than values', () => {
    const shared = `  hall h is G`;
    const says = (power: string) => `    lamp a { power = ${power} }\n`;
    const [plain, on, bare] = [hall('lamp a { power = 1 W }'), says('1 W'), says('1 W')].map((text, i) =>
      i === 0 ? text : `${shared}${i} {\n${text}  }`,
    ) as [string, string, string];
    const others = '}\nhall G1 {\n  lamp a { shade s }\n}\nhall G2 {\n  lamp a\n';
    for (const [before, after] of [
      [plain, on],
      [on, plain],
      [bare, on],
      [on, bare],
    ] as const) {
      const [old, tried, fresh] = halls(before, hall('bulb a'), `${after}\n${others}`) as [
        Instance,
        Instance,
        Instance,
      ];
      tryBlock(old, tried.children.get('a') as Instance);
      expect(labels(adoptTree(old, fresh)?.gone ?? [])).toContain('lamp h.a');
      expect(old.spares).toEqual([]);
    }
  });

  test('is gone with what holds it', () => {
    const [old, tried, fresh] = halls(hall('lamp a', 'lamp b { shade s }'), hall('bulb a'), hall('lamp b')) as [
      Instance,
      Instance,
      Instance,
    ];
    tryBlock(old, tried.children.get('a') as Instance);
    const yard = old.holder as Instance;
    const other = fresh.holder as Instance;
    other.children.clear();
    const told = adoptTree(yard, Object.assign(other, { name: yard.name }));
    expect(labels(told?.gone ?? [])).toEqual(['bulb h.a', 'hall h', 'lamp h.a', 'lamp h.b', 'shade h.b.s']);
  });
});

test('statements that give others now are read again in the blocks whose text they stand in, wherever these are', () => {
  const machine = machineIn(`${kinds}yard Y {
  hall h {
    wide = 1 m
    lamp a { wide = 2 m }
  }
  hall g { wide = 3 m }
}
`);
  const [h, g] = ['h', 'g'].map((name) => looked(machine.tree.children.get(name) as Instance, machine.scope)) as [
    Instance,
    Instance,
  ];
  const given = (block: Instance) => statementsOf(block.layers[0]?.body).values.get('wide')?.given as Entry;
  const wide = cellOf(h, 'wide') as Cell;
  expect([...rereadStatements([machine.tree], [given(h)])]).toEqual([]);
  Object.assign(given(h), { value: given(g).value });
  // Another block’s statement of the same name says nothing of it.
  expect([...rereadStatements([machine.tree], [given(g)])]).toEqual([]);
  expect([...rereadStatements([undefined, machine.tree], [given(h)])]).toEqual([wide]);
  Object.assign(given(h), { value: undefined });
  // What a tree stands on is looked through as well.
  g.ground = h;
  expect([...rereadStatements([g], [given(h)])]).toEqual([wide]);
});
