import { expect, test } from 'vitest';
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
