import { describe, expect, test } from 'vitest';
import { type Cell, cellOf } from '../../language/compute/cell.ts';
import type { IncrementalEngine } from '../../language/compute/engine.ts';
import { targetsOf } from '../../language/compute/machine.ts';
import { proofOf, provedVerdict } from '../../language/compute/proof.ts';
import { machineIn, read } from '../support.ts';

const verdict = (condition: string, lines = 'p = 1 .. 3\n  q = 1 .. 2') => {
  const text = `kind box {\n  toplevel\n  p: Ratio\n  q: Ratio default 1\n}\nbox B {\n  ${lines}\n  require ${condition}\n}\n`;
  const { project, file } = read(text);
  for (const _ of project.searchDeeper(file));
  const [required] = project.machines(file)[0]?.assessment.requirements ?? [];
  return required?.proved
    ? `proved, ${required.holds ? 'holds' : 'fails'} ${required.worst}`
    : (required?.searched ?? '');
};

test.each([
  ['p * q <= 6', 'proved, holds at p 3 and q 2'],
  ['p / q >= 0.5', 'proved, holds at p 1 and q 2'],
  ['p / q >= 0.5 and p + q <= 5', 'proved, holds at'],
  ['p * q < 7 or p > 5', 'proved, holds at'],
  // What bounds do not tell does not matter beside what they do.
  ['floor(p) <= 1 or p * q <= 7', 'proved, holds at'],
  // The slope of a square over zero has no sign, and its bounds decide all the same.
  ['(p - 2) ^ 2 <= 1.5', 'proved, holds at'],
])('%s is proved', (condition, expected) => {
  expect(verdict(condition)).toContain(expected);
});

test.each([
  // Worst in the middle, and what bounds cannot tell.
  ['(p - 2) ^ 2 + (p - 2) / 10 >= -0.01'],
  ['floor(p) <= 3'],
  ['(if p > 2 then 3 - p else p) <= 2'],
  // Each side alone holds somewhere only.
  ['p >= 1.9 or p <= 2.1'],
])('%s is searched', (condition) => {
  expect(verdict(condition)).toMatch(/^searched \d+ points$/);
});

test('where it holds everywhere, but the least margin lies inside, that is searched and told', () => {
  expect(verdict('(p - 2) ^ 2 >= -0.5', 'p = 1 .. 2.75')).toBe('proved, holds at p 2');
  expect(verdict('p * q <= 4 * q + 0.1', 'p = 1 .. 3\n  q = 1 .. 2')).toContain('proved, holds at p 3');
});

test('what fails is never called proved to hold', () => {
  expect(verdict('p * q <= 5.9')).toMatch(/^searched \d+ points$/);
  expect(verdict('p >= 2.1 or p <= 1.9')).toMatch(/^searched \d+ points$/);
});

test('what no range makes a difference to is told as the number that it is, which what takes no bounds can be given', () => {
  const outcome = (share: string) => {
    const { project, file } = read(`/// A box.
kind box {
  toplevel
  /// Where it stands.
  p: Ratio
  /// How much that counts.
  share: Ratio
  /// What comes of it.
  still: Ratio = 2.5 + p * share {
    source defined "a test"
  }
  /// The same in whole numbers.
  whole: Ratio = floor(still) {
    source defined "a test"
  }
}
box B {
  p = 1 .. 3
  share = ${share}
  require whole <= 2
}
`);
    for (const _ of project.searchDeeper(file));
    const [required] = project.machines(file)[0]?.assessment.requirements ?? [];
    return required?.proved ? 'proved' : required?.searched;
  };
  expect(outcome('0')).toBe('proved');
  expect(outcome('0.1')).toMatch(/^searched/);
});

