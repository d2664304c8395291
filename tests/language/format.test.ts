import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { format } from '../../language/format.ts';
import { Lexer } from '../../language/grammar/lexer.ts';

/** Everything in a text that means something, and its comments. */
function meaning(text: string): string[] {
  const lexer = new Lexer(text);
  const tokens: string[] = [];
  for (let at = 0; ; ) {
    const token = lexer.read(at, true);
    if (token.kind === 'end') break;
    tokens.push(token.kind === 'number' ? token.text.replace(/[ \t]+/, '') : token.text.trimEnd());
    at = token.end;
  }
  return [...tokens, ...(text.match(/\/\/[^\n]*?(?=[ \t\r]*(\n|$))/g) ?? [])];
}

const folders = ['examples', 'language/library', 'language/library/rules'];
const specs = folders.flatMap((folder) => {
  const url = new URL(`../../${folder}/`, import.meta.url);
  return readdirSync(url).flatMap((name) =>
    name.endsWith('.gusset') ? [{ name: `${folder}/${name}`, text: readFileSync(new URL(name, url), 'utf8') }] : [],
  );
});

test.each([
  [
    'blocks are indented by two',
    'machine M {\nbed {\n target=100 degC\n}\n}',
    'machine M {\n  bed {\n    target = 100 degC\n  }\n}\n',
  ],
  [
    'operators stand between blanks',
    'constant a: Count = 2*(b+3)^ 2 - -1\n',
    'constant a: Count = 2 * (b + 3) ^ 2 - -1\n',
  ],
  [
    'a unit follows its number after one blank',
    'part p is q {\n  mass = 3   kg\n}\n',
    'part p is q {\n  mass = 3 kg\n}\n',
  ],
  [
    'calls, arguments, members',
    'machine M {\n  require bed . warm_up( to : 100 degC )<=5 min\n}\n',
    'machine M {\n  require bed.warm_up(to: 100 degC) <= 5 min\n}\n',
  ],
  [
    'one empty line at most, none at a block’s ends',
    '\n\npart p is q {\n\n  a = 1\n\n\n  b = 2\n\n}\n\n',
    'part p is q {\n  a = 1\n\n  b = 2\n}\n',
  ],
  [
    'nothing is aligned',
    'part p is q {\n  a    = 1\n  abcd = 2   // two\n}\n',
    'part p is q {\n  a = 1\n  abcd = 2 // two\n}\n',
  ],
  ['lists over several lines', 'sizes s: Count = [\n1,\n  a=2\n]\n', 'sizes s: Count = [\n  1,\n  a = 2\n]\n'],
  [
    'a line with a mistake stays',
    'part p is q {\n     mass = 24kg\n a=1\n}\n',
    'part p is q {\n  mass = 24kg\n  a = 1\n}\n',
  ],
  [
    'optional and open',
    'kind k {\n  a: Area?\n  has fan*\n  has bed?\n}\npart p is k {\n  a = ?\n}\n',
    'kind k {\n  a: Area?\n  has fan*\n  has bed?\n}\npart p is k {\n  a = ?\n}\n',
  ],
])('%s', (_, text, expected) => {
  expect(format(text)).toBe(expected);
});

describe.each(specs.filter((spec) => !spec.name.includes('/rules/')))('$name', ({ text }) => {
  test('is laid out as the formatter would', () => {
    expect(format(text)).toBe(text);
  });
});

test('on any text: what it means stays, and a second time changes nothing', () => {
  const piece = fc.constantFrom(
    '{',
    '}',
    '(',
    ')',
    '[',
    ']',
    ' ',
    '\n',
    '\n\n',
    '"',
    '// x\n',
    '-',
    '= ',
    '24 V',
    '2,5 A',
    '?',
    ' x ',
    'at',
    'if ',
    ',',
    '.',
    '\t',
    '\r\n',
    '/',
    '*',
    'é',
    '\\',
  );
  fc.assert(
    fc.property(
      fc.constantFrom(...specs),
      fc.array(fc.tuple(fc.double({ min: 0, max: 1, noNaN: true, maxExcluded: true }), piece, fc.nat(6))),
      ({ text }, edits) => {
        const edited = edits.reduce((t, [at, insert, cut]) => {
          const offset = Math.floor(at * t.length);
          return t.slice(0, offset) + insert + t.slice(offset + cut);
        }, text);
        const once = format(edited);
        expect(meaning(once)).toEqual(meaning(edited));
        expect(format(once)).toBe(once);
      },
    ),
    { numRuns: Number(process.env.FUZZ_RUNS ?? 150) },
  );
}, 60_000);
