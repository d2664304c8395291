import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { baseDimension, type Dimension, dimensionless, multiply, raise } from '../../language/units/dimension.ts';

const dimension: fc.Arbitrary<Dimension> = fc
  .dictionary(fc.constantFrom('Length', 'Mass', 'Time', 'Current'), fc.integer({ min: -4, max: 4 }))
  .map((powers) =>
    Object.entries(powers).reduce((d, [name, power]) => multiply(d, raise(baseDimension(name), power)), dimensionless),
  );
const power = fc.integer({ min: -3, max: 3 }).filter((n) => n !== 0);

describe('dimensions', () => {
  test('multiply as a commutative group, of which equal ones are the same object', () => {
    fc.assert(
      fc.property(dimension, dimension, dimension, (a, b, c) => {
        expect(multiply(a, b)).toBe(multiply(b, a));
        expect(multiply(multiply(a, b), c)).toBe(multiply(a, multiply(b, c)));
        expect(multiply(a, dimensionless)).toBe(a);
        expect(multiply(a, a, -1)).toBe(dimensionless);
        expect(multiply(multiply(a, b), b, -1)).toBe(a);
      }),
    );
  });

  test('are raised as powers are', () => {
    fc.assert(
      fc.property(dimension, dimension, power, power, (a, b, m, n) => {
        expect(raise(multiply(a, b), n)).toBe(multiply(raise(a, n), raise(b, n)));
        expect(raise(raise(a, m), n)).toBe(raise(a, m * n));
        expect(multiply(raise(a, m), raise(a, n))).toBe(raise(a, m + n));
        expect(raise(raise(a, 0.5), 2)).toBe(a);
        expect(raise(a, 0)).toBe(dimensionless);
      }),
    );
  });
});

test('a key names the powers by the alphabet, so that text and dimension are one', () => {
  const [length, time] = [baseDimension('Length'), baseDimension('Time')];
  expect(multiply(length, time, -2).key).toBe('Length^1*Time^-2');
  expect(multiply(raise(time, -2), length).key).toBe('Length^1*Time^-2');
  expect(raise(length, 1 / 3).key).toBe('Length^0.333333');
  expect(dimensionless.key).toBe('');
});
