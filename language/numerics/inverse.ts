import { Formula, isMissing, Unknown, type Value } from '../values/value.ts';
import { Stop, zeroOf } from './balance.ts';

/**
 * The x between `low` and `high` at which curve(x), which rises or falls all the way, is `value`; the nearer of the two where
 * it is beyond them. Source: Brent, Algorithms for Minimization without Derivatives, 1973, chapter 4.
 */
export function inverse(curve: Value, value: Value, low: Value, high: Value): Value {
  return solve((y) => y, curve, value, low, high);
}

/** The same on the logarithms of a curve that is positive all the way. */
export function inverseByLogarithm(curve: Value, value: Value, low: Value, high: Value): Value {
  return solve(Math.log, curve, value, low, high);
}

function solve(scale: (y: number) => number, curve: Value, value: Value, low: Value, high: Value): Value {
  if (!(curve instanceof Formula)) return isMissing(curve) ? curve : new Unknown([]);
  for (const given of [value, low, high]) if (isMissing(given)) return given;
  if (typeof value !== 'number' || typeof low !== 'number' || typeof high !== 'number') return new Unknown([]);
  const wanted = scale(value);
  const f = (x: number): number => {
    const y = curve.call(x);
    if (typeof y !== 'number') throw new Stop(y);
    return scale(y) - wanted;
  };
  try {
    const [atLow, atHigh] = [f(low), f(high)];
    if (atLow * atHigh > 0) return Math.abs(atLow) < Math.abs(atHigh) ? low : high;
    return zeroOf(f, low, atLow, high, atHigh);
  } catch (stop) {
    if (stop instanceof Stop) return stop.value;
    throw stop;
  }
}
