import { expect, test } from 'vitest';
import { xoshiro } from '../../language/random.ts';

// Worked by hand from the definition in the paper, for the state 1, 2, 3, 4.
test('the numbers that are drawn', () => {
  const state = Uint32Array.of(1, 2, 3, 4);
  expect([xoshiro(state), xoshiro(state), xoshiro(state)]).toEqual([11520, 0, 5927040]);
  const drawn = Array.from({ length: 4000 }, () => xoshiro(state) / 2 ** 32);
  expect(drawn.every((each) => each >= 0 && each < 1)).toBe(true);
  expect(drawn.reduce((sum, each) => sum + each, 0) / drawn.length).toBeCloseTo(0.5, 1);
});
