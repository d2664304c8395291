/** A number between two others. */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

/**
 * What a number can be wherever some ranges are taken: its bounds, and of each range the bounds of the slope, by the share of the
 * way from its low end to its high one. A range that is not among the slopes makes no difference. Every computation with one
 * gives bounds of all that can come out, rounding included, or throws `Opaque`.
 * Source: interval arithmetic, R. E. Moore, "Interval Analysis" (1966); slopes by the chain rule, as in automatic differentiation.
 */
export class Span implements Interval {
  readonly low: number;
  readonly high: number;
  readonly slopes: ReadonlyMap<object, Interval>;
  constructor(low: number, high: number, slopes: ReadonlyMap<object, Interval>) {
    this.low = low;
    this.high = high;
    this.slopes = slopes;
    for (const each of [this, ...slopes.values()])
      if (!Number.isFinite(each.low) || !Number.isFinite(each.high)) throw new Opaque();
  }

  /** A span must not be taken for a number by accident. */
  [Symbol.toPrimitive](): never {
    throw new Opaque();
  }
}

/** Thrown where bounds do not tell what comes out. */
export class Opaque {}

/** Is it a span, or a list with one in it? */
export function hasSpan(value: unknown): boolean {
  return value instanceof Span || (Array.isArray(value) && value.some(hasSpan));
}

/** Does no range make a difference to what has a span in it? */
export function isConstant(value: unknown): boolean {
  if (Array.isArray(value)) return value.every(isConstant);
  if (!(value instanceof Span)) return true;
  for (const { low, high } of value.slopes.values()) if (low !== 0 || high !== 0) return false;
  return true;
}

/** Throws `Opaque` where a span is among values that go where only numbers may. */
export function refuseSpans(...values: readonly unknown[]): void {
  if (values.some(hasSpan)) throw new Opaque();
}

export function isSpanOrNumber(value: unknown): value is Span | number {
  return typeof value === 'number' || value instanceof Span;
}

/** What a share of the sum of the sizes of both sides rounding may add or take, many times over. */
const rounding = 1e-12;
const none: ReadonlyMap<object, Interval> = new Map();

function sum(a: Interval, b: Interval): Interval {
  // What is exactly nothing adds nothing, not even by rounding.
  if (a.low === 0 && a.high === 0) return b;
  if (b.low === 0 && b.high === 0) return a;
  const slack = rounding * Math.max(sizeOf(a), sizeOf(b));
  const [low, high] = [a.low + b.low - slack, a.high + b.high + slack];
  // Rounding turns no sum of two signs alike.
  return {
    low: a.low >= 0 && b.low >= 0 ? Math.max(low, 0) : low,
    high: a.high <= 0 && b.high <= 0 ? Math.min(high, 0) : high,
  };
}

function product(a: Interval, b: Interval): Interval {
  const ends = [a.low * b.low, a.low * b.high, a.high * b.low, a.high * b.high];
  return widened({ low: Math.min(...ends), high: Math.max(...ends) });
}

/** Wider by rounding; a sign that is certain stays so. */
function widened({ low, high }: Interval): Interval {
  return { low: low - rounding * Math.abs(low), high: high + rounding * Math.abs(high) };
}

function sizeOf({ low, high }: Interval): number {
  return Math.max(Math.abs(low), Math.abs(high));
}

function negative({ low, high }: Interval): Interval {
  return { low: -high, high: -low };
}

function hull(a: Interval, b: Interval): Interval {
  return { low: Math.min(a.low, b.low), high: Math.max(a.high, b.high) };
}

const zero: Interval = { low: 0, high: 0 };
const slopesOf = (a: number | Span) => (typeof a === 'number' ? none : a.slopes);
/** The bounds of a number or of a span. */
export const boundsOf = (a: number | Interval): Interval => (typeof a === 'number' ? { low: a, high: a } : a);

