import { chmodSync, lstatSync, mkdirSync, readdirSync, readFileSync, statSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { replaceFile, replaceUnlessChanged } from '../../server/cli/replace.ts';
import { Folder } from './support.ts';

let folder: Folder;
beforeEach(() => {
  folder = new Folder().write({ 'a.gusset': 'before\n' });
});
afterEach(() => folder.remove());
const at = (name: string) => join(folder.path, name);
const text = (name = 'a.gusset') => readFileSync(at(name), 'utf8');

test('a new text takes the place of the old one, with its rights, and leaves nothing beside it', () => {
  chmodSync(at('a.gusset'), 0o640);
  replaceFile(at('a.gusset'), 'after\n');
  expect(text()).toBe('after\n');
  expect(statSync(at('a.gusset')).mode & 0o777).toBe(0o640);
  expect(readdirSync(folder.path)).toEqual(['a.gusset']);
});

test('where a link leads is written, and it stays a link', () => {
  symlinkSync(at('a.gusset'), at('b.gusset'));
  replaceFile(at('b.gusset'), 'after\n');
  expect(lstatSync(at('b.gusset')).isSymbolicLink()).toBe(true);
  expect(text()).toBe('after\n');
});

test('what cannot take its place is thrown, and leaves nothing behind', () => {
  mkdirSync(at('c.gusset/inner'), { recursive: true });
  expect(() => replaceFile(at('c.gusset'), 'after\n')).toThrow();
  expect(() => replaceFile(at('none.gusset'), 'after\n')).toThrow('ENOENT');
  expect(readdirSync(folder.path)).toEqual(['a.gusset', 'c.gusset']);
});

test('a file that holds something else by now is left alone', () => {
  expect(replaceUnlessChanged(at('a.gusset'), 'other\n', 'after\n')).toBe(false);
  expect(text()).toBe('before\n');
  expect(replaceUnlessChanged(at('a.gusset'), 'before\n', 'after\n')).toBe(true);
  expect(text()).toBe('after\n');
});
