import { describe, expect, test } from 'vitest';
import {
  difference,
  hasSpan,
  type Interval,
  isSpanOrNumber,
  negated,
  Opaque,
  refuseSpans,
  Span,
  spanArithmetic,
  spanComparison,
  spanFunctions,
  spanOfZero,
} from '../../language/values/span.ts';

const [p, q] = [{ name: 'p' }, { name: 'q' }];
/** A range from one number to another, by the share of the way: its slope is how long it is. */
const from = (low: number, high: number, range: object = p) =>
  new Span(low, high, new Map([[range, { low: high - low, high: high - low }]]));

const near = (found: Interval | undefined, low: number, high: number) => {
  expect(found?.low).toBeCloseTo(low, 9);
  expect(found?.high).toBeCloseTo(high, 9);
  // Never narrower than what can come out.
  expect(found?.low as number).toBeLessThanOrEqual(low);
  expect(found?.high as number).toBeGreaterThanOrEqual(high);
};
const slope = (span: Span, range: object = p) => span.slopes.get(range);

// Bounds and slopes by hand: interval arithmetic, R. E. Moore, Interval Analysis, 1966.
describe('arithmetic keeps bounds and slopes', () => {
  test('sums and differences', () => {
    const sum = spanArithmetic('+', from(1, 2), from(10, 30, q));
    near(sum, 11, 32);
    near(slope(sum), 1, 1);
    near(slope(sum, q), 20, 20);
    const less = spanArithmetic('-', from(1, 2), from(10, 30, q));
    near(less, -29, -8);
    near(slope(less, q), -20, -20);
    near(spanArithmetic('-', from(1, 2), 5), -4, -3);
    near(spanArithmetic('-', 5, from(1, 2)), 3, 4);
    near(slope(spanArithmetic('-', 5, from(1, 2))), -1, -1);
    // The same range twice moves together in its slope, though not in its bounds.
    near(slope(difference(from(1, 2), from(1, 2))), 0, 0);
  });

  test('what is exactly nothing adds nothing, and a sign that is certain stays so', () => {
    expect(spanArithmetic('+', from(1, 2), 0)).toMatchObject({ low: 1, high: 2 });
    expect(spanArithmetic('+', 0, from(1, 2))).toMatchObject({ low: 1, high: 2 });
    expect(spanArithmetic('+', from(0, 2), from(0, 3, q)).low).toBe(0);
    expect(spanArithmetic('+', from(-2, 0), from(-3, 0, q)).high).toBe(0);
    expect(spanArithmetic('+', from(-1, 2), from(1, 3, q)).low).toBeLessThan(0);
  });

  test('products, whatever the signs', () => {
    near(spanArithmetic('*', from(2, 3), from(5, 7, q)), 10, 21);
    near(spanArithmetic('*', from(-2, 3), from(5, 7, q)), -14, 21);
    near(spanArithmetic('*', from(-2, 3), from(-7, 5, q)), -21, 15);
    near(spanArithmetic('*', from(-3, -2), from(-7, -5, q)), 10, 21);
    const product = spanArithmetic('*', from(2, 3), from(5, 7, q));
    near(slope(product), 5, 7);
    near(slope(product, q), 4, 6);
    near(slope(spanArithmetic('*', -4, from(2, 3))), -4, -4);
    near(slope(spanArithmetic('*', from(2, 3), from(2, 3))), 4, 6);
  });

  test('quotients, but by what may be nothing', () => {
    near(spanArithmetic('/', from(2, 3), from(5, 10, q)), 0.2, 0.6);
    near(spanArithmetic('/', from(2, 3), 4), 0.5, 0.75);
    near(spanArithmetic('/', 6, from(2, 3)), 2, 3);
    near(spanArithmetic('/', 6, from(-3, -2)), -3, -2);
    near(slope(spanArithmetic('/', 6, from(2, 3))), -6 / 4, -6 / 9);
    const quotient = spanArithmetic('/', from(2, 3), from(5, 10, q));
    near(slope(quotient), 5 / 100, 10 / 25);
    near(slope(quotient, q), -15 / 25, -10 / 100);
    for (const by of [from(-1, 1), from(0, 1), from(-1, 0), 0]) {
      expect(() => spanArithmetic('/', 6, by)).toThrow(Opaque);
      expect(() => spanArithmetic('/', from(2, 3, q), by)).toThrow(Opaque);
    }
  });

  test('powers', () => {
    near(spanArithmetic('^', from(2, 3), 2), 4, 9);
    near(slope(spanArithmetic('^', from(2, 3), 2)), 4, 6);
    near(spanArithmetic('^', from(-2, 3), 2), 0, 9);
    near(slope(spanArithmetic('^', from(-2, 3), 2)), -20, 30);
    near(spanArithmetic('^', from(4, 9), 0.5), 2, 3);
    near(slope(spanArithmetic('^', from(4, 9), 0.5)), 5 / 6, 5 / 4);
    near(spanArithmetic('^', from(2, 4), -1), 0.25, 0.5);
    near(slope(spanArithmetic('^', from(2, 4), -1)), -0.5, -0.125);
    near(spanArithmetic('^', 2, from(1, 3)), 2, 8);
    near(slope(spanArithmetic('^', 2, from(1, 3))), 4 * Math.LN2, 16 * Math.LN2);
    near(spanArithmetic('^', 0.5, from(1, 3)), 0.125, 0.5);
    near(slope(spanArithmetic('^', 0.5, from(1, 3))), -Math.LN2, -0.25 * Math.LN2);
    for (const [a, b] of [
      [from(-1, 2), 3],
      [from(0, 2), 0.5],
      [0, from(1, 2)],
      [-2, from(1, 2)],
      [from(1, 2), from(1, 2, q)],
    ] as const)
      expect(() => spanArithmetic('^', a, b)).toThrow(Opaque);
  });

  test('the opposite', () => {
    const opposite = negated(from(1, 3));
    near(opposite, -3, -1);
    near(slope(opposite), -2, -2);
  });

  test('nothing else', () => expect(() => spanArithmetic('%', from(1, 2), 1)).toThrow(Opaque));
});

