import { expect, test } from 'vitest';
import { balance, zeroOf } from '../../language/numerics/balance.ts';
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
