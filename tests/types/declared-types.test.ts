import { describe, expect, test } from 'vitest';
import { toldOf } from '../support.ts';

const told = (text: string) =>
  toldOf(text)
    .filter(({ severity }) => severity !== 'note')
    .map(({ code, marks, message, fixes }) => [code, marks, message, ...fixes]);

describe('a type that is none is told, with what was meant', () => {
  const unknown = (written: string, meant?: string) => [
    [
      'unknown_type',
      written,
      `${written} is neither a quantity nor a kind.${meant ? ` Did you mean ${meant}?` : ''}`,
      ...(meant ? [`Write ${meant}`] : []),
    ],
  ];
  test.each([
    ['a quantity', 'Lenght', 'Length'],
    ['a kind', 'machin', 'machine'],
    ['a text', 'Tezt', 'Text'],
    ['a yes-or-no', 'Yesno', 'YesNo'],
    ['a date', 'Datum', undefined],
    ['nothing near', 'Whatsoever', undefined],
  ])('%s: %s', (_, written, meant) => {
    expect(told(`constant c: ${written} = 3 mm\n`)).toEqual(unknown(written, meant));
    expect(told(`kind k {\n  a: ${written}\n}\n`)).toEqual(unknown(written, meant));
    expect(told(`function f(x: ${written}): Length = 3 mm\n`)).toEqual(unknown(written, meant));
    expect(told(`function f(x: Length): ${written} = 3 mm\n`)).toEqual(unknown(written, meant));
  });
});

test('what stands for any quantity is known in all of its declaration, and there alone', () => {
  expect(told('function f(x: any Q, y: Q): Q = if yes then x else y\n')).toEqual([]);
  expect(told('function f(x: Length, y: Q): Length = x\n')).toEqual([
    ['unknown_type', 'Q', 'Q is neither a quantity nor a kind.'],
  ]);
});