test('what comes into balance is proved, and its neighbour that fails is not', () => {
  const outcome = (limit: string) => {
    const { project, file } = read(`/// A plate that is heated, in air.
kind hot_plate {
  toplevel
  air: Temperature
  power: Power
  /// What comes in less what goes out, by conduction and by radiation.
  net(at: Temperature): Power = power - 0.5 W/K * (at - air) - 2e-9 W/K^4 * absolute(at) ^ 4 {
    source defined "a test"
  }
  /// What it comes to.
  settles: Temperature = balance(net: net, low: air, high: 700 degC) {
    source defined "a test"
  }
}
hot_plate P {
  air = 15 degC .. 30 degC
  power = 90 W .. 110 W
  require settles <= ${limit}
}
`);
    for (const _ of project.searchDeeper(file));
    const [required] = project.machines(file)[0]?.assessment.requirements ?? [];
    return `${required?.proved ? 'proved' : required?.searched}, ${required?.holds ? 'holds' : 'fails'} ${required?.worst}, ${required?.shown}`;
  };
  // At 30 °C and 110 W: 110 = 0.5 (T - 303.15) + 2e-9 T^4 by hand, T = 439.8 K.
  expect(outcome('170 degC')).toMatch(/^proved, holds at air 30 °C and power 110 W, /);
  expect(outcome('100 degC')).toMatch(/^searched \d+ points, fails at air 30 °C and power 110 W, /);
});

describe('where slopes lead', () => {
  test.each([
    // From nothing upwards, or downwards to nothing: the sign of a slope that is nothing at one end is certain.
    ['p ^ 2 + p >= -0.01', 'p = 0 .. 2', 'proved, holds at p 0'],
    ['(p - 2) ^ 2 + q * 0 >= -0.01', 'p = 0 .. 2\n  q = 1 .. 2', 'proved, holds at p 2'],
    ['2 - p / q >= 0', 'p = 1 .. 2\n  q = 1 .. 2', 'proved, holds at p 2 and q 1'],
    ['(p <= 3)', 'p = 1 .. 3', 'proved, holds at p 3'],
    ['q + p * 0 >= 1', 'p = 1 .. 2\n  q = 1 .. 2', 'proved, holds at p 1 and q 1'],
    ['(p <= 4 and (p >= 1))', 'p = 1 .. 3', 'proved, holds at p 1'],
    ['3 >= p', 'p = 1 .. 3', 'proved, holds at p 3'],
    ['p > 0', 'p = 1 .. 3', 'proved, holds at p 1'],
    ['p < 4', 'p = 1 .. 3', 'proved, holds at p 3'],
    ['p == p', 'p = 1 .. 3', 'searched'],
  ])('%s over %s', (condition, lines, expected) => {
    expect(verdict(condition, lines)).toContain(expected);
  });
});

describe('a rule that has conditions', () => {
  /** How a rule's verdict over ranges was had, where it holds. */
  const judged = (rule: string, lines = '') => {
    const { project, file } = read(`kind box {
  toplevel
  p: Ratio default 1 .. 3
  q: Ratio default 1 .. 2
  on: YesNo default yes
  other: Ratio?
}
rule fits on box {
${rule}
  error "{p}"
  source defined "a test"
}
box B {
${lines}
}
`);
    for (const _ of project.searchDeeper(file));
    const { proved, searched, findings, undecided, held } = project.machines(file)[0]!.assessment;
    return { proved, searched: searched.length, found: findings.length, undecided: undecided.length, held };
  };
  const nothing = { proved: 0, searched: 0, found: 0, undecided: 0, held: 0 };

  test('is proved where these are the same everywhere', () => {
    expect(judged('  holds p / q >= 0.5')).toEqual({ ...nothing, proved: 1, held: 1 });
    expect(judged('  when on\n  holds p / q >= 0.5')).toEqual({ ...nothing, proved: 1, held: 1 });
    expect(judged('  when on\n  when p >= 1\n  holds p / q >= 0.5')).toEqual({ ...nothing, proved: 1, held: 1 });
  });

  test('is proved by slopes as well where bounds do not tell, and searched where a condition depends on the range', () => {
    const square = 'holds p * p - p >= 0';
    expect(judged(`  ${square}`)).toMatchObject({ proved: 1, searched: 0 });
    expect(judged(`  when on\n  when p >= 1\n  ${square}`)).toMatchObject({ proved: 1, searched: 0 });
    expect(judged(`  when p >= 2\n  ${square}`)).toMatchObject({ proved: 0, searched: 1 });
  });

  test('does not apply where one of them is not met', () => {
    expect(judged('  when on\n  holds p / q >= 0.5', '  on = no')).toEqual(nothing);
  });

  test('is searched where they are met somewhere only', () => {
    expect(judged('  when p > 2\n  holds p * p >= 4')).toMatchObject({ searched: 1, found: 0, held: 1 });
    expect(judged('  when p > 2\n  holds floor(q) >= 1')).toMatchObject({ searched: 1, found: 0, held: 1 });
    expect(judged('  when p < 2.5 and p > 1.5\n  holds q >= 2')).toMatchObject({ found: 1 });
  });

  test('is not decided where what it asks for is not known', () => {
    expect(judged('  holds p <= other')).toMatchObject({ undecided: 1, proved: 0 });
  });
});

