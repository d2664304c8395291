import { Curve, missingOf, Unknown, type Value } from '../values/value.ts';

/** Error (K) that a step may have. */
const tolerance = 0.01;
const mostSteps = 5000;
/** A layer that heat takes longer to pass (s) is cut into slices. */
const slow = 5;
const slices = 4;
/** Points of a curve within each step. */
const pointsOfStep = 3;

/** What leaves or comes in at a node, by its temperature, with its slope. */
type Flow = (temperature: number) => readonly [number, number];

/** A chain of nodes: heat each takes up by a kelvin, how well each passes heat on to the next, what is lost at some. */
interface Chain {
  readonly capacity: number[];
  readonly conductance: number[];
  readonly losses: Flow[][];
  /** The node of each face. */
  readonly faces: number[];
}

/**
 * Temperatures over time at the faces of layers that lie one on the other: curves, the lowest layer's underside first, the
 * uppermost's upper side last. Layers have `capacities` (J/K) and `resistances` (K/W); `power` (W, a curve of the temperature there)
 * comes in at the face `heated`, `losses` leave at the faces `lost_at`. The face `held` (0: none) is held once it has come `to` a
 * temperature: what comes in at `heated` stops then, and what holds the face comes in there.
 * Source: Shampine and Reichelt, The MATLAB ODE Suite, SIAM J. Sci. Comput. 18 (1997) 1-22: a Rosenbrock formula of order 2 for
 * stiff equations, with an estimate of its error.
 */
export function layeredRise(
  capacities: Value,
  resistances: Value,
  heated: Value,
  power: Value,
  lost_at: Value,
  losses: Value,
  from: Value,
  held: Value,
  to: Value,
  during: Value,
): Value {
  const lists = [capacities, resistances, lost_at, losses].map((list) =>
    Array.isArray(list) ? (list as Value[]) : list,
  );
  const missing = missingOf(...lists.flat(), heated, power, from, held, to, during);
  if (missing) return missing;
  const [c, r, at, out] = lists;
  if (!numbers(c) || !numbers(r) || !numbers(at) || !Array.isArray(out) || !(power instanceof Curve))
    return new Unknown([]);
  if (![heated, from, held, to, during].every((value) => typeof value === 'number')) return new Unknown([]);
  const chain = chainOf(c, r);
  for (const [i, face] of at.entries()) {
    const curve = out[i];
    if (curve instanceof Curve) chain.losses[chain.faces[face - 1] as number]?.push(flowOf(curve));
  }
  const node = (face: Value) => chain.faces[(face as number) - 1];
  const course = integrate(
    chain,
    { node: node(heated) as number, flow: flowOf(power) },
    { node: node(held), to: to as number },
    from as number,
    during as number,
  );
  return chain.faces.map((of) => new Curve(course.times, course.temperatures[of] as number[]));
}

function numbers(list: Value | undefined): list is readonly number[] {
  return Array.isArray(list) && list.every((value) => typeof value === 'number');
}

/** Layers cut into slices; each slice gives half its capacity to either side. Faces between which nothing resists are one node. */
function chainOf(capacities: readonly number[], resistances: readonly number[]): Chain {
  const capacity = [0];
  const conductance: number[] = [];
  const faces = [0];
  for (const [i, layer] of capacities.entries()) {
    const resistance = resistances[i] as number;
    const parts = resistance * layer > slow ? slices : 1;
    for (let part = 0; part < parts; part++) {
      const half = layer / parts / 2;
      capacity[capacity.length - 1] = (capacity.at(-1) as number) + half;
      if (resistance > 0) {
        conductance.push(parts / resistance);
        capacity.push(0);
      }
      capacity[capacity.length - 1] = (capacity.at(-1) as number) + half;
    }
    faces.push(capacity.length - 1);
  }
  return { capacity, conductance, losses: capacity.map(() => []), faces };
}

