import { Curve, Fault, Formula, isMissing, Unknown, type Value } from '../values/value.ts';
import { integral } from './quadrature.ts';

/** Dormand and Prince's coefficients (1980), order 5 with an embedded order 4. */
const stages = [
  [],
  [1 / 5],
  [3 / 40, 9 / 40],
  [44 / 45, -56 / 15, 32 / 9],
  [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729],
  [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656],
  [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
];
const errors = [71 / 57600, 0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40];

const tolerance = 1e-8;
const mostSteps = 5000;

type Slope = (y: number) => number;
/** Called after each step with the interval it covered; returning true ends the integration. */
type Watch = (t0: number, y0: number, t1: number, y1: number, f0: number, f1: number) => boolean;

class Stop {
  readonly value: Value;
  constructor(value: Value) {
    this.value = value;
  }
}

/** Wraps a formula; what it cannot compute ends the integration with that result. */
function slopeOf(formula: Value): Slope | Value {
  if (!(formula instanceof Formula)) return isMissing(formula) ? formula : new Unknown([]);
  return (y) => {
    const value = formula.call(y);
    if (typeof value !== 'number') throw new Stop(value);
    return value;
  };
}

/** Integrates dy/dt = slope(y) with adaptive steps until `end` or until `watch` stops it. */
function integrate(slope: Slope, start: number, end: number, watch: Watch): void {
  let [t, y, f] = [0, start, slope(start)];
  let step = Math.min(end, Math.max(1e-6, 0.1 / Math.max(Math.abs(f), 1e-9)));
  for (let n = 0; n < mostSteps && t < end; n++) {
    step = Math.min(step, end - t);
    const k = [f];
    for (let s = 1; s < stages.length; s++) {
      const row = stages[s] as number[];
      k.push(slope(y + step * row.reduce((sum, a, j) => sum + a * (k[j] as number), 0)));
    }
    const last = stages[6] as number[];
    const next = y + step * last.reduce((sum, a, j) => sum + a * (k[j] as number), 0);
    // The last stage is the slope at the step's end, and the first of the next step.
    const fNext = k[6] as number;
    const error = Math.abs(step * errors.reduce((sum, e, j) => sum + e * (k[j] as number), 0));
    const allowed = tolerance * (1 + Math.max(Math.abs(y), Math.abs(next)));
    if (error <= allowed) {
      if (watch(t, y, t + step, next, f, fNext)) return;
      [t, y, f] = [t + step, next, fNext];
    }
    step *= Math.min(5, Math.max(0.2, 0.9 * (allowed / Math.max(error, 1e-300)) ** 0.2));
  }
}

/** Cubic Hermite between two points with known slopes. */
function hermite(t0: number, y0: number, t1: number, y1: number, f0: number, f1: number, t: number): number {
  const h = t1 - t0;
  const s = (t - t0) / h;
  const s2 = s * s;
  const s3 = s2 * s;
  return (2 * s3 - 3 * s2 + 1) * y0 + (s3 - 2 * s2 + s) * h * f0 + (3 * s2 - 2 * s3) * y1 + (s3 - s2) * h * f1;
}

/** Runs an integration that may be stopped by a slope that has no value. */
function guarded(work: () => Value): Value {
  try {
    return work();
  } catch (stop) {
    if (stop instanceof Stop) return stop.value;
    throw stop;
  }
}

/** Points a curve is drawn with. */
const curvePoints = 120;

/**
 * Solves dy/dt = slope(y) from `from` over a time (s) and returns the curve of y against time, with evenly spaced points.
 * Source: Dormand and Prince, J. Comp. Appl. Math. 6 (1980) 19-26.
 */
export function rise(slope: Value, from: Value, during: Value): Value {
  const f = slopeOf(slope);
  if (typeof f !== 'function') return f;
  if (typeof from !== 'number' || typeof during !== 'number') return new Unknown([]);
  return guarded(() => {
    const x: number[] = [0];
    const y: number[] = [from];
    integrate(f, from, during, (t0, y0, t1, y1, f0, f1) => {
      while (x.length <= curvePoints && during * (x.length / curvePoints) <= t1 * (1 + 1e-12)) {
        // So that the last point is the end itself.
        const t = during * (x.length / curvePoints);
        x.push(t);
        y.push(hermite(t0, y0, t1, y1, f0, f1, t));
      }
      return false;
    });
    return new Curve(x, y);
  });
}

/** Far below what a correlation of natural convection is good for. */
const timeTolerance = 1e-5;

/** Longest time looked at: what takes longer than a week is said never to arrive. */
const longest = 7 * 24 * 3600;

/**
 * Time (s) until y, following dy/dt = slope(y), reaches `to`: the integral of dy / slope(y). A fault where it comes to rest
 * before, or takes more than a week. Source: separation of variables; Gauss-Kronrod quadrature.
 */
export function timeTo(slope: Value, from: Value, to: Value): Value {
  const f = slopeOf(slope);
  if (typeof f !== 'function') return f;
  if (typeof from !== 'number' || typeof to !== 'number') return new Unknown([]);
  if (from === to) return 0;
  const never = new Fault('it never gets there: it comes to rest before');
  return guarded(() => {
    const direction = Math.sign(to - from);
    const pace = (y: number) => {
      const rate = f(y) * direction;
      // What comes to rest, or turns, on the way never arrives.
      if (rate <= 0) throw new Stop(never);
      return direction / rate;
    };
    pace(from);
    pace(to);
    const time = integral(pace, from, to, timeTolerance);
    return time <= longest ? time : never;
  });
}
