import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Lexer } from '../../language/grammar/lexer.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { readLibrary } from '../../language/project.ts';
import {
  baseText,
  describeDimension,
  displayUnit,
  formatNumber,
  inWords,
  withArticle,
} from '../../language/units/display.ts';
import { isUnit, type Unit } from '../../language/units/units.ts';

const { system } = readLibrary(libraryFiles).scope;
const unitOf = (text: string): Unit => {
  const unit = system.unit(text);
  if (!isUnit(unit)) throw new Error(`${unit.part} is not a unit`);
  return unit;
};

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

test('more digits, and fewer, where they are asked for', () => {
  expect([1, 2, 5].map((digits) => formatNumber(12.3456, digits))).toEqual(['12', '12', '12.346']);
  expect(formatNumber(123456.7, 2)).toBe('123457');
  expect(formatNumber(Number.NEGATIVE_INFINITY)).toBe('-infinite');
});

describe('a dimension in words', () => {
  test.each([
    ['A', undefined, 'a current'],
    ['J', undefined, 'an energy'],
    ['J', 'Torque', 'a torque'],
    ['1', 'Ratio', 'a ratio'],
    ['kg*m^3', undefined, 'a quantity in m^3*kg'],
  ])('of %s, named %s: %s', (text, name, words) => {
    expect(describeDimension(system, unitOf(text).dimension, system.dimensions.get(name ?? ''))).toBe(words);
  });

  test('that no name of the library fits is told in coherent units', () => {
    const told = (text: string) => baseText(system, unitOf(text).dimension);
    expect(['kg*m^3', 'm/s^3', '1/s^3', 'kg/(m^5*s^7)'].map(told)).toEqual([
      'm^3*kg',
      'm/s^3',
      '1/s^3',
      'kg/(m^5*s^7)',
    ]);
  });

  test('its name reads as words, with the article that goes with them', () => {
    expect(['PowerDensity', 'Length', 'HeatCapacityPerArea'].map(inWords)).toEqual([
      'power density',
      'length',
      'heat capacity per area',
    ]);
    expect(['area', 'energy', 'inertia', 'offset', 'mass'].map(withArticle)).toEqual([
      'an area',
      'an energy',
      'an inertia',
      'an offset',
      'a mass',
    ]);
  });
});
