import { describe, expect, test } from 'vitest';
import { toldOf } from '../support.ts';

/** What is said of a formula of a kind with values of several types, formulas with arguments among them. */
const told = (formula: string, type = 'Length') =>
  toldOf(`function twice(of: any Q): Q = if yes then of else of
function pick(from: list of any Q, like: Q): Q = like
function read(curve: curve of any X, any Y, at: X, like: Y): Y = like
function asked(f: (any X) -> any Y, at: X, like: Y): Y = f(at)
function stretched(length: Length, by: Ratio): Length = length * by
kind lamp {
  power: Power default 1 W
  heat(at: Length): Power = power * at / 1 m
}
kind hall {
  toplevel
  width: Length default 1 m
  depth: Length default 2 m
  warm: Temperature default 20 degC
  price: Price default 2 EUR
  turn: Angle default 30 deg
  lit: YesNo default yes
  says: Text default "a"
  mode: one of dim, bright default dim
  widths: list of Length default [1 m]
  course: curve of Time, Speed?
  has lamp
  speed(at: Time): Speed = at * 1 m/s^2
  answer: ${type} = ${formula}
}
`)
    .filter(({ severity }) => severity !== 'note')
    .map(({ code, marks, message }) => `${code} [${marks}] ${message}`);

describe('what is called', () => {
  test.each([
    ['stretched(1 m, 50 %)', 'Length'],
    ['stretched(by: 50 %, length: 1 m)', 'Length'],
    ['lamp.heat(1 m)', 'Power'],
    ['speed(1 s)', 'Speed'],
    ['twice(width)', 'Length'],
    ['twice(warm)', 'Temperature'],
    ['pick(widths, 2 m)', 'Length'],
    ['pick([1 s], 2 s)', 'Time'],
    ['read(course, 2 s, 3 m/s)', 'Speed'],
    ['asked(speed, 2 s, 3 m/s)', 'Speed'],
  ])('%s is a %s', (formula, type) => expect(told(formula, type)).toEqual([]));

  test.each([
    ['width(2)', 'Length', 'not_callable [width] width takes no arguments: it is a length.'],
    ['lamp.power(2)', 'Power', 'not_callable [lamp.power] lamp.power takes no arguments: it is a power.'],
    [
      'stretched(1 m)',
      'Length',
      'missing_argument [stretched(1 m)] stretched also needs by; write stretched(length: …, by: …).',
    ],
    [
      'stretched()',
      'Length',
      'missing_argument [stretched()] stretched also needs length and by; write stretched(length: …, by: …).',
    ],
    [
      'stretched(1 m, 50 %, 2)',
      'Length',
      'wrong_argument [2] stretched takes 2 arguments: stretched(length: …, by: …).',
    ],
    [
      'stretched(1 m, bye: 50 %)',
      'Length',
      'wrong_argument [bye: 50 %] stretched has no argument bye; write stretched(length: …, by: …).',
    ],
    ['stretched(1 m, 50 %, by: 2)', 'Length', 'wrong_argument [by: 2] stretched is given by twice.'],
    ['stretched(1 s, 50 %)', 'Length', 'wrong_dimension [1 s] Expected a length, this is a time.'],
    ['twice(lit)', 'Length', 'wrong_type [lit] Expected any quantity Q, this is yes or no.'],
    ['twice(width)', 'Time', 'wrong_dimension [twice(width)] Expected a time, this is a length.'],
    ['pick(widths, 2 s)', 'Length', 'wrong_dimension [2 s] Expected a length, this is a time.'],
    ['read(course, 2 m, 3 m/s)', 'Speed', 'wrong_dimension [2 m] Expected a time, this is a length.'],
    ['read(course, 2 s, 3 m)', 'Speed', 'wrong_dimension [3 m] Expected a speed, this is a length: divide by a time?'],
    ['asked(speed, 2 m, 3 m/s)', 'Speed', 'wrong_dimension [2 m] Expected a time, this is a length.'],
    ['asked(speed, 2 s, 3 m)', 'Speed', 'wrong_dimension [3 m] Expected a speed, this is a length: divide by a time?'],
  ])('%s, for a %s: %s', (formula, type, message) => expect(told(formula, type)).toEqual([message]));

  test('what is unknown is told once, its arguments are looked at all the same', () => {
    expect(told('nothing(1 m + 2 s)')).toHaveLength(2);
    expect(told('width(1 m + 2 s)')).toHaveLength(2);
    expect(told('lamp.nothing(1 m + 2 s)')).toHaveLength(2);
  });
});

