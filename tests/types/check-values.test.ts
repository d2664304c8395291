import { describe, expect, test } from 'vitest';
import { fixed, toldOf } from '../support.ts';

const kinds = `/// Has a value of every type.
kind k {
  toplevel
  length: Length?
  power: Power?
  warm: Temperature?
  rise: TemperatureDifference?
  many: Count?
  share: Ratio?
  price: Price?
  mode: one of slow, fast
  other: one of slow, fast, middle
  size: Length x Length
  is_on: YesNo?
  says: Text?
  on: Date?
  to: k?
  all_of: list of k?
  drawn: Power? {
    within 0 W .. 5 W
  }
  at_speed(speed: Speed, factor: Count): Power = power * factor {
    source defined "a test"
  }
  half: Length = length / 2 {
    source defined "a test"
  }
}
`;

const inBlock = (line: string) =>
  toldOf(`${kinds}k one {\n  ${line}\n}\n`).filter(({ severity }) => severity !== 'note');

/** A line of a block with one mistake: its code, what is marked, what is said, and the titles of its fixes. */
const mistakes: readonly [line: string, code: string, marks: string, message: string, ...fixes: string[]][] = [
  ['length = 1e400 mm', 'too_large', '1e400 mm', '1e400 is too large to compute with.'],
  ['many = 2.5', 'not_whole', '2.5', 'many is a count, and 2.5 is no whole number.'],
  ['many = 2 .. 3.5', 'not_whole', '3.5', 'many is a count, and 3.5 is no whole number.'],
  ['drawn = 3 W .. 7 W', 'out_of_range', '7 W', 'drawn is meant to be between 0 W and 5 W.'],
  ['drawn = (3 W .. 7 W)', 'out_of_range', '7 W', 'drawn is meant to be between 0 W and 5 W.'],
  ['drawn = 7 V', 'wrong_dimension', '7 V', 'Expected a power, this is a voltage: multiply by a current?'],
  [
    'price = 5 EUR * 2 m',
    'wrong_dimension',
    '5 EUR * 2 m',
    'Expected a price, this is a price times a length: an amount of money stands alone.',
  ],
  [
    'length x = 3 mm',
    'not_here',
    'x',
    'x says nothing of a value that is given: in a block write length = … and no more.',
    'Write length = 3 mm',
  ],
  [
    'length * 2 = 3 mm',
    'not_here',
    '2',
    '* 2 says nothing of a value that is given: in a block write length = … and no more.',
    'Write length = 3 mm',
  ],
  [
    'length is one = 3 mm',
    'not_here',
    'one',
    'is one says nothing of a value that is given: in a block write length = … and no more.',
    'Write length = 3 mm',
  ],
  [
    'length(a: Length) = 3 mm',
    'not_here',
    'length',
    'What stands in brackets says nothing of a value that is given: in a block write length = … and no more.',
    'Write length = 3 mm',
  ],
  [
    'shared length = 3 mm',
    'not_here',
    'length',
    'shared says nothing of a value that is given: in a block write length = … and no more.',
    'Write length = 3 mm',
  ],
  [
    'length default 3 mm',
    'not_here',
    'length',
    'default says nothing of a value that is given: in a block write length = … and no more.',
    'Write length = 3 mm',
  ],
  [
    'length = 3 mm { within 1 mm .. 2 mm }',
    'not_here',
    'within 1 mm .. 2 mm',
    'within says nothing of a value that is given: below length = … stand source, varies and scatters.',
  ],
  [
    'length = 3 mm { power = 2 W }',
    'not_here',
    'power = 2 W',
    'power says nothing of a value that is given: below length = … stand source, varies and scatters.',
  ],
  [
    'to = one { power = 2 W }',
    'not_here',
    'power = 2 W',
    'power says nothing of a value that is given: below to = … stand source, varies and scatters.',
  ],
  ['length is one', 'missing_equals', 'one', 'length is a value: expected = and what it is.'],
  [
    'power = at_speed(sped: 3 mm/s, factor: 2)',
    'wrong_argument',
    'sped: 3 mm/s',
    'at_speed has no argument sped; write at_speed(speed: …, factor: …).',
  ],
  [
    'warm = 5 K - 20 degC',
    'point_arithmetic',
    '5 K - 20 degC',
    'A point of temperature cannot be taken from a difference: write the point first.',
  ],
  [
    'warm = 20 K',
    'difference_for_point',
    '20 K',
    'Expected a temperature, in degC; this is a difference, in K.',
    'Write 20 degC',
  ],
  [
    'rise = 20 degC',
    'point_for_difference',
    '20 degC',
    'Expected a difference of temperature, in K; this is a point on the scale, in degC.',
    'Write 20 K',
  ],
  [
    'rise = 20 degC - 5 K',
    'point_for_difference',
    '20 degC - 5 K',
    'Expected a difference of temperature, in K; this is a point on the scale, in degC.',
  ],
  [
    'warm = 20 degC + 5 degC',
    'point_arithmetic',
    '20 degC + 5 degC',
    'Two points of temperature cannot be added. A rise is a difference, in K: 60 degC + 20 K.',
  ],
  [
    'warm = 2 * 20 degC',
    'point_arithmetic',
    '20 degC',
    'A point of temperature cannot be multiplied or divided: subtract another point first, or use absolute(…).',
  ],
  [
    'warm = 20 degC / 2',
    'point_arithmetic',
    '20 degC',
    'A point of temperature cannot be multiplied or divided: subtract another point first, or use absolute(…).',
  ],
  [
    'warm = -warm',
    'point_arithmetic',
    'warm',
    'A point of temperature has no negative: subtract it from another point, or use a difference in K.',
  ],
  ['rise = absolute(5 K)', 'wrong_type', '5 K', 'absolute needs a temperature, this is a temperature difference.'],
  ['rise = absolute(5 W)', 'wrong_type', '5 W', 'absolute needs a temperature, this is a power.'],
  ['length = 1 mm .. 2 W', 'wrong_dimension', '2 W', 'Expected a length, this is a power.'],
  [
    'length = 1 mm .. 2',
    'missing_unit',
    '2',
    'Expected a length, this is a bare number: write it with its unit, such as 2 mm.',
    'Write 2 mm',
    'Write 2 m',
  ],
  [
    'warm = 20 degC .. 300 K',
    'difference_for_point',
    '300 K',
    'Expected a temperature, in degC; this is a difference, in K.',
    'Write 300 degC',
  ],
  [
    'length = 20',
    'missing_unit',
    '20',
    'Expected a length, this is a bare number: write it with its unit, such as 20 mm.',
    'Write 20 mm',
    'Write 20 m',
  ],
  ['length = 20 v', 'unknown_unit', '20 v', 'v is not a unit; did you mean V?', 'Write V'],
  ['length = 20 W', 'wrong_dimension', '20 W', 'Expected a length, this is a power.'],
  ['length = 20 mm^2', 'wrong_dimension', '20 mm^2', 'Expected a length, this is an area: divide by a length?'],
  ['power = 20 V', 'wrong_dimension', '20 V', 'Expected a power, this is a voltage: multiply by a current?'],
  ['power = 3 V + 2 A', 'wrong_dimension', '3 V + 2 A', 'A current cannot be added to a voltage.'],
  ['length = 1 m - 2 s', 'wrong_dimension', '1 m - 2 s', 'A time cannot be subtracted from a length.'],
  [
    'length = 1 m + 10 %',
    'percent_added',
    '1 m + 10 %',
    'A percentage is a ratio and is multiplied, not added: write 1 m * 110 %.',
    'Write 1 m * 110 %',
  ],
  [
    'length = 100 mm - 5 %',
    'percent_added',
    '100 mm - 5 %',
    'A percentage is a ratio and is multiplied, not added: write 100 mm * 95 %.',
    'Write 100 mm * 95 %',
  ],
  ['share = 3 mm', 'wrong_dimension', '3 mm', 'Expected a ratio, this is a length: divide by a length?'],
  ['many = 2 m', 'wrong_dimension', '2 m', 'Expected a count, this is a length: divide by a length?'],
  [
    'price = 5',
    'wrong_dimension',
    '5',
    'Expected a price, this is a bare number: a price carries its currency, such as 12.50 EUR.',
  ],
  ['price = 5 W', 'wrong_dimension', '5 W', 'Expected a price, this is a power.'],
  ['power = 5 EUR', 'wrong_dimension', '5 EUR', 'Expected a power, this is a price.'],
  ['mode = slwo', 'unknown_choice', 'slwo', 'Expected one of slow and fast; slwo is none of them.', 'Write slow'],
  ['mode = 3', 'wrong_type', '3', 'Expected one of slow, fast, this is a bare number.'],
  ['mode = middle', 'unknown_choice', 'middle', 'Expected one of slow and fast; middle is none of them.'],
  ['mode = other', 'wrong_type', 'other', 'Expected one of slow, fast, this is one of slow, fast, middle.'],
  [
    'size = 3 mm',
    'wrong_type',
    '3 mm',
    'Expected a size of 2 sides, this is a length: write all its sides, such as 230 mm x 230 mm.',
  ],
  [
    'size = 3 mm x 4',
    'missing_unit',
    '4',
    'Expected a length, this is a bare number: write it with its unit, such as 4 mm.',
    'Write 4 mm',
    'Write 4 m',
  ],
  [
    'size = 3 mm x 4 mm x 5 mm',
    'wrong_type',
    '3 mm x 4 mm x 5 mm',
    'Expected a size of 2 sides, this is a size of 3 sides.',
  ],
  ['size = 3 W x 4 W', 'wrong_dimension', '3 W x 4 W', 'Expected a length, this is a power.'],
  ['size = "a" x 3 mm', 'wrong_type', '"a" x 3 mm', 'A size is made of lengths: 230 mm x 230 mm.'],
  ['length = size.height', 'unknown_member', 'height', 'A size of 2 sides has width and depth, not height.'],
  ['is_on = 3', 'wrong_type', '3', 'Expected yes or no, this is a bare number.'],
  ['is_on = 3 mm', 'wrong_type', '3 mm', 'Expected yes or no, this is a length.'],
  ['is_on = slow', 'unknown_name', 'slow', 'Nothing is called slow here.'],
  ['says = 3', 'wrong_type', '3', 'Expected a text in quotes, this is a bare number.'],
  ['says = yes', 'wrong_type', 'yes', 'Expected a text in quotes, this is yes or no.'],
  ['on = 3', 'wrong_type', '3', 'Expected a date, this is a bare number.'],
  ['to = 3', 'wrong_type', '3', 'Expected a k, this is a bare number.'],
  ['to = nothing', 'unknown_name', 'nothing', 'Nothing is called nothing here.'],
  ['all_of = one', 'wrong_type', 'one', 'Expected a list: [ … ] of k, this is a k.'],
  ['all_of = [one, 3]', 'wrong_type', '3', 'Expected a k, this is a bare number.'],
  [
    'power = at_speed(3 m/s)',
    'missing_argument',
    'at_speed(3 m/s)',
    'at_speed also needs factor; write at_speed(speed: …, factor: …).',
  ],
  [
    'power = at_speed()',
    'missing_argument',
    'at_speed()',
    'at_speed also needs speed and factor; write at_speed(speed: …, factor: …).',
  ],
  [
    'power = at_speed(speed: 3 W, factor: 2)',
    'wrong_dimension',
    '3 W',
    'Expected a speed, this is a power: divide by a force?',
  ],
  [
    'power = at_speed(3 m/s, 2, 3)',
    'wrong_argument',
    '3',
    'at_speed takes 2 arguments: at_speed(speed: …, factor: …).',
  ],
  ['power = half(3)', 'not_callable', 'half', 'half takes no arguments: it is a length.'],
  [
    'power = at_speed',
    'wrong_type',
    'at_speed',
    'Expected a power, this is a formula that takes a speed and a count and gives a power.',
  ],
  ['length = max()', 'missing_argument', 'max()', 'max needs an argument: max(…).'],
  ['length = sqrt(4 m)', 'wrong_dimension', 'sqrt(4 m)', 'Expected a length, this is a quantity in m^0.5.'],
  ['share = sin(4 m)', 'wrong_dimension', '4 m', 'sin needs an angle, this is a length.'],
  ['share = exp(2 m)', 'wrong_dimension', '2 m', 'exp needs a number without a unit, this is a length.'],
  ['share = ln("a")', 'wrong_type', '"a"', 'ln needs a quantity, this is a text in quotes.'],
  ['length = max(1 m, 2 W)', 'wrong_dimension', '2 W', 'Expected a length, this is a power.'],
  [
    'length = max(1 m, 2)',
    'missing_unit',
    '2',
    'Expected a length, this is a bare number: write it with its unit, such as 2 mm.',
    'Write 2 mm',
    'Write 2 m',
  ],
  [
    'half = 3 mm',
    'computed_value',
    'half',
    'half is computed. To set what was measured beside it, write: measured half = … on DATE in place.',
  ],
  ['lenght = 3 mm', 'unknown_value', 'lenght', 'A k has no value called lenght. Did you mean length?', 'Write length'],
  [
    'length: Length',
    'type_in_block',
    'length',
    'In a block, length is given a value with =; its type is declared by the kind.',
  ],
  ['length = lenght', 'unknown_name', 'lenght', 'Nothing is called lenght here. Did you mean length?', 'Write length'],
  ['length = nowhere', 'unknown_name', 'nowhere', 'Nothing is called nowhere here.'],
  [
    'length = one.lenght',
    'unknown_member',
    'lenght',
    'A k has nothing called lenght. Did you mean length?',
    'Write length',
  ],
  [
    'length = one.nowhere',
    'unknown_member',
    'nowhere',
    'A k has nothing called nowhere. It has length, power, warm, rise, many, share, price, mode and 10 more.',
  ],
  ['length = (3 mm).width', 'unknown_member', 'width', 'A length has no parts of its own, so there is no .width.'],
  ['require length', 'wrong_type', 'length', 'Expected yes or no, this is a length.'],
  [
    'require length < 3',
    'missing_unit',
    '3',
    'Expected a length, this is a bare number: write it with its unit, such as 3 mm.',
    'Write 3 mm',
    'Write 3 m',
  ],
  ['require length < 3 W', 'wrong_dimension', '3 W', 'Expected a length, this is a power.'],
  ['require 3 < length', 'wrong_dimension', 'length', 'Expected a bare number, this is a length: divide by a length?'],
  [
    'require warm < 5 K',
    'difference_for_point',
    '5 K',
    'Expected a temperature, in degC; this is a difference, in K.',
    'Write 5 degC',
  ],
  [
    'require mode == fats',
    'unknown_choice',
    'fats',
    'Expected one of slow and fast; fats is none of them.',
    'Write fast',
  ],
  ['require "a" < 3', 'wrong_type', '"a" < 3', 'Only quantities can be compared by size; this is a text in quotes.'],
  ['require is_on < 3 mm', 'wrong_type', 'is_on < 3 mm', 'Only quantities can be compared by size; this is yes or no.'],
  ['require length in [1 mm, 2 W]', 'wrong_dimension', '2 W', 'Expected a length, this is a power.'],
  ['require not length', 'wrong_type', 'length', 'Expected yes or no, this is a length.'],
  ['require length and is_on', 'wrong_type', 'length', 'Expected yes or no, this is a length.'],
  ['require is_on or length', 'wrong_type', 'length', 'Expected yes or no, this is a length.'],
  ['require if length then is_on else is_on', 'wrong_type', 'length', 'Expected yes or no, this is a length.'],
  [
    'require any(3 for x in [1, 2])',
    'wrong_type',
    '3 for x in [1, 2]',
    'any asks whether something is so; this is a bare number.',
  ],
  [
    'require any(c.nothing for c in every k)',
    'unknown_member',
    'nothing',
    'A k has nothing called nothing. It has length, power, warm, rise, many, share, price, mode and 10 more.',
  ],
  [
    'require any(c.is_on for c in every kk)',
    'unknown_kind',
    'kk',
    'There is no kind called kk. Did you mean k?',
    'Write k',
  ],
  ['require self is kk', 'unknown_kind', 'kk', 'There is no kind called kk. Did you mean k?', 'Write k'],
  ['require length ^ power > 1 m', 'wrong_dimension', 'power', 'A power is a plain number, such as 2 or (1/4).'],
  ['accept nothing_such because "x"', 'unknown_rule', 'nothing_such', 'There is no rule called nothing_such.'],
  ['measured half = 3 W on 2026-03-02', 'wrong_dimension', '3 W', 'Expected a length, this is a power.'],
  [
    'measured hlaf = 3 mm on 2026-03-02',
    'unknown_name',
    'hlaf',
    'Nothing is called hlaf here. Did you mean half?',
    'Write half',
  ],
  [
    'no one',
    'unknown_absence',
    'one',
    'A k has nothing called one, and what it starts from gives no such block: there is nothing to be without. Did you mean on?',
    'Write on',
  ],
  ['when length > 3', 'not_here', 'when length > 3', 'when belongs in a kind or a rule, not in a block.'],
  ['holds is_on', 'not_here', 'holds is_on', 'holds belongs in a kind or a rule, not in a block.'],
  [
    'length = 10 mm*x',
    'unknown_unit',
    '10 mm*x',
    'x is not a unit. Without blanks mm*x reads as one unit; to multiply, write 10 mm * x.',
    'Write it as arithmetic',
  ],
  [
    'length = 10 mmm',
    'unknown_unit',
    '10 mmm',
    'mmm is not a unit Gusset knows. A length is written in mm, m, in and ft.',
  ],
  ['power = 10 kw', 'unknown_unit', '10 kw', 'kw is not a unit; did you mean kW?', 'Write kW'],
  [
    'says = "{lenght}"',
    'unknown_name',
    'lenght',
    'Nothing is called lenght here. Did you mean length?',
    'Write length',
  ],
  [
    'says = "{length +}"',
    'bad_braces',
    '"{length +}"',
    '{length +} is not an expression: write {current}, or \\{ for a brace.',
  ],
  ['k two', 'wrong_place', 'two', 'A k cannot stand in a k.'],
  ['plate', 'wrong_place', 'plate', 'A plate cannot stand in a k.'],
  ['wire w', 'wrong_place', 'w', 'A wire cannot stand in a k. It stands in a machine and a circuit.'],
  ['length', 'missing_equals', 'length', 'length is a value: expected = and what it is.'],
  ['is_on = not 3 mm', 'wrong_type', '3 mm', 'Expected yes or no, this is a length.'],
  ['is_on = yes and 3', 'wrong_type', '3', 'Expected yes or no, this is a bare number.'],
  ['length = length otherwise 3 W', 'wrong_dimension', '3 W', 'Expected a length, this is a power.'],
  ['length = if is_on then 1 m else 2 W', 'wrong_dimension', '2 W', 'Expected a length, this is a power.'],
  [
    'mode = if is_on then slow else fats',
    'unknown_choice',
    'fats',
    'Expected one of slow and fast; fats is none of them.',
    'Write fast',
  ],
  ['length = [1 m, 2 m]["a"]', 'wrong_type', '"a"', 'Expected a bare number, this is a text in quotes.'],
  ['length = [1 m, 2 W][1]', 'wrong_dimension', '2 W', 'Expected a length, this is a power.'],
  ['length = 3 mm * "a"', 'wrong_type', '"a"', 'Arithmetic needs a quantity, this is a text in quotes.'],
  ['length = yes * 3', 'wrong_type', 'yes', 'Arithmetic needs a quantity, this is yes or no.'],
];

