import { describe, expect, test } from 'vitest';
import type { Declaration } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { undocumented } from '../../language/types/check.ts';
import { toldOf } from '../support.ts';

const unit = 'Expected a length, this is a power.';
const closed = (what: string) => `Units and dimensions are the library's: a ${what} cannot be declared here.`;

const wholeVersion = 'The version of the language is a whole number from 1 up: gusset 1.';

const mistakes: readonly [text: string, code: string, marks: string, message: string, ...fixes: string[]][] = [
  ['gusset 1.5\n', 'language_version', '1.5', wholeVersion, 'Write 1'],
  ['gusset 0\n', 'language_version', '0', wholeVersion, 'Write 1'],
  ['gusset 1 m\n', 'language_version', '1 m', wholeVersion, 'Write 1'],
  [
    'gusset 2\n',
    'language_version',
    '2',
    'This file is written in version 2 of the language, and this Gusset reads version 1: take a later Gusset, or expect what it does not know.',
  ],
  [
    'constant c: Length = 3 mm\ngusset 1\n',
    'language_version',
    'gusset 1',
    'The version of the language stands above all else in a file.',
  ],
  ['part p {\n}\n', 'missing_base', 'p', 'A part says what it starts from: part p is KIND { … }.'],
  ['part p is nothing {\n}\n', 'unknown_part', 'nothing', 'There is no kind or part called nothing.'],
  [
    'part p is plat {\n}\n',
    'unknown_part',
    'plat',
    'There is no kind or part called plat. Did you mean plate?',
    'Write plate',
  ],
  ['part p is p {\n}\n', 'ring', 'p', 'p starts from itself, through p.'],
  [
    'function f(x: Length): Area = x * y\n',
    'unknown_name',
    'y',
    'Nothing is called y here. Did you mean x?',
    'Write x',
  ],
  ['function f(x: Nothing): Area = 3 m^2\n', 'unknown_type', 'Nothing', 'Nothing is neither a quantity nor a kind.'],
  ['constant c: Length = 3 W\n', 'wrong_dimension', '3 W', unit],
  ['sizes s: Length = [1 mm, 2 W]\n', 'wrong_dimension', '2 W', unit],
  ['sizes s: Length = 3 mm\n', 'wrong_type', '3 mm', 'Expected a list: [ … ] of length, this is a length.'],
  [
    'table t(a: Length): Current {\n  row 1 mm: 2 W\n}\n',
    'wrong_dimension',
    '2 W',
    'Expected a current, this is a power: divide by a voltage?',
  ],
  ['table t(a: Length): Current {\n  row 1 W: 2 A\n}\n', 'wrong_dimension', '1 W', unit],
  [
    'table t(a: Length): Current {\n  row 1 mm, 2 mm: 2 A\n}\n',
    'wrong_row',
    'row 1 mm, 2 mm: 2 A',
    'This table is looked up by 1 key; this row has 2.',
  ],
  [
    'table t(a: Length, b: Length): Current {\n  row 1 mm: 2 A\n}\n',
    'wrong_row',
    'row 1 mm: 2 A',
    'This table is looked up by 2 keys; this row has 1.',
  ],
  ['numeric n(x: Nothing): Length\n', 'unknown_type', 'Nothing', 'Nothing is neither a quantity nor a kind.'],
  ['unit foo = 3 m\n', 'closed_units', 'unit foo = 3 m', closed('unit')],
  ['dimension Foo\n', 'closed_units', 'dimension Foo', closed('dimension')],
  ['prefix foo = 3\n', 'closed_units', 'prefix foo = 3', closed('prefix')],
  ['machine M\nmachine M\n', 'said_twice', 'M', 'M is already declared in this file; the first one counts.'],
  [
    'part aluminium is material {\n}\n',
    'clash',
    'aluminium',
    'The library already has aluminium: give this one another name.',
  ],
  ['rate 1 EUR = 1.1 USD\n', 'missing_date', '1.1 USD', 'Expected the day it was taken: on 2026-03-02.'],
];

const told = (text: string) => toldOf(text).filter(({ severity }) => severity !== 'note');

describe('one mistake in a declaration', () => {
  test.each(mistakes)('%s: %s', (text, code, marks, message, ...fixes) => {
    expect(told(text).map(({ severity: _, ...rest }) => rest)).toEqual([{ code, marks, message, fixes }]);
  });

  test.each(['constant c: Length = 3 mm\n'])('nothing is wrong with %s', (text) => {
    expect(told(text)).toEqual([]);
  });
});

test('mistakes of a file that is used are told there, once, and not where it is used', () => {
  const files = {
    'a.gusset': 'use "./b.gusset"\nmachine M {\n  ambient = 20 degC\n  fuse f is odd\n  fuse g is odd\n}\n',
    'b.gusset': 'part odd is blade_15a {\n  rated_current = 3 V\n}\n',
  };
  expect(toldOf(files)).toEqual([]);
  expect(toldOf({ 'b.gusset': files['b.gusset'] }).map(({ code, marks }) => [code, marks])).toEqual([
    ['wrong_dimension', '3 V'],
  ]);
});

const oneOf = (text: string) => told(text).map(({ code, marks, message }) => [code, marks, message]);

test('a rate is between two currencies', () => {
  expect(oneOf('rate 1 EUR = 2 W on 2026-01-01\n')).toEqual([
    ['wrong_rate', '2 W', 'A rate is between two currencies, and 2 W is none: rate 1 EUR = 1.08 USD on 2026-03-02.'],
  ]);
  expect(oneOf('rate 1 EUR = 1.08 USD on 2026-01-01\n')).toEqual([]);
});

test('what the library owes: a documentation for each, and a source where something is claimed', () => {
  const lacks = (text: string) => undocumented(parse(text).file.items[0] as Declaration);
  expect(lacks('kind k {\n  a: Length\n  b: Length = a\n  c = 1 m\n}\n')).toEqual([
    'kind k: no documentation',
    'kind k: a has no documentation',
    'kind k: b has no documentation',
    'kind k: b has no source',
  ]);
  expect(
    lacks(
      '/// A k.\nkind k {\n  /// An a.\n  a: Length\n  /// A b.\n  b: Length = a {\n    source defined "here"\n  }\n}\n',
    ),
  ).toEqual([]);
  expect(lacks('/// A k.\nkind k {\n  /// A b.\n  b: Length = a {\n    source defined ""\n  }\n}\n')).toEqual([
    'kind k: b has no source',
  ]);
  for (const declared of [
    'rule r on k',
    'table t(a: Length): Length',
    'function f(): Length = 1 m',
    'constant c: Length = 1 m',
  ])
    expect(lacks(`/// An x.\n${declared} {\n}\n`), declared).toEqual([expect.stringMatching(/no source$/)]);
  expect(lacks('/// A part.\npart p is k {\n}\n')).toEqual([]);
});

test('how a table goes between its rows is one of two words', () => {
  const table = (how: string) => `/// Doubled.
table doubled(x: Ratio): Ratio {
  source defined "twice"
  interpolation ${how}
  row 1: 2
}
`;
  expect(oneOf(table('linear'))).toEqual([]);
  expect(oneOf(table('lineary'))).toEqual([
    ['unknown_choice', 'lineary', 'Expected one of linear and logarithmic; lineary is none of them.'],
  ]);
});
