import { describe, expect, test } from 'vitest';
import { format, isTorn } from '../../language/grammar/format.ts';
import { parse } from '../../language/grammar/parser.ts';
import { spellingOf } from '../../language/grammar/syntax.ts';
import { gussetFiles } from './files.ts';

const cases: readonly [name: string, before: string, after: string][] = [
  [
    'indents by braces',
    'machine M {\nbed {\n    target=60 degC\n}\n}\n',
    'machine M {\n  bed {\n    target = 60 degC\n  }\n}\n',
  ],
  [
    'indents lists, and counts brackets of one line once',
    'machine M {\nc {\npath = [\na,\n    b.c\n]\n}\nd = first([\na\n])\n}\n',
    'machine M {\n  c {\n    path = [\n      a,\n      b.c\n    ]\n  }\n  d = first([\n    a\n  ])\n}\n',
  ],
  [
    'one blank before a brace, none in an empty block',
    'machine   M{}\nmachine N is   M   {\n}\n',
    'machine M {}\nmachine N is M {\n}\n',
  ],
  ['a block on one line', 'machine M {wire {area=1 mm^2}}\n', 'machine M { wire { area = 1 mm^2 } }\n'],
  ['operators', 'constant c: Power=a*( b+c )/d^2-e\n', 'constant c: Power = a * (b + c) / d ^ 2 - e\n'],
  [
    'signs',
    'constant c: T = -a*(- b)-  - c\nmachine M {\nt = - 5 degC..20 degC\n}\n',
    'constant c: T = -a * (-b) - -c\nmachine M {\n  t = -5 degC .. 20 degC\n}\n',
  ],
  [
    'a name that is also a word of the language',
    'constant c: T = (at-20 degC)*(at -on)\n',
    'constant c: T = (at - 20 degC) * (at - on)\n',
  ],
  [
    'words that join',
    'constant c: T = if(a)then -b else-c\nconstant d: U = (a)and(not(b))\n',
    'constant c: T = if (a) then -b else -c\nconstant d: U = (a) and (not (b))\n',
  ],
  [
    'records, and what can be checked',
    'machine M {\nchecked a  of b.c at(2 A)on 2026-03-02   with[d=5 V,e=[f,g]]\nset  h=-2 A   on 2026-03-02\n}\nkind k {\ncheck  c{\nstage s\nhighest -2 A\nwith d,e\n}\n}\n',
    'machine M {\n  checked a of b.c at (2 A) on 2026-03-02 with [d = 5 V, e = [f, g]]\n  set h = -2 A on 2026-03-02\n}\nkind k {\n  check c {\n    stage s\n    highest -2 A\n    with d, e\n  }\n}\n',
  ],
  ['calls, indices, members', 'constant c: T = f (a : b , c)[ 1 ] . d\n', 'constant c: T = f(a: b, c)[1].d\n'],
  [
    'numbers and units',
    'machine M {\na = 2*x\nb = 24   V\nc = 5%\n}\n',
    'machine M {\n  a = 2 * x\n  b = 24 V\n  c = 5 %\n}\n',
  ],
  [
    'an open choice, and what may be left out',
    'kind k {\na:Area ?\nhas b ?\nhas c *\n}\nmachine M {\nwire is?\na =?\nmotor*2 is n\n}\n',
    'kind k {\n  a: Area?\n  has b?\n  has c*\n}\nmachine M {\n  wire is ?\n  a = ?\n  motor * 2 is n\n}\n',
  ],
  [
    'units to show values in',
    'dimension D = A/B {\nshown W / ( m * K ),mm ^ 2\n}\n',
    'dimension D = A / B {\n  shown W/(m*K), mm^2\n}\n',
  ],
  ['rows', 'table t(a: A): B {\nrow - 20 degC:60%\n}\n', 'table t(a: A): B {\n  row -20 degC: 60 %\n}\n'],
  ['formulas as arguments', 'numeric n(s:( T )->R): curve of A,B\n', 'numeric n(s: (T) -> R): curve of A, B\n'],
  [
    'empty lines',
    '\n\nmachine M {\n\n\na = 1\n\n\n\nb = 2\n\n}\n\n\n\nmachine N\n\n\n',
    'machine M {\n  a = 1\n\n  b = 2\n}\n\nmachine N\n',
  ],
  ['an end of the last line', 'machine M', 'machine M\n'],
  ['nothing', '\n  \n', ''],
  ['trailing blanks', 'machine M {  \t\n  a = 1 \n}\t\n', 'machine M {\n  a = 1\n}\n'],
  [
    'comments',
    'machine M {\n// a  b   \n      //c\na = 1     //  d\n/// e\nb = 2\n}\n',
    'machine M {\n  // a  b\n  //c\n  a = 1 //  d\n  /// e\n  b = 2\n}\n',
  ],
  [
    'a comment after an opening brace does not swallow the empty line',
    'machine M { // a\n\nb = 1\n}\n',
    'machine M { // a\n\n  b = 1\n}\n',
  ],
  [
    'carets that point at the line above',
    'machine M {\n  heater {\n  //^^^^ x: y\n  }\n}\n',
    'machine M {\n  heater {\n  //^^^^ x: y\n  }\n}\n',
  ],
  ['texts', 'use   "./a  b.gusset"\n', 'use "./a  b.gusset"\n'],
  ['line ends of another system', 'machine M {\r\na=1 \r\n}\r\n', 'machine M {\r\n  a = 1\r\n}\r\n'],
  [
    'a line with a mistake is left alone',
    'machine M {\n a=0,9 m\n   b=\nc=1\n}\n',
    'machine M {\n a=0,9 m\n   b=\n  c = 1\n}\n',
  ],
  [
    'what has one meaning is written as it is here',
    'machine M {\na=24V\nb = 1.5mm²; c = 20°C\nd = 300 mm×200 mm\n}\n',
    'machine M {\n  a = 24 V\n  b = 1.5 mm^2\n  c = 20 °C\n  d = 300 mm x 200 mm\n}\n',
  ],
  [
    'sides that say their unit once have it each; what is no plain number is left alone',
    'machine M {\na=300x200 mm\nb = 1.5×2×300mm\nc = (1) x 2 mm\nd = [3x4 mm,\n5 x 6 mm]\n}\n',
    'machine M {\n  a = 300 mm x 200 mm\n  b = 1.5 mm x 2 mm x 300 mm\n  c = (1) x 2 mm\n  d = [3 mm x 4 mm,\n    5 mm x 6 mm]\n}\n',
  ],
  [
    'the same with line ends of another system',
    'machine M {\r\na=24V;b=1\r\n}\r\n',
    'machine M {\r\n  a = 24 V\r\n  b = 1\r\n}\r\n',
  ],
  [
    'a file whose brackets do not match is left alone',
    'machine M {\n  a=1\n   b {\n}\nmachine N is M {\na=1\n}\n',
    'machine M {\n  a=1\n   b {\n}\nmachine N is M {\na=1\n}\n',
  ],
  ['what begins nothing is left alone', '  = 5\nmachine   M\n', '  = 5\nmachine M\n'],
];

