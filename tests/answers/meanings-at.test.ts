import { expect, test } from 'vitest';
import { meaningsAt, symbolAt } from '../../language/answers/meanings-at.ts';
import { read } from '../support.ts';
import { meanings } from './meaning-of.ts';

test('a word of the language is one', () => {
  expect(meanings('|require all')).toEqual(['keyword']);
  const text = 'machine M {\n  require 1 > 0\n  require 2 > 0\n  accept x because "y"\n}\n';
  const { file } = read(text);
  const [first, second, other] = ['require 1', 'require 2', 'accept'].map(
    (piece) => symbolAt(file, text.indexOf(piece) + 1)?.identity,
  );
  expect(first).toBe(second);
  expect(first).not.toBe(other);
});

test('a comment, a blank and a name that leads nowhere mean nothing', () => {
  const text = '// machine here\nmachine M {\n  ambient = wat\n\n}\n';
  const { file } = read(text);
  const at = (piece: string) => symbolAt(file, text.indexOf(piece) + 1);
  expect(at('machine here')).toBeUndefined();
  expect(at('wat')).toBeUndefined();
  expect(at('\n\n}')).toBeUndefined();
  expect(at('machine M')?.name).toBe('machine');
});

test('a block without a name means the block, the role that it fills, and its kind', () => {
  const text = 'machine M {\n  ambient = 20 degC\n  bed {\n  }\n}\n';
  const { file } = read(text);
  expect(meaningsAt(file, text.indexOf('bed') + 1).map(({ sort }) => sort)).toEqual(['block', 'block', 'kind']);
});

test('the place of a name is where it is written, whatever stands before it', () => {
  const text = '/// One.\nmachine N {\n}\nmachine M {\n  ambient = 20 degC\n}\n';
  const { file } = read(text);
  const start = text.indexOf('ambient');
  expect(symbolAt(file, start + 2)?.range).toEqual({ start, end: start + 'ambient'.length });
  const unit = text.indexOf('degC');
  expect(symbolAt(file, unit)?.range).toEqual({ start: unit, end: unit + 4 });
});

test('the path of a `use` means that file', () => {
  const text = 'use "./b.gusset"\n';
  const { file } = read({ 'a.gusset': text, 'b.gusset': '' });
  expect(meaningsAt(file, text.indexOf('b.gusset')).map(({ sort }) => sort)).toEqual(['use']);
});
