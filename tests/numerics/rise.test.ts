import { expect, test } from 'vitest';
import { curveAt } from '../../language/numerics/curve.ts';
import { rise, timeTo } from '../../language/numerics/rise.ts';
import { Curve, Fault, Formula, Unknown } from '../../language/values/value.ts';

// dy/dt = -k y^4 has y = (y0^-3 + 3 k t)^(-1/3): a body that only radiates, into nothing.
test('radiation alone', () => {
  const k = 1e-11;
  const curve = rise(new Formula('slope', (y) => -k * (y as number) ** 4), 800, 2000) as Curve;
  for (const [i, t] of curve.x.entries()) expect(curve.y[i]).toBeCloseTo((800 ** -3 + 3 * k * t) ** (-1 / 3), 1);
});

// Newton's law of cooling: y = a + (y0 - a) exp(-t / tau).
test('a linear loss, and its time', () => {
  const slope = new Formula('slope', (y) => (300 - (y as number)) / 120);
  expect(curveAt(rise(slope, 400, 600), 120)).toBeCloseTo(300 + 100 / Math.E, 2);
  expect(timeTo(slope, 400, 300 + 100 / Math.E)).toBeCloseTo(120, 3);
});

test('a rate that stays', () => {
  const slope = new Formula('slope', () => 0.5);
  expect(timeTo(slope, 300, 350)).toBeCloseTo(100, 6);
  expect(curveAt(rise(slope, 300, 100), 30)).toBeCloseTo(315, 6);
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

test('a curve has evenly spaced points from the start to the very end', () => {
  const { x, y } = rise(decay(0.01, 400), 300, 600) as Curve;
  expect(x).toHaveLength(121);
  expect([x[0], x[1], x[60], x[120]]).toEqual([0, 5, 300, 600]);
  expect(y[0]).toBe(300);
});

test('what falls arrives too, and what would take more than a week never does', () => {
  // dy/dt = -1e-3 K/s: 1 K takes 1000 s; a week is 604800 s.
  const slowly = new Formula('slowly', () => -1e-3);
  expect(timeTo(slowly, 300, 299)).toBeCloseTo(1000, 6);
  expect(timeTo(slowly, 900, 296)).toBeCloseTo(604_000, 2);
  expect(timeTo(slowly, 901, 296)).toEqual(new Fault('it never gets there: it comes to rest before'));
  expect(timeTo(slowly, 300, 301)).toBeInstanceOf(Fault);
});

test('what is not known stays so, and what cannot be computed on the way is the result', () => {
  const unknown = new Unknown([]);
  const fault = new Fault('not there');
  const slope = new Formula('slope', (y) => ((y as number) > 310 ? fault : 1));
  for (const solve of [rise, timeTo]) {
    expect(solve(unknown, 300, 60)).toBe(unknown);
    expect(solve(slope, unknown, 60)).toEqual(new Unknown([]));
    expect(solve(slope, 300, unknown)).toEqual(new Unknown([]));
    expect(solve(3, 300, 60)).toEqual(new Unknown([]));
  }
  expect(rise(slope, 300, 60)).toBe(fault);
  expect(timeTo(slope, 300, 330)).toBe(fault);
});
