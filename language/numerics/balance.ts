import { boundsOf, isSpanOrNumber, Opaque, type Span, spanOfZero } from '../values/span.ts';
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

/** Where to look for a first place at which the sign of net is certain: this share of the way from an end, then twice as far, and so on. */
const firstShare = 2 ** -12;

/**
 * The same where net rests on ranges, or the ends do: bounds of the x at which it is zero wherever these are taken, with its slopes. Throws
 * `Opaque` where it is not certain that there is one between both ends, or that net falls there.
 */
export function balanceOverRanges(net: Value, low: Value, high: Value): Value {
  if (!(net instanceof Formula) || !isSpanOrNumber(low) || !isSpanOrNumber(high)) throw new Opaque();
  const at = (x: number | Span) => {
    const y = net.call(x);
    if (!isSpanOrNumber(y)) throw new Opaque();
    return y;
  };
  const [from, to] = [boundsOf(low).high, boundsOf(high).low];
  const least = (x: number) => boundsOf(at(x)).low;
  const most = (x: number) => boundsOf(at(x)).high;
  // Where net is above zero whatever the ranges, its zero lies beyond; where it is below, before.
  const [below, above] = [certain(least, 1, from, to), certain(most, -1, to, from)];
  const least0 = zeroOf(least, below, least(below), above, least(above));
  const most0 = zeroOf(most, below, most(below), above, most(above));
  return spanOfZero({ low: outward(least0, below, least, 1), high: outward(most0, above, most, -1) }, at);
}

/** A place as near as can be to one end at which a bound has a sign for certain. */
function certain(bound: (x: number) => number, sign: 1 | -1, from: number, to: number): number {
  for (let share = firstShare; share < 1; share *= 2) {
    const x = from + share * (to - from);
    const y = told(() => bound(x));
    if (y !== undefined && sign * y > 0) return x;
  }
  throw new Opaque();
}

/** From where a bound is nearly zero as far towards an end as makes its sign certain, and by what the zero itself is uncertain. */
function outward(zero: number, end: number, bound: (x: number) => number, sign: 1 | -1): number {
  for (let step = 4 * tolerance * (1 + Math.abs(zero)); step < Math.abs(zero - end); step *= 4) {
    const x = zero - sign * step;
    if (sign * bound(x) > 0) return x;
  }
  return end;
}

/** What bounds tell; undefined where they do not. */
function told(work: () => number): number | undefined {
  try {
    return work();
  } catch (thrown) {
    if (thrown instanceof Opaque) return undefined;
    throw thrown;
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