/** The slopes of what is computed from two, each by what it weighs. */
function joined(
  a: number | Span,
  b: number | Span,
  weigh: (a: Interval, b: Interval) => Interval,
): ReadonlyMap<object, Interval> {
  const slopes = new Map<object, Interval>();
  for (const range of [...slopesOf(a).keys(), ...slopesOf(b).keys()])
    slopes.set(range, weigh(slopesOf(a).get(range) ?? zero, slopesOf(b).get(range) ?? zero));
  return slopes;
}

function added(a: number | Span, b: number | Span): Span {
  const { low, high } = sum(boundsOf(a), boundsOf(b));
  return new Span(low, high, joined(a, b, sum));
}

/** Something and its opposite. */
export function negated({ low, high, slopes }: Span): Span {
  return new Span(-high, -low, new Map([...slopes].map(([range, slope]) => [range, negative(slope)])));
}

/** One less the other. */
export function difference(a: number | Span, b: number | Span): Span {
  return added(a, typeof b === 'number' ? -b : negated(b));
}

function multiplied(a: number | Span, b: number | Span): Span {
  const [p, q] = [boundsOf(a), boundsOf(b)];
  const { low, high } = product(p, q);
  return new Span(
    low,
    high,
    joined(a, b, (da, db) => sum(product(da, q), product(p, db))),
  );
}

function divided(a: number | Span, b: number | Span): Span {
  const q = boundsOf(b);
  if (q.low <= 0 && q.high >= 0) throw new Opaque();
  const over = widened({ low: 1 / q.high, high: 1 / q.low });
  if (typeof b === 'number') return multiplied(a, 1 / b);
  const inverse = new Span(
    over.low,
    over.high,
    new Map([...b.slopes].map(([range, slope]) => [range, negative(product(slope, squared(over)))])),
  );
  if (typeof a === 'number') return multiplied(a, inverse);
  const { low, high } = product(a, over);
  // (a' b - a b') / b^2: both parts before they are divided, where one may outweigh the other.
  const slopes = joined(a, b, (da, db) => product(sum(product(da, q), negative(product(a, db))), squared(over)));
  return new Span(low, high, slopes);
}

function squared({ low, high }: Interval): Interval {
  const [a, b] = [low * low, high * high];
  return widened({ low: low <= 0 && high >= 0 ? 0 : Math.min(a, b), high: Math.max(a, b) });
}

/** A function of one number that only rises or only falls over a span, with the bounds of its slope there. */
function monotone(a: Span, f: (x: number) => number, slope: Interval): Span {
  const [p, q] = [f(a.low), f(a.high)];
  const { low, high } = widened({ low: Math.min(p, q), high: Math.max(p, q) });
  return new Span(low, high, new Map([...a.slopes].map(([range, own]) => [range, product(own, slope)])));
}

function power(a: number | Span, b: number | Span): Span {
  if (typeof a === 'number' && typeof b !== 'number') {
    if (a <= 0) throw new Opaque();
    const ends = [a ** b.low, a ** b.high].map((end) => Math.log(a) * end);
    return monotone(b, (x) => a ** x, widened({ low: Math.min(...ends), high: Math.max(...ends) }));
  }
  if (typeof a === 'number' || typeof b !== 'number') throw new Opaque();
  if (b === 2) return square(a);
  // From nothing on, what is no root rises without a jump of its slope.
  if (a.low < 0 || (a.low === 0 && b < 1)) throw new Opaque();
  const ends = [b * a.low ** (b - 1), b * a.high ** (b - 1)];
  return monotone(a, (x) => x ** b, widened({ low: Math.min(...ends), high: Math.max(...ends) }));
}

function square(a: Span): Span {
  const { low, high } = squared(a);
  return new Span(
    low,
    high,
    joined(a, 0, (da) => product({ low: 2, high: 2 }, product(a, da))),
  );
}