test('a formula is handed to what takes no bounds where no range makes a difference to it, and only there', () => {
  const outcome = (of: string) => {
    const { project, file } = read(`kind box {
  toplevel
  p: Ratio
  still(at: Time): Length = at * 1 m/s
  moved(at: Time): Length = at * 1 m/s * p
  level: Length = value_at(curve: sampled(of: ${of}, from: 0 s, to: 10 s), at: 4 s) * p
}
box B {
  p = 1 .. 3
  require level <= 40 m
}
`);
    for (const _ of project.searchDeeper(file));
    const [required] = project.machines(file)[0]?.assessment.requirements ?? [];
    return [required?.holds, required?.proved, required?.shown];
  };
  // 4 m at 4 s, times p; where p counts twice, 4 m times p squared.
  expect(outcome('still')).toEqual([true, true, '12 m']);
  expect(outcome('moved')).toEqual([true, undefined, '36 m']);
});

describe('the ends that a proof rests on', () => {
  /** Those of a value or, where it is a condition, of a requirement; by the ranges that are high. */
  const ends = (formula: string, type: string, lines: string) => {
    const isValue = type !== '';
    const { tree, engine, ...rest } = machineIn(`kind box {
  toplevel
  p: Ratio
  q: Ratio default 1 .. 2
  one: Ratio default 1
  many: YesNo = floor(p) <= 3
  cost: Price = p * 1 EUR
  ${isValue ? `asked: ${type} = ${formula}` : ''}
}
box B {
  ${lines}
  ${isValue ? '' : `require ${formula}`}
}
`);
    const cell = isValue ? cellOf(tree, 'asked') : targetsOf({ tree, engine, ...rest })[0]?.cell;
    if (!cell) throw new Error('there is nothing to prove');
    const proof = proofOf(cell, engine);
    return proof && [proof.corners.map(({ ranges }) => ranges.map(({ name }) => String(name)).join('')), proof.isWorst];
  };

  test.each([
    ['p + q', 'Ratio', 'p = 1 .. 3', [['', 'pq'], true]],
    ['p - q', 'Ratio', 'p = 1 .. 3', [['q', 'p'], true]],
    ['one', 'Ratio', 'p = 1 .. 3', [[], true]],
    // A slope that is nothing at one end has a sign all the same; one that is nothing everywhere leads nowhere.
    ['p ^ 2', 'Ratio', 'p = 0 .. 2', [['', 'p'], true]],
    ['4 - p ^ 2', 'Ratio', 'p = 0 .. 2', [['p', ''], true]],
    ['p + q * 0', 'Ratio', 'p = 1 .. 3', [['', 'p'], true]],
    ['(p - 2) ^ 2', 'Ratio', 'p = 0 .. 3', undefined],
    ['[p, one]', 'list of Ratio', 'p = 1 .. 3', undefined],
    ['[one, 2]', 'list of Ratio', 'p = 1 .. 3', [[], true]],
  ])('of the value %s, a %s, over %s', (formula, type, lines, expected) => {
    expect(ends(formula, type, lines)).toEqual(expected);
  });

  test.each([
    ['p <= 3', [['p'], true]],
    ['p > 5', [[], true]],
    ['not (p > 5)', [[], true]],
    ['one == 1', [[], true]],
    ['one == 1 and p <= 3', [['p'], true]],
    // By slopes, where bounds alone do not tell.
    ['p * p - p >= 0', [[''], true]],
    ['p * p - p > -0.1', [[''], true]],
    ['p - p * p < 0.1', [[''], true]],
    ['p - p * p <= 0', [[''], true]],
    ['(p * p - p >= 0 and (q - q * q <= 0))', [['', ''], true]],
    // By bounds alone: where the margin is least is not proved.
    ['(p - 2) ^ 2 <= 1.5', [[], false]],
    ['p * q < 7 or p > 5', [[], false]],
    // A margin is a share of its limit, which a range moves here.
    ['p * p <= p * 8', [[''], false]],
    ['p * q <= 4 * q + 4', [[], false]],
    ['floor(p) <= 3 and p >= 1', undefined],
    ['many', undefined],
    ['p == one', undefined],
    ['p * p - p >= 0 or many', undefined],
    ['cost <= 3 EUR', undefined],
  ])('of %s', (condition, expected) => {
    expect(ends(condition, '', 'p = 1 .. 3')).toEqual(expected);
  });

  test('what is proved is no more than that: where the least margin lies is searched', () => {
    expect(verdict('(p - 2) ^ 2 >= 0.1 and q >= 1', 'p = 1 .. 3\n  q = 1 .. 2')).toMatch(/^searched/);
    // 1 - p / (p^2 + 1) is least at 1, though what is between both sides is least at 0.6.
    expect(verdict('p <= p ^ 2 + 1', 'p = 0.6 .. 3')).toBe('proved, holds at p 1');
  });

  test('a search that is interrupted proves nothing, and is interrupted', () => {
    const { tree, engine } = machineIn(
      'kind box {\n  toplevel\n  p: Ratio\n  twice: Ratio = 2 * p\n}\nbox B {\n  p = 1 .. 3\n}\n',
    );
    const cell = cellOf(tree, 'twice') as Cell;
    const { allowance } = engine as IncrementalEngine;
    expect(allowance.suffices(1, () => proofOf(cell, engine))).toBe(false);
    expect(allowance.suffices(9, () => proofOf(cell, engine))).toBe(true);
  });
});