describe('functions', () => {
  const of = (name: string, ...args: (number | Span)[]) => spanFunctions[name]?.(args) as Span;

  test('the least and the greatest take the slopes of whichever may be it', () => {
    const least = of('min', from(1, 4), from(3, 9, q));
    near(least, 1, 4);
    near(slope(least), 0, 3);
    near(slope(least, q), 0, 6);
    const clear = of('min', from(1, 2), from(3, 9, q));
    near(clear, 1, 2);
    expect([...clear.slopes.keys()]).toEqual([p]);
    const greatest = of('max', from(1, 2), from(3, 9, q), 5);
    near(greatest, 5, 9);
    expect([...greatest.slopes.keys()]).toEqual([q]);
    near(slope(greatest, q), 0, 6);
    near(of('max', 0, from(1, 2)), 1, 2);
  });

  test('the size, whatever the sign', () => {
    near(of('abs', from(1, 3)), 1, 3);
    near(of('abs', from(-3, -1)), 1, 3);
    near(slope(of('abs', from(-3, -1))), -2, -2);
    near(slope(of('abs', from(-3, 1))), -4, 4);
    near(of('abs', from(-3, 1)), 0, 3);
    near(of('absolute', from(280, 290)), 280, 290);
  });

  test('roots, exponentials and logarithms, each with its slope', () => {
    near(of('sqrt', from(4, 9)), 2, 3);
    near(slope(of('sqrt', from(4, 9))), 5 / 6, 5 / 4);
    near(of('exp', from(0, 1)), 1, Math.E);
    near(slope(of('exp', from(0, 1))), 1, Math.E);
    near(of('ln', from(1, Math.E)), 0, 1);
    near(slope(of('ln', from(1, 2))), 0.5, 1);
    near(of('sum', from(1, 2), 3, from(10, 20, q)), 14, 25);
    expect(() => of('sqrt', from(0, 1))).toThrow(Opaque);
    expect(() => of('ln', from(0, 1))).toThrow(Opaque);
    expect(() => of('sqrt', 4)).toThrow(Opaque);
    expect(() => of('ln')).toThrow(Opaque);
    expect(spanFunctions.floor).toBeUndefined();
  });
});

