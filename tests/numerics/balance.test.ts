import { describe, expect, test } from 'vitest';
import { balance, balanceOverRanges, zeroOf } from '../../language/numerics/balance.ts';
import { Opaque, Span, spanArithmetic, spanFunctions } from '../../language/values/span.ts';
import { Bounds, Fault, Formula, Unknown } from '../../language/values/value.ts';

test.each([
  ['x^3 - 2', (x: number) => x ** 3 - 2, 0, 2, 2 ** (1 / 3)],
  ['cos x - x', (x: number) => Math.cos(x) - x, 0, 1, 0.7390851332151607],
  ['a kink', (x: number) => (x < 1 ? x - 1 : 1000 * (x - 1)), -5, 7, 1],
  ['flat beside its zero', (x: number) => (x - 1) ** 9, 0, 3, 1],
])('the zero of %s', (_, f, low, high, zero) => {
  const found = balance(new Formula('f', (x) => f(x as number)), low, high) as number;
  // Where the function is flat, it is as near to zero as doubles tell long before x is.
  expect(Math.abs(found - zero)).toBeLessThan(_.startsWith('flat') ? 1e-2 : 1e-9);
});

test('it takes few steps where the function is smooth, and never more than a hundred', () => {
  const steps = (f: (x: number) => number, low: number, high: number) => {
    let count = 0;
    const counted = (x: number) => {
      count++;
      return f(x);
    };
    zeroOf(counted, low, f(low), high, f(high));
    return count;
  };
  // Bisection alone takes 35 from 2 to 1e-10; Brent (1973) needs some ten for a smooth function.
  expect(steps((x) => x ** 3 - 2, 0, 2)).toBeLessThanOrEqual(8);
  expect(steps((x) => Math.cos(x) - x, 0, 1)).toBeLessThanOrEqual(6);
  expect(steps((x) => 2 * x - 1, 0, 1)).toBe(1);
  // A plate that radiates and convects: steps are never shorter than what is asked for.
  expect(steps((x) => 5.67e-8 * x ** 4 + 2 * (x - 300) - 500, 300, 3000)).toBeLessThanOrEqual(8);
  expect(steps((x) => (x < 1 ? -1 : 1), 0, 1e6)).toBeLessThanOrEqual(100);
});

test('a zero at either end is found there', () => {
  const line = new Formula('line', (x) => (x as number) - 2);
  expect(balance(line, 2, 5)).toBe(2);
  expect(balance(line, -1, 2)).toBe(2);
  expect(balance(new Formula('nothing', () => 0), 3, 7)).toBe(7);
});

test('no zero between the ends is a bound', () => {
  expect(balance(new Formula('f', () => 1), 0, 1)).toEqual(new Bounds(1, undefined, []));
  expect(balance(new Formula('f', () => -1), 0, 1)).toEqual(new Bounds(undefined, 0, []));
});

test('what is not known stays so, and what cannot be computed on the way is the result', () => {
  const unknown = new Unknown([]);
  const fault = new Fault('not there');
  expect(balance(unknown, 0, 1)).toBe(unknown);
  expect(balance(fault, 0, 1)).toBe(fault);
  expect(balance(3, 0, 1)).toEqual(new Unknown([]));
  const net = new Formula('net', (x) => ((x as number) > 310 ? fault : 1));
  expect(balance(net, 300, 330)).toBe(fault);
  expect(balance(net, unknown, 330)).toEqual(new Unknown([]));
  expect(balance(net, 300, unknown)).toEqual(new Unknown([]));
  expect(() => balance(new Formula('broken', () => JSON.parse('{')), 0, 1)).toThrow(SyntaxError);
});