/** A curve as a smooth flow: cubic between its points with the slopes of parabolas through three of them, straight beyond. */
function flowOf({ x, y }: Curve): Flow {
  const last = x.length - 1;
  const between = Array.from({ length: last }, (_, i) => {
    return ((y[i + 1] as number) - (y[i] as number)) / ((x[i + 1] as number) - (x[i] as number));
  });
  const slopes = x.map((at, i) => {
    if (i === 0 || i === last) return between[i === 0 ? 0 : last - 1] as number;
    const [before, after] = [at - (x[i - 1] as number), (x[i + 1] as number) - at];
    return ((between[i - 1] as number) * after + (between[i] as number) * before) / (before + after);
  });
  return (at) => {
    if (at <= (x[0] as number))
      return [(y[0] as number) + (slopes[0] as number) * (at - (x[0] as number)), slopes[0] as number];
    if (at >= (x[last] as number))
      return [(y[last] as number) + (slopes[last] as number) * (at - (x[last] as number)), slopes[last] as number];
    let i = 0;
    while ((x[i + 1] as number) < at) i++;
    const h = (x[i + 1] as number) - (x[i] as number);
    return cubic(
      (at - (x[i] as number)) / h,
      h,
      y[i] as number,
      y[i + 1] as number,
      slopes[i] as number,
      slopes[i + 1] as number,
    );
  };
}

/** Cubic Hermite at a share s of an interval h, and its slope. */
function cubic(s: number, h: number, y0: number, y1: number, f0: number, f1: number): [number, number] {
  const s2 = s * s;
  const s3 = s2 * s;
  return [
    (2 * s3 - 3 * s2 + 1) * y0 + (s3 - 2 * s2 + s) * h * f0 + (3 * s2 - 2 * s3) * y1 + (s3 - s2) * h * f1,
    ((6 * s2 - 6 * s) * (y0 - y1)) / h + (3 * s2 - 4 * s + 1) * f0 + (3 * s2 - 2 * s) * f1,
  ];
}

interface Course {
  readonly times: number[];
  readonly temperatures: number[][];
}

/** Shampine and Reichelt's coefficients. */
const d = 1 / (2 + Math.SQRT2);
const e32 = 6 + Math.SQRT2;

/** Their formula, with adaptive steps. Once a node is held its temperature no longer changes, and `heat` is off. */
function integrate(
  chain: Chain,
  heat: { node: number; flow: Flow },
  hold: { node: number | undefined; to: number },
  from: number,
  during: number,
): Course {
  const n = chain.capacity.length;
  const row = () => new Float64Array(n);
  const [f0, f1, f2, k1, k2, k3] = [row(), row(), row(), row(), row(), row()];
  const [middle, own, ignored, scratch] = [row(), row(), row(), row()];
  let [y, next] = [row().fill(from), row()];
  const times = [0];
  const temperatures = chain.capacity.map(() => [from]);
  let held = hold.node !== undefined && from >= hold.to ? hold.node : undefined;
  let t = 0;
  let step = 0.1;
  flows(chain, heat, held, y, f0, own);
  for (let count = 0; count < mostSteps && t < during * (1 - 1e-12); count++) {
    const h = Math.min(step, during - t);
    solve(chain, own, h * d, held, f0, k1, scratch);
    for (let i = 0; i < n; i++) middle[i] = (y[i] as number) + (h / 2) * (k1[i] as number);
    flows(chain, heat, held, middle, f1, ignored);
    for (let i = 0; i < n; i++) middle[i] = (f1[i] as number) - (chain.capacity[i] as number) * (k1[i] as number);
    solve(chain, own, h * d, held, middle, k2, scratch);
    for (let i = 0; i < n; i++) {
      k2[i] = (k2[i] as number) + (k1[i] as number);
      next[i] = (y[i] as number) + h * (k2[i] as number);
    }
    flows(chain, heat, held, next, f2, ignored);
    for (let i = 0; i < n; i++) {
      const c = chain.capacity[i] as number;
      const [a, b] = [c * (k1[i] as number) - (f0[i] as number), c * (k2[i] as number) - (f1[i] as number)];
      middle[i] = (f2[i] as number) - e32 * b - 2 * a;
    }
    solve(chain, own, h * d, held, middle, k3, scratch);
    let error = 1e-12;
    for (let i = 0; i < n; i++)
      error = Math.max(error, (h / 6) * Math.abs((k1[i] as number) - 2 * (k2[i] as number) + (k3[i] as number)));
    if (error > tolerance) {
      step = h * Math.max(0.2, 0.8 * (tolerance / error) ** (1 / 3));
      continue;
    }
    const [before, after] = [y[hold.node ?? 0] as number, next[hold.node ?? 0] as number];
    const arrives = hold.node !== undefined && held === undefined && after >= hold.to - 1e-6;
    if (arrives && after > hold.to + 1e-6) {
      // Beyond the moment at which the node begins to be held: a shorter step, along the chord.
      step = h * Math.min(0.999, (hold.to - before) / (after - before));
      continue;
    }
    if (arrives) next[hold.node as number] = hold.to;
    for (let p = 1; p <= pointsOfStep; p++) {
      const s = p / pointsOfStep;
      times.push(t + s * h);
      for (let i = 0; i < n; i++) {
        // The formula's own course within a step is a parabola that begins with the slope k1.
        const [a, b] = [y[i] as number, h * (k1[i] as number)];
        temperatures[i]?.push(a + s * b + s * s * ((next[i] as number) - a - b));
      }
    }
    t += h;
    [y, next] = [next, y];
    step = arrives ? 0.1 : h * Math.min(5, 0.8 * (tolerance / error) ** (1 / 3));
    if (arrives) held = hold.node;
    flows(chain, heat, held, y, f0, own);
  }
  return { times, temperatures };
}

