import { expect, test } from 'vitest';
import { isFunctionName, languageFunctions } from '../../language/types/functions.ts';
import { machineIn, mistakesIn, shown } from '../support.ts';

/** What each of the language's own functions is given, what type it gives, and what it comes to. */
const calls: Readonly<Record<string, readonly [call: string, type: string, shown: string]>> = {
  min: ['min(2 m, 1 m)', 'Length', '1 m'],
  max: ['max([2 m, 1 m])', 'Length', '2 m'],
  sum: ['sum([2 m, 1 m])', 'Length', '3 m'],
  count: ['count([2 m, 1 m])', 'Count', '2'],
  any: ['any(x > 1 m for x in [2 m, 1 m])', 'YesNo', 'yes'],
  all: ['all(x > 1 m for x in [2 m, 1 m])', 'YesNo', 'no'],
  first: ['first([2 m, 1 m])', 'Length', '2 m'],
  last: ['last([2 m, 1 m])', 'Length', '1 m'],
  each: ['each(2 * x for x in [2 m, 1 m])', 'list of Length', '[4 m, 2 m]'],
  chain: ['chain([2 m], [1 m, 3 m])', 'list of Length', '[2 m, 1 m, 3 m]'],
  position: ['position(x for x in [2 m, 1 m] where x < 2 m)', 'Count', '2'],
  the: ['the(x for x in [2 m, 1 m] where x < 2 m)', 'Length', '1 m'],
  given: ['given(width)', 'YesNo', 'no'],
  absolute: ['absolute(20 degC)', 'TemperatureDifference', '293 K'],
  abs: ['abs(-2 m)', 'Length', '2 m'],
  sqrt: ['sqrt(4 m^2)', 'Length', '2 m'],
  exp: ['exp(0) / 2', 'Ratio', '50 %'],
  ln: ['ln(1) + 0.5', 'Ratio', '50 %'],
  sin: ['sin(30 deg)', 'Ratio', '50 %'],
  cos: ['cos(60 deg)', 'Ratio', '50 %'],
  tan: ['tan(45 deg) / 2', 'Ratio', '50 %'],
  asin: ['asin(0.5)', 'Angle', '30 °'],
  floor: ['floor(1.5)', 'Count', '1'],
  ceil: ['ceil(1.5)', 'Count', '2'],
  round: ['round(1.6)', 'Count', '2'],
};

test('each is tried', () => expect(Object.keys(languageFunctions).toSorted()).toEqual(Object.keys(calls).toSorted()));

test.each(Object.entries(calls))('%s', (name, [call, type, expected]) => {
  const text = `kind hall {\n  toplevel\n  width: Length?\n  answer: ${type} = ${call}\n}\nhall H {\n}\n`;
  expect(mistakesIn(text)).toEqual([]);
  expect(shown(machineIn(text), 'answer')).toBe(expected);
  expect(isFunctionName(name)).toBe(true);
  expect(languageFunctions[name as keyof typeof languageFunctions].doc).toMatch(/[.`]$/);
});

test('no other name is one, nor what every object has', () => {
  for (const name of ['twice', 'toString', 'constructor', '']) expect(isFunctionName(name), name).toBe(false);
});
