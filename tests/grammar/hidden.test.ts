import { expect, test } from 'vitest';
import { withoutHidden } from '../../language/grammar/hidden.ts';

/** Marks that only say how a sign beside them is to be read; a text in Arabic or Hebrew may need them. */
const marks = ['\u061c', '\u200e', '\u200f'];
/** What lays a text out. */
const layout = ['\t', '\n', '\r'];

test('are the controls of Unicode and those of the order of its text, but for marks and what lays a text out', () => {
  const all = Array.from({ length: 0x1_0000 }, (_, code) => String.fromCharCode(code));
  // Source: Unicode Standard Annex 44, general category Cc and property Bidi_Control, as the engine has them.
  const wanted = all.filter((each) => /[\p{Cc}\p{Bidi_Control}]/u.test(each) && ![...marks, ...layout].includes(each));
  expect(all.filter((each) => withoutHidden(each) === '')).toEqual(wanted);
  expect(wanted).toHaveLength(65 - 3 + 9);
});

test('all of them are taken out of a text, and nothing else', () => {
  expect(withoutHidden('a \u001b[31mtest\u202e\tof \u05d0\u200d\n\u2069')).toBe('a [31mtest\tof \u05d0\u200d\n');
});