describe('a text is formatted', () => {
  test.each(cases)('%s', (_name, before, after) => {
    expect(format(before)).toBe(after);
    expect(format(after)).toBe(after);
  });
});

test.each(gussetFiles)('$name is formatted', ({ text }) => {
  expect(format(text)).toBe(text);
});

test.each(gussetFiles)('$name is formatted back after all blanks are gone or doubled', ({ text }) => {
  const shaken = text.replace(/^ +(?!\/\/ *\^)/gm, '').replace(/ (?=[={(*])|(?<=[,]) /g, '   ');
  expect(spellingOf(parse(shaken))).toEqual([]);
  // Blanks within texts and comments are not for a formatter to undo.
  const plain = (line: string) => !/["]|\/\//.test(line);
  expect(format(shaken).split('\n').filter(plain)).toEqual(text.split('\n').filter(plain));
});

describe('a text whose lines belong to no block that is certain', () => {
  const torn = (line: string) => isTorn(parse(`machine M {\n  ${line}\n}\n`));

  test('is one in which brackets do not match, or stand where nothing could be read', () => {
    expect(['a = 1 m ] x', 'a = 1 m )', 'a = (1 m', 'b {', 'a = 1 m, b {', '= { c', '= [ c'].map(torn)).toEqual([
      true,
      true,
      true,
      true,
      true,
      true,
      true,
    ]);
  });

  test('is none where what could not be read is only words, or brackets match around what is missing', () => {
    expect(['a = 1 m x', '= c', 'a = b c d', 'a = 1 m', 'a = (1 m +) * 2'].map(torn)).toEqual([
      false,
      false,
      false,
      false,
      false,
    ]);
  });
});
