import { describe, expect, test } from 'vitest';
import { type Cell, cellOf } from '../../language/compute/cell.ts';
import { Bounds, Unknown } from '../../language/values/value.ts';
import { machineIn, shown, toldOf } from '../support.ts';
import { answer, asking } from './asking.ts';

const formula = (name: string, type: string, text: string) =>
  `  /// Asked.\n  ${name}: ${type} = ${text} {\n    source defined "a question of a test"\n  }\n`;

/** Racks hold cells, cells hold pins; each asks about the others. */
const kinds = `/// Holds cells.
kind rack {
  toplevel
  /// Cells.
  has cell*
  has lamp?
${formula('total', 'Power', 'sum(c.load for c in every cell)')}${formula('most', 'Power', 'max(c.load for c in every cell)')}${formula('least', 'Power', 'min(c.load for c in every cell)')}${formula('how_many', 'Count', 'count(c for c in every cell)')}${formula('heavy', 'Count', 'count(c for c in every cell where c.load > 3 W)')}${formula('pins', 'Count', 'count(p for p in every pin)')}${formula('only', 'Power', 'the(c.load for c in every cell where c.load > 3 W)')}${formula('only_or_none', 'Power', 'the(c.load for c in every cell where c.load > 3 W) otherwise 0 W')}${formula('first_one', 'Power', 'first(c.load for c in every cell)')}${formula('last_one', 'Power', 'last(c.load for c in every cell)')}${formula('loads', 'list of Power', 'each(c.load for c in every cell)')}${formula('lit', 'YesNo', 'given(lamp)')}}
/// A cell.
kind cell {
  /// What it draws.
  load: Power
  /// Cells that it leads to.
  leads_to: list of cell?
  has pin*
${formula('mates', 'Count', 'count(c for c in every cell of holder)')}${formula('heat', 'Power', 'sum(p.heat for p in every pin of self)')}${formula('place_in_row', 'Count', 'position(c for c in every cell where c == self)')}${formula('named_by', 'Count', 'count(c for c in every cell where self in c.leads_to)')}}
/// A pin.
kind pin {
  heat: Power
${formula('pins_here', 'Count', 'count(p for p in every pin of holder)')}${formula('cells_seen', 'Power', 'sum(c.load for c in every cell)')}}
/// A lamp.
kind lamp {
  colour: Text?
}
`;
const racked = (body: string) => machineIn(`${kinds}rack R {\n${body}\n}\n`);
const asked = (body: string, path: string) => shown(racked(body), path);

const two = `  cell a * 2 {
    load = 3 W
    pin * 3 {
      heat = 1 W
    }
  }
  cell b {
    load = 4 W
    leads_to = [a, b]
  }`;

test('the kinds of these tests have no mistake', () => {
  expect(toldOf(`${kinds}rack R {\n${two}\n}\n`)).toEqual([]);
});

describe('blocks that stand for several', () => {
  test('count as often, in sums and in counts, and so does what they hold', () => {
    expect(asked(two, 'total')).toBe('10 W');
    expect(asked(two, 'how_many')).toBe('3');
    expect(asked(two, 'pins')).toBe('6');
    expect(asked(two, 'heavy')).toBe('1');
  });

  test('a maximum is that of one', () => {
    expect(asked(two, 'most')).toBe('4 W');
    expect(asked(two, 'least')).toBe('3 W');
  });

  test('seen from inside, what holds both is there once', () => {
    expect(asked(two, 'b.mates')).toBe('3');
    expect(asked(two, 'a.mates')).toBe('2');
    expect(asked(two, 'a.heat')).toBe('3 W');
    expect(asked(two, 'a.pin.pins_here')).toBe('1');
    expect(asked(two, 'a.pin.cells_seen')).toBe('7 W');
  });
});

