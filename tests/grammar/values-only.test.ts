import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { parse } from '../../language/grammar/parser.ts';
import { childrenOf, docOf, rangeOf } from '../../language/grammar/syntax.ts';
import { valuesEdit } from '../../language/grammar/values-only.ts';

const heron = readFileSync(new URL('../../examples/heron.gusset', import.meta.url), 'utf8');

/** A tree without its links upward. */
function plain(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(plain);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.entries(value).flatMap(([key, v]) => (key === '$container' ? [] : [[key, plain(v)]])),
  );
}

/** A file before and after an edit, and what of it changed values alone. */
function edited(before: string, after: string) {
  const old = parse(before);
  return { old, edit: valuesEdit(old, parse(after, old)) };
}

const block = (inside: string) => `machine Rig {\n  bed {\n    ${inside}\n  }\n  require bed.area <= 4 m^2\n}\n`;

test.each([
  ['a number', 'width = 3 mm', 'width = 35 mm'],
  ['a unit', 'width = 3 mm', 'width = 3 cm'],
  ['a range for a number', 'width = 3 mm', 'width = 3 mm .. 4 mm'],
  ['an element of a list', 'path = [a, b]', 'path = [a, b, c]'],
  ['a text', 'note = "a"', 'note = "ab"'],
  ['a text with a value in it', 'note = "{a} b"', 'note = "{a} b c"'],
])('%s is another value, and every node stands where it does now', (_what, before, after) => {
  const { old, edit } = edited(block(before), block(after));
  const [item] = old.file.items;
  expect(edit?.changed.map(({ first }) => first.text)).toEqual([before.split(' ')[0]]);
  const taken = edit?.take();
  expect(taken?.file.items[0]).toBe(item);
  expect(plain(taken?.file)).toEqual(plain(parse(block(after)).file));
});

test.each([
  ['a comment', 'width = 3 mm // as bought', 'width = 3 mm // measured'],
  ['blanks', 'width = 3 mm', 'width =  3 mm'],
  ['an empty line', 'width = 3 mm', '\n    width = 3 mm'],
])('%s changes no value', (_what, before, after) => {
  const { edit } = edited(block(before), block(after));
  expect(edit?.changed).toEqual([]);
  expect(plain(edit?.take().file)).toEqual(plain(parse(block(after)).file));
});

test.each([
  ['a name', 'width = 3 mm', 'depth = 3 mm'],
  ['another statement', 'width = 3 mm', 'width = 3 mm\n    depth = 3 mm'],
  ['an open choice', 'width = 3 mm', 'width = ?'],
  ['a value in place of an open choice', 'width = ?', 'width = 3 mm'],
  ['a mistake of spelling', 'width = 3 mm', 'width = 3 mm +'],
  ['a mistake mended', 'width = 3 mm +', 'width = 3 mm'],
  ['how many there are', 'motor * 2', 'motor * 3'],
  ['a part', 'plate is glass', 'plate is steel'],
])('%s is more than a value', (_what, before, after) => {
  expect(edited(block(before), block(after)).edit).toBeUndefined();
});

test('a requirement is no value', () => {
  const { edit } = edited(block('width = 3 mm'), block('width = 3 mm').replace('4 m^2', '5 m^2'));
  expect(edit).toBeUndefined();
});

test('of an example with each of its numbers changed, one after another, every node stands where it does now', () => {
  let parsed = parse(heron);
  let taken = 0;
  for (const { index } of heron.matchAll(/(?<== )\d+/g)) {
    const at = parsed.text.length - (heron.length - index);
    const text = `${parsed.text.slice(0, at)}1${parsed.text.slice(at)}`;
    const edit = valuesEdit(parsed, parse(text, parsed));
    parsed = edit?.take() ?? parse(text);
    if (edit) taken++;
    expect(plain(parsed.file)).toEqual(plain(parse(text).file));
  }
  expect(taken).toBeGreaterThan(40);
});

test('documentation is read again where the lines above a statement are others', () => {
  const text = (doc: string) => `machine Rig {\n  /// ${doc}\n  width = 3 mm\n}\n`;
  const { old, edit } = edited(text('How wide.'), text('How wide it is.'));
  const statement = () => childrenOf(childrenOf(old.file.items[0] as never).at(-1) as never)[0] as never;
  expect(docOf(statement())).toBe('How wide.');
  const taken = edit?.take();
  expect(taken?.text.slice(rangeOf(statement()).start)).toBe('width = 3 mm\n}\n');
  expect(docOf(statement())).toBe('How wide it is.');
});