describe('one mistake in a line of a block', () => {
  test.each(mistakes)('%s: %s', (line, code, marks, message, ...fixes) => {
    expect(inBlock(line).map(({ severity: _, ...told }) => told)).toEqual([{ code, marks, message, fixes }]);
  });
});

/** Lines that look much like those above, and are good. */
const good = [
  'warm = -20 degC',
  'warm = 20 degC + 5 K',
  'rise = 20 degC - 5 degC',
  'length = 1 mm .. 2 m',
  'share = 50 %',
  'share = 2',
  'many = 2',
  'price = 5 EUR',
  'mode = slow',
  'other = mode',
  'size = 3 mm x 4 mm',
  'length = size.width',
  'is_on = yes',
  'on = 2026-03-02',
  'to = one',
  'all_of = [one]',
  'power = at_speed(speed: 3 m/s, factor: 2)',
  'power = at_speed(factor: 2, speed: 3 m/s)',
  'power = one.at_speed(3 m/s, 2)',
  'length = sqrt(4 m^2)',
  'share = sin(30 deg)',
  'require length < 3 mm',
  'require mode == fast',
  'require fast == mode',
  'require length ^ 2 > 1 m^2',
  'require length ^ (1/2) * length ^ (1/2) > 1 m',
  'measured half = 3 mm on 2026-03-02',
  'length = [1 m, 2 m][1]',
  'length = if is_on then 1 m else 2 m',
  'length = half otherwise 3 mm',
  'source defined "x"',
  'length = 3 mm { source defined "x" }',
  'length = 3 mm { varies 5 % }',
  'length = 5 um',
  'require self is k',
  'require any(c.is_on for c in every k where c.mode == fast)',
  'power = 10 N*m * 1 rad / 1 s',
];

