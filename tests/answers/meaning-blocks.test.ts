import { expect, test } from 'vitest';
import { lines, meanings } from './meaning-of.ts';

test.each([
  ['|machine First', ['kind']],
  ['machine |First', ['block@First']],
  ['drum |roller is', ['block@First.roller']],
  ['drum |roller {\n    width', ['block@Second.roller']],
  ['no |roller', ['block']],
])('what %s means', (piece, expected) => {
  expect(meanings(piece)).toEqual(expected);
});

test('a block is found in variants, where more is said of it, and where it is removed', () => {
  expect(lines('|roller is small_drum')).toEqual([
    'drum roller is small_drum {',
    'require roller.rim(at: 0.2) < 1 m',
    'drum roller {',
    'no roller',
  ]);
});
