import { mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { run } from '../../server/cli/program.ts';
import { Folder, shelf } from './support.ts';

const machine = (load: string) => `use "../kinds.gusset"\nshelf left {\n  load = ${load}\n  limit = 5 kg\n}\n`;

/** A check that watches, and what it has said since it was last asked. */
function watching(folder: Folder, ...args: string[]) {
  let said = '';
  let stop = () => {};
  const stopped = new Promise<void>((resolve) => {
    stop = resolve;
  });
  const status = run(['check', '--watch', ...args], {
    out: (text) => {
      said += text;
    },
    err: (text) => {
      said += `err: ${text}`;
    },
    stopped: () => stopped,
    cwd: folder.path,
    colours: false,
    width: 100,
  });
  /** Waits until this was said, and forgets what was said up to then. */
  const until = async (words: string) => {
    await expect.poll(() => said, { timeout: 20_000, interval: 20 }).toContain(words);
    const all = said;
    said = '';
    return all;
  };
  return { until, status, stop };
}

test('what is changed, put in its place, taken away, brought back or new is checked again; so is what uses it', async () => {
  const folder = new Folder().write({ 'kinds.gusset': shelf, 'all/left.gusset': machine('3 kg') });
  const path = (name: string) => join(folder.path, name);
  const { until, status, stop } = watching(folder, 'all');
  expect(await until('1 machine in 1 file')).toContain('Nothing found');
  writeFileSync(path('all/left.gusset'), machine('7 kg'));
  expect(await until('1 machine in 1 file')).toMatch(/^\nall\/left\.gusset changed:\n\n[\s\S]*shelf_overloaded/);
  // As editors save that lose nothing.
  writeFileSync(path('all/left.gusset~'), machine('4.9 kg'));
  renameSync(path('all/left.gusset~'), path('all/left.gusset'));
  expect(await until('1 machine in 1 file')).toContain('shelf_without_reserve');
  writeFileSync(path('kinds.gusset'), shelf.replace('reserve >= 1.25', 'reserve >= 1.01'));
  expect(await until('1 machine in 1 file')).toMatch(/^\nkinds\.gusset changed:\n\n[\s\S]*Nothing found/);
  rmSync(path('kinds.gusset'));
  expect(await until('2 mistakes')).toContain('kinds.gusset');
  folder.write({ 'kinds.gusset': shelf });
  expect(await until('1 machine in 1 file')).toContain('shelf_without_reserve');
  mkdirSync(path('all/deeper'));
  await new Promise((resolve) => setTimeout(resolve, 300));
  writeFileSync(path('all/deeper/right.gusset'), machine('3 kg').replace('../', '../../'));
  expect(await until('2 machines in 2 files')).toContain('all/deeper/right.gusset changed');
  rmSync(path('all'), { recursive: true });
  expect(await until('all cannot be read')).toContain('there is no such file or folder');
  stop();
  expect(await status).toBe(2);
  folder.remove();
}, 60_000);

test('it ends as the last check did, and nothing is checked again where nothing is other', async () => {
  const folder = new Folder().write({ 'kinds.gusset': shelf, 'all/left.gusset': machine('7 kg') });
  const { until, status, stop } = watching(folder, 'all/left.gusset');
  await until('1 machine in 1 file');
  writeFileSync(join(folder.path, 'all/left.gusset'), machine('7 kg'));
  folder.write({ 'all/notes.txt': 'what is not read' });
  await new Promise((resolve) => setTimeout(resolve, 400));
  writeFileSync(join(folder.path, 'all/left.gusset'), machine('8 kg'));
  expect((await until('1 machine in 1 file')).match(/changed:/g)).toHaveLength(1);
  stop();
  expect(await status).toBe(1);
  folder.remove();
}, 60_000);

test('what cannot be watched is refused', async () => {
  const folder = new Folder().write({ 'a.gusset': shelf });
  const call = async (...args: string[]) => {
    const { status, err } = await folder.run('check', '--watch', ...args);
    return [status, err];
  };
  expect(await call('-')).toEqual([2, expect.stringContaining('read once only')]);
  expect(await call('--format', 'json', 'a.gusset')).toEqual([2, expect.stringContaining('leave out --format')]);
  expect(await call('--fix', 'a.gusset')).toEqual([2, expect.stringContaining('only looks')]);
  expect(await call('--baseline', 'b.json', '--write-baseline', 'a.gusset')).toEqual([
    2,
    expect.stringContaining('only looks'),
  ]);
  folder.remove();
});
