import { describe, expect, test } from 'vitest';
import type { Declaration, Member, Text } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { interpolations } from '../../language/grammar/texts.ts';

/** A text's parts, an expression in angles. */
function parts(text: string): string[] {
  const { value } = parse(`constant c: Text = ${text}\n`).file.items[0] as Declaration;
  return interpolations(value as Text).map((part) => (typeof part === 'string' ? part : `<${textOf(part)}>`));
}

describe('a text and the expressions in its braces', () => {
  test.each([
    ['"plain"', ['plain']],
    ['""', []],
    ['"{a}"', ['<a>']],
    ['"at {a}, of {b + 1 m}"', ['at ', '<a>', ', of ', '<b + 1 m>']],
    ['"{a}{b}"', ['<a>', '<b>']],
    ['"\\\\{a}"'.replace('\\\\', '\\'), ['{a}']],
    ['"a \\" b"', ['a " b']],
    // What is no expression stays as it is written, and is told by the checks.
    ['"{a +}"', ['{a +}']],
    ['"{}"', ['{}']],
    ['"{a"', ['{a']],
    ['"a}"', ['a}']],
    ['"} {a}"', ['} ', '<a>']],
  ])('%s', (text, expected) => expect(parts(text)).toEqual(expected));

  test('each expression stands where it is written', () => {
    const { value } = parse('// A comment.\n\nconstant c: Text = "at {a.b}"\n').file.items[0] as Declaration;
    const [, expression] = interpolations(value as Text);
    expect(typeof expression !== 'string' && expression && textOf(expression)).toBe('a.b');
    expect(interpolations(value as Text)).toBe(interpolations(value as Text));
  });
});

test('texts of sources, assumptions and reasons are read as they stand', () => {
  const text =
    'kind k {\n  symbol "{a}"\n}\nrule r on k {\n  source defined "{a}"\n  error "{a}"\n  caution "{a}"\n}\n';
  const members = parse(text).file.items.flatMap((item) => (item as Declaration).body?.members ?? []);
  const read = (member: Member): string[] => {
    const texts = 'text' in member ? [member.text] : 'values' in member ? member.values : [];
    return texts.flatMap((each) =>
      each?.$type === 'Text'
        ? interpolations(each).map((part) => (typeof part === 'string' ? part : `<${textOf(part)}>`))
        : [],
    );
  };
  expect(members.map(read)).toEqual([['{a}'], ['{a}'], ['<a>'], ['<a>']]);
});
