import { expect, test } from 'vitest';
import { lines, meanings } from './meaning-of.ts';

test.each([
  ['one of sl|ow', ['choice']],
  ['mode == |fast', ['choice']],
  ['mode = |fast', ['choice']],
])('what %s means', (piece, expected) => {
  expect(meanings(piece)).toEqual(expected);
});

test('a choice is found where it is declared, asked for and given', () => {
  expect(lines('slow, |fast')).toEqual(['mode: one of slow, fast', 'when mode == fast', 'mode = fast']);
});
