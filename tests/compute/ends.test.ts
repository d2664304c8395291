import { describe, expect, test } from 'vitest';
import { anywhere, EndSets, type Ends, type Ranged } from '../../language/compute/ends.ts';
import { findingsOf, fixed, machineIn, shown, undecidedOf } from '../support.ts';

/** A tank that boils over, or freezes, by what goes in and what it loses; every value may be a range. */
const kinds = `/// A tank.
kind tank {
  toplevel
  /// What goes in.
  warmed: Power
  /// What goes out.
  cooled: Power
  more: Power default 0 W
  less: Power default 0 W
  fifth: Power default 0 W
  sixth: Power default 0 W
  most: Power default 10 W
  least: Power default -10 W
  lid: Power?
  /// What is left.
  net: Power = warmed - cooled + more - less + fifth + sixth {
    source defined "a test"
  }
}
/// Not too much.
rule too_hot on tank {
  holds net <= most
  error "{name}: {net} of {most}, with {warmed} in and {cooled} out"
  source defined "a test"
  remedy most = net
  at most
}
/// Not too little.
rule too_cold on tank {
  holds net >= least
  warning "{name}: {net}, and {least} at least"
  source defined "a test"
}
/// Needs a lid where it is warm.
rule lid_off on tank {
  when net > 5 W
  holds lid > 1 W
  advice "{name}: {net} without a lid"
  source defined "a test"
}
`;

const tank = (lines: string) => `${kinds}tank T {\n${lines.replace(/^/gm, '  ')}\n}\n`;
const found = (lines: string) => findingsOf(machineIn(tank(lines)));

describe('a rule is judged at every end, and says the worst', () => {
  test('of one range, whichever end that is', () => {
    expect(found('warmed = 1 W .. 14 W\ncooled = 2 W')).toEqual(['too_hot: T: 12 W of 10 W, with 14 W in and 2 W out']);
    expect(found('warmed = 14 W\ncooled = 2 W .. 9 W')).toEqual(['too_hot: T: 12 W of 10 W, with 14 W in and 2 W out']);
  });

  test('of two ranges, of which one is at its high end and one at its low', () => {
    expect(found('warmed = 1 W .. 14 W\ncooled = 2 W .. 20 W')).toEqual([
      'too_hot: T: 12 W of 10 W, with 14 W in and 2 W out',
      'too_cold: T: -19 W, and -10 W at least',
    ]);
  });

  test('of four ranges: all sixteen corners', () => {
    expect(found('warmed = 1 W .. 4 W\ncooled = 2 W .. 3 W\nmore = 1 W .. 6 W\nless = 0 W .. 9 W\nmost = 7 W')).toEqual(
      ['too_hot: T: 8 W of 7 W, with 4 W in and 2 W out'],
    );
  });

  test('as bad at more than one: of what is alike, the high ends', () => {
    expect(found('warmed = 12 W\ncooled = 0 W\nmost = 5 W\nlid = 3 W .. 4 W')).toHaveLength(1);
    const [alike, ...others] = machineIn(tank('warmed = 12 W\ncooled = 0 W\nmore = 1 W .. 3 W\nless = more\nlid = 3 W'))
      .assessment.findings;
    expect(others).toEqual([]);
    expect(alike?.worst).toBe('at more 3 W');
  });

  test('a value that is a range is shown from one end to the other', () => {
    const machine = machineIn(tank('warmed = 1 W .. 14 W\ncooled = 2 W .. 20 W'));
    expect(shown(machine, 'warmed')).toBe('1 to 14 W');
    expect(shown(machine, 'net')).toBe('-19 to 12 W');
  });

  test('a range by a number is a range', () => {
    expect(shown(machineIn(tank('warmed = 2 * (1 W .. 7 W)\ncooled = 0 W')), 'net')).toBe('2 to 14 W');
    expect(shown(machineIn(tank('warmed = (1 W .. 7 W) - 3 W\ncooled = 0 W')), 'net')).toBe('-2 to 4 W');
    expect(shown(machineIn(tank('warmed = 3 W - (1 W .. 7 W)\ncooled = 0 W')), 'net')).toBe('-4 to 2 W');
  });
});

