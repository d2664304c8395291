import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { smallestSets } from '../../language/answers/smallest-set.ts';

const items = Array.from({ length: 12 }, (_, i) => i);

describe('the smallest sets that bring something about', () => {
  test('each item that does so alone', () => {
    expect(smallestSets(items, (some) => some.includes(3) || some.includes(7))).toEqual([[3], [7]]);
  });

  test('none of nothing', () => {
    expect(smallestSets([], () => true)).toEqual([]);
  });

  // Zeller and Hildebrandt 2002, section 3: what ddmin returns is 1-minimal.
  test('one set from which nothing can be left out, whatever has to come together', () => {
    const needed = fc.uniqueArray(fc.nat(11), { minLength: 2, maxLength: 6 });
    fc.assert(
      fc.property(needed, (all) => {
        const found = smallestSets(items, (some) => all.every((each) => some.includes(each)));
        expect(found).toEqual([all.toSorted((a, b) => a - b)]);
      }),
    );
  });
});