// Bounds of the zero and of its slopes against the zeros themselves, at points of the ranges: the implicit function theorem.
describe('where what is balanced rests on ranges', () => {
  const [p, q] = [{ name: 'p' }, { name: 'q' }];
  type Number = number | Span;
  const calc = (operator: string, a: Number, b: Number): Number =>
    typeof a === 'number' && typeof b === 'number'
      ? { '+': a + b, '-': a - b, '*': a * b, '/': a / b, '^': a ** b }[operator]!
      : spanArithmetic(operator, a, b);
  /** Heat given off less what leaves by radiation and by conduction, of a plate at x in air at `air`, with `power`. */
  const net = (x: Number, power: Number, air: Number) =>
    calc('-', calc('-', power, calc('*', 0.5, calc('-', x, air))), calc('*', 2e-9, calc('^', x, 4)));
  const range = (low: number, high: number, of: object) =>
    new Span(low, high, new Map([[of, { low: high - low, high: high - low }]]));
  const formula = (power: Number, air: Number) => new Formula('net', (x) => net(x as Number, power, air));

  test('the bounds hold every zero, and the slopes their sign', () => {
    const found = balanceOverRanges(formula(range(80, 120, p), range(288, 303, q)), range(288, 303, q), 900) as Span;
    const zeros: number[] = [];
    for (const power of [80, 90, 100, 120])
      for (const air of [288, 295, 303]) zeros.push(balance(formula(power, air), air, 900) as number);
    for (const zero of zeros) {
      expect(found.low).toBeLessThanOrEqual(zero);
      expect(found.high).toBeGreaterThanOrEqual(zero);
    }
    // More power and warmer air both make it hotter.
    expect(found.slopes.get(p)?.low).toBeGreaterThan(0);
    expect(found.slopes.get(q)?.low).toBeGreaterThan(0);
    // As sharp as the two ends are, since each range stands once in what is balanced.
    expect(found.low).toBeCloseTo(Math.min(...zeros), 3);
    expect(found.high).toBeCloseTo(Math.max(...zeros), 3);
    // The slope by a small step lies within its bounds.
    const step = (at: number) =>
      ((balance(formula(at + 0.01, 295), 288, 900) as number) - (balance(formula(at, 295), 288, 900) as number)) / 0.01;
    for (const at of [81, 100, 119]) {
      expect(found.slopes.get(p)?.low).toBeLessThanOrEqual(40 * step(at));
      expect(found.slopes.get(p)?.high).toBeGreaterThanOrEqual(40 * step(at));
    }
  });

  test('what rests on none is one number, but for rounding', () => {
    const found = balanceOverRanges(formula(100, 295), 295, 900) as Span;
    expect(found.slopes.size).toBe(0);
    const zero = balance(formula(100, 295), 295, 900) as number;
    expect(found.low).toBeLessThanOrEqual(zero);
    expect(found.high).toBeGreaterThanOrEqual(zero);
    expect(found.high - found.low).toBeLessThan(1e-5);
  });

  test.each([
    ['there may be none between the ends', () => balanceOverRanges(formula(range(80, 120, p), 295), 295, 310)],
    ['it rises', () => balanceOverRanges(new Formula('up', (x) => calc('-', x as Number, range(1, 2, p))), 0, 5)],
    [
      'bounds do not tell it',
      () =>
        balanceOverRanges(
          new Formula('no', () => {
            throw new Opaque();
          }),
          0,
          5,
        ),
    ],
    ['it is no formula', () => balanceOverRanges(3, 0, 5)],
    ['an end is no number', () => balanceOverRanges(formula(1, 2), new Unknown([]), 5)],
    [
      'it may stay level where it is zero',
      () => {
        const [min, max] = [spanFunctions.min, spanFunctions.max] as ((a: Number[]) => Span)[];
        // 1 - min(x, 1) - max(x - 3, 0), give or take a tenth: from 1 to 3 it is about zero.
        const level = (x: Number) => calc('-', calc('-', range(0.9, 1.1, p), min!([x, 1])), max!([calc('-', x, 3), 0]));
        return balanceOverRanges(new Formula('level', (x) => level(x as Number)), 0, 5);
      },
    ],
  ])('nothing is told where %s', (_, work) => expect(work).toThrow(Opaque));
});
