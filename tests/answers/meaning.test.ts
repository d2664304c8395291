import { expect, test } from 'vitest';
import { meaningsAt, symbolAt } from '../../language/answers/meaning.ts';
import { occurrencesOf } from '../../language/answers/occurrences.ts';
import { ownKind } from '../own-kind.ts';
import { read } from '../support.ts';

const required = '  require roller.rim(at: 0.2) < 1 m\n';
const own = ownKind.replace(required, `${required}  accept drum_wide because "so"\n`);
const { project, file } = read(own);

/** The offset that a piece of the text marks with `|`. */
function marked(piece: string): number {
  const at = own.indexOf(piece.replace('|', ''));
  if (at < 0) throw new Error(`the text has no ${piece}`);
  return at + piece.indexOf('|');
}

/** `sort@path`, for each meaning of a place. */
function meanings(piece: string): string[] {
  return meaningsAt(file, marked(piece)).map((m) => m.sort + (m.instance ? `@${m.instance.path}` : ''));
}

test.each([
  ['kind |drum', ['kind']],
  ['is |component', ['kind']],
  ['|width: Length', ['value']],
  ['one of sl|ow', ['choice']],
  ['r|im(at: Ratio)', ['value']],
  ['width * |at', ['argument']],
  ['rim(|at: 0.5)', ['argument']],
  ['mode == |fast', ['choice']],
  ['{width|} wide', ['value']],
  ['{na|me}', ['builtin']],
  ['width| = 100 mm', ['value@small_drum']],
  ['100 |mm', ['unit']],
  ['|machine First', ['kind']],
  ['machine |First', ['block@First']],
  ['drum |roller is', ['block@First.roller']],
  ['is |small_drum', ['part']],
  ['mode = |fast', ['choice']],
  ['|all(d', ['builtin']],
  ['all(|d.', ['local']],
  ['require |roller.rim', ['block@First.roller']],
  ['accept |drum_wide', ['rule']],
  ['drum |roller {\n    width', ['block@Second.roller']],
  ['no |roller', ['block']],
  ['|require all', ['keyword']],
])('what %s means', (piece, expected) => {
  expect(meanings(piece)).toEqual(expected);
});

/** The lines that name what a place names. */
function lines(piece: string): string[] {
  const meaning = symbolAt(file, marked(piece));
  const found = meaning ? occurrencesOf(meaning, project) : [];
  return found.map((o) => own.split('\n')[o.file.lines.position(o.range.start).line]?.trim() ?? '');
}

test('a block is found in variants, where more is said of it, and where it is removed', () => {
  expect(lines('|roller is small_drum')).toEqual([
    'drum roller is small_drum {',
    'require roller.rim(at: 0.2) < 1 m',
    'drum roller {',
    'no roller',
  ]);
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

test('an argument is found where it is declared and where it is given', () => {
  expect(lines('rim(|at: Ratio')).toEqual([
    'rim(at: Ratio): Length = width * at {',
    'rim(at: Ratio): Length = width * at {',
    'half: Length = rim(at: 0.5) {',
    'require roller.rim(at: 0.2) < 1 m',
  ]);
});

test('a kind, a rule and a choice are found', () => {
  expect(lines('kind |drum')).toHaveLength(6);
  expect(lines('rule |drum_wide')).toEqual(['rule drum_wide on drum {', 'accept drum_wide because "so"']);
  expect(lines('slow, |fast')).toEqual(['mode: one of slow, fast', 'when mode == fast', 'mode = fast']);
});
