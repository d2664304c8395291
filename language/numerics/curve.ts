import { Curve, Fault, isMissing, Unknown, type Value } from '../values/value.ts';

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

/** The first x at which a curve comes to a y, from below, linear between its points; a fault where it never does. */
export function whenReached(curve: Value, y: Value): Value {
  if (!(curve instanceof Curve)) return isMissing(curve) ? curve : new Unknown([]);
  if (typeof y !== 'number') return isMissing(y) ? y : new Unknown([]);
  const after = curve.y.findIndex((at) => at >= y);
  const [x1, y1] = [curve.x[after], curve.y[after]];
  if (x1 === undefined || y1 === undefined) return new Fault('it never gets there: it comes to rest before');
  const [x0, y0] = [curve.x[after - 1], curve.y[after - 1]];
  return x0 === undefined || y0 === undefined ? x1 : x0 + ((x1 - x0) * (y - y0)) / (y1 - y0);
}

/** What lags behind a curve by a time constant: dz/dx = (y - z) / by, exact for a curve that is linear between its points. */
export function lagging(curve: Value, by: Value): Value {
  if (!(curve instanceof Curve)) return isMissing(curve) ? curve : new Unknown([]);
  if (typeof by !== 'number') return isMissing(by) ? by : new Unknown([]);
  if (by <= 0) return curve;
  const z = [curve.y[0] as number];
  for (let i = 1; i < curve.x.length; i++) {
    const [x0, x1, y0, y1] = [curve.x[i - 1], curve.x[i], curve.y[i - 1], curve.y[i]] as [
      number,
      number,
      number,
      number,
    ];
    const behind = ((y1 - y0) / (x1 - x0)) * by;
    z.push(y1 - behind + ((z[i - 1] as number) - y0 + behind) * Math.exp((x0 - x1) / by));
  }
  return new Curve(curve.x, z);
}
