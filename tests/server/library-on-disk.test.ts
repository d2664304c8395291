import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import type { Location } from 'vscode-languageserver';
import { libraryOnDisk } from '../../server/library-on-disk.ts';
import { bench } from '../support.ts';
import { Client, cursor } from './client.ts';

let cache: string;
beforeAll(() => {
  cache = mkdtempSync(join(tmpdir(), 'gusset cache '));
});
afterAll(() => {
  vi.unstubAllEnvs();
  rmSync(cache, { recursive: true, force: true });
});

const files = [
  { name: 'bed/bed.gusset', text: 'kind bed {\n}\n' },
  { name: 'parts.gusset', text: '// none\n' },
];

test('the files are written once, for reading only, and those of another version beside them', () => {
  const uri = libraryOnDisk(files, cache) ?? '';
  expect(uri).toMatch(/\/gusset\/library-[\da-f]{16}\/$/);
  const path = fileURLToPath(`${uri}bed/bed.gusset`);
  expect(readFileSync(path, 'utf8')).toBe('kind bed {\n}\n');
  expect(statSync(path).mode & 0o222).toBe(0);
  const made = statSync(path).mtimeMs;
  expect(libraryOnDisk(files, cache)).toBe(uri);
  expect(statSync(path).mtimeMs).toBe(made);
  expect(libraryOnDisk([{ name: 'parts.gusset', text: '// one\n' }], cache)).not.toBe(uri);
  // Nothing half made is left.
  expect(readdirSync(join(cache, 'gusset')).filter((name) => !/^library-[\da-f]{16}$/.test(name))).toEqual([]);
});

test('where nothing can be written there is no folder', () => {
  const file = join(cache, 'a file');
  writeFileSync(file, '');
  expect(libraryOnDisk(files, file)).toBeUndefined();
});

test('a client that opens files of the disk alone is led to one, and what is asked of that is answered', async () => {
  vi.stubEnv('XDG_CACHE_HOME', cache);
  const plain = await Client.start({ textDocument: { hover: { contentFormat: ['markdown'] } }, workspace: {} });
  const uri = 'file:///test/plain.gusset';
  const { text, position } = cursor(bench.replace('  supply psu', '  sup<|>ply psu'));
  await plain.open(uri, text);
  const places = await plain.at<Location[]>('textDocument/definition', uri, position);
  const target = places.find((place) => place.uri !== uri);
  if (!target) throw new Error('nothing leads into the library');
  const path = fileURLToPath(target.uri);
  const line = readFileSync(path, 'utf8').split('\n')[target.range.start.line] ?? '';
  expect(line).toMatch(/^kind supply /);
  await plain.open(target.uri, readFileSync(path, 'utf8'));
  const hover = await plain.at<{ contents: { value: string } }>('textDocument/hover', target.uri, target.range.start);
  expect(hover.contents.value).toContain('supply');
  const named = await plain.at<Location[]>('textDocument/references', target.uri, target.range.start, {
    context: { includeDeclaration: true },
  });
  expect(named.map((place) => place.uri)).toContain(target.uri);
  expect(named.filter((place) => place.uri.startsWith('gusset-library:'))).toEqual([]);
  // It is the library itself, and nobody's own file that declares all anew.
  expect(plain.published.filter((told) => told.diagnostics.length > 0)).toEqual([]);
  await plain.stop();
});
