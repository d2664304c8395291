import { describe, expect, test } from 'vitest';
import { curveAt, lagging, whenReached } from '../../language/numerics/curve.ts';
import { Curve, Fault, Unknown } from '../../language/values/value.ts';

const curve = new Curve([0, 1, 3], [5, 6, 2]);
const unknown = new Unknown([]);

describe('a curve', () => {
  test('is read at its points and linear between them', () => {
    expect([0, 0.5, 1, 2, 3].map((x) => curveAt(curve, x))).toEqual([5, 5.5, 6, 4, 2]);
  });

  test('beyond its ends is a fault', () => {
    for (const x of [-0.001, 3.001]) expect(curveAt(curve, x)).toEqual(new Fault('the curve does not reach there'));
  });

  test('comes to a value first from below, linear between its points', () => {
    const rising = new Curve([0, 10, 20, 30], [20, 40, 30, 80]);
    expect([20, 30, 40, 55, 80].map((y) => whenReached(rising, y))).toEqual([0, 5, 10, 25, 30]);
    // What it begins above it has come to at once.
    expect(whenReached(rising, 5)).toBe(0);
    expect(whenReached(rising, 81)).toEqual(new Fault('it never gets there: it comes to rest before'));
  });

  test('of which something is not known', () => {
    for (const read of [curveAt, whenReached, lagging]) {
      expect(read(unknown, 1)).toBe(unknown);
      expect(read(curve, unknown)).toBe(unknown);
      expect(read(3, 1)).toEqual(new Unknown([]));
      expect(read(curve, true)).toEqual(new Unknown([]));
    }
  });
});

describe('what lags behind a curve', () => {
  // dz/dt = (y - z) / tau behind a ramp y = a t: z = a (t - tau + tau exp(-t / tau)), by hand.
  test('a ramp, by its closed form, whatever its points', () => {
    const [a, tau] = [3, 4];
    const ramp = new Curve([0, 1, 2.5, 7, 20], [0, 3, 7.5, 21, 60]);
    const { x, y } = lagging(ramp, tau) as Curve;
    expect(x).toEqual(ramp.x);
    for (const [i, t] of x.entries()) expect(y[i]).toBeCloseTo(a * (t - tau + tau * Math.exp(-t / tau)), 12);
  });

  test('begins where the curve does, and forgets the rest by the time constant', () => {
    // A fall within 1e-9 s, then level: z = 8 exp(-t / 2), by hand.
    const { y } = lagging(new Curve([0, 1e-9, 2], [8, 0, 0]), 2) as Curve;
    expect(y[0]).toBe(8);
    expect(y[2]).toBeCloseTo(8 / Math.E, 7);
  });

  test('by nothing is the curve itself', () => {
    expect(lagging(curve, 0)).toBe(curve);
    expect(lagging(curve, -1)).toBe(curve);
  });
});
