import { describe, expect, test } from 'vitest';
import {
  combinations,
  greatestOfEach,
  greatestPower,
  greatestSum,
  leastOfEach,
} from '../../language/numerics/combinations.ts';
import { Fault, Unknown, type Value } from '../../language/values/value.ts';

const unknown = new Unknown([]);
const fault = new Fault('not there');

/** Which circuits can be on together, each row as the letters of those that are. */
function together(
  letters: string,
  never: readonly string[],
  { feeds = {}, alone = '', most = 100 }: { feeds?: Record<string, string>; alone?: string; most?: number } = {},
): string[] {
  const circuits = [...letters];
  const rows = combinations(
    circuits,
    never.map(([one]) => one as string),
    never.map(([, other]) => other as string),
    // Of those that are alone all lead to one load.
    circuits.map((c) => (alone.includes(c) ? 'shared' : `load of ${c}`)),
    circuits.map((c) => (feeds[c] ? `load of ${feeds[c]}` : 'mains')),
    circuits.map((c) => alone.includes(c)),
    most,
  ) as boolean[][];
  return rows.map((row) => circuits.filter((_, k) => row[k]).join(''));
}

describe('circuits that are never on together', () => {
  test('all are on where none is so', () => expect(together('abc', [])).toEqual(['abc']));

  test('of two one is on, in every largest set once', () => {
    expect(together('abc', ['ab'])).toEqual(['ac', 'bc']);
    expect(together('abcd', ['ab', 'cd'])).toEqual(['ac', 'ad', 'bc', 'bd']);
    expect(together('abc', ['ab', 'bc'])).toEqual(['ac', 'b']);
    expect(together('abc', ['ab', 'bc', 'ac'])).toEqual(['a', 'b', 'c']);
  });

  // The largest independent sets of a ring of five and of six are known: 5 of two, and 2 of three with 3 of two.
  test('in rings', () => {
    expect(together('abcde', ['ab', 'bc', 'cd', 'de', 'ea']).toSorted()).toEqual(['ac', 'ad', 'bd', 'be', 'ce']);
    expect(together('abcdef', ['ab', 'bc', 'cd', 'de', 'ef', 'fa']).toSorted()).toEqual([
      'ace',
      'ad',
      'bdf',
      'be',
      'cf',
    ]);
  });

  test('said twice, of one alone, or of what is not there, says nothing more', () => {
    expect(together('abc', ['ab', 'ba'])).toEqual(['ac', 'bc']);
    expect(together('abc', ['aa', 'ax', 'xb'])).toEqual(['abc']);
  });

  test('what only that feeds which is off is off too, however far', () => {
    expect(together('abcd', ['ab'], { feeds: { c: 'a', d: 'c' } })).toEqual(['acd', 'b']);
  });

  test('of those that take turns at one load one is on', () => {
    expect(together('abc', [], { alone: 'ab' })).toEqual(['ac', 'bc']);
    expect(together('abcd', ['cd'], { alone: 'ab' })).toEqual(['ac', 'ad', 'bc', 'bd']);
  });

  test('more pairs than are counted out: all on', () => {
    expect(together('abc', ['ab', 'bc'], { most: 2 })).toEqual(['ac', 'b']);
    expect(together('abc', ['ab', 'bc'], { most: 1 })).toEqual(['abc']);
  });

  test('what is not known stays so', () => {
    expect(combinations(unknown, [], [], [], [], [], 9)).toEqual(new Unknown([]));
    expect(combinations([], [], [], [], [], fault, 9)).toBe(fault);
  });
});

describe('over combinations', () => {
  const rows: Value = [
    [1, 2, 0],
    [3, 0, 1],
  ];

  test('the greatest of the weighted sums', () => {
    expect(greatestSum(rows, [1, 2, 1])).toBe(5);
    expect(greatestSum(rows, [2, 1, 1])).toBe(7);
    expect(greatestSum([[true, false]], [4, 8])).toBe(4);
    expect(greatestSum([], [1])).toBe(0);
    expect(greatestSum([[-3]], [1])).toBe(0);
  });

  test('what has no weight need not be known, the rest must be', () => {
    expect(greatestSum([[1, unknown]], [2, 0])).toBe(2);
    expect(greatestSum([[1, unknown]], [2, 1])).toEqual(new Unknown([]));
    expect(greatestSum([[1, 2], fault], [2, 1])).toBe(fault);
    expect(greatestSum([[1, 2]], [2, unknown])).toEqual(new Unknown([]));
    expect(greatestSum(unknown, [1])).toEqual(new Unknown([]));
  });

  // P = U I - (1 - cos phi) U_left I: 10 A at 230 V with 0.8 and 220 V left: 2300 - 0.2 * 220 * 10 = 1860 W, by hand.
  test('the most power', () => {
    expect(greatestPower([[10]], [[220]], [230], [0.8])).toBeCloseTo(1860, 9);
    expect(greatestPower([[10, 2]], [[220, 12]], [230, 12], [1, 1])).toBeCloseTo(2324, 9);
    expect(
      greatestPower(
        [
          [10, 0],
          [0, 20],
        ],
        [
          [220, 0],
          [0, 210],
        ],
        [230, 230],
        [1, 0.5],
      ),
    ).toBeCloseTo(2500, 9);
    // What takes nothing from it need not be known.
    expect(greatestPower([[10, unknown]], [[220, unknown]], [230, 0], [1, 1])).toBe(2300);
    expect(greatestPower([[unknown]], [[220]], [230], [1])).toEqual(new Unknown([]));
    expect(greatestPower([[1]], [[unknown]], [230], [1])).toEqual(new Unknown([]));
    expect(greatestPower([[1]], [[220]], [unknown], [1])).toEqual(new Unknown([]));
    expect(greatestPower([[1]], [[220]], [230], [fault])).toBe(fault);
  });

  test('the greatest and the least of each', () => {
    expect(greatestOfEach(rows)).toEqual([3, 2, 1]);
    expect(leastOfEach(rows)).toEqual([1, 0, 0]);
    expect(
      greatestOfEach([
        [1, unknown],
        [2, 3],
      ]),
    ).toEqual([2, new Unknown([])]);
    expect(greatestOfEach([])).toEqual(new Unknown([]));
    expect(leastOfEach(unknown)).toEqual(new Unknown([]));
    expect(leastOfEach([[1], fault])).toBe(fault);
  });
});
