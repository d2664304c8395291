import { expect, test } from 'vitest';
import { meanings } from './meaning-of.ts';

test.each([
  ['mode == |fast', ['choice']],
  ['{width|} wide', ['value']],
  ['{na|me}', ['builtin']],
  ['|all(d', ['builtin']],
  ['require |roller.rim', ['block@First.roller']],
])('what %s means', (piece, expected) => {
  expect(meanings(piece)).toEqual(expected);
});