describe('what is said over all ends', () => {
  test('holds at all is one rule that holds', () => {
    const { assessment } = machineIn(tank('warmed = 1 W .. 2 W\ncooled = 0 W'));
    expect(assessment.findings).toEqual([]);
    expect(assessment.undecided).toEqual([]);
    expect(assessment.held).toBe(2);
  });

  test('unknown at one end outranks holding at the other', () => {
    const machine = machineIn(tank('warmed = 1 W .. 8 W\ncooled = 0 W'));
    expect(undecidedOf(machine)).toEqual(['lid_off: lid is not given']);
    expect(machine.assessment.held).toBe(2);
  });

  test('failing at one end outranks unknown at the other', () => {
    const rule = `/// Either.
rule either on tank {
  holds if net > 5 W then lid > 1 W else net > 3 W
  error "{net}"
  source defined "a test"
}
`;
    const machine = machineIn(`${rule}${tank('warmed = 1 W .. 8 W\ncooled = 0 W')}`);
    expect(findingsOf(machine)).toEqual(['either: 1 W']);
    expect(undecidedOf(machine)).toEqual(['lid_off: lid is not given']);
  });

  test('where a guard keeps a rule from one end, the other decides', () => {
    const machine = machineIn(tank('warmed = 1 W .. 8 W\ncooled = 0 W\nlid = 2 W'));
    expect(machine.assessment.held).toBe(3);
    expect(found('warmed = 1 W .. 8 W\ncooled = 0 W\nlid = 1 W')).toEqual(['lid_off: T: 8 W without a lid']);
    expect(machineIn(tank('warmed = 1 W .. 4 W\ncooled = 0 W\nlid = 1 W')).assessment.held).toBe(2);
  });
});

describe('a requirement over ranges', () => {
  const required = (condition: string, lines = 'warmed = 1 W .. 8 W\ncooled = 0 W .. 2 W') =>
    machineIn(tank(`${lines}\nrequire ${condition}`)).assessment.requirements[0];

  test('holds with the least of its margins', () => {
    const requirement = required('net <= 10 W');
    expect(requirement?.holds).toBe(true);
    // (10 - 8) / 10
    expect(requirement?.margin?.amount).toBeCloseTo(0.2, 12);
    expect(requirement?.shown).toBe('8 W');
    expect(required('net >= -4 W')?.margin?.amount).toBeCloseTo(0.75, 12);
  });

  test('fails by the most, at one end', () => {
    const requirement = required('net < 5 W');
    expect(requirement?.holds).toBe(false);
    expect(requirement?.margin?.amount).toBeCloseTo(-0.6, 12);
  });

  test('unknown at one end outranks holding at the other, failing outranks both', () => {
    const unknown = required('if net > 5 W then lid > 1 W else net < 5 W');
    expect(unknown?.holds).toBeUndefined();
    expect(unknown?.missing).toEqual(['lid']);
    expect(required('if net > 5 W then lid > 1 W else net > 5 W')?.holds).toBe(false);
  });

  test('of two conditions by the less, of alternatives by the better', () => {
    const both = required('net <= 10 W and net >= -4 W', 'warmed = 8 W\ncooled = 0 W');
    expect(both?.margin?.amount).toBeCloseTo(0.2, 12);
    const either = required('(net <= 10 W) or net >= 4 W', 'warmed = 8 W\ncooled = 0 W');
    expect(either?.margin?.amount).toBeCloseTo(1, 12);
  });
});

describe('fixes', () => {
  test('hold at all ends, not only at the worst of the rule that they are offered for', () => {
    const text = tank('warmed = 12 W .. 15 W\ncooled = 1 W .. 2 W');
    const mended = fixed(text).get('Set most to 14 W');
    expect(mended).toBeDefined();
    expect(findingsOf(machineIn(mended as string))).toEqual([]);
  });

  test('are not offered where what they set would fail at another end', () => {
    // Mends the end at which it is worst, and breaks the other.
    const rule = `/// As much.
rule off on tank {
  holds abs(net - most) <= 1 W
  error "{net} {most}"
  source defined "a test"
  remedy most = net
}
`;
    const lone = kinds.replace(/\/\/\/ Not too much[\s\S]*/, '');
    const at = (warmed: string) => fixed(`${lone}${rule}tank T {\n  warmed = ${warmed}\n  cooled = 0 W\n}\n`);
    expect([...at('20 W .. 30 W').keys()]).toEqual([]);
    expect([...at('30 W').keys()]).toEqual(['Set most to 30 W']);
    expect([...at('29.5 W .. 30 W').keys()]).toEqual(['Set most to 30 W']);
  });
});

