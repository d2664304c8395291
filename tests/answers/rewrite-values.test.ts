import { expect, test } from 'vitest';
import { defaultsWrittenOut, freeName, namedValue, unitsInstead } from '../../language/answers/rewrite-values.ts';
import type { Rewriting } from '../../language/answers/rewriting.ts';
import { withEdits } from '../../language/mistakes/mistake.ts';
import type { SourceFile } from '../../language/project.ts';
import { read } from '../support.ts';

const kinds = `kind shed {
  toplevel
  width: Length
  height: Length default 3 m
  air: Temperature default -5 degC
  roof: one of flat, pitched default flat
  lit: YesNo default no
  area: Area default width * height
  has door: door ?
}
kind door {
  inside shed
  width: Length default 0.9 m
}
`;

function offered(marked: string, of: (file: SourceFile, offset: number) => Rewriting[]) {
  const text = kinds + marked;
  const plain = text.replace('<|>', '');
  const { file } = read(plain);
  return of(file, text.indexOf('<|>')).map(({ title, edits }) => [title, withEdits(edits, plain).slice(kinds.length)]);
}

test('a number is written in another unit where it is the same number exactly', () => {
  const titles = (value: string) => offered(`shed S {\n  ${value}\n}\n`, unitsInstead).map(([title]) => title);
  expect(titles('width = 2.<|>5 m')).toEqual(['Write it as 2500 mm']);
  expect(titles('width = 1 i<|>n')).toContain('Write it as 25.4 mm');
  // NIST SP 811: an inch is 25.4 mm exactly, so that a millimetre is no number of inches that ends.
  expect(titles('width = 1<|> mm').join()).not.toContain('in');
  expect(titles('air = 6<|>0 degC')).toEqual(['Write it as 140 degF']);
  expect(titles('air = -5<|> degC')).toEqual([]);
  expect(titles('lit = <|>yes')).toEqual([]);
});

test('what a block takes by default is written out, but for what is computed', () => {
  expect(offered('shed S<|> {\n  width = 2 m\n}\n', defaultsWrittenOut)).toEqual([
    [
      'Write out what S takes by default: 4 values',
      'shed S {\n  width = 2 m\n  height = 3 m\n  air = -5 degC\n  roof = flat\n  lit = no\n}\n',
    ],
  ]);
  expect(offered('shed S {\n  <|>door\n}\n', defaultsWrittenOut)).toEqual([
    ['Write out what door takes by default: width = 0.9 m', 'shed S {\n  door {\n    width = 0.9 m\n  }\n}\n'],
  ]);
  expect(offered('shed S {\n  door {\n    width = 1<|> m\n  }\n}\n', defaultsWrittenOut)).toEqual([]);
});

test('a number gets a name, above what is said of the machine it stands in', () => {
  expect(offered('/// Ours.\nshed S {\n  door {\n    width = 1<|> m\n  }\n}\n', namedValue)).toEqual([
    [
      'Name it: constant door_width',
      'constant door_width: Length = 1 m\n\n/// Ours.\nshed S {\n  door {\n    width = door_width\n  }\n}\n',
    ],
  ]);
  expect(offered('shed S {\n  width = 1 m + <|>1 m\n}\n', namedValue)).toEqual([]);
  expect(offered('shed S {\n  roof = <|>flat\n}\n', namedValue)).toEqual([]);
});

test('a name that is taken gets a number', () => {
  const { file } = read(`${kinds}constant door_width: Length = 1 m\n`);
  expect(freeName('door_width', file.scope)).toBe('door_width_2');
  expect(freeName('door_height', file.scope)).toBe('door_height');
});
