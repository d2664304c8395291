import { describe, expect, test } from 'vitest';
import { machineIn, read, shown } from '../support.ts';
import { answer, asking } from './asking.ts';

describe('numbers', () => {
  test.each([
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
    ['sqrt(-1)', 'this number has no such result'],
    ['ln(-1)', 'this number has no such result'],
    ['ln(0)', 'this number has no such result'],
    ['asin(2) / 1 rad', 'this number has no such result'],
  ])('%s cannot be: %s', (formula, why) =>
    expect(answer(formula, { type: 'Ratio' })).toBe(`cannot be computed: ${why}`),
  );

  test.each([
    ['absolute(20 degC)', 'TemperatureDifference', '293 K'],
    ['max(20 degC, 30 degC)', 'Temperature', '30 °C'],
    ['sqrt(9 m^2)', 'Length', '3 m'],
    ['min(3 EUR, 2 EUR)', 'Price', '2 EUR'],
  ])('%s, a %s, is %s', (formula, type, expected) => expect(answer(formula, { type })).toBe(expected));
});

/** A ratio, whether it is shown as a number or in percent. */
function percentOf(number: string): RegExp {
  return new RegExp(`^(${number}|${Number((Number(number) * 100).toPrecision(3))} %)$`);
}

describe('what is not given', () => {
  const w = 'w: Count';

  test.each([
    ['any(x > 4 for x in [5, w])', 'yes'],
    ['any(x > 4 for x in [4, w])', 'not known'],
    ['all(x > 4 for x in [4, w])', 'no'],
    ['all(x > 4 for x in [5, w])', 'not known'],
    ['any(x > 4 for x in [1, 2] where x > 5)', 'no'],
    ['all(x > 4 for x in [1, 2] where x > 5)', 'yes'],
    ['given(w)', 'no'],
  ])('%s: %s', (formula, expected) => expect(answer(formula, { type: 'YesNo', has: w })).toBe(expected));

  test.each([['max(1, w)'], ['abs(w)']])('%s is not known', (formula) =>
    expect(answer(formula, { has: w })).toBe('not known'),
  );

  test('given tells what was given or is by default from what was not', () => {
    const type = 'YesNo';
    expect(answer('given(w)', { type, has: 'w: Count?' })).toBe('no');
    expect(answer('given(w)', { type, has: 'w: Count?', says: 'w = 3' })).toBe('yes');
    expect(answer('given(w)', { type, has: 'w: Count default 2' })).toBe('yes');
    expect(answer('given(first(each(x for x in [1] where x > 2)))', { type })).toBe('no');
    expect(answer('given(first([1]))', { type })).toBe('yes');
    expect(answer('given(other.w)', { type, has: 'w: Count?\n  other: asker', says: 'other = a' })).toBe('no');
  });
});

test('of what rests on a mistake it is not known whether it is given, but of the value itself', () => {
  const said = (asked: string) =>
    shown(
      machineIn(
        asking(asked, {
          type: 'YesNo',
          has: 'w: Count?\n  other: asker\n  twice: Count? = 2 * other.w { source defined "" }',
          says: 'other = a\n  w = nowhere',
        }),
      ),
      'answer',
    );
  expect(said('given(twice)')).toBe('not known');
  expect(said('given(w)')).toBe('yes');
});

test('what only hands out what it is given is known as exactly as that, wherever ranges are taken', () => {
  const { project, file } = read(
    'kind hall {\n  toplevel\n  width: Length\n}\nhall H {\n  width = 1 m .. 2 m\n  require first([width, 1 m]) < 3 m\n  require last([1 m, width]) < 3 m\n  require sum(each([width, 1 m])) < 4 m\n}\n',
  );
  for (const _ of project.searchDeeper(file));
  expect(project.machines(file)[0]?.assessment.requirements.map(({ holds, proved }) => [holds, proved])).toEqual([
    [true, true],
    [true, true],
    [true, true],
  ]);
});
