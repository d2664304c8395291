import { expect, test } from 'vitest';
import { fixed, toldOf } from '../support.ts';

/** Texts as they are written at first, each with one mistake, and what is said of it. */
test.each<[string, string, string[]]>([
  [
    'machine M {\n  ambient = 15 .. 30 degC\n}\n',
    'A range is written with two points, and each end has its own unit: 15 degC .. 30 degC.',
    ['Write 15 degC .. 30 degC'],
  ],
  [
    'machine M {\n  ambient = 15 - 30 degC\n}\n',
    'A range is written with two points, and each end has its own unit: 15 degC .. 30 degC.',
    ['Write 15 degC .. 30 degC'],
  ],
  [
    'machine M {\n  require max(ambient, a = 30 degC) <= 40 degC\n}\n',
    'An argument is given with a colon, not with =: a: ….',
    ['Write a colon'],
  ],
  ['sizes s: Length = 3 mm, 5 mm\n', 'A list stands in brackets, such as [a, b].', []],
  ['constant a: Length\n', 'A constant has a value: write = and what it is behind a and its type.', []],
  [
    'constant a = 3 mm\n',
    'A constant says what it is: write its type after a colon, such as constant a: Length = ….',
    [],
  ],
  ['constant a: Speed = 3 m/s^2\n', 'Expected a speed, this is an acceleration: multiply by a time?', []],
  ['kind {\n}\n', 'Expected the name of the kind.', []],
])('%s', (text, message, fixes) => {
  const told = toldOf(text).filter(({ severity }) => severity !== 'note');
  expect(told[0]).toMatchObject({ message, fixes });
  for (const mended of fixed(text).values())
    expect(toldOf(mended).filter((each) => each.message === message)).toEqual([]);
});

test('the neighbours that are right are told nothing', () => {
  const right = 'constant a: Ratio = 5 - 10 % * 3\nconstant b: Length = 30 mm - 5 mm\nsizes s: Length = [3 mm, 5 mm]\n';
  expect(toldOf(right)).toEqual([]);
});
