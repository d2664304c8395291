import { expect, test } from 'vitest';
import { withEdits } from '../../language/mistakes/mistake.ts';
import { read } from '../support.ts';

const text = `// \u2067an isolate
constant reach: Length = 1 m {
  source defined "a \u001b[31mtest\u202e"
}
/// Hebrew needs none: \u05d0\u05d1, and joins stay: \u200d.
constant span:\tLength = \u202d 2 m
`;

test('what is not seen and does something is told in comments and texts, and outside of these as what means nothing', () => {
  const { project, file } = read(text);
  const told = project.mistakes(file).map(({ code, severity, start }) => [code, severity, text.charAt(start)]);
  expect(told).toEqual([
    ['hidden_character', 'warning', '\u2067'],
    ['hidden_character', 'warning', '\u001b'],
    ['hidden_character', 'warning', '\u202e'],
    ['missing_value', 'error', '\u202d'],
  ]);
});

test('each is taken out by a fix of its own', () => {
  const { project, file } = read(text);
  const edits = project
    .mistakes(file)
    .flatMap(({ code, fixes }) => (code === 'hidden_character' ? (fixes[0]?.edits ?? []) : []));
  expect(withEdits(edits, text)).toBe(text.replace('\u2067', '').replace('\u001b', '').replace('\u202e', ''));
});
