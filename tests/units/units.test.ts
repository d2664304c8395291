import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Lexer } from '../../language/grammar/lexer.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { readLibrary } from '../../language/project.ts';
import { baseDimension, type Dimension, dimensionless, multiply, raise } from '../../language/units/dimension.ts';
import { baseText, displayUnit, formatNumber } from '../../language/units/display.ts';
import { isUnit, type Unit } from '../../language/units/units.ts';

const { system } = readLibrary(libraryFiles).scope;
const unitOf = (text: string): Unit => {
  const unit = system.unit(text);
  if (!isUnit(unit)) throw new Error(`${unit.part} is not a unit`);
  return unit;
};
const near = (a: number, b: number) => Math.abs(a / b - 1) < 1e-12;

const dimension: fc.Arbitrary<Dimension> = fc
  .dictionary(fc.constantFrom('Length', 'Mass', 'Time', 'Current'), fc.integer({ min: -4, max: 4 }))
  .map((powers) =>
    Object.entries(powers).reduce((d, [name, power]) => multiply(d, raise(baseDimension(name), power)), dimensionless),
  );
const plain = fc.constantFrom(...system.plainUnits().filter((u) => !u.currency && u.zero === undefined));
const simple = plain.map((unit) => unit.text);
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

describe('units', () => {
  test('multiply, divide and are raised, factor and dimension alike', () => {
    fc.assert(
      fc.property(simple, simple, simple, power, (a, b, c, n) => {
        const [ua, ub, uc] = [unitOf(a), unitOf(b), unitOf(c)];
        const whole = unitOf(`${a}*${b}^${n}/(${c}*${a})`);
        expect(near(whole.factor, (ua.factor * ub.factor ** n) / (uc.factor * ua.factor))).toBe(true);
        expect(whole.dimension).toBe(multiply(raise(ub.dimension, n), uc.dimension, -1));
        // A quotient goes on from the left: a/b*c is (a/b)*c.
        expect(near(unitOf(`${a}/${b}*${c}`).factor, (ua.factor / ub.factor) * uc.factor)).toBe(true);
      }),
    );
  });

  test('are read back from what the text of a dimension says', () => {
    for (const named of system.dimensions.values()) {
      if (named.points || named.money || named.dimension === dimensionless) continue;
      const text = baseText(system, named.dimension);
      const unit = system.unit(text);
      expect(isUnit(unit) && { dimension: unit.dimension.key, factor: unit.factor }, `${named.name}: ${text}`).toEqual({
        dimension: named.dimension.key,
        factor: 1,
      });
    }
  });

  test('that a quantity is shown in are of its dimension', () => {
    for (const named of system.dimensions.values()) {
      for (const text of named.shown) {
        const unit = text === '1' ? undefined : unitOf(text);
        if (unit) expect(unit.dimension, `${named.name} shown in ${text}`).toBe(named.dimension);
      }
    }
  });

  test('have the dimension that they are declared with', () => {
    for (const unit of system.plainUnits()) expect(unit.of?.dimension, unit.text).toBe(unit.dimension);
  });

  test('are never two with one spelling, prefixes included', () => {
    const found = new Map<string, string>();
    for (const unit of system.plainUnits()) {
      for (const prefix of ['', ...system.prefixes.keys()]) {
        const read = system.unit(prefix + unit.text);
        if (!isUnit(read) || (read.of !== unit.of && prefix !== '')) continue;
        found.set(prefix + unit.text, `${prefix}|${unit.text}`);
        const factor = (system.prefixes.get(prefix)?.factor ?? 1) * unit.factor;
        // `min` is a minute and never a thousandth of an inch: a unit's own name comes first.
        if (!system.plainUnits().some((other) => other.text === prefix + unit.text && prefix)) {
          expect(near(read.factor, factor), prefix + unit.text).toBe(true);
        }
      }
    }
    expect(found.size).toBeGreaterThan(300);
  });

  test.each([
    ['v', 'V'],
    ['mm2', 'mm^2'],
    ['W/m2', 'W/m^2'],
    ['KG', 'kg'],
    ['Ohm', 'ohm'],
    ['furlongs', undefined],
  ])('%s is not one, and what is meant may be %s', (text, suggestion) => {
    const read = system.unit(text);
    expect(isUnit(read)).toBe(false);
    expect((read as { suggestion?: string }).suggestion).toBe(suggestion);
  });
});

describe('numbers as they are shown', () => {
  const size = fc.tuple(fc.double({ min: 1, max: 10, noNaN: true }), fc.integer({ min: -12, max: 12 }), fc.boolean());
  const number = size.map(([mantissa, exponent, negative]) => (negative ? -1 : 1) * mantissa * 10 ** exponent);

  test('are within half of the last of three digits', () => {
    fc.assert(
      fc.property(number, (value) => {
        const shown = Number(formatNumber(value));
        const digit = 10 ** (Math.floor(Math.log10(Math.abs(value))) - 2);
        expect(Math.abs(shown - value)).toBeLessThanOrEqual(digit * 0.5 * (1 + 1e-9));
      }),
    );
  });

  test('are shown the same when they are typed in as they are shown, and are numbers of the language', () => {
    fc.assert(
      fc.property(number, (value) => {
        const text = formatNumber(value);
        expect(formatNumber(Number(text))).toBe(text);
        const digits = text.replace('-', '');
        expect(new Lexer(digits).read(0, false)).toMatchObject({ kind: 'number', number: digits, end: digits.length });
      }),
    );
  });

  // Rounding half away from zero where doubles allow it; common practice, no source.
  test.each([
    [0, '0'],
    [10.4167, '10.4'],
    [0.61649, '0.616'],
    [99.96, '100'],
    [999.6, '1000'],
    [1234.5, '1235'],
    [0.1, '0.1'],
    [2.5, '2.5'],
    [230, '230'],
    [1e7, '1e7'],
    [9999999.7, '1e7'],
    [0.00009996, '0.0001'],
    [-0.00012345, '-0.000123'],
    [0.00001, '1e-5'],
    [1 / 3, '0.333'],
    [Number.POSITIVE_INFINITY, 'infinite'],
    [Number.NaN, 'not a number'],
  ])('%f is shown as %s', (value, text) => {
    expect(formatNumber(value)).toBe(text);
  });

  test('the unit leaves a number from 1 on, where one of those to choose from does', () => {
    const shown = ['mm', 'm'];
    const choose = (metres: number) => displayUnit(system, metres, shown)?.text;
    expect([0, 0.0005, 0.5, 0.9994, 0.9996, 1, 2000].map(choose)).toEqual(['mm', 'mm', 'mm', 'mm', 'm', 'm', 'm']);
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1e6, noNaN: true }), (value) => {
        const unit = displayUnit(system, value, ['mm^2', 'cm^2', 'm^2']) as Unit;
        const larger = ['mm^2', 'cm^2', 'm^2'].map(unitOf).filter((u) => u.factor > unit.factor);
        for (const other of larger) expect(value / other.factor).toBeLessThan(1);
      }),
    );
  });
});
