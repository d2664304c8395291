import { describe, expect, test } from 'vitest';
import type { Declaration, Entry, Text } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import {
  childrenOf,
  contentOf,
  docOf,
  fileOf,
  isWithin,
  itemOf,
  Lines,
  nodesAt,
  parsedOf,
  rangeOf,
  spellingOf,
  textOf,
} from '../../language/grammar/syntax.ts';

const text = `// A comment.
/// A hall.
/// It is wide.
kind hall {
  /// How wide.
  width: Length

  // No documentation.
  depth: Length
}

hall H {
  width = 1 m + depth
}
`;
const parsed = parse(text);
const [kind, hall] = parsed.file.items as [Declaration, Entry];

describe('lines', () => {
  const lines = new Lines('ab\n\ncd');
  test('offsets to places and back', () => {
    const places = [0, 1, 2, 3, 4, 5, 6].map((offset) => lines.position(offset));
    expect(places.map(({ line, character }) => `${line}:${character}`)).toEqual([
      '0:0',
      '0:1',
      '0:2',
      '1:0',
      '2:0',
      '2:1',
      '2:2',
    ]);
    expect(places.map((place) => lines.offset(place))).toEqual([0, 1, 2, 3, 4, 5, 6]);
  });

  test('beyond a line is its end, beyond the last the end of the text', () => {
    expect(lines.offset({ line: 0, character: 99 })).toBe(3);
    expect(lines.offset({ line: 9, character: 0 })).toBe(6);
  });
});

describe('nodes', () => {
  test('know their text, their item and their file', () => {
    const value = hall.body?.members[0] as Entry;
    expect(textOf(value)).toBe('width = 1 m + depth');
    expect(itemOf(value)).toBe(hall);
    expect(itemOf(hall)).toBe(hall);
    expect(itemOf(parsed.file)).toBeUndefined();
    expect(fileOf(value)).toBe(parsed.file);
    expect(parsedOf(value)).toBe(parsed);
    expect(rangeOf(parsed.file)).toEqual({ start: 0, end: text.length });
    expect(isWithin(value, hall)).toBe(true);
    expect(isWithin(hall, hall)).toBe(true);
    expect(isWithin(hall, value)).toBe(false);
  });

  test('around an offset, a place at the end counts', () => {
    const types = (offset: number) => nodesAt(parsed.file, offset).map(({ $type }) => $type);
    const at = text.indexOf('+ depth');
    expect(types(at + 2)).toEqual(['SpecFile', 'Entry', 'Body', 'Entry', 'Binary', 'Reference', 'Name']);
    expect(types(at + '+ depth'.length)).toEqual(['SpecFile', 'Entry', 'Body', 'Entry', 'Binary', 'Reference', 'Name']);
    expect(types(0)).toEqual(['SpecFile']);
  });

  test('in a node, in the order of the text', () => {
    expect(childrenOf(kind).map(textOf)[0]).toBe('hall');
    expect(childrenOf(kind.body as never).map((node) => textOf(node).split(':')[0])).toEqual(['width', 'depth']);
  });

  test('where their item comes to stand elsewhere they do so too', () => {
    const later = parse(`// Before.\n${text}`, parsed);
    const [, same] = later.file.items as [Declaration, Entry];
    expect(same).toBe(hall);
    expect(textOf(same.body?.members[0] as Entry)).toBe('width = 1 m + depth');
  });
});

test('documentation is what stands right above', () => {
  const again = parse(text);
  const [first] = again.file.items as [Declaration];
  expect(docOf(first)).toBe('A hall.\nIt is wide.');
  expect(docOf(first.body?.members[0] as Entry)).toBe('How wide.');
  expect(docOf(first.body?.members[1] as Entry)).toBe('');
});

test('problems stand in the order of the text, with their ways out', () => {
  const broken = parse('hall A {\n  width == 1 m\n}\n\n)\nhall B {\n  width == 2 m\n}\n');
  const problems = spellingOf(broken);
  expect(problems.map(({ start }) => start)).toEqual(problems.map(({ start }) => start).toSorted((a, b) => a - b));
  const twice = problems.filter(({ code }) => code === 'double_equals');
  expect(twice.map(({ start, end }) => broken.text.slice(start, end))).toEqual(['==', '==']);
  expect(
    twice.map(({ fixes }) => fixes.map((fix) => fix.edits.map((edit) => broken.text.slice(edit.start, edit.end)))),
  ).toEqual([[['==']], [['==']]]);
});

test('the inside of a text', () => {
  const content = (written: string) => contentOf({ text: written } as Text);
  expect([content('"a"'), content('"a \\"b\\""'), content('"\\{a}"'), content('"a')]).toEqual([
    'a',
    'a "b"',
    '{a}',
    'a',
  ]);
});
