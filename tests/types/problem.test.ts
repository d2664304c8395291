import { describe, expect, test } from 'vitest';
import { parse } from '../../language/grammar/parser.ts';
import { type AstNode, childrenOf, textOf } from '../../language/grammar/syntax.ts';
import { expressionAround, listed, nearest, replace, sentence } from '../../language/types/problem.ts';

test('a message is a sentence: its article with a capital, and no point after a question mark', () => {
  expect(sentence('a length is none.')).toBe('A length is none.');
  expect(sentence('an area is none.')).toBe('An area is none.');
  expect(sentence('area is none.')).toBe('area is none.');
  expect(sentence('Did you mean a length?.')).toBe('Did you mean a length?');
});

test.each([
  [[], ''],
  [['a'], 'a'],
  [['a', 'b'], 'a and b'],
  [['a', 'b', 'c'], 'a, b and c'],
  [['a', 'b', 'c', 'd'], 'a, b, c and 1 more'],
  [['a', 'b', 'c', 'd', 'e'], 'a, b, c and 2 more'],
])('%o listed, at most three: %s', (names, text) => expect(listed(names, 3)).toBe(text));

describe('what was probably meant', () => {
  test('is the nearest, whatever its case', () => {
    expect(nearest('lenght', ['width', 'length', 'strength'])).toBe('length');
    expect(nearest('LENGTH', ['width', 'Length'])).toBe('Length');
  });

  test('not what is too far, and not the name itself', () => {
    expect(nearest('width', ['depth'])).toBeUndefined();
    expect(nearest('length', ['length'])).toBeUndefined();
    expect(nearest('length', ['length', 'lengths'])).toBe('lengths');
    expect(nearest('a', [])).toBeUndefined();
    // One letter of a short name, a third of a long one.
    expect(nearest('abc', ['abd', 'xyz'])).toBe('abd');
    expect(nearest('abc', ['axd'])).toBeUndefined();
    expect(nearest('abcdef', ['abcdxy'])).toBe('abcdxy');
    expect(nearest('abcdef', ['abcxyz'])).toBeUndefined();
  });
});

describe('the expression around a mistake', () => {
  const { file } = parse(`hall H {
  width = (1 m + gap) * 2
  require width > 3 m or lit
  lamp a is bright
}
rule r on k {
  holds a < max(b, c)
  error "{d + e}"
}
`);
  const named = (name: string) => {
    const walk = (node: AstNode): AstNode | undefined =>
      node.$type === 'Name' && textOf(node) === name
        ? node
        : childrenOf(node).reduce<AstNode | undefined>((found, child) => found ?? walk(child), undefined);
    return walk(file) as AstNode;
  };
  const around = (name: string) => {
    const found = expressionAround(named(name));
    return found && textOf(found);
  };

  test('is the outermost, up to its statement', () => {
    expect(around('gap')).toBe('(1 m + gap) * 2');
    expect(around('lit')).toBe('width > 3 m or lit');
    expect(around('c')).toBe('a < max(b, c)');
  });

  test('of a name that stands in no expression is the name', () => expect(around('bright')).toBe('bright'));

  test('of a statement is none', () => expect(expressionAround(file.items[0] as AstNode)).toBeUndefined());

  test('and is replaced where it stands when that is asked for', () => {
    const fix = replace(named('gap'), 'slit', 'Write slit');
    expect(fix).toMatchObject({ title: 'Write slit', text: 'slit' });
    expect(fix.range()).toEqual({ start: 26, end: 29 });
  });
});
