// What a file may name in `use`, and what is read of it.
import { spawnSync } from 'node:child_process';
import { symlinkSync, truncateSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { Folder } from '../cli/support.ts';

const program = join(import.meta.dirname, '../../dist/gusset.js');
const folder = new Folder();
afterAll(() => folder.remove());

/** What is said of a file that uses a path, by a process that may take no longer than that. */
function said(path: string, name = 'work/a.gusset'): string {
  folder.write({ [name]: `use "${path}"\n\nmachine A {\n  ambient = 20 degC\n}\n` });
  const args = ['check', '--format', 'json', name.replace('work/', '')];
  const { stdout, error } = spawnSync(process.execPath, [program, ...args], {
    cwd: join(folder.path, 'work'),
    encoding: 'utf8',
    timeout: 20_000,
  });
  if (error) throw error;
  const findings: { code: string; message: string; line: number }[] = JSON.parse(stdout).findings;
  return findings.flatMap(({ code, message, line }) => (line === 1 ? [`${code}: ${message}`] : [])).join('\n');
}

const place = (name: string) => join(folder.path, name);

test('a file beside, below, or elsewhere in the folder that is worked in', () => {
  folder.write({ 'work/stock.gusset': '', 'work/deep/stock.gusset': '', 'work/deep/b.gusset': '' });
  expect(said('./stock.gusset')).toBe('');
  expect(said('./deep/stock.gusset')).toBe('');
  expect(said('../stock.gusset', 'work/deep/b.gusset')).toBe('');
});

test('a file in the same folder under version control', () => {
  folder.write({ 'outside.gusset': '' });
  expect(said('../outside.gusset')).toContain('it lies outside of the folders that are worked in');
  folder.write({ '.git/HEAD': '' });
  expect(said('../outside.gusset')).toBe('');
});

test.each(['/etc/passwd', '/dev/zero', '/dev/kmsg', './notes.txt'])('%s is not read: of its name', (path) => {
  folder.write({ 'work/notes.txt': 'secret' });
  expect(said(path)).toBe(`refused_file: ${path} is not read: only files that end in .gusset are used.`);
});

test('a pipe, a device, a folder and a file of another name behind a link', () => {
  folder.write({ 'work/folder.gusset/x': '' });
  spawnSync('mkfifo', [place('work/pipe.gusset')]);
  symlinkSync('/dev/zero', place('work/zero.gusset'));
  symlinkSync('/etc/passwd', place('work/users.gusset'));
  expect(said('./folder.gusset')).toBe('refused_file: ./folder.gusset is not read: it is a folder.');
  expect(said('./pipe.gusset')).toBe('refused_file: ./pipe.gusset is not read: it is not a regular file.');
  for (const name of ['zero', 'users'])
    expect(said(`./${name}.gusset`)).toContain('is not read: only files that end in .gusset are used.');
});

test('a file larger than any text of this language, and one that is no text', () => {
  folder.write({ 'work/large.gusset': '', 'work/binary.gusset': new Uint8Array([0xff, 0xfe, 0]) });
  truncateSync(place('work/large.gusset'), 2 ** 36);
  expect(said('./large.gusset')).toBe('refused_file: ./large.gusset is not read: it is larger than 32 MB.');
  expect(said('./binary.gusset')).toBe('refused_file: ./binary.gusset is not read: it is not text in UTF-8.');
});

test('a file that is named in the call is read under the same limits, whatever it is called', () => {
  const run = (path: string) =>
    spawnSync(process.execPath, [program, 'check', path], { encoding: 'utf8', timeout: 20_000 }).stderr;
  // Which way it is named hangs on where this is run.
  expect(run('/dev/zero')).toMatch(/^gusset: [./]*\/dev\/zero cannot be read: it is not a regular file\.\n$/);
  expect(run(place('work/pipe.gusset'))).toContain('it is not a regular file.');
  expect(run(place('work/large.gusset'))).toContain('it is larger than 32 MB.');
});