test.each(good)('nothing is wrong with %s', (line) => {
  expect(inBlock(line)).toEqual([]);
});

test('more that is said of a part where it is pointed at would be lost: it goes into a part of its own', () => {
  const text = (to: string, below: string) =>
    `${kinds}part made is k {\n  length = 1 m\n}\nk one {\n  to = ${to}\n  require to.length > 2 m\n}  // said\n${below}`;
  const wrong = text('made {\n    length = 5 m\n    power = 2 W\n  }', 'k one_to\n');
  const message =
    'length and power would be lost: to = made points at made as it is. Declare one of your own, part one_to_2 is made { … }, and write to = one_to_2.';
  expect(toldOf(wrong).filter(({ severity }) => severity === 'error')).toMatchObject([
    { code: 'not_here', marks: 'length = 5 m', message, fixes: ['Declare part one_to_2'] },
  ]);
  expect(fixed(wrong).get('Declare part one_to_2')).toBe(
    text('one_to_2', '\npart one_to_2 is made {\n  length = 5 m\n  power = 2 W\n}\nk one_to\n'),
  );
});

test.each([
  'many = 3',
  'many = 2 .. 4',
  'many = 3.0',
  'share = 2.5',
  'drawn = 0 W .. 5 W',
  'length = 1e3 mm',
  'price = 5 EUR * 2',
  'power = at_speed(speed: 3 mm/s, factor: 2.5)',
])('the neighbour %s is none', (line) => {
  expect(inBlock(line)).toEqual([]);
});
