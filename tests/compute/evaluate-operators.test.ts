import { describe, expect, test } from 'vitest';
import { answer } from './asking.ts';

describe('numbers', () => {
  test.each([
    ['2 + 3 * 4', '14'],
    ['(2 + 3) * 4', '20'],
    ['7 - 2 - 1', '4'],
    ['12 / 3 / 2', '2'],
    ['2 ^ 3', '8'],
    // A minus takes in a whole power, as it is written by hand.
    ['-2 ^ 2', '-4'],
    ['(-2) ^ 2', '4'],
    ['-(3 - 5)', '2'],
    ['[4, 5, 6][2]', '5'],
    ['[4, 5, 6][3]', '6'],
    ['if 2 > 1 then 4 else 5', '4'],
    ['if 2 < 1 then 4 else 5', '5'],
  ])('%s is %s', (formula, expected) => expect(answer(formula)).toBe(expected));

  test.each([
    ['1 / 0', 'this divides by zero'],
    ['(-8) ^ (1 / 3)', 'a negative number has no such power'],
    ['[4, 5][3]', 'the list has 2 elements; there is no number 3'],
    ['[4, 5][0]', 'the list has 2 elements; there is no number 0'],
  ])('%s cannot be: %s', (formula, why) =>
    expect(answer(formula, { type: 'Ratio' })).toBe(`cannot be computed: ${why}`),
  );
});

describe('comparisons', () => {
  // 0.1 + 0.2 differs from 0.3 by rounding alone (IEEE 754), and is the same here.
  test.each([
    ['0.1 + 0.2 == 0.3', 'yes'],
    ['0.1 + 0.2 != 0.3', 'no'],
    ['0.1 + 0.2 <= 0.3', 'yes'],
    ['0.1 + 0.2 > 0.3', 'no'],
    ['0.3 < 0.1 + 0.2', 'no'],
    ['0.3 >= 0.1 + 0.2', 'yes'],
    ['1 < 2', 'yes'],
    ['2 < 1', 'no'],
    ['2 < 2', 'no'],
    ['2 <= 2', 'yes'],
    ['2 > 1', 'yes'],
    ['2 > 2', 'no'],
    ['2 >= 3', 'no'],
    ['1 == 1.001', 'no'],
    ['1 != 1.001', 'yes'],
    ['"a" == "a"', 'yes'],
    ['"a" != "a"', 'no'],
    ['"a" == "b"', 'no'],
    ['(2) in [1, 2]', 'yes'],
    ['(3) in [1, 2]', 'no'],
    ['self in [self]', 'yes'],
    ['self is asker', 'yes'],
    ['self is material', 'no'],
    ['not 1 == 2', 'yes'],
    ['not yes', 'no'],
  ])('%s: %s', (formula, expected) => expect(answer(formula, { type: 'YesNo' })).toBe(expected));
});

