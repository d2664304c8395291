import { Bounds, Formula, isMissing, Unknown, type Value } from '../values/value.ts';

const tolerance = 1e-10;
const mostSteps = 100;

export class Stop {
  readonly value: Value;
  constructor(value: Value) {
    this.value = value;
  }
}

/**
 * The x between `low` and `high` at which net(x) is zero, to within a relative 1e-10. Where net, which falls as x grows, is
 * above zero at both ends, a bound: above `high`; where it is below zero at both, below `low`. Source: Brent, Algorithms for Minimization without Derivatives, 1973, chapter 4.
 */
export function balance(net: Value, low: Value, high: Value): Value {
  if (!(net instanceof Formula)) return isMissing(net) ? net : new Unknown([]);
  if (typeof low !== 'number' || typeof high !== 'number') return new Unknown([]);
  const f = (x: number): number => {
    const y = net.call(x);
    if (typeof y !== 'number') throw new Stop(y);
    return y;
  };
  try {
    const [atLow, atHigh] = [f(low), f(high)];
    // Still above zero at the high end: it goes on beyond that, and only a bound can be told.
    if (atLow > 0 && atHigh > 0) return new Bounds(high, undefined, []);
    if (atLow < 0 && atHigh < 0) return new Bounds(undefined, low, []);
    return zeroOf(f, low, atLow, high, atHigh);
  } catch (stop) {
    if (stop instanceof Stop) return stop.value;
    throw stop;
  }
}

/** Brent's zero: inverse interpolation where it converges, bisection where it does not. `b` is the best guess so far. */
export function zeroOf(f: (x: number) => number, low: number, atLow: number, high: number, atHigh: number): number {
  let [a, fa, b, fb] = [low, atLow, high, atHigh];
  let [c, fc] = [a, fa];
  let step = b - a;
  let before = step;
  for (let n = 0; n < mostSteps; n++) {
    if (fb > 0 === fc > 0) {
      [c, fc] = [a, fa];
      step = b - a;
      before = step;
    }
    if (Math.abs(fc) < Math.abs(fb)) [a, fa, b, fb, c, fc] = [b, fb, c, fc, b, fb];
    const near = tolerance * (1 + Math.abs(b));
    const half = (c - b) / 2;
    if (Math.abs(half) <= near || fb === 0) return b;
    const guess =
      Math.abs(before) >= near && Math.abs(fa) > Math.abs(fb) ? interpolated(a, fa, b, fb, c, fc) : undefined;
    const usable =
      guess !== undefined && Math.abs(guess) < Math.min(1.5 * Math.abs(half), Math.abs(before / 2)) && guess * half > 0;
    before = usable ? step : half;
    step = usable ? guess : half;
    [a, fa] = [b, fb];
    b += Math.abs(step) > near ? step : Math.sign(half) * near;
    fb = f(b);
  }
  return b;
}

/** The step from b to where a curve through the three points (a line where two are the same) is zero. */
function interpolated(a: number, fa: number, b: number, fb: number, c: number, fc: number): number {
  const s = fb / fa;
  if (a === c) return ((c - b) * s) / (s - 1);
  const [q, r] = [fa / fc, fb / fc];
  return ((s * ((c - b) * q * (q - r) - (b - a) * (r - 1))) / ((q - 1) * (r - 1) * (s - 1))) * -1;
}