describe('the language’s own functions', () => {
  test.each([
    ['min(width, depth)', 'Length'],
    ['max(widths)', 'Length'],
    ['min(warm, 20 degC)', 'Temperature'],
    ['max(w + 1 m for w in widths)', 'Length'],
    ['sum(widths)', 'Length'],
    ['count(widths)', 'Count'],
    ['count(w for w in widths where w > 1 m)', 'Count'],
    ['any(w > 1 m for w in widths)', 'YesNo'],
    ['first(widths)', 'Length'],
    ['each(w / 1 s for w in widths)', 'list of Speed'],
    ['position(w for w in widths where w > 1 m)', 'Count'],
    ['chain(widths, [width], widths)', 'list of Length'],
    ['given(width)', 'YesNo'],
    ['given(lamp.power)', 'YesNo'],
    ['given(widths[1])', 'YesNo'],
    ['given(speed(1 s))', 'YesNo'],
    ['absolute(warm)', 'TemperatureDifference'],
    ['abs(width - depth)', 'Length'],
    ['abs(price)', 'Price'],
    ['sqrt(width * depth)', 'Length'],
    ['sqrt(4)', 'Ratio'],
    ['sin(turn)', 'Ratio'],
    ['asin(width / depth)', 'Angle'],
    ['exp(width / depth)', 'Ratio'],
    ['floor(width / depth)', 'Count'],
  ])('%s is a %s', (formula, type) => expect(told(formula, type)).toEqual([]));

  test.each([
    ['min()', 'Length', 'missing_argument [min()] min needs an argument: min(…).'],
    ['abs(of: width)', 'Length', 'wrong_argument [of: width] abs takes its argument without a name: abs(…).'],
    ['abs(width, depth)', 'Length', 'wrong_argument [depth] abs takes one argument.'],
    ['max(w for w in widths, 2)', 'Length', 'wrong_argument [2] max takes one argument.'],
    ['sum(widths, 1 m)', 'Length', 'wrong_argument [1 m] sum takes one argument.'],
    ['min(width, 2 s)', 'Length', 'wrong_dimension [2 s] Expected a length, this is a time.'],
    ['max(says)', 'Length', 'wrong_type [says] max needs quantities, this is a text in quotes.'],
    ['sum(lit for w in widths)', 'Length', 'wrong_type [lit for w in widths] sum needs quantities, this is yes or no.'],
    ['count(width)', 'Count', 'wrong_type [width] count needs a list or a question, this is a length.'],
    ['chain(width, widths)', 'list of Length', 'wrong_type [width] chain needs lists, this is a length.'],
    [
      'chain(widths, width)',
      'list of Length',
      'unlike [width] The arguments of chain must be alike: this is a length, what stands before is a list: [ … ] of length.',
    ],
    ['any(widths)', 'YesNo', 'wrong_type [widths] any asks whether something is so; this is a length.'],
    [
      'any(w for w in widths)',
      'YesNo',
      'wrong_type [w for w in widths] any asks whether something is so; this is a length.',
    ],
    ['count(w for w in widths where w)', 'Count', 'wrong_type [w] Expected yes or no, this is a length.'],
    [
      'given(width + depth)',
      'YesNo',
      'wrong_type [width + depth] given asks of one value by its name whether it is given: given(current_limit).',
    ],
    [
      'given(w for w in widths)',
      'YesNo',
      'wrong_type [w] given asks of one value by its name whether it is given: given(current_limit).',
    ],
    [
      'abs(warm)',
      'Length',
      'wrong_type [warm] abs needs a quantity that counts from zero, such as a difference, this is a temperature.',
    ],
    ['abs(lit)', 'Length', 'wrong_type [lit] abs needs a quantity, this is yes or no.'],
    ['sqrt(warm)', 'Length', 'wrong_type [warm] sqrt needs a quantity that counts from zero, this is a temperature.'],
    ['sqrt(price)', 'Length', 'wrong_type [price] sqrt needs a quantity that counts from zero, this is a price.'],
    ['absolute(width)', 'Length', 'wrong_type [width] absolute needs a temperature, this is a length.'],
    ['sin(width)', 'Ratio', 'wrong_dimension [width] sin needs an angle, this is a length.'],
    ['sin(0.5)', 'Ratio', 'wrong_dimension [0.5] sin needs an angle, this is a bare number.'],
    ['asin(width)', 'Angle', 'wrong_dimension [width] asin needs a number without a unit, this is a length.'],
    ['asin(turn)', 'Angle', 'wrong_dimension [turn] asin needs a number without a unit, this is an angle.'],
    ['exp(width)', 'Ratio', 'wrong_dimension [width] exp needs a number without a unit, this is a length.'],
  ])('%s, for a %s: %s', (formula, type, message) => expect(told(formula, type)).toEqual([message]));

  test('what is spoiled is told where it is, and not again', () => {
    expect(told('sqrt(abs(wdth))')).toHaveLength(1);
    expect(told('min(wdth, depth)')).toHaveLength(1);
  });
});