describe('quantities', () => {
  test.each([
    ['60 degC + 20 K', 'Temperature', '80 °C'],
    ['20 K + 60 degC', 'Temperature', '80 °C'],
    ['60 degC - 20 K', 'Temperature', '40 °C'],
    ['60 degC - 20 degC', 'TemperatureDifference', '40 K'],
    ['24 V * 10 A', 'Power', '240 W'],
    ['24 V * 50 %', 'Voltage', '12 V'],
    ['3 * 2 m', 'Length', '6 m'],
    ['(3 m) ^ 2', 'Area', '9 m²'],
    ['(1 mm x 2 mm).width', 'Length', '1 mm'],
    ['(1 mm x 2 mm).depth', 'Length', '2 mm'],
    ['(1 mm x 2 mm x 3 mm).height', 'Length', '3 mm'],
    ['1 mm x 2 mm x 3 mm', 'Length x Length x Length', '1 mm x 2 mm x 3 mm'],
    ['2 EUR + 3 EUR', 'Price', '5 EUR'],
    ['5 EUR - 3 EUR', 'Price', '2 EUR'],
    ['2 EUR * 3', 'Price', '6 EUR'],
    ['3 * 2 EUR', 'Price', '6 EUR'],
    ['6 EUR / 3', 'Price', '2 EUR'],
    ['-(2 EUR)', 'Price', '-2 EUR'],
    ['(2 EUR).currency', 'Text', 'EUR'],
  ])('%s, a %s, is %s', (formula, type, expected) => expect(answer(formula, { type })).toBe(expected));

  test('prices in one currency are compared, by their ratio too', () => {
    expect(answer('6 EUR / 3 EUR', { type: 'Count' })).toBe('2');
    expect(answer('2 EUR < 3 EUR', { type: 'YesNo' })).toBe('yes');
    expect(answer('2 EUR == 2 EUR', { type: 'YesNo' })).toBe('yes');
    expect(answer('2 EUR != 3 EUR', { type: 'YesNo' })).toBe('yes');
  });

  test('prices in two currencies meet by the stated rate, in either direction', () => {
    const beside = 'rate 1 EUR = 1.25 USD on 2026-03-02';
    const type = 'Price';
    expect(answer('2 EUR + 5 USD', { type })).toBe(
      'cannot be computed: EUR and USD meet here without a stated rate: write "rate 1 EUR = … USD on DATE"',
    );
    expect(answer('2 EUR + 5 USD', { type, beside })).toBe('6 EUR');
    expect(answer('5 USD + 2 EUR', { type, beside })).toBe('7.50 USD');
    expect(answer('sum([5 USD, 2 EUR])', { type, beside })).toBe('7.50 USD');
    expect(answer('4 EUR > 5 USD', { type: 'YesNo', beside })).toBe('no');
    expect(answer('2 EUR == 2 USD', { type: 'YesNo' })).toBe('no');
    expect(answer('2 EUR + 5 CHF', { type, beside })).toContain('EUR and CHF meet here');
    expect(answer('sum([5 CHF, 2 EUR])', { type, beside })).toContain('CHF and EUR are summed here');
  });
});

describe('what is not given', () => {
  const w = 'w: Count';

  test.each([
    ['w > 1 or yes', 'yes'],
    ['yes or w > 1', 'yes'],
    ['w > 1 or no', 'not known'],
    ['no and w > 1', 'no'],
    ['w > 1 and no', 'no'],
    ['yes and w > 1', 'not known'],
    ['not (w > 1)', 'not known'],
    ['w == 1', 'not known'],
    ['w in [1, 2]', 'not known'],
    ['(1) in [1, w]', 'yes'],
    ['(3) in [1, w]', 'not known'],
  ])('%s: %s', (formula, expected) => expect(answer(formula, { type: 'YesNo', has: w })).toBe(expected));

  test.each([['w + 1'], ['-w'], ['if w > 1 then 1 else 1'], ['[w, 1][1]'], ['[1, 2][w]']])(
    '%s is not known',
    (formula) => expect(answer(formula, { has: w })).toBe('not known'),
  );

  test('what an expression does not need may be missing', () => {
    expect(answer('if yes then 1 else w', { has: w })).toBe('1');
    expect(answer('[1, w][1]', { has: w })).toBe('1');
  });

  test('otherwise takes its fallback only for what was left out, never for what is unknown', () => {
    const type = 'Length';
    const optional = 'width: Length?';
    expect(answer('width otherwise 3 mm', { type, has: optional })).toBe('3 mm');
    expect(answer('width otherwise 3 mm', { type, has: optional, says: 'width = 5 mm' })).toBe('5 mm');
    expect(answer('width otherwise 3 mm', { type, has: 'width: Length' })).toBe('not known');
    expect(answer('2 * width otherwise 3 mm', { type, has: optional })).toBe('not known');
    const twice = 'twice: Length = 2 * width {\n    source defined "a test"\n  }';
    expect(answer('twice otherwise 3 mm', { type, has: `${optional}\n  ${twice}` })).toBe('not known');
    const two = 'width: Length? default depth\n  depth: Length';
    expect(answer('width otherwise 3 mm', { type, has: two })).toBe('not known');
    expect(answer('width otherwise depth', { type, has: 'width: Length?\n  depth: Length' })).toBe('not known');
    expect(answer('width otherwise depth', { type, has: 'width: Length?\n  depth: Length?' })).toBe('not known');
  });
});
