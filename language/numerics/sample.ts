import { Curve, Formula, isMissing, Unknown, type Value } from '../values/value.ts';

/** Points a curve is drawn with. */
const points = 60;

/** The curve of a formula between two arguments (coherent units), with evenly spaced points; what it cannot compute is the result. */
export function sampled(of: Value, from: Value, to: Value): Value {
  return sampledAt(of, from, to, points, (share) => share);
}

/** Points of a flow, which bends most where it begins. */
const flowPoints = 20;

/** The same with few points, closest where it begins: the distance from there grows with the square. */
export function sampledFromStart(of: Value, from: Value, to: Value): Value {
  return sampledAt(of, from, to, flowPoints, (share) => share ** 2);
}

function sampledAt(of: Value, from: Value, to: Value, points: number, place: (share: number) => number): Value {
  if (!(of instanceof Formula)) return isMissing(of) ? of : new Unknown([]);
  if (typeof from !== 'number') return isMissing(from) ? from : new Unknown([]);
  if (typeof to !== 'number') return isMissing(to) ? to : new Unknown([]);
  const x = Array.from({ length: points + 1 }, (_, i) => from + (to - from) * place(i / points));
  const y: number[] = [];
  for (const at of x) {
    const value = of.call(at);
    if (typeof value !== 'number') return value;
    y.push(value);
  }
  return new Curve(x, y);
}
