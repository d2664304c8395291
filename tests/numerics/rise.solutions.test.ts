import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { balance } from '../../language/numerics/balance.ts';
import { curveAt } from '../../language/numerics/curve.ts';
import { rise, timeTo } from '../../language/numerics/rise.ts';
import { type Curve, Formula } from '../../language/values/value.ts';
import { oracle } from '../library/oracle.ts';
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

describe('heated plates, against SciPy (solve_ivp with DOP853, brentq, interp)', () => {
  const problems = fc.sample(problem, { numRuns: 60, seed });
  const solutions = oracle<Solution>('../numerics/solutions.py', problems);
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
