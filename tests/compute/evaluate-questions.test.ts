import { describe, expect, test } from 'vitest';
import type { IncrementalEngine } from '../../language/compute/engine.ts';
import { machineIn, shown } from '../support.ts';

/** Racks hold cells, some in yards. */
const kinds = `/// Holds cells.
kind rack {
  toplevel
  /// Cells.
  has cell*
  total: Power = sum(c.load for c in every cell) {
    source defined "a question of a test"
  }
  how_many: Count = count(c for c in every cell) {
    source defined "a question of a test"
  }
}
/// A cell.
kind cell {
  load: Power
}
`;
const two = `  cell a * 2 {
    load = 3 W
  }
  cell b {
    load = 4 W
  }`;

test('every goes through what can stand alone and holds the block, even where that stands in something larger', () => {
  const yard = `/// Holds racks.
kind yard {
  toplevel
  has rack*
}
yard Y {
  rack near {
    ${two}
  }
  rack far {
    cell only {
      load = 5 W
    }
  }
}
`;
  const machine = machineIn(`${kinds}${yard}`);
  expect(shown(machine, 'near.total')).toBe('10 W');
  expect(shown(machine, 'far.total')).toBe('5 W');
  expect(shown(machine, 'far.how_many')).toBe('1');
});

test('a role of several blocks counts each as often as it is there, a list that is written what it names', () => {
  const text = `${kinds.replace(
    '  how_many',
    `  by_role: Power = sum(c.load for c in cell) {
    source defined "a question of a test"
  }
  listed: list of cell
  by_list: Power = sum(c.load for c in listed) {
    source defined "a question of a test"
  }
  how_many`,
  )}rack R {\n${two}\n  listed = [a, b]\n}\n`;
  const machine = machineIn(text);
  expect(shown(machine, 'by_role')).toBe('10 W');
  expect(shown(machine, 'by_list')).toBe('7 W');
});

test('what may or may not stand in a list that was asked for is not counted as one that does', () => {
  const text = `machine M {
  ambient = 20 degC
  asker {
  }
  leaf a {
    wide = yes
  }
  leaf b {
  }
}
kind leaf {
  inside machine
  wide: YesNo
}
kind asker {
  inside machine
  wide_ones: list of leaf = each(l for l in every leaf where l.wide)
  how_many: Count = count(l for l in wide_ones)
  counted: Count = count(wide_ones)
}
`;
  const machine = machineIn(text);
  expect(shown(machine, 'asker.how_many')).toBe('at least 1, at most 2');
  expect(shown(machine, 'asker.counted')).toBe('at least 1, at most 2');
  const said = machineIn(text.replace('leaf b {', 'leaf b {\n    wide = no'));
  expect(shown(said, 'asker.how_many')).toBe('1');
});

test('those that name a block in one of two lists stand in the order of the tree, each once', () => {
  const text = (lists: string) => `kind hall {
  toplevel
  has lamp*
  has rack*
}
kind lamp {
  named: list of Text = each(r.name for r in every rack where self in r.upper or self in r.lower) {
    source defined "a test"
  }
}
kind rack {
  upper: list of lamp default []
  lower: list of lamp default []
}
hall H {
  lamp a
  lamp b
${lists}
}
`;
  const named = (lists: string) => shown(machineIn(text(lists)), 'a.named');
  expect(named('  rack one { lower = [a] }\n  rack two { upper = [a] }')).toBe('[one, two]');
  expect(named('  rack one { upper = [a]\n lower = [a] }\n  rack two { upper = [b] }')).toBe('[one]');
  expect(named('  rack one { upper = [b] }')).toBe('[]');
});

test('in a list that was left out there is nothing, whether it is asked of one block or of all that list', () => {
  const text = (body: string) => `kind hall {
  toplevel
  has lamp*
  has rack*
}
kind lamp {
  named: Count = count(r for r in every rack where self in r.holding)
  by_any: YesNo = any(self in r.holding for r in every rack)
  by_hand: YesNo = self in (the(r for r in every rack)).holding
  within: YesNo = self in held
  held: list of lamp?
  asked: list of lamp
  not_known: YesNo = self in asked
}
kind rack {
  holding: list of lamp?
}
hall H {
  lamp a
  ${body}
}
`;
  const told = (body: string) =>
    ['named', 'by_any', 'by_hand', 'within', 'not_known'].map((name) => shown(machineIn(text(body)), `a.${name}`));
  expect(told('rack r')).toEqual(['0', 'no', 'no', 'no', 'not known']);
  expect(told('rack r { holding = [a] }')).toEqual(['1', 'yes', 'yes', 'no', 'not known']);
});

