import { mkdirSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { diskProject, displayPath, gather, openFile, readText, TextPlaces, uriOf } from '../../server/cli/files.ts';
import { CallError } from '../../server/cli/io.ts';
import { showPlace } from '../../server/cli/page.ts';
import { Folder } from './support.ts';

const folder = new Folder().write({
  'a.gusset': 'use "./deep/b.gusset"\nhall H {\n}\n',
  'deep/b.gusset': 'kind hall {\n  toplevel\n}\n',
  'deep/c.txt': 'text',
  'deep/.hidden/d.gusset': '',
  'node_modules/e.gusset': '',
  'odd.gusset': new Uint8Array([0xc3, 0x28]),
});
mkdirSync(join(folder.path, 'empty'));
symlinkSync(join(folder.path, 'deep/b.gusset'), join(folder.path, 'deep/link.gusset'));
symlinkSync(join(folder.path, 'gone'), join(folder.path, 'deep/gone.gusset'));
afterAll(() => folder.remove());
const found = (...paths: string[]) => gather(paths, folder.path).map((full) => full.slice(folder.path.length + 1));

describe('the files that are meant', () => {
  test('in folders those of the language, in order, none hidden or of installed packages', () => {
    expect(found('.')).toEqual(['a.gusset', 'deep/b.gusset', 'deep/link.gusset', 'odd.gusset']);
    expect(found('deep', 'deep/b.gusset')).toEqual(['deep/b.gusset', 'deep/link.gusset']);
  });

  test('a file that is named may have any ending', () => expect(found('deep/c.txt')).toEqual(['deep/c.txt']));

  test('what is not there, or holds none, is a wrong call', () => {
    expect(() => found('nothing')).toThrow(new CallError('nothing cannot be read: there is no such file or folder.'));
    expect(() => found('empty')).toThrow('There is no .gusset file in empty.');
    expect(() => readText(join(folder.path, 'odd.gusset'), folder.path)).toThrow(
      'odd.gusset cannot be read: it is not text in UTF-8.',
    );
  });
});

test('a path as it is best read', () => {
  expect(displayPath('/a/b/c', '/a/b')).toBe('c');
  expect(displayPath('/a/c', '/a/b')).toBe('../c');
  expect(displayPath('/c/d', '/a/b/x/y')).toBe('/c/d');
  expect(displayPath('/a/b', '/a/b')).toBe('/a/b');
});

test('places of nodes, in files and in the library', () => {
  const project = diskProject(folder.path);
  const file = openFile(project, join(folder.path, 'a.gusset'), folder.path);
  const places = TextPlaces.onDisk(project, folder.path);
  const at = (node: unknown) => {
    const place = places.of(node as never);
    return place && showPlace(place);
  };
  expect(file.uri).toBe(uriOf(join(folder.path, 'a.gusset')));
  expect(at(file.parsed.file.items[1])).toBe('a.gusset:2:1');
  expect(at(file.scope.kindNamed('hall')?.node)).toBe('deep/b.gusset:1:1');
  expect(at(file.scope.kindNamed('machine')?.node)).toMatch(/^library:\w+\/\w+\.gusset:\d+:1$/);
});
