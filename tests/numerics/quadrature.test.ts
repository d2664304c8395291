import { expect, test } from 'vitest';
import { integral } from '../../language/numerics/quadrature.ts';
import { rise, timeTo } from '../../language/numerics/rise.ts';
import { Curve, Fault, Formula } from '../../language/values/value.ts';

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

const decay = (rate: number, rest: number) => new Formula('decay', (y) => rate * (rest - (y as number)));

test('a first-order approach arrives after the logarithm of its distances, by hand', () => {
  // dy/dt = k (y0 - y): t = ln((y0 - a) / (y0 - b)) / k.
  expect(timeTo(decay(0.01, 400), 300, 390)).toBeCloseTo(Math.log(100 / 10) / 0.01, 4);
  expect(timeTo(decay(0.01, 300), 390, 310)).toBeCloseTo(Math.log(90 / 10) / 0.01, 4);
  expect(timeTo(decay(0.01, 400), 300, 300)).toBe(0);
});

test('what comes to rest before never arrives', () => {
  expect(timeTo(decay(0.01, 400), 300, 400)).toBeInstanceOf(Fault);
  expect(timeTo(decay(0.01, 400), 300, 410)).toBeInstanceOf(Fault);
  expect(timeTo(decay(1e-9, 400), 300, 399)).toBeInstanceOf(Fault);
});

test('the curve of a first-order approach, and the time it takes, agree', () => {
  const curve = rise(decay(0.01, 400), 300, 600);
  expect(curve).toBeInstanceOf(Curve);
  for (const [i, t] of (curve as Curve).x.entries())
    expect((curve as Curve).y[i]).toBeCloseTo(400 - 100 * Math.exp(-0.01 * t), 2);
});