describe('five ranges', () => {
  test('the least and the greatest of a value are both found, though some are high and others low', () => {
    const five = 'warmed = 1 W .. 4 W\ncooled = 2 W .. 3 W\nmore = 1 W .. 6 W\nless = 0 W .. 9 W\nfifth = 1 W .. 2 W';
    expect(shown(machineIn(tank(five)), 'net')).toContain('-9 to 10 W');
  });

  test('find a worst that lies where all are high, or all are low', () => {
    const five =
      'warmed = 1 W .. 4 W\ncooled = 2 W\nmore = 1 W .. 6 W\nfifth = 1 W .. 2 W\nsixth = 1 W .. 8 W\nless = 0 W';
    expect(found(five)).toEqual([expect.stringContaining('too_hot: T: 18 W of 10 W, with 4 W in and 2 W out')]);
    expect(found(five.replace('cooled = 2 W', 'cooled = 20 W'))).toEqual([
      expect.stringContaining('too_cold: T: -16 W, and -10 W at least'),
    ]);
  });
});

describe('sets of ranges', () => {
  const [a, b, c] = ['a', 'b', 'c'].map((path) => ({ path })) as [Ranged, Ranged, Ranged];
  const paths = ({ ranges, shares }: Ends<Ranged>) => ranges.map(({ path }, i) => `${path} ${shares[i]}`).join();

  test('are one object for each set, in the order of their paths, whichever was met first', () => {
    const sets = new EndSets<Ranged>();
    expect(sets.of([b, a])).toBe(sets.of([a, b]));
    expect(paths(sets.of([c, a]))).toBe('a 1,c 1');
    expect(sets.at([a, b], [0.5, 0])).toBe(sets.at([a], [0.5]));
    expect(sets.at([a], [0.5])).not.toBe(sets.at([a], [0.25]));
    expect(sets.at([a], [0])).toBe(sets.none);
    expect([...sets.ranges()]).toEqual([b, a, c]);
  });

  test('say what is in them, how far it is taken, and whether that is inside', () => {
    const sets = new EndSets<Ranged>();
    const set = sets.at([a, b], [1, 0.25]);
    expect([a, b, c].map((range) => [set.has(range), set.share(range)])).toEqual([
      [true, 1],
      [true, 0.25],
      [false, 0],
    ]);
    expect([set.isInside, sets.of([a, b]).isInside, sets.none.isInside]).toEqual([true, false, false]);
  });

  test('are joined and cut: what a value rests on at its high ends, a scenario as it is taken', () => {
    const sets = new EndSets<Ranged>();
    const inside = sets.at([a, b], [0.5, 1]);
    expect(paths(sets.of([a]).and(sets.of([c, a])))).toBe('a 1,c 1');
    expect(sets.of([a]).and(sets.none)).toBe(sets.of([a]));
    expect(sets.none.and(sets.of([a]))).toBe(sets.of([a]));
    expect(paths(inside.within(sets.of([a, c])))).toBe('a 0.5');
    expect(inside.within(sets.none)).toBe(sets.none);
    expect(inside.within(inside)).toBe(inside);
    expect(paths(sets.of([a, b]).placed([0.1, 0.9]))).toBe('a 0.1,b 0.9');
  });

  test('turn one range to its other end, and leave the others where they are', () => {
    const sets = new EndSets<Ranged>();
    const inside = sets.at([a, b], [0.5, 1]);
    expect(paths(inside.flipped(b))).toBe('a 0.5');
    expect(paths(inside.flipped(a))).toBe('b 1');
    expect(paths(inside.flipped(c))).toBe('a 0.5,b 1,c 1');
  });

  test('take every range anywhere, those alone that something rests on', () => {
    const sets = new EndSets<Ranged>();
    expect(sets.everywhere.share(c)).toBe(anywhere);
    expect(paths(sets.everywhere.within(sets.of([a, b])))).toBe(`a ${anywhere},b ${anywhere}`);
    expect(sets.everywhere.within(sets.none)).toBe(sets.none);
  });

  test('inside ranges are let go of, but for those kept and what was taken from them; ends stay', () => {
    const sets = new EndSets<Ranged>();
    const [ends, kept, other] = [sets.of([a]), sets.at([a, b], [0.5, 1]), sets.at([a], [0.75])];
    const taken = kept.within(ends);
    expect(paths(taken)).toBe('a 0.5');
    const everywhere = sets.everywhere;
    sets.letGo([kept]);
    expect([ends, kept, taken, other].map((set) => sets.holds(set))).toEqual([true, true, true, false]);
    expect(sets.everywhere).not.toBe(everywhere);
    expect(sets.at([a, b], [0.5, 1])).toBe(kept);
    expect(sets.at([a], [0.75])).not.toBe(other);
  });

  test('what is no range any more is forgotten with all sets that it is in, and may be one again', () => {
    const sets = new EndSets<Ranged>();
    const [alone, both, other] = [sets.of([a]), sets.of([a, b]), sets.of([b])];
    sets.forget(new Set([a]));
    expect([...sets.ranges()]).toEqual([b]);
    expect(sets.of([b])).toBe(other);
    // None of the numbers that are still given out stands for another range now.
    expect(paths(sets.of([c]))).toBe('c 1');
    expect(paths(sets.of([a, b, c]))).toBe('a 1,b 1,c 1');
    expect(sets.of([a])).not.toBe(alone);
    expect(sets.of([a, b])).not.toBe(both);
  });
});