describe('one of several', () => {
  test('the: the one there is; none, or two, is an error, and no fallback takes its place', () => {
    expect(asked(two, 'only')).toBe('4 W');
    const none = '  cell a {\n    load = 3 W\n  }';
    expect(asked(none, 'only')).toBe('cannot be computed: there is none');
    expect(asked(none, 'only_or_none')).toBe('cannot be computed: there is none');
    expect(asked('  cell a {\n    load = 6 W\n  }\n  cell b {\n    load = 5 W\n  }', 'only')).toContain(
      'more than one',
    );
  });

  test('the: of a list that is not known it is not known which', () => {
    const text = `kind rack {\n  toplevel\n  has cell*\n}\nkind cell {\n  load: Power default 1 W\n  others: list of cell?
  main: Power = the(c.load for c in others)\n  main_one: Power = the(others).load\n}\n`;
    const rack = (body: string) =>
      machineIn(`${text}rack R {\n  cell a {\n${body}  }\n  cell b {\n    load = 2 W\n  }\n}\n`);
    for (const path of ['a.main', 'a.main_one']) {
      expect(shown(rack(''), path)).toBe('not known');
      expect(shown(rack('    others = [b]\n'), path)).toBe('2 W');
    }
  });

  test('first, last, each and position go by the order of the text', () => {
    expect(asked(two, 'first_one')).toBe('3 W');
    expect(asked(two, 'last_one')).toBe('4 W');
    expect(asked(two, 'loads')).toBe('[3 W, 4 W]');
    expect(asked(two, 'a.place_in_row')).toBe('1');
    expect(asked(two, 'b.place_in_row')).toBe('2');
  });

  test('those that name a block in a list are found, once each, and those whose list was left out are not', () => {
    expect(asked(two, 'a.named_by')).toBe('1');
    expect(asked(two, 'b.named_by')).toBe('1');
    const none = two.replace('    leads_to = [a, b]\n', '');
    expect(asked(none, 'a.named_by')).toBe('0');
    const twice = two.replace('[a, b]', '[a, a]');
    expect(asked(twice, 'a.named_by')).toBe('1');
    expect(asked(twice, 'b.named_by')).toBe('0');
  });

  test('a block that may be there is given or not', () => {
    expect(asked(two, 'lit')).toBe('no');
    expect(asked(`${two}\n  lamp`, 'lit')).toBe('yes');
  });
});

describe('where something is not known', () => {
  const open = two.replace('    load = 4 W\n', '');

  test('a sum says what is known of it, a maximum nothing', () => {
    expect(asked(open, 'total')).toBe('at least 6 W');
    expect(asked(open, 'most')).toBe('not known');
    expect(asked(open, 'how_many')).toBe('3');
  });

  test('a sum of which nothing is known is not known', () => {
    expect(asked('  cell a {\n  }', 'total')).toBe('not known');
  });

  test('a sum of nothing is nothing', () => {
    expect(asked('', 'total')).toBe('0 W');
    expect(asked('', 'how_many')).toBe('0');
    expect(asked('', 'most')).toBe('not known');
  });

  test('a sum in which something may be negative is not known from below', () => {
    expect(asked(open.replace('load = 3 W', 'load = -3 W'), 'total')).toBe('not known');
  });

  test('what may belong to a count leaves it between two bounds', () => {
    expect(asked(open, 'heavy')).toBe('at least 0, at most 1');
  });
});

test('the least, the greatest and the sum of prices: by the stated rate, or not at all', () => {
  const text = (rate: string, formula: string) => `${rate}
kind hall {
  toplevel
  asked: Price = ${formula} {
    source defined "a test"
  }
}
hall H {
}
`;
  const rate = 'rate 1 EUR = 2 USD on 2026-03-02';
  expect(shown(machineIn(text(rate, 'max(2 EUR, 3 USD)')), 'asked')).toBe('2 EUR');
  expect(shown(machineIn(text(rate, 'min(2 EUR, 3 USD)')), 'asked')).toBe('3 USD');
  expect(shown(machineIn(text('', 'max(2 EUR, 3 USD)')), 'asked')).toContain('meet here without a stated rate');
  expect(shown(machineIn(text(rate, 'sum([2 EUR, 3 USD])')), 'asked')).toBe('3.50 EUR');
  expect(shown(machineIn(text('', 'sum([2 EUR, 3 USD])')), 'asked')).toContain('rate');
});

test('a sum of sums of which parts are not known is at least what is known of all', () => {
  const text = `kind site {
  toplevel
  has hall*
  all: Power = sum(h.total for h in every hall) {
    source defined "a test"
  }
}
kind hall {
  has lamp*
  total: Power = sum(l.power for l in every lamp of self) {
    source defined "a test"
  }
}
kind lamp {
  power: Power
}
site S {
  hall a {
    lamp p { power = 3 W }
    lamp q
  }
  hall b * 2 {
    lamp r { power = 4 W }
    lamp s
  }
}
`;
  expect(shown(machineIn(text), 'a.total')).toBe('at least 3 W');
  expect(shown(machineIn(text), 'all')).toBe('at least 11 W');
});

test('what is not known is told by name, each once', () => {
  const names = (formula: string) => {
    const machine = machineIn(asking(formula, { has: 'v: Count\n  w: Count\n  open: list of Count' }));
    const value = machine.engine.value(cellOf(machine.tree, 'answer') as Cell);
    return value instanceof Unknown || value instanceof Bounds ? value.missing.map((each) => each.name) : value;
  };
  expect(names('max(1, v, w)')).toEqual(['v', 'w']);
  expect(names('[1, 2][w]')).toEqual(['w']);
  expect(names('open[v]')).toEqual(['open', 'v']);
  // Of nothing there is none: what asks for it has no value.
  expect(names('max(x for x in [1] where x > 1)')).toEqual(['answer']);
  expect(names('first(x for x in [1] where x > 1)')).toEqual(['answer']);
  expect(names('position(x for x in [1] where x > 1)')).toEqual(['answer']);
  expect(names('count(x for x in [1, w, 3] where x > 2)')).toEqual(['w']);
});

