import { Curve, Fault, isMissing, Unknown, type Value } from '../model/value.ts';

/** A curve's y at x, linear between its points; a fault outside them. */
export function curveAt(curve: Value, x: Value): Value {
  if (!(curve instanceof Curve)) return isMissing(curve) ? curve : new Unknown([]);
  if (typeof x !== 'number') return isMissing(x) ? x : new Unknown([]);
  const above = curve.x.findIndex((at) => at >= x);
  const [x1, y1] = [curve.x[above], curve.y[above]];
  if (x1 === undefined || y1 === undefined || x < (curve.x[0] ?? 0)) return new Fault('the curve does not reach there');
  const [x0, y0] = [curve.x[above - 1], curve.y[above - 1]];
  return x0 === undefined || y0 === undefined ? y1 : y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
}
