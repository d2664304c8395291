import fc from 'fast-check';
import { AstUtils, GrammarAST } from 'langium';
import { describe, expect, test } from 'vitest';
import { parse } from '../../language/grammar/parser.ts';
import { spellingOf } from '../../language/grammar/syntax.ts';
import { seed } from '../runner/seed.ts';
import { gussetFiles } from './files.ts';
import { grammar, oracle, plain } from './oracle.ts';
import { sentences } from './sentences.ts';

const within = (before: string, rule: string, after: string) =>
  sentences(grammar, rule).map((tokens) => [before, ...tokens, after]);
const members = within('kind k {\n', 'Member', '\n}');
const expressions = within('machine m {\n a =', 'Expression', '\n}');

/** What the grammar lets out, so that the rest is kept while someone types; the hand-written parser says that it is missing. */
const leftOut = new Set(['missing_value', 'missing_member']);

describe('the hand-written parser reads what the grammar says', () => {
  test.each(gussetFiles)('$name', ({ text }) => {
    const { file, errors } = oracle(text);
    expect(errors).toEqual([]);
    const parsed = parse(text);
    expect(spellingOf(parsed)).toEqual([]);
    expect(plain(parsed.file)).toEqual(file);
  });

  // Shrinking texts of a grammar takes minutes; the shortest text that is read otherwise is short enough.
  test.each([
    ['random texts of the grammar', sentences(grammar, 'SpecFile'), 300],
    ['random members', members, 300],
    ['random expressions', expressions, 400],
  ])('%s', (_name, texts, numRuns) => {
    const drawn = fc.sample(texts, { numRuns, seed }).map((tokens) => tokens.join(' '));
    // That a reason is more than blanks, a grammar cannot say.
    const whole = [...new Set(drawn)].filter((text) => text.length < 400 && !/because "\s*"/.test(text));
    const short = whole.sort((a, b) => a.length - b.length);
    expect(short.length).toBeGreaterThan(numRuns / 5);
    const read = short.map((text) => ({ text, ...oracle(text) })).filter(({ errors }) => errors.length === 0);
    for (const one of read) expect({ text: one.text, ...byHand(one.text) }).toEqual(one);
    // Where two rules begin alike, the grammar's own parser sometimes gives up; the texts are of the grammar all the same.
    expect(read.length).toBeGreaterThan(short.length * 0.9);
  });
});

/** Every word that the grammar writes in quotes. */
const words = [
  ...new Set(
    AstUtils.streamAllContents(grammar)
      .filter(GrammarAST.isKeyword)
      .map(({ value }) => value),
  ),
].filter((word) => /^[a-z]+$/.test(word));

// The words of the language may be names wherever a name is followed by what a name is followed by.
test.each(words)('%s as a name', (word) => {
  const texts = [
    `machine m {\n  ${word} = 5 V\n}`,
    `kind k {\n  ${word}: Power\n}`,
    `machine m {\n  ${word} {\n    a = 1\n  }\n}`,
    `machine m {\n  ${word} is a\n}`,
    `constant c: Power = a.${word} + b`,
    `constant ${word}: Power = f(${word}: 2 V)`,
  ];
  const read = texts.map((text) => ({ text, ...oracle(text) })).filter(({ errors }) => errors.length === 0);
  expect(read.length).toBeGreaterThanOrEqual(4);
  for (const one of read) expect({ text: one.text, ...byHand(one.text) }).toEqual(one);
});

function byHand(text: string): { file: unknown; errors: string[] } {
  const parsed = parse(text);
  const errors = spellingOf(parsed).filter(({ code }) => !leftOut.has(code));
  return { file: plain(parsed.file), errors: errors.map(({ message }) => message) };
}
