import { describe, expect, test } from 'vitest';
import { inverse, inverseByLogarithm } from '../../language/numerics/inverse.ts';
import { Fault, Formula, Unknown } from '../../language/values/value.ts';

const square = new Formula('square', (x) => (x as number) ** 2);
const decay = new Formula('decay', (x) => Math.exp(-(x as number)));

describe.each([
  ['by the value', inverse],
  ['by its logarithm', inverseByLogarithm],
])('where a curve has a value, %s', (_, solve) => {
  test('rising and falling', () => {
    expect(solve(square, 2, 0.1, 2)).toBeCloseTo(Math.SQRT2, 9);
    expect(solve(decay, 0.2, 0, 10)).toBeCloseTo(Math.log(5), 9);
  });

  test('at its ends, and the nearer of the two where it is beyond them', () => {
    expect(solve(square, 4, 1, 2)).toBe(2);
    expect(solve(square, 1, 1, 2)).toBe(1);
    expect([0.5, 9].map((value) => solve(square, value, 1, 2))).toEqual([1, 2]);
    expect([1.5, 0.01].map((value) => solve(decay, value, 0, 1))).toEqual([0, 1]);
  });

  test('what is not known stays so, and what cannot be computed is the result', () => {
    const unknown = new Unknown([]);
    const fault = new Fault('not there');
    expect(solve(unknown, 2, 0, 2)).toBe(unknown);
    expect(solve(square, unknown, 0, 2)).toBe(unknown);
    expect(solve(square, 2, unknown, 2)).toBe(unknown);
    expect(solve(square, 2, 0, unknown)).toBe(unknown);
    expect(solve(3, 2, 0, 2)).toEqual(new Unknown([]));
    expect(solve(square, true, 0, 2)).toEqual(new Unknown([]));
    expect(solve(new Formula('f', (x) => ((x as number) > 1.2 ? fault : x)) as never, 1.5, 1, 2)).toBe(fault);
    expect(() => solve(new Formula('broken', () => JSON.parse('{')), 2, 0, 1)).toThrow(SyntaxError);
  });
});

test('over many sizes the logarithm is as near as the value is far away', () => {
  const steep = new Formula('steep', (x) => 10 ** -(x as number));
  for (const x of [1, 7.25, 11.5]) expect(inverseByLogarithm(steep, 10 ** -x, 0, 12)).toBeCloseTo(x, 9);
});
