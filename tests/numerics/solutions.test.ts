import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { balance } from '../../language/numerics/balance.ts';
import { curveAt } from '../../language/numerics/curve.ts';
import { rise, timeTo } from '../../language/numerics/rise.ts';
import { Bounds, Curve, Fault, Formula } from '../../language/values/value.ts';
import { seed } from '../runner/seed.ts';

// Stefan and Boltzmann's constant, W/(m^2 K^4): CODATA 2018.
const sigma = 5.670374419e-8;

/** A plate with a heater: all in coherent SI units, `radiation` being emissivity times area. */
interface Problem {
  power: number;
  capacity: number;
  convection: number;
  exponent: number;
  radiation: number;
  ambient: number;
  from: number;
  to: number;
  during: number;
  at: number[];
}

interface Solution {
  course: number[];
  arrival: number | null;
  balance: number;
  between: number[];
}

function net(p: Problem, y: number): number {
  const difference = y - p.ambient;
  const convected = p.convection * Math.sign(difference) * Math.abs(difference) ** p.exponent;
  return p.power - convected - p.radiation * sigma * (y ** 4 - p.ambient ** 4);
}

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** Plates as small as a palm and as large as a table, warming from the room or cooling from 400 degC, with a target on the way. */
const problem: fc.Arbitrary<Problem> = fc
  .record({
    power: between(5, 1500),
    capacity: between(50, 8000),
    convection: between(0.05, 3),
    exponent: fc.constantFrom(1, 1.25, 4 / 3),
    radiation: between(0.005, 0.5),
    ambient: between(263, 313),
    start: fc.constantFrom('cold', 'hot'),
    share: between(0.05, 0.95),
    times: fc.array(between(0, 1), { minLength: 3, maxLength: 3 }),
  })
  .map(({ start, share, times, ...p }) => {
    const from = start === 'cold' ? p.ambient : 673;
    const rest = restOf({ ...p, from, to: 0, during: 0, at: [] });
    const during = (2 * p.capacity) / (p.convection + 4 * p.radiation * sigma * rest ** 3);
    return { ...p, from, to: from + share * (rest - from), during, at: times.map((t) => t * during) };
  });

/** Where a plate comes to rest, by bisection. */
function restOf(p: Problem): number {
  let [low, high] = [150, 3000];
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2;
    if (net(p, middle) > 0) low = middle;
    else high = middle;
  }
  return low;
}

/** Python with SciPy, Debian package python3-scipy: fails loudly where it cannot be had; tests/setup.mjs installs it. */
function scipy(problems: Problem[]): Solution[] {
  const script = fileURLToPath(new URL('./solutions.py', import.meta.url));
  const run = spawnSync('/usr/bin/python3', [script], { encoding: 'utf8', input: JSON.stringify(problems) });
  if (run.status !== 0) throw new Error(`SciPy cannot be run: install the Debian package python3-scipy\n${run.stderr}`);
  return JSON.parse(run.stdout);
}

describe('heated plates, against SciPy (solve_ivp with DOP853, brentq, interp)', () => {
  const problems = fc.sample(problem, { numRuns: 60, seed });
  const solutions = scipy(problems);
  const slope = (p: Problem) => new Formula('slope', (y) => net(p, y as number) / p.capacity);
  const each = (check: (p: Problem, s: Solution) => void) => {
    for (const [i, p] of problems.entries()) check(p, solutions[i] as Solution);
  };

  // A step keeps its error below 1e-6 of the temperature, some mK for all steps together; the cubic between two steps adds more.
  test('the course of the temperature', () =>
    each((p, s) => {
      const curve = rise(slope(p), p.from, p.during) as Curve;
      expect(curve.y.length).toBe(121);
      for (const [i, y] of curve.y.entries())
        expect(Math.abs(y - (s.course[i] as number)), `${JSON.stringify(p)} ${i}`).toBeLessThan(0.05);
    }));

  test('when it reaches a target', () =>
    each((p, s) => {
      if (Math.abs(p.to - p.from) < 1) return;
      const arrival = timeTo(slope(p), p.from, p.to) as number;
      expect(Math.abs(arrival / (s.arrival as number) - 1), JSON.stringify(p)).toBeLessThan(1e-4);
    }));

  test('where it comes to rest', () =>
    each((p, s) => {
      const rest = balance(new Formula('net', (y) => net(p, y as number)), 150, 3000) as number;
      expect(Math.abs(rest - s.balance)).toBeLessThan(1e-6);
    }));

  test('what a curve says between its points', () =>
    each((p, s) => {
      const curve = rise(slope(p), p.from, p.during);
      for (const [i, t] of p.at.entries())
        expect(Math.abs((curveAt(curve, t) as number) - (s.between[i] as number))).toBeLessThan(0.05);
    }));
});

describe('closed forms', () => {
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

  test.each([
    ['x^3 - 2', (x: number) => x ** 3 - 2, 0, 2, 2 ** (1 / 3)],
    ['cos x - x', (x: number) => Math.cos(x) - x, 0, 1, 0.7390851332151607],
    ['a kink', (x: number) => (x < 1 ? x - 1 : 1000 * (x - 1)), -5, 7, 1],
    ['flat beside its zero', (x: number) => (x - 1) ** 9, 0, 3, 1],
  ])('the zero of %s', (_, f, low, high, zero) => {
    const found = balance(new Formula('f', (x) => f(x as number)), low, high) as number;
    // Where the function is flat, it is as near to zero as doubles tell long before x is.
    expect(Math.abs(found - zero)).toBeLessThan(_.startsWith('flat') ? 1e-2 : 1e-9);
  });

  test('no zero between the ends is a bound, and a curve beyond its ends a fault', () => {
    expect(balance(new Formula('f', () => 1), 0, 1)).toEqual(new Bounds(1, undefined, []));
    expect(balance(new Formula('f', () => -1), 0, 1)).toEqual(new Bounds(undefined, 0, []));
    expect(curveAt(new Curve([0, 1], [5, 6]), 2)).toBeInstanceOf(Fault);
    expect(curveAt(new Curve([0, 1], [5, 6]), -1)).toBeInstanceOf(Fault);
    expect(curveAt(new Curve([0, 1], [5, 6]), 0)).toBe(5);
    expect(curveAt(new Curve([0, 1], [5, 6]), 1)).toBe(6);
  });

  test('a slope that cannot be computed is the result', () => {
    const fault = new Fault('not there');
    const slope = new Formula('slope', (y) => ((y as number) > 310 ? fault : 1));
    expect(rise(slope, 300, 60)).toBe(fault);
    expect(timeTo(slope, 300, 330)).toBe(fault);
    expect(balance(slope, 300, 330)).toBe(fault);
  });
});