test('a role by its name is counted as often as its blocks are there, a list that is written by what it names', () => {
  const counting = kinds.replace('  /// Cells.\n', `${formula('by_role', 'Count', 'count(cell)')}  /// Cells.\n`);
  const listing = counting.replace('  has pin*\n', `  has pin*\n${formula('listed', 'Count', 'count(leads_to)')}`);
  const machine = machineIn(`${listing}rack R {\n${two}\n}\n`);
  expect(shown(machine, 'by_role')).toBe('3');
  expect(shown(machine, 'b.listed')).toBe('2');
});

describe('over a list that is written', () => {
  const w = 'w: Count';
  const many = 'w: Count\n  some: list of Count default [1]\n  open: list of Count';

  test.each([
    ['the(x for x in [1, 2] where x > 1)', '2'],
    ['the([7])', '7'],
    ['the(x for x in [1, w] where x > 0)', 'not known'],
    ['the(x for x in [1, 2, w] where x > 0)', 'cannot be computed: there is more than one: 1, 2'],
    ['the(x for x in [1, w] where x > 1)', 'not known'],
    ['first(x for x in [1, 2] where x > 2) otherwise 7', '7'],
    ['last(x for x in [1, 2] where x > 2) otherwise 7', '7'],
    ['position(x for x in [1, 2] where x > 2) otherwise 7', '7'],
    ['position(x for x in [4, 5, 6] where x > 4)', '2'],
    ['position(x for x in open)', 'not known'],
    ['first([4, 5])', '4'],
    ['last([4, 5])', '5'],
    ['first(open)', 'not known'],
    ['count(x for x in [1, w, 3] where x > 2)', 'at least 1, at most 2'],
    ['count(x for x in [1, w, 1] where x > 2)', 'at least 0, at most 1'],
    ['count(x > 1 for x in [1, 2, 3])', '2'],
    ['count(w for x in [1, 2])', '2'],
    ['first(open) otherwise 7', 'not known'],
    ['count(x for x in [0, 1] where 1 / x > 0)', 'cannot be computed: this divides by zero'],
    ['count(open)', 'not known'],
    ['sum(1 / (x - 1) for x in [1, 2])', 'cannot be computed: this divides by zero'],
    ['sum([w, w])', 'not known'],
    ['sum([1, w])', 'at least 1'],
    ['sum([-1, w])', 'not known'],
    ['sum([0, w])', 'at least 0'],
    ['sum(open)', 'not known'],
    ['min(x for x in [3, 1, 2])', '1'],
    ['max(x * 2 for x in [3, 1, 2])', '6'],
    ['min(x for x in [3, w])', 'not known'],
    ['max(x for x in open)', 'not known'],
    ['chain([1], [2, 3])[3]', '3'],
    ['count(chain(some, [2, 3], some))', '4'],
    ['count(chain(some, open))', 'not known'],
    ['count(each(x for x in [1, 2, 3] where x > 1))', '2'],
    ['count(each(x for x in open))', 'not known'],
  ])('%s is %s', (formula, expected) => expect(answer(formula, { has: many })).toBe(expected));

  test.each([
    ['any([no, yes])', 'yes'],
    ['any([no, no])', 'no'],
    ['all([yes, yes])', 'yes'],
    ['all([yes, no])', 'no'],
    ['any([w > 1, yes])', 'yes'],
    ['all([w > 1, yes])', 'not known'],
    ['any(x > 1 for x in [0, 1])', 'no'],
  ])('%s: %s', (formula, expected) => expect(answer(formula, { type: 'YesNo', has: w })).toBe(expected));
});

test('prices count as often as their blocks are there, and a price that is not known leaves a sum from below', () => {
  const text = (last: string) => `kind shop {
  toplevel
  has lamp*
  cost: Price = sum(l.price for l in every lamp) {
    source defined "a test"
  }
}
kind lamp {
  price: Price
}
rate 1 EUR = 2 USD on 2026-03-02
shop S {
  lamp a * 3 { price = 2 EUR }
  lamp b { price = 4 USD }
  ${last}
}
`;
  expect(shown(machineIn(text('')), 'cost')).toBe('8 EUR');
  expect(shown(machineIn(text('lamp c')), 'cost')).toBe('at least 8 EUR');
  const street = 'kind street {\n  toplevel\n  has shop*\n  cost: Price = sum(s.cost for s in every shop)\n}\n';
  const inside = (machine: string) => machine.replace('shop S {', 'street T {\n shop S {').concat('}\n');
  expect(shown(machineIn(`${street}${inside(text('lamp c'))}`), 'cost')).toBe('at least 8 EUR');
  expect(answer('sum([1e308 EUR, 1e308 EUR])', { type: 'Price' })).toContain('cannot be computed');
});
