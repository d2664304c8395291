import { describe, expect, test } from 'vitest';
import { type Cell, type Corners, cellOf } from '../../language/compute/cell.ts';
import { endsTriedOf, searchedIn } from '../../language/compute/corners.ts';
import type { IncrementalEngine } from '../../language/compute/engine.ts';
import { machineIn } from '../support.ts';

// Which combinations of ends are tried, reckoned by hand.

const names = ['p', 'q', 'r', 's', 't', 'u'];

/** A block with so many ranges from 1 to 2, and a formula of them. */
function box(formula: string, ranges: number, more = '', type = 'Ratio') {
  const machine = machineIn(`kind box {
  toplevel
${names.map((name) => `  ${name}: Ratio default 1`).join('\n')}
  gap: Ratio?
  asked: ${type} = ${formula}
}
box B {
${names
  .slice(0, ranges)
  .map((name) => `  ${name} = 1 .. 2`)
  .join('\n')}
${more}
}
`);
  const engine = machine.engine as IncrementalEngine;
  const cell = cellOf(machine.tree, 'asked') as Cell;
  const high = (corners: Corners) => corners.tried.map((ends) => ends.ranges.map((range) => range.name).join(''));
  return { engine, cell, high };
}
const tried = (formula: string, ranges: number, type?: string) => {
  const { engine, cell, high } = box(formula, ranges, '', type);
  return high(engine.corners(cell));
};

describe('combinations of ends', () => {
  test('are all of those of the ranges that a value rests on, up to four', () => {
    expect(tried('p + q', 0)).toEqual(['']);
    expect(tried('p + q', 1)).toEqual(['', 'p']);
    expect(tried('p + q', 4)).toEqual(['', 'p', 'q', 'pq']);
    expect(tried('p + q + r + s', 4)).toHaveLength(16);
    expect(new Set(tried('p + q + r + s', 4)).size).toBe(16);
  });

  test('are found with those that it rests on at some ends only', () => {
    expect(tried('if p > 1.5 then q else 0', 2)).toEqual(['', 'p', 'q', 'pq']);
    expect(tried('if p > 5 then q else 0', 2)).toEqual(['', 'p']);
  });

  test('of five are those where each alone is turned, from all low and from all high', () => {
    const all = ['p', 'q', 'r', 's', 't'];
    const butOne = all.map((out) => all.filter((name) => name !== out).join('')).toSorted();
    expect(tried('p + q + r + s + t', 5)).toEqual(['', ...all, ...butOne, 'pqrst']);
    // Where some make it less, the way leads to these: least with u high alone and greatest with all others.
    const mixed = tried('p + q + r + s + t - 2 * u', 6);
    expect(mixed).toContain('u');
    expect(mixed).toContain('pqrst');
    expect(mixed.length).toBeLessThan(64);
  });

  test('go on from there while turning one range leads further', () => {
    // Least where p and q are both high, which turning either alone makes greater: found from all high.
    expect(tried('(p - 1.6) * (1.6 - q) + r / 100 + s / 100 + t / 100', 5)).toContain('p');
    const { engine, cell, high } = box('max(p, q) + max(r, s) + t', 5);
    const { values, of } = engine.corners(cell);
    expect([Math.min(...(values as number[])), Math.max(...(values as number[])), of]).toEqual([3, 6, 32]);
    expect(high(engine.corners(cell)).at(-1)).toBe('pqrst');
  });

  test('are as many for yes and no, for money and for what is only known from one side', () => {
    expect(tried('p + q + r + s + t > 7.5', 5, 'YesNo')).toContain('pqrst');
    expect(tried('(p + q + r + s + t) * 1 EUR', 5, 'Price')).toHaveLength(12);
    expect(tried('min(p + q + r + s + t, 3 * gap)', 5)).toContain('');
  });
});

describe('how far it was searched, in words', () => {
  const corners = (more: Partial<Corners>): Corners => {
    const { engine, cell } = box('p + q', 2);
    return { ...engine.corners(cell), ...more };
  };

  test('is nothing where all was tried, or is proved', () => {
    expect([endsTriedOf(corners({})), searchedIn(corners({}))]).toEqual([undefined, undefined]);
    expect([endsTriedOf(corners({ of: 9, proved: true })), searchedIn(corners({ points: 5, proved: true }))]).toEqual([
      undefined,
      undefined,
    ]);
  });

  test('is how many of the combinations of ends, or how many points', () => {
    expect(endsTriedOf(corners({ of: 9 }))).toBe('searched 4 of 9 combinations of ends');
    expect(searchedIn(corners({ of: 9 }))).toBe('searched 4 of 9 combinations of ends');
    expect(searchedIn(corners({ points: 77 }))).toBe('searched 77 points');
    // Of what rests on no range nothing is searched.
    expect(searchedIn(corners({ points: 1, of: 1 }))).toBeUndefined();
  });
});

describe('inside ranges', () => {
  const deeper = (formula: string, ranges: number, lines = '') => {
    const { engine, cell } = box(formula, ranges, lines);
    const before = engine.corners(cell);
    for (const _ of engine.searchDeeper(cell));
    const after = engine.corners(cell);
    const inside = after.tried.filter((at) => at.isInside);
    return { before, after, inside, values: after.values as number[] };
  };

  test('the least and the greatest are kept that lie beyond every combination of ends, and no others', () => {
    // A parabola: least inside; its ends are as high.
    const dip = deeper('(p - 1.5) ^ 2', 1);
    expect(dip.inside).toHaveLength(1);
    expect(Math.min(...dip.values)).toBeCloseTo(0, 4);
    const hill = deeper('2 - (p - 1.5) ^ 2', 1);
    expect(hill.inside).toHaveLength(1);
    expect(Math.max(...hill.values)).toBeCloseTo(2, 4);
    const wave = deeper('sin(7 * p * 1 rad)', 1);
    expect(wave.inside).toHaveLength(2);
    expect([Math.min(...wave.values), Math.max(...wave.values)]).toEqual([expect.closeTo(-1, 4), expect.closeTo(1, 4)]);
    expect(deeper('p * p', 1).inside).toEqual([]);
  });

  test('a place where it is not known is kept as well', () => {
    const hole = deeper('if p > 1.4 and p < 1.6 then gap else p', 1);
    expect(hole.inside).toHaveLength(1);
    expect(hole.after.values.some((value) => typeof value === 'object')).toBe(true);
  });

  test('what is certain from bounds and slopes alone is not searched', () => {
    const proved = deeper('p * q + r', 3);
    expect(proved.after.proved).toBe(true);
    expect(proved.inside).toEqual([]);
    // The ends that slopes lead to are among those that were tried.
    expect(proved.after.points).toBe(proved.before.tried.length);
    expect(deeper('floor(p * q)', 2).after.proved).toBeUndefined();
  });
});
