import { expect, test } from 'vitest';
import { meaningsAt } from '../../language/answers/meanings-at.ts';
import { read } from '../support.ts';
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

test('a question’s name is known in what is asked and in its condition, and not in what it goes through', () => {
  const text =
    'kind hall {\n  toplevel\n  has lamp*\n}\nkind lamp {\n  power: Power\n  lit: YesNo\n}\nhall H {\n  lamp l\n  require any(l.power > 1 W for l in [l] where l.lit)\n}\n';
  const { file } = read(text);
  const sorts = (piece: string) =>
    meaningsAt(file, text.indexOf(piece.replace('|', '')) + piece.indexOf('|')).map(({ sort }) => sort);
  expect(sorts('any(|l.power')).toEqual(['local']);
  expect(sorts('for |l in')).toEqual(['local']);
  expect(sorts('[|l]')).toEqual(['block']);
  expect(sorts('where |l.lit')).toEqual(['local']);
});
