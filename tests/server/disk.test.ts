import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import { readFile, readUsed, reasonOf, refuseUse } from '../../server/disk.ts';

const folder = mkdtempSync(join(tmpdir(), 'gusset-disk-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const at = (name: string) => join(folder, name);
const uri = (name: string) => pathToFileURL(at(name)).href;
writeFileSync(at('a.gusset'), '\ufeffkind k {\n}\n');
writeFileSync(at('b.txt'), 'text');
writeFileSync(at('c.gusset'), Buffer.from([0xc3, 0x28]));
writeFileSync(at('empty.gusset'), '');
mkdirSync(at('deep.gusset'));
symlinkSync(at('b.txt'), at('link.gusset'));
symlinkSync(at('ring.gusset'), at('ring.gusset'));

describe('a file is read', () => {
  test('as text in UTF-8, without the mark of its byte order unless that is to be kept', () => {
    expect(readFile(at('a.gusset'))).toBe('kind k {\n}\n');
    expect(readFile(at('a.gusset'), true)).toBe('\ufeffkind k {\n}\n');
    expect(readFile(at('empty.gusset'))).toBe('');
  });

  test('and refused where it is none', () => {
    expect(readFile(at('c.gusset'))).toEqual({ refused: 'it is not text in UTF-8' });
    expect(readFile(at('deep.gusset'))).toEqual({ refused: 'it is a folder' });
    expect(readFile('/dev/null')).toEqual({ refused: 'it is not a regular file' });
    expect(() => readFile(at('none.gusset'))).toThrow('ENOENT');
  });

  test('as one that another uses: only by its ending, wherever a link leads', () => {
    expect(readUsed(uri('a.gusset'))).toBe('kind k {\n}\n');
    expect(readUsed(uri('none.gusset'))).toBeUndefined();
    expect(readUsed(`${uri('a.gusset')}/x.gusset`)).toBeUndefined();
    expect(readUsed(uri('link.gusset'))).toEqual({ refused: 'only files that end in .gusset are used' });
    expect(readUsed(uri('ring.gusset'))).toEqual({ refused: 'its links lead in a ring' });
    expect(readUsed('untitled:a.gusset')).toBeUndefined();
  });
});

test('a failure of the file system in plain words', () => {
  expect(reasonOf(Object.assign(new Error('x'), { code: 'ENOENT' }))).toBe('there is no such file or folder');
  expect(reasonOf(Object.assign(new Error('x'), { code: 'EODD' }))).toBe('EODD');
  expect(reasonOf(new Error('odd'))).toBe('Error: odd');
});

describe('a file may use another', () => {
  const refused = (from: string, to: string, ...folders: string[]) => refuseUse(to, from, folders);
  const outside = 'it lies outside of the folders that are worked in';
  test('beside it, below, or in a folder that is worked in', () => {
    expect(refused('file:///shop/a.gusset', 'file:///shop/b.gusset')).toBeUndefined();
    expect(refused('file:///shop/a.gusset', 'file:///shop/deep/b.gusset')).toBeUndefined();
    expect(refused('file:///shop/a.gusset', 'file:///stock/b.gusset', 'file:///stock')).toBeUndefined();
    expect(refused('file:///shop/a.gusset', 'file:///stock/b.gusset', 'file:///stock/')).toBeUndefined();
  });

  test('not elsewhere, and not by another ending', () => {
    expect(refused('file:///shop/a.gusset', 'file:///stock/b.gusset')).toBe(outside);
    expect(refused('file:///shop/a.gusset', 'file:///stocks/b.gusset', 'file:///stock')).toBe(outside);
    expect(refused('file:///shop/a.gusset', 'file:///shop/b.txt')).toBe('only files that end in .gusset are used');
    expect(refused('file:///shop/a.gusset', 'untitled:b.txt')).toBeUndefined();
  });

  test('in the same folder under version control', () => {
    mkdirSync(at('shop/.git'), { recursive: true });
    mkdirSync(at('shop/mine'), { recursive: true });
    expect(refused(uri('shop/mine/a.gusset'), uri('shop/stock/b.gusset'))).toBeUndefined();
    expect(refused(uri('shop/mine/a.gusset'), uri('stock/b.gusset'))).toBe(outside);
  });
});
