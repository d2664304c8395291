import { expect, test } from 'vitest';
import { meaningsAt } from '../../language/answers/meanings-at.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
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

const steps = `kind hall {
  toplevel
  has lamp*
  width: Length
  rim(at: Length): Length = both + at {
    where half = width / 2 + at
    where both = 2 * half
  }
}
kind lamp {
  power: Power
}
`;
const told = (text: string, piece: string) => {
  const { file } = read(text);
  const offset = text.indexOf(piece.replace('|', '')) + piece.indexOf('|');
  return meaningsAt(file, offset).map(({ sort, declarations: [node], type }) => [
    sort,
    node && text.slice(rangeOf(node).start).split('\n')[0],
    type?.is,
  ]);
};

test('a step means the same where it is declared and where it is used, and has the type of what it says', () => {
  const half = [['local', 'half = width / 2 + at', 'quantity']];
  expect(told(steps, 'where |half')).toEqual(half);
  expect(told(steps, '2 * |half')).toEqual(half);
  expect(told(steps, '= |both + at')).toEqual([['local', 'both = 2 * half', 'quantity']]);
  expect(told(steps, '/ 2 + |at')).toEqual([['argument', 'at: Length): Length = both + at {', 'quantity']]);
});

test('where a question is not typed to its end, what is around it means what it did', () => {
  const asking = steps.replace('2 * half', '2 * half + sum(half for in every lamp)');
  expect(told(asking, 'sum(|half')).toEqual([['local', 'half = width / 2 + at', 'quantity']]);
});
