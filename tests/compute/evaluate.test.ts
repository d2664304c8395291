import { describe, expect, test } from 'vitest';
import { machineIn, shown, toldOf } from '../support.ts';

/** A block of a kind of its own whose `answer` is a formula. */
interface Asked {
  readonly type?: string;
  /** What the kind declares besides. */
  readonly has?: string;
  /** What the block says. */
  readonly says?: string;
  /** What the file declares besides. */
  readonly beside?: string;
}

function asking(formula: string, { type = 'Count', has = '', says = '', beside = '' }: Asked): string {
  return `/// Asks.
kind asker {
  toplevel
  ${has}
  /// What is asked.
  answer: ${type} = ${formula} {
    source defined "a question of a test"
  }
}
${beside}
asker a {
  ${says}
}
`;
}

/** What a formula comes to, as people read it; it has no mistake. */
function answer(formula: string, asked: Asked = {}): string {
  const text = asking(formula, asked);
  expect(toldOf(text).filter(({ severity }) => severity !== 'note')).toEqual([]);
  return shown(machineIn(text), 'answer');
}

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
    ['abs(-2)', '2'],
    ['abs(2)', '2'],
    ['floor(-1.5)', '-2'],
    ['ceil(-1.5)', '-1'],
    ['ceil(1.2)', '2'],
    ['round(2.4)', '2'],
    ['round(2.6)', '3'],
    ['min(3, 1, 2)', '1'],
    ['max(2, 3, 1)', '3'],
    ['min([3, 1, 2])', '1'],
    ['max(1)', '1'],
    ['sqrt(9)', '3'],
    ['[4, 5, 6][2]', '5'],
    ['[4, 5, 6][3]', '6'],
    ['if 2 > 1 then 4 else 5', '4'],
    ['if 2 < 1 then 4 else 5', '5'],
  ])('%s is %s', (formula, expected) => expect(answer(formula)).toBe(expected));

  // Values of the functions to three digits: Abramowitz and Stegun, Handbook of Mathematical Functions.
  test.each([
    ['exp(1)', '2.72'],
    ['ln(2)', '0.693'],
    ['sin(30 deg)', '0.5'],
    ['cos(60 deg)', '0.5'],
    ['tan(45 deg)', '1'],
    ['asin(0.5) / 1 rad', '0.524'],
  ])('%s is %s', (formula, expected) =>
    expect(answer(formula, { type: 'Ratio', has: '' })).toMatch(percentOf(expected)),
  );

  test.each([
    ['1 / 0', 'this divides by zero'],
    ['(-8) ^ (1 / 3)', 'a negative number has no such power'],
    ['sqrt(-1)', 'this number has no such result'],
    ['ln(-1)', 'this number has no such result'],
    ['asin(2) / 1 rad', 'this number has no such result'],
    ['[4, 5][3]', 'the list has 2 elements; there is no number 3'],
    ['[4, 5][0]', 'the list has 2 elements; there is no number 0'],
  ])('%s cannot be: %s', (formula, why) =>
    expect(answer(formula, { type: 'Ratio' })).toBe(`cannot be computed: ${why}`),
  );
});

/** A ratio, whether it is shown as a number or in percent. */
function percentOf(number: string): RegExp {
  return new RegExp(`^(${number}|${Number((Number(number) * 100).toPrecision(3))} %)$`);
}

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
    ['absolute(20 degC)', 'TemperatureDifference', '293 K'],
    ['max(20 degC, 30 degC)', 'Temperature', '30 °C'],
    ['24 V * 10 A', 'Power', '240 W'],
    ['24 V * 50 %', 'Voltage', '12 V'],
    ['3 * 2 m', 'Length', '6 m'],
    ['(3 m) ^ 2', 'Area', '9 m^2'],
    ['sqrt(9 m^2)', 'Length', '3 m'],
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
    ['min(3 EUR, 2 EUR)', 'Price', '2 EUR'],
    ['(2 EUR).currency', 'Text', 'EUR'],
    ['2026-03-02', 'Date', '2026-03-02'],
    ['name', 'Text', 'a'],
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
    ['any(x > 4 for x in [5, w])', 'yes'],
    ['any(x > 4 for x in [4, w])', 'not known'],
    ['all(x > 4 for x in [4, w])', 'no'],
    ['all(x > 4 for x in [5, w])', 'not known'],
    ['any(x > 4 for x in [1, 2] where x > 5)', 'no'],
    ['all(x > 4 for x in [1, 2] where x > 5)', 'yes'],
    ['given(w)', 'no'],
  ])('%s: %s', (formula, expected) => expect(answer(formula, { type: 'YesNo', has: w })).toBe(expected));

  test.each([['w + 1'], ['-w'], ['max(1, w)'], ['abs(w)'], ['if w > 1 then 1 else 1'], ['[w, 1][1]'], ['[1, 2][w]']])(
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

  test('given tells what was given or is by default from what was not', () => {
    const type = 'YesNo';
    expect(answer('given(w)', { type, has: 'w: Count?' })).toBe('no');
    expect(answer('given(w)', { type, has: 'w: Count?', says: 'w = 3' })).toBe('yes');
    expect(answer('given(w)', { type, has: 'w: Count default 2' })).toBe('yes');
    expect(answer('given(other.w)', { type, has: 'w: Count?\n  other: asker', says: 'other = a' })).toBe('no');
  });
});

describe('functions and constants of a file', () => {
  const beside = `/// Half of it.
function half(of: Length, less: Length): Length = of / 2 - less {
  source defined "a test"
}
/// A step.
constant step: Length = 4 mm {
  source defined "a test"
}
/// By area.
table capacity(area: Area): Current {
  source practice "a test"
  between linear
  row 1 mm^2: 10 A
  row 2 mm^2: 18 A
}
`;
  test.each([
    ['half(of: 10 mm, less: 1 mm)', '4 mm'],
    ['half(less: 1 mm, of: 10 mm)', '4 mm'],
    ['half(10 mm, 1 mm)', '4 mm'],
    ['2 * step', '8 mm'],
  ])('%s is %s', (formula, expected) => expect(answer(formula, { type: 'Length', beside })).toBe(expected));

  test('a table is read between its rows, and not beyond them', () => {
    const type = 'Current';
    expect(answer('capacity(area: 1.5 mm^2)', { type, beside })).toBe('14 A');
    expect(answer('capacity(area: 2 mm^2)', { type, beside })).toBe('18 A');
    expect(answer('capacity(area: 3 mm^2)', { type, beside })).toContain('3 mm^2');
    expect(answer('capacity(area: w)', { type, beside, has: 'w: Area' })).toBe('not known');
  });

  test('a derived value with arguments keeps one result for each', () => {
    const has =
      'scaled(of: Length, by: Count): Length = of * by + base {\n    source defined "a test"\n  }\n  base: Length default 1 mm';
    expect(answer('scaled(of: 2 mm, by: 3) + scaled(of: 2 mm, by: 4)', { type: 'Length', has })).toBe('16 mm');
    expect(answer('self.scaled(by: 3, of: 2 mm)', { type: 'Length', has })).toBe('7 mm');
    expect(answer('scaled(of: 2 mm, by: 3)', { type: 'Length', has, says: 'base = 5 mm' })).toBe('11 mm');
  });
});
