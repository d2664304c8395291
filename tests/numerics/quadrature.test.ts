import { expect, test } from 'vitest';
import { integral } from '../../language/numerics/quadrature.ts';

// Kronrod's rule with 15 points is exact up to degree 22 (QUADPACK, Piessens et al. 1983).
test.each(Array.from({ length: 12 }, (_, n) => 2 * n))('x^%i over -1 .. 1 is exact', (n) => {
  expect(integral((x) => x ** n, -1, 1, 1)).toBeCloseTo(2 / (n + 1), 14);
});

test.each([
  ['exp over 0 .. 1', Math.exp, 0, 1, Math.E - 1],
  ['1/x over 1 .. 100', (x: number) => 1 / x, 1, 100, Math.log(100)],
  ['|x - 0.3| over 0 .. 1', (x: number) => Math.abs(x - 0.3), 0, 1, 0.29],
])('%s', (_, f, a, b, exact) => {
  expect(Math.abs(integral(f, a, b, 1e-9) - exact)).toBeLessThan(1e-8);
});

test('an end that comes first turns the sign, and what has no finite area is not a number', () => {
  expect(integral(Math.exp, 1, 0, 1e-9)).toBeCloseTo(1 - Math.E, 8);
  expect(integral((x) => 1 / x, 0, 1, 1e-9)).toBeNaN();
  expect(integral(() => 0, 0, 5, 1e-9)).toBe(0);
});

test('what is smooth takes one rule, what bends is halved where it does', () => {
  const asked = (f: (x: number) => number) => {
    const at: number[] = [];
    integral((x) => at.push(x) && f(x), 0, 1, 1e-9);
    return at;
  };
  expect(asked(Math.exp)).toHaveLength(15);
  const kink = asked((x) => Math.abs(x - 0.3));
  expect(kink.filter((x) => Math.abs(x - 0.3) < 0.05).length).toBeGreaterThan(kink.length / 2);
  expect(kink.length).toBeLessThan(1500);
});
