import { expect, test } from 'vitest';
import { lines, meanings } from './meaning-of.ts';

test.each([
  ['|width: Length', ['value']],
  ['r|im(at: Ratio)', ['value']],
  ['width| = 100 mm', ['value@small_drum']],
])('what %s means', (piece, expected) => {
  expect(meanings(piece)).toEqual(expected);
});

test('a value is found in formulas, messages, clauses, parts and machines', () => {
  expect(lines('|width: Length')).toEqual([
    'width: Length {',
    'rim(at: Ratio): Length = width * at {',
    'holds width < 1 m',
    'warning "{name} is {width} wide, and turns fast"',
    'at width',
    'width = 100 mm',
    'require all(d.width < 1 m for d in every drum)',
    'width = 200 mm',
  ]);
});