describe('a question of who lists a block', () => {
  const hall = (
    question: string,
    racks = '  rack one { upper = [a] }\n  rack two { lower = [a]\n upper = [b] }\n  rack three\n',
  ) =>
    machineIn(`kind hall {
  toplevel
  has lamp*
  has rack*
}
kind lamp {
  mate: lamp?
  best: rack?
  named: list of Text = each(r.name for r in every rack where ${question}) {
    source defined "a test"
  }
  counted: Count = count(r for r in every rack where ${question}) {
    source defined "a test"
  }
}
kind rack {
  upper: list of lamp default []
  lower: list of lamp?
  must: list of lamp
  chosen: lamp?
}
hall H {
  lamp a { mate = b
 best = one }
  lamp b
${racks}}
`);
  const named = (question: string, racks?: string) => shown(hall(question, racks), 'a.named');

  test.each([
    ['self in r.upper', '[one]'],
    ['(self in r.upper)', '[one]'],
    ['self in r.lower', '[two]'],
    ['self in r.upper and r.name == "one"', '[one]'],
    ['self in r.upper and r.name == "two"', '[]'],
    ['r.name == "one" and self in r.upper', '[one]'],
    ['r.name == "two" and self in r.upper', '[]'],
    ['self in r.upper and not (mate in r.upper)', '[one]'],
    ['self in r.upper or self in r.lower', '[one, two]'],
    // Where one way to meet it has nothing to do with lists, all are asked.
    ['self in r.upper or r.name == "three"', '[one, three]'],
    ['r.name == "three" or self in r.upper', '[one, three]'],
    ['not (self in r.upper)', '[two, three]'],
    // Neither of these asks for the block that asks.
    ['mate in r.upper', '[two]'],
    ['self.mate in r.upper', '[two]'],
    ['self in best.upper', '[one, two, three]'],
    ['self in [self]', '[one, two, three]'],
    ['self == self', '[one, two, three]'],
  ])('where %s: %s', (question, expected) => expect(named(question)).toBe(expected));

  test('asks only those that list it, or that might', () => {
    const lamps = Array.from({ length: 12 }, (_, i) => `  lamp l${i}\n`).join('');
    const racks = Array.from({ length: 30 }, (_, i) => `  rack r${i} {\n upper = [a]\n }\n`).join('');
    const steps = (question: string) => {
      const machine = hall(question, lamps + racks);
      for (const lamp of machine.tree.children.keys()) if (/^l\d/.test(lamp)) shown(machine, `${lamp}.counted`);
      return (machine.engine as IncrementalEngine).allowance.spent;
    };
    const all = steps('mate in r.upper');
    for (const question of [
      'self in r.upper',
      '(self in r.upper)',
      'self in r.lower',
      'self in r.upper and r.name == "one"',
      'r.name == "one" and self in r.upper',
      'self in r.upper or self in r.lower',
      '(self in r.upper or self in r.lower) and r.name == "one"',
    ])
      expect(steps(question), question).toBeLessThan(all / 2);
    for (const question of ['self in r.must', 'self in r.upper or r.name == "one"', 'not (self in r.upper)'])
      expect(steps(question), question).toBeGreaterThan(all / 2);
  });

  test('is not asked of what is no list', () => {
    expect(shown(hall('self == r.chosen'), 'a.counted')).toBe('at least 0, at most 3');
    expect(shown(hall('self == r.chosen', '  rack one { chosen = a }\n  rack two { chosen = b }\n'), 'a.counted')).toBe(
      '1',
    );
  });

  test('counts one that lists it twice once, and each that is there several times as often', () => {
    expect(shown(hall('self in r.upper', '  rack one { upper = [a, a] }\n'), 'a.counted')).toBe('1');
    expect(shown(hall('self in r.upper', '  rack one * 3 { upper = [a] }\n'), 'a.counted')).toBe('3');
  });

  test('may or may not count one whose list is not known, and goes in the order of the tree', () => {
    const racks = '  rack zero { must = [b] }\n  rack one\n  rack two { must = [a] }\n';
    expect(shown(hall('self in r.must', racks), 'a.counted')).toBe('at least 1, at most 2');
    expect(shown(hall('self in r.must', racks.replace('rack one', 'rack one { must = [b, a] }')), 'a.named')).toBe(
      '[one, two]',
    );
  });
});

test('a block counts as often as it is there for who asks: what holds both is there once', () => {
  const text = `kind cabinet {
  toplevel
  has drawer*
  has tray?
  spoons: Count = count(s for s in every spoon)
  main: drawer?
  in_main: Count = count(s for s in every spoon of main)
  trays: Count = count(t for t in tray)
}
kind drawer {
  has spoon*
  spoons: Count = count(s for s in every spoon of self)
  beside: Count = count(s for s in every spoon)
}
kind tray {
}
kind spoon {
  same: Count = count(s for s in every spoon)
}
cabinet C {
  main = d
  tray
  drawer d * 2 {
    spoon s * 3
  }
  drawer e {
    spoon t
  }
}
`;
  const machine = machineIn(text);
  expect(
    ['spoons', 'd.spoons', 'e.spoons', 'd.beside', 'e.beside', 'd.s.same', 'e.t.same'].map((path) =>
      shown(machine, path),
    ),
  ).toEqual(['7', '3', '1', '4', '7', '2', '7']);
  // In the one that is asked about they are as many as in each.
  expect(shown(machine, 'in_main')).toBe('3');
  // A role for one block at most is a question of one.
  expect(shown(machine, 'trays')).toBe('1');
});

test('who is asked within what is no block, or of a kind that is not there, is nobody', () => {
  const text = (within: string) => `kind hall {
  toplevel
  has lamp*
  best: lamp?
  other: hall?
  lamps: Count = count(l for l in every lamp of ${within})
}
kind lamp {
}
hall H {
  lamp a
  lamp b
}
`;
  expect(shown(machineIn(text('self')), 'lamps')).toBe('2');
  expect(shown(machineIn(text('other')), 'lamps')).toBe('not known');
  expect(shown(machineIn(text('best')), 'lamps')).toBe('not known');
});