describe('a comparison', () => {
  const less = (a: number | Span, b: number | Span) => spanComparison(a, b, true, (x, y) => x <= y);
  const more = (a: number | Span, b: number | Span) => spanComparison(a, b, false, (x, y) => x >= y);

  test('is told where it comes out alike everywhere', () => {
    expect(less(from(1, 2), 2)).toBe(true);
    expect(less(from(1, 2), from(2, 3, q))).toBe(true);
    expect(less(from(3, 4), 2)).toBe(false);
    expect(more(from(1, 2), 1)).toBe(true);
    expect(more(from(1, 2), from(3, 4, q))).toBe(false);
    expect(more(5, from(3, 4))).toBe(true);
  });

  test('and not where it turns on the way', () => {
    expect(() => less(from(1, 3), 2)).toThrow(Opaque);
    expect(() => more(from(1, 3), 2)).toThrow(Opaque);
    expect(() => less(2, from(1, 3))).toThrow(Opaque);
  });
});

describe('a span', () => {
  test('is taken for no number by accident', () => {
    expect(() => Number(from(1, 2))).toThrow(Opaque);
    expect(() => refuseSpans(1, [from(1, 2)])).toThrow(Opaque);
    expect(() => refuseSpans(1, [2], 'a')).not.toThrow();
    expect([1, [1, 2], from(1, 2), [from(1, 2)], [[from(1, 2)]]].map(hasSpan)).toEqual([
      false,
      false,
      true,
      true,
      true,
    ]);
    expect([1, from(1, 2), 'a', [from(1, 2)]].map(isSpanOrNumber)).toEqual([true, true, false, false]);
  });

  test('without end tells nothing', () => {
    const endless = Number.POSITIVE_INFINITY;
    expect(() => new Span(0, endless, new Map())).toThrow(Opaque);
    expect(() => new Span(-endless, 0, new Map())).toThrow(Opaque);
    expect(() => new Span(0, 1, new Map([[p, { low: 0, high: endless }]]))).toThrow(Opaque);
    expect(() => new Span(0, 1, new Map([[p, { low: Number.NaN, high: 0 }]]))).toThrow(Opaque);
    expect(() => spanArithmetic('*', from(1, 1e200), from(1, 1e200, q))).toThrow(Opaque);
  });
});

// dx/dr = -(df/dr) / (df/dx): x = p / q makes p - q x zero.
test('what makes something zero has the slopes that it must have', () => {
  const zero = spanOfZero({ low: 0.5, high: 2 }, (x) =>
    spanArithmetic('-', from(2, 4), spanArithmetic('*', from(2, 4, q), x)),
  );
  // By p: 2 / q, from 2 / 4 to 2 / 2; by q: -2 x / q.
  near(slope(zero), 0.5, 1);
  near(slope(zero, q), -2, -0.25);
  expect(zero).toMatchObject({ low: 0.5, high: 2 });
  expect(() => spanOfZero({ low: 0, high: 1 }, (x) => x)).toThrow(Opaque);
  expect(() => spanOfZero({ low: 0, high: 1 }, () => 3)).toThrow(Opaque);
});

test('a power of what begins at nothing is told where its slope has no jump there', () => {
  near(spanArithmetic('^', from(0, 4), 1.5), 0, 8);
  near(slope(spanArithmetic('^', from(0, 4), 1.5)), 0, 12);
  expect(() => spanArithmetic('^', from(0, 4), 0.5)).toThrow(Opaque);
  expect(() => spanArithmetic('^', from(-1e-9, 4), 1.5)).toThrow(Opaque);
});
