import { Fault, Formula, isMissing, Unknown, type Value } from '../model/value.ts';

/**
 * The x between `low` and `high` at which net(x) is zero, to within a relative 1e-10. A fault where net has the same sign at
 * both ends. Source: bisection, guarding the secant steps (Dekker; Brent, Algorithms for Minimization without Derivatives,
 * 1973, chapter 4).
 */
export function balance(net: Value, low: Value, high: Value): Value {
  if (!(net instanceof Formula)) return isMissing(net) ? net : new Unknown([]);
  if (typeof low !== 'number' || typeof high !== 'number') return new Unknown([]);
  let [a, b] = [low, high];
  const [atLow, atHigh] = [net.call(a), net.call(b)];
  if (typeof atLow !== 'number') return atLow;
  if (typeof atHigh !== 'number') return atHigh;
  if (atLow === 0) return a;
  if (atHigh === 0) return b;
  if (atLow > 0 === atHigh > 0) return new Fault('there is no balance between the two ends');
  let [fa, fb] = [atLow, atHigh];
  for (let i = 0; i < 200 && Math.abs(b - a) > 1e-10 * (1 + Math.abs(b)); i++) {
    const secant = b - (fb * (b - a)) / (fb - fa);
    const margin = 0.1 * Math.abs(b - a);
    const inside = secant > Math.min(a, b) + margin && secant < Math.max(a, b) - margin;
    const x = inside && i % 3 !== 2 ? secant : (a + b) / 2;
    const fx = net.call(x);
    if (typeof fx !== 'number') return fx;
    if (fx === 0) return x;
    if (fx > 0 === fa > 0) [a, fa] = [x, fx];
    else [b, fb] = [x, fx];
  }
  return (a + b) / 2;
}
