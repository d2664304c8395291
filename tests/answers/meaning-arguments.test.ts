import { expect, test } from 'vitest';
import { lines, meanings } from './meaning-of.ts';

test.each([
  ['width * |at', ['argument']],
  ['rim(|at: 0.5)', ['argument']],
  ['all(|d.', ['local']],
])('what %s means', (piece, expected) => {
  expect(meanings(piece)).toEqual(expected);
});

test('an argument is found where it is declared and where it is given', () => {
  expect(lines('rim(|at: Ratio')).toEqual([
    'rim(at: Ratio): Length = width * at {',
    'rim(at: Ratio): Length = width * at {',
    'half: Length = rim(at: 0.5) {',
    'require roller.rim(at: 0.2) < 1 m',
  ]);
});
