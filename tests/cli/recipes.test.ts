// The recipes for git in the README, each run in a repository as it stands there.
import { spawnSync } from 'node:child_process';
import { chmodSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { Repository } from './repository.ts';
import { Folder, shelf } from './support.ts';

const root = join(import.meta.dirname, '../..');
const folder = new Folder();
afterAll(() => folder.remove());

const text = 'use "./kinds.gusset"\nshelf left {\n  load = 3 kg\n  limit = 5 kg\n}\n';
const repository = new Repository(folder);
repository.commit({ 'kinds.gusset': shelf, 'heron.gusset': text }, 'a shelf');
folder.write({ 'heron.gusset': text.replace('3 kg', '7 kg') });

const program = join(root, 'dist/gusset.js');
folder.write({
  'bin/npx': `#!/bin/sh\n[ "$1" = gusset ] || exit 9\nshift\nexec "${process.execPath}" "${program}" "$@"\n`,
});
chmodSync(join(folder.path, 'bin/npx'), 0o755);

const recipes = [...readFileSync(join(root, 'README.md'), 'utf8').matchAll(/```sh\n([\s\S]*?)```/g)].map(
  ([, code]) => code ?? '',
);

function sh(script: string, cwd = folder.path) {
  const path = `${join(folder.path, 'bin')}:${process.env.PATH}`;
  const env = {
    ...process.env,
    PATH: path,
    GIT_CONFIG_GLOBAL: '/dev/null',
    GIT_CONFIG_NOSYSTEM: '1',
    GIT_PAGER: 'cat',
  };
  return spawnSync('sh', ['-c', script], { cwd, env, encoding: 'utf8' });
}

test('a diff of git tells what a change does to the machine', () => {
  const recipe = recipes.find((code) => code.includes('git config diff.gusset.command')) ?? '';
  expect(sh(recipe).status).toBe(0);
  const { status, stdout, stderr } = sh('git diff');
  expect([status, stderr]).toEqual([0, '']);
  expect(stdout).toContain('left, heron.gusset\n');
  expect(stdout).toContain('load: 3 kg → 7 kg');
  expect(stdout).toContain('shelf_overloaded');
});

test('a comment on a change, with a status that stops it', () => {
  const recipe = recipes.find((code) => code.includes('comment.md')) ?? '';
  const { status, stderr } = sh(recipe);
  expect([status, stderr]).toEqual([1, '']);
  expect(readFileSync(join(folder.path, 'comment.md'), 'utf8')).toMatch(/^### left, heron\.gusset: main → now\n/);
});

test('what is to be committed is checked before it is, and not what lies beside', () => {
  const recipe = recipes.find((code) => code.includes('pre-commit')) ?? '';
  expect(sh(recipe).status).toBe(0);
  // What is committed last still holds; only the file in the folder does not.
  const commit = () => sh('git -c user.name=nobody -c user.email=nobody@example.org commit -q --allow-empty -m next');
  expect(commit()).toMatchObject({ status: 0 });
  sh('git add heron.gusset');
  const { status, stdout, stderr } = commit();
  expect([status, `${stdout}${stderr}`]).toEqual([1, expect.stringContaining('shelf_overloaded')]);
});

test('findings that are known stop nothing', () => {
  const recipe = recipes.find((code) => code.includes('--write-baseline')) ?? '';
  const { status, stdout } = sh(recipe);
  // What is found here is about people's safety: a list holds nothing of that.
  expect([status, stdout]).toEqual([1, expect.stringContaining('known.json: 0 findings are known')]);
});

test('the tables of variants are what is printed of the examples', () => {
  const page = readFileSync(join(root, 'README.md'), 'utf8');
  const tables = recipes.filter((code) => code.includes('--show'));
  expect(tables).toHaveLength(2);
  for (const recipe of tables) {
    const { status, stdout } = sh(recipe, root);
    expect([status, page.includes(`\`\`\`\n\n${stdout}`)], stdout).toEqual([0, true]);
  }
}, 120_000);