describe('sets of ranges as they are kept', () => {
  const names = Array.from({ length: 13 }, (_, i) => ({ path: `r${String.fromCharCode(97 + i)}` }));
  const [a, b, c] = names as [(typeof names)[0], (typeof names)[0], (typeof names)[0]];

  test('are one for the same ranges at the same shares, in the order of their paths', () => {
    const sets = new EndSets<(typeof names)[0]>();
    const both = sets.of([b, a]);
    expect(sets.of([a, b])).toBe(both);
    expect(both.ranges).toEqual([a, b]);
    expect(sets.at([b, a], [1, 0.5])).toMatchObject({ ranges: [a, b], shares: [0.5, 1] });
    expect(sets.at([a, b], [0.5, 1])).toBe(sets.at([b, a], [1, 0.5]));
    expect(sets.at([a, b], [0.25, 1])).not.toBe(sets.at([b, a], [1, 0.5]));
    expect(sets.at([a, c], [1, 0])).toBe(sets.of([a]));
    expect(sets.at([a], [0])).toBe(sets.none);
    for (const each of names) sets.of([each]);
    expect(sets.of([names[1] as typeof a, names[2] as typeof a])).not.toBe(sets.of([names[12] as typeof a]));
    const size = sets.size;
    sets.of([a, b]);
    sets.of([a, b, c]);
    expect(sets.size).toBe(size + 1);
  });

  test('are joined, shared and turned', () => {
    const sets = new EndSets<(typeof names)[0]>();
    const [both, other] = [sets.of([a, b]), sets.of([b, c])];
    expect(both.and(other)).toBe(sets.of([a, b, c]));
    expect(both.and(sets.none)).toBe(both);
    expect(sets.none.and(both)).toBe(both);
    expect(both.within(other)).toBe(sets.of([b]));
    expect(both.within(sets.none)).toBe(sets.none);
    expect(sets.none.within(both)).toBe(sets.none);
    expect(both.flipped(a)).toBe(sets.of([b]));
    expect(sets.of([b]).flipped(a)).toBe(both);
    const inside = both.placed([0.5, 1]);
    expect([both.isInside, inside.isInside, inside.share(a), inside.share(c)]).toEqual([false, true, 0.5, 0]);
    expect(inside.flipped(b)).toBe(sets.at([a], [0.5]));
    expect(inside.within(sets.of([a, c]))).toBe(sets.at([a], [0.5]));
    expect(sets.everywhere.within(both)).toMatchObject({ ranges: [a, b], shares: [anywhere, anywhere] });
    expect(sets.everywhere.within(sets.none)).toBe(sets.none);
    expect(sets.everywhere.share(c)).toBe(anywhere);
  });

  test('inside ranges are let go of, but for those that are kept and what was taken from them', () => {
    const sets = new EndSets<(typeof names)[0]>();
    const both = sets.of([a, b]);
    const [kept, gone] = [both.placed([0.5, 0.5]), both.placed([0.25, 1])];
    const [part, other] = [kept.within(sets.of([a])), gone.within(sets.of([a]))];
    sets.letGo([kept]);
    expect([both, kept, part, gone, other].map((each) => sets.holds(each))).toEqual([true, true, true, false, false]);
    expect(sets.of([a, b])).toBe(both);
  });

  test('with ranges that are none any more are forgotten, and no others', () => {
    const sets = new EndSets<(typeof names)[0]>();
    const [first, second, both] = [sets.of([a]), sets.of([b]), sets.of([a, b])];
    const everywhere = sets.everywhere;
    expect([...sets.ranges()]).toEqual([a, b]);
    sets.forget(new Set([a]));
    expect([...sets.ranges()]).toEqual([b]);
    expect(sets.of([b])).toBe(second);
    expect(sets.of([a])).not.toBe(first);
    expect(sets.of([a, b])).not.toBe(both);
    expect(sets.everywhere).not.toBe(everywhere);
  });
});