/** The least, or the greatest: whichever may be it gives its slope. */
function extreme(values: readonly (number | Span)[], isLeast: boolean): Span {
  const all = values.map((value) => boundsOf(value));
  const best = isLeast ? Math.min : Math.max;
  const [low, high] = [best(...all.map((each) => each.low)), best(...all.map((each) => each.high))];
  const slack = rounding * sizeOf({ low, high });
  const near = values.filter((_, i) => {
    const each = all[i] as Interval;
    return isLeast ? each.low <= high + slack : each.high >= low - slack;
  });
  const ranges = new Set(near.flatMap((value) => [...slopesOf(value).keys()]));
  const slopes = [...ranges].map((range): [object, Interval] => [
    range,
    near.map((value) => slopesOf(value).get(range) ?? zero).reduce(hull),
  ]);
  return new Span(low, high, new Map(slopes));
}

function absolute(a: Span): Span {
  if (a.low >= 0) return a;
  if (a.high <= 0) return negated(a);
  const { high, slopes } = extreme([a, negated(a)], false);
  return new Span(0, high, slopes);
}

/**
 * What lies between two numbers and makes `at` zero, which falls there as it grows: its slopes by those of `at`. Throws `Opaque` where it
 * is not certain that `at` falls.
 * Source: the implicit function theorem, with bounds of the slopes: dx/dr = -(df/dr) / (df/dx).
 */
export function spanOfZero({ low, high }: Interval, at: (x: Span) => unknown): Span {
  const itself = {};
  const value = at(new Span(low, high, new Map([[itself, { low: 1, high: 1 }]])));
  const falls = value instanceof Span ? value.slopes.get(itself) : undefined;
  if (!(value instanceof Span) || !falls || falls.high >= 0) throw new Opaque();
  const inverse = widened({ low: -1 / falls.low, high: -1 / falls.high });
  const others = [...value.slopes].filter(([range]) => range !== itself);
  return new Span(low, high, new Map(others.map(([range, slope]) => [range, product(slope, inverse)])));
}

/** Arithmetic with bounds. Throws `Opaque` where these do not tell. */
export function spanArithmetic(operator: string, a: number | Span, b: number | Span): Span {
  switch (operator) {
    case '+':
      return added(a, b);
    case '-':
      return difference(a, b);
    case '*':
      return multiplied(a, b);
    case '/':
      return divided(a, b);
    case '^':
      return power(a, b);
    default:
      throw new Opaque();
  }
}

/** A comparison that comes out alike wherever the ranges are taken, as `compare` has it at the ends. Throws `Opaque` where none does. */
export function spanComparison(
  a: number | Span,
  b: number | Span,
  isLess: boolean,
  compare: (a: number, b: number) => boolean,
): boolean {
  const [p, q] = [boundsOf(a), boundsOf(b)];
  const [best, worst] = isLess
    ? [compare(p.low, q.high), compare(p.high, q.low)]
    : [compare(p.high, q.low), compare(p.low, q.high)];
  if (worst) return true;
  if (!best) return false;
  throw new Opaque();
}

type SpanFunction = (args: readonly (number | Span)[]) => Span;

const ofOne =
  (f: (a: Span) => Span): SpanFunction =>
  ([a]) => {
    if (a === undefined || typeof a === 'number') throw new Opaque();
    return f(a);
  };

/** Functions of the language that tell bounds from bounds; the others are opaque. */
export const spanFunctions: Readonly<Record<string, SpanFunction | undefined>> = {
  min: (args) => extreme(args, true),
  max: (args) => extreme(args, false),
  sum: (args) => args.reduce<Span>((so, each) => added(so, each), new Span(0, 0, none)),
  absolute: ofOne((a) => a),
  abs: ofOne(absolute),
  sqrt: ofOne((a) => {
    if (a.low <= 0) throw new Opaque();
    return monotone(a, Math.sqrt, widened({ low: 0.5 / Math.sqrt(a.high), high: 0.5 / Math.sqrt(a.low) }));
  }),
  exp: ofOne((a) => monotone(a, Math.exp, widened({ low: Math.exp(a.low), high: Math.exp(a.high) }))),
  ln: ofOne((a) => {
    if (a.low <= 0) throw new Opaque();
    return monotone(a, Math.log, widened({ low: 1 / a.high, high: 1 / a.low }));
  }),
};
