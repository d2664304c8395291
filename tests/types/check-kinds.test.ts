import { describe, expect, test } from 'vitest';
import { toldOf } from '../support.ts';

const kind = (member: string) => `kind k {\n  toplevel\n  length: Length\n  ${member}\n}\n`;
const within = (value: string) =>
  `${kind('w: Length {\n    within -1 mm .. 3 mm\n  }')}k one {\n  length = 1 m\n  w = ${value}\n}\n`;
const unit = 'Expected a length, this is a power.';
const ranged = 'w is meant to be between -1 mm and 3 mm.';
const unheard = 'Nothing is called lenght in k, nor is it shared by what holds one. Did you mean length?';

const mistakes: readonly [text: string, code: string, marks: string, message: string, ...fixes: string[]][] = [
  [kind('half: Length = lenght / 2'), 'unknown_name', 'lenght', unheard, 'Write length'],
  [kind('half: Power = length'), 'wrong_dimension', 'length', 'Expected a power, this is a length.'],
  [
    kind('half = length'),
    'missing_type',
    'half = length',
    'A kind declares what half is: write its type after a colon, such as half: Power.',
  ],
  [
    kind('half: Lenght'),
    'unknown_type',
    'Lenght',
    'Lenght is neither a quantity nor a kind. Did you mean Length?',
    'Write Length',
  ],
  [
    kind('length: Length'),
    'said_twice',
    'length: Length',
    'length is already declared in this kind; the first one counts.',
  ],
  [kind('headline lenght'), 'unknown_value', 'lenght', 'A k has no value called lenght.'],
  [kind('order nothing'), 'unknown_value', 'nothing', 'A k has no value called nothing.'],
  [kind('inside nowhere'), 'unknown_kind', 'nowhere', 'There is no kind called nowhere.'],
  [kind('has nothing'), 'unknown_kind', 'nothing', 'There is no kind called nothing.'],
  [kind('has p: plate { thickness = 3 W }'), 'wrong_dimension', '3 W', unit],
  [kind('has p: plate { thicknes = 3 mm }'), 'unknown_value', 'thicknes', 'A plate has no value called thicknes.'],
  [kind('require length > 3 mm'), 'not_here', 'require length > 3 mm', 'requirement does not belong in a kind.'],
  [kind('a: Length = b\n  b: Length = a'), 'ring', 'a', 'These formulas lead back to themselves: a → b → a.'],
  [
    kind('m: one of aluminium, x'),
    'clash',
    'aluminium',
    'aluminium already means something else here: give this choice another name.',
  ],
  [kind('s: Length { sizes nothing }'), 'unknown_sizes', 'nothing', 'There are no sizes called nothing.'],
  [kind('f(x: Nothing): Length = length'), 'unknown_type', 'Nothing', 'Nothing is neither a quantity nor a kind.'],
  [
    kind('f(x: Count): Length = length * y'),
    'unknown_name',
    'y',
    'Nothing is called y in k, nor is it shared by what holds one. Did you mean x?',
    'Write x',
  ],
  [kind('d: Length default 3 W'), 'wrong_dimension', '3 W', unit],
  [within('5 mm'), 'out_of_range', '5 mm', ranged],
  [within('-2 mm'), 'out_of_range', '-2 mm', ranged],
  ['kind k is kk {\n}\n', 'unknown_kind', 'kk', 'There is no kind called kk.'],
  ['kind wire {\n}\n', 'clash', 'wire', 'The library already has wire: give this one another name.'],
  [
    kind('holder: Mass'),
    'clash',
    'holder',
    'holder is a word of the language, so that nothing can be read by it as a name: give this one another name.',
  ],
  [
    kind('has self: plate'),
    'clash',
    'self',
    'self is a word of the language, so that nothing can be read by it as a name: give this one another name.',
  ],
  [
    kind('mode: one of yes, other'),
    'clash',
    'yes',
    'yes already means something else here: give this choice another name.',
  ],
  [
    'constant holder: Length = 3 mm {\n  source defined "a test"\n}\n',
    'clash',
    'holder',
    'holder is a word of the language, so that nothing can be read by it as a name: give this one another name.',
  ],
  ['kind a {\n}\nkind a {\n}\n', 'said_twice', 'a', 'a is already declared in this file; the first one counts.'],
];

const told = (text: string) => toldOf(text).filter(({ severity }) => severity !== 'note');

describe('one mistake in a kind', () => {
  test.each(mistakes)('%s: %s', (text, code, marks, message, ...fixes) => {
    expect(told(text).map(({ severity: _, ...rest }) => rest)).toEqual([{ code, marks, message, fixes }]);
  });

  test.each([
    kind('headline length'),
    kind('inside machine'),
    kind('has plate'),
    kind('has p: plate { thickness = length }'),
    kind('a: Length = if length > 1 m then b else length\n  b: Length = a'),
    kind('s: Length { shown mm }'),
    kind('f(x: Count): Length = length * x'),
    within('3 mm'),
    within('-1 mm'),
    within('0 mm'),
  ])('nothing is wrong with %s', (text) => {
    expect(told(text)).toEqual([]);
  });
});

const oneOf = (text: string) => told(text).map(({ code, marks, message }) => [code, marks, message]);

test('what belongs in a rule does not belong in a kind', () => {
  expect(oneOf('kind a {\n  reach: Length\n  holds reach > 3 mm\n}\n')).toEqual([
    ['not_here', 'holds reach > 3 mm', 'holds does not belong in a kind.'],
  ]);
});

test('a value is shown in units of its own', () => {
  const kind = (unit: string) => `kind a {\n  reach: Length {\n    shown ${unit}\n  }\n}\n`;
  expect(oneOf(kind('W'))).toEqual([
    ['wrong_dimension', 'W', 'W is a unit of a power, and what is shown in it is a length.'],
  ]);
  expect(oneOf(kind('mm, cm'))).toEqual([]);
});