/** Heat that flows into each node (W), and what it changes by with the node's own temperature, conduction left out (W/K). */
function flows(
  { conductance, losses }: Chain,
  heat: { node: number; flow: Flow },
  held: number | undefined,
  y: Float64Array,
  into: Float64Array,
  slope: Float64Array,
): void {
  into.fill(0);
  slope.fill(0);
  for (let i = 0; i < y.length; i++) {
    for (const loss of losses[i] as Flow[]) {
      const [q, dq] = loss(y[i] as number);
      into[i] = (into[i] as number) - q;
      slope[i] = (slope[i] as number) - dq;
    }
  }
  if (held === undefined) {
    const [q, dq] = heat.flow(y[heat.node] as number);
    into[heat.node] = (into[heat.node] as number) + q;
    slope[heat.node] = (slope[heat.node] as number) + dq;
  }
  for (let i = 0; i < conductance.length; i++) {
    const q = (conductance[i] as number) * ((y[i + 1] as number) - (y[i] as number));
    into[i] = (into[i] as number) + q;
    into[i + 1] = (into[i + 1] as number) - q;
  }
  if (held !== undefined) into[held] = 0;
}

/** Solves (C - hd J) x = b, where each node is tied to its neighbours alone: Thomas's elimination. A held node's x is 0. */
function solve(
  { capacity, conductance }: Chain,
  slope: Float64Array,
  hd: number,
  held: number | undefined,
  b: Float64Array,
  x: Float64Array,
  upper: Float64Array,
): void {
  const n = capacity.length;
  for (let i = 0; i < n; i++) {
    const below = i > 0 ? (conductance[i - 1] as number) : 0;
    const above = i < n - 1 ? (conductance[i] as number) : 0;
    if (i === held) {
      upper[i] = 0;
      x[i] = 0;
      continue;
    }
    const [x0, u0] = i > 0 ? [x[i - 1] as number, upper[i - 1] as number] : [0, 0];
    const pivot = (capacity[i] as number) + hd * (below + above - (slope[i] as number)) + hd * below * u0;
    upper[i] = (-hd * above) / pivot;
    x[i] = ((b[i] as number) + hd * below * x0) / pivot;
  }
  for (let i = n - 2; i >= 0; i--) x[i] = (x[i] as number) - (upper[i] as number) * (x[i + 1] as number);
}