test('what a verdict is wherever ranges are taken: yes, no, or not certain', () => {
  const proved = (condition: string) => {
    const machine = machineIn(
      `kind box {\n  toplevel\n  p: Ratio\n  q: Ratio\n}\nbox B {\n  p = 1 .. 3\n  q = 1 .. 2\n  require ${condition}\n}\n`,
    );
    const [target] = targetsOf(machine);
    return target && provedVerdict(target.cell, machine.engine);
  };
  expect([proved('p <= 3'), proved('p > 3'), proved('p <= 2')]).toEqual([true, false, undefined]);
  // By slopes, where bounds alone say that it may be from 1 to 9; and where these have no sign.
  expect([proved('p * p - p >= 0'), proved('p * p - p >= 0.1')]).toEqual([true, undefined]);
  expect(proved('floor(p) <= 3')).toBeUndefined();
  // Each part must hold where it is worst.
  expect(proved('p * p - p >= 0 and q * q - q >= 0')).toBe(true);
  expect(proved('p * p - p >= 0 and q * q - q >= 0.1')).toBeUndefined();
  expect(proved('p * p - p >= 0 and q * q - q <= 2')).toBe(true);
  expect(proved('p * p - p >= 0 and q * q - q <= 1.9')).toBeUndefined();
});

test('a sum over copies is proved with as many as there are', () => {
  const outcome = (limit: string, count: string, of = 'sum') => {
    const { project, file } = read(`kind box {
  toplevel
  has lamp*
  total: Power = ${of}(l.power for l in every lamp)
}
kind lamp {
  power: Power
}
box B {
  lamp a${count} {
    power = 1 W .. 3 W
  }
  lamp b {
    power = 2 W
  }
  require total * (total / 1 W) <= ${limit}
}
`);
    for (const _ of project.searchDeeper(file));
    const [required] = project.machines(file)[0]?.assessment.requirements ?? [];
    return [required?.proved, required?.holds];
  };
  // The greatest of several is that of one.
  expect(outcome('9 W', ' * 2', 'max')).toEqual([true, true]);
  // Once 3 W and 2 W, squared, and twice 3 W and 2 W.
  expect(outcome('25 W', '')).toEqual([true, true]);
  expect(outcome('64 W', ' * 2')).toEqual([true, true]);
  expect(outcome('63 W', ' * 2')[1]).toBe(false);
});
