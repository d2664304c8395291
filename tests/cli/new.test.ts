// A machine to begin with, written into a file that is not there yet.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { starts } from '../../language/starts.ts';
import type { Report } from '../../server/cli/schema.ts';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const written = (name: string) => readFileSync(join(folder.path, name), 'utf8');

test('without a file, what there is', async () => {
  const { status, out } = await folder.run('new');
  expect(status).toBe(0);
  for (const { name, about } of starts) expect(out).toMatch(new RegExp(`^${name} +${about}$`, 'm'));
});

test.each(starts)('$name is written as it stands, and checks', async ({ name, about, text }) => {
  const { status, out, err } = await folder.run('new', `my-${name}.gusset`, '--start', name);
  expect([status, err]).toEqual([0, '']);
  expect(out).toBe(
    `my-${name}.gusset: ${about}\nWhat to change first stands in its comments. To see what it comes to: gusset check my-${name}.gusset\n`,
  );
  expect(written(`my-${name}.gusset`)).toBe(text);
});

test.each(starts.filter(({ name }) => name !== 'empty'))(
  '$name is whole: nothing but open choices is left',
  async ({ text }) => {
    folder.write({ 'a.gusset': text });
    const { findings, machines }: Report = JSON.parse((await folder.run('check', '--format', 'json', 'a.gusset')).out);
    expect(findings).toEqual([]);
    expect(machines).toMatchObject([{ undecided: [], notSaid: [] }]);
    const open = machines.flatMap((machine) => machine.open);
    expect(open.length).toBeGreaterThanOrEqual(3);
    for (const { answer } of open) expect(answer).toMatch(/ proposed/);
  },
);

test('what is there already is left alone', async () => {
  folder.write({ 'mine.gusset': '// three evenings of work\n' });
  for (const file of ['mine', 'mine.gusset']) {
    const { status, out, err } = await folder.run('new', file);
    expect([status, out, err]).toEqual([2, '', 'gusset: mine.gusset is there already; nothing was written.\n']);
  }
  expect(written('mine.gusset')).toBe('// three evenings of work\n');
});

test('a folder that is not there, and a start that is none, are told', async () => {
  expect(await folder.run('new', 'nowhere/mine.gusset')).toMatchObject({
    status: 2,
    err: expect.stringContaining('nowhere'),
  });
  const { status, err } = await folder.run('new', 'other.gusset', '--start', 'huge');
  expect(status).toBe(2);
  expect(err).toContain('sliding-bed');
});
