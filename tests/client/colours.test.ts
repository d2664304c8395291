// The colours an editor shows before the server answers: made from the grammar, so nothing can be missing from them.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
// @ts-expect-error: plain JavaScript, for `npm run generate` runs it before TypeScript is there.
import { keywordsOf, textMateGrammar } from '../../client/generate.mjs';

interface Pattern {
  name?: string;
  match?: string;
  begin?: string;
  end?: string;
  captures?: Record<string, { name: string }>;
  beginCaptures?: Record<string, { name: string }>;
  patterns?: Pattern[];
}

interface Keywords {
  lines: { rule: string; heads: string[]; inner: string[] }[];
  types: string[];
  constants: string[];
  words: string[];
}

const grammar = readFileSync(join(import.meta.dirname, '../../language/grammar/gusset.langium'), 'utf8');
const keywords: Keywords = keywordsOf(grammar);
const colours: { patterns: Pattern[]; repository: { expressions: { patterns: Pattern[] } } } = textMateGrammar(grammar);
const all = [...colours.patterns, ...colours.repository.expressions.patterns];

test('every keyword of the grammar is sorted into a place where it is coloured', () => {
  const rules = grammar.replace(/^\s*\/\/.*$/gm, '');
  const inGrammar = new Set([...rules.matchAll(/'([a-z]+)'/g)].map((match) => match[1]!));
  const { lines, types, constants, words } = keywords;
  const sorted = new Set([
    ...lines.flatMap(({ heads, inner }) => [...heads, ...inner]),
    ...types,
    ...constants,
    ...words,
  ]);
  expect([...inGrammar].filter((word) => !sorted.has(word))).toEqual([]);
  expect([...sorted].filter((word) => !inGrammar.has(word))).toEqual([]);
  expect(inGrammar.size).toBeGreaterThan(50);
});

test('every pattern is a regular expression', () => {
  for (const { match, begin, end } of all)
    for (const source of [match, begin, end]) if (source) expect(() => new RegExp(source, 'u')).not.toThrow();
});

/** The scope that the first matching pattern gives to the first word of a line that it captures, as the editor would. */
function firstScope(line: string): string | undefined {
  for (const { match, begin, name, captures, beginCaptures } of all) {
    const found = new RegExp(match ?? begin ?? '$^', 'u').exec(line);
    if (!found || found[0].trim() === '' || line.slice(0, found.index).trim() !== '') continue;
    const scopes = captures ?? beginCaptures ?? {};
    const group = Object.keys(scopes).find((key) => found[Number(key)]);
    return group ? scopes[group]!.name : name;
  }
  return undefined;
}

test.each([
  ['machine Heron {', 'entity.name.type.gusset'],
  ['part plate_230 is plate {', 'keyword.other.declaration.gusset'],
  ['rule wire_overloaded on wire {', 'keyword.other.declaration.gusset'],
  ['kind heater {', 'keyword.other.declaration.gusset'],
  ['  fuse is blade_15a', 'entity.name.type.gusset'],
  ['  motor z * 2 is nema17_34mm {', 'entity.name.type.gusset'],
  ['  area = 2.5 mm^2', 'variable.other.property.gusset'],
  ['  at area', 'keyword.other.statement.gusset'],
  ['  at = 3 A', 'variable.other.property.gusset'],
  ['  no surface', 'keyword.other.statement.gusset'],
  ['  shared ambient: Temperature', 'storage.modifier.gusset'],
  ['  require bed.warm_up(to: 100 degC) <= 8 min', 'keyword.other.statement.gusset'],
  ['  /// Power at the label.', 'comment.line.documentation.gusset'],
])('%s begins with %s', (line, scope) => {
  expect(firstScope(line)).toBe(scope);
});

test('a unit is a unit after its number, and a word stays a word', () => {
  const quantity = all.find(({ captures }) => captures?.[2]?.name === 'keyword.other.unit.gusset')!;
  const read = (text: string) => new RegExp(quantity.match!, 'u').exec(text)?.[2];
  expect(read('area = 2.5 mm^2')).toBe('mm^2');
  expect(read('0.12 W/(m*K)')).toBe('W/(m*K)');
  expect(read('235 x 2')).toBeUndefined();
  expect(read('if a then 3 else 4')).toBeUndefined();
});
