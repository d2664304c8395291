import { expect, test } from 'vitest';
import { lines, meanings } from './meaning-of.ts';

test.each([
  ['kind |drum', ['kind']],
  ['is |component', ['kind']],
  ['100 |mm', ['unit']],
  ['is |small_drum', ['part']],
  ['accept |drum_wide', ['rule']],
])('what %s means', (piece, expected) => {
  expect(meanings(piece)).toEqual(expected);
});

test('a kind and a rule are found', () => {
  expect(lines('kind |drum')).toHaveLength(6);
  expect(lines('rule |drum_wide')).toEqual(['rule drum_wide on drum {', 'accept drum_wide because "so"']);
});
