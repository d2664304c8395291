import { describe, expect, test } from 'vitest';
import { answer } from './asking.ts';

describe('what is written as it is', () => {
  test.each([
    ['-5 degC', 'Temperature', '-5 °C'],
    ['-(5 K)', 'TemperatureDifference', '-5 K'],
    ['1.5 kW', 'Power', '1.5 kW'],
    ['12.50 EUR', 'Price', '12.50 EUR'],
    ['30 %', 'Ratio', '30 %'],
    ['2026-03-02', 'Date', '2026-03-02'],
    ['"as it is"', 'Text', 'as it is'],
    ['yes', 'YesNo', 'yes'],
    ['[1, 2]', 'list of Count', '[1, 2]'],
  ])('%s, a %s, is %s', (formula, type, expected) => expect(answer(formula, { type })).toBe(expected));

  test('a text shows the values in its braces, and is not known where one of them is not', () => {
    const has = 'width: Length\n  many: Count default 3';
    expect(answer('"{many} of {width}, \\{so}"', { type: 'Text', has, says: 'width = 5 mm' })).toBe('3 of 5 mm, {so}');
    expect(answer('"{many} of {width}"', { type: 'Text', has })).toBe('not known');
  });
});
