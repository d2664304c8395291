import { afterAll, expect, test } from 'vitest';
import { shelf } from '../explore/shelf.ts';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());
folder.write({
  'shelf.gusset': shelf,
});
const run = (...args: string[]) => folder.run('alternatives', 'shelf.gusset', 's', ...args);

test('a row for each part; what is the same everywhere is left out', async () => {
  const { status, out } = await run('lath');
  expect(status).toBe(0);
  const lines = out.split('\n').map((line) => line.split(/ {2,}/));
  expect(lines[0]).toEqual(['part', 'thick', 'left', 'newly fails']);
  expect(lines.find(([part]) => part === 'thin_lath')).toEqual(['thin_lath', '5 mm', '-35 N', 'breaks']);
  expect(lines.find(([part]) => part === 'stout_lath (there now)')).toEqual([
    'stout_lath (there now)',
    '10 mm',
    '40 N',
  ]);
});

test('as data, with the values that are asked for', async () => {
  const rows = JSON.parse((await run('s.lath', '--show', 'load,left', '--format', 'json')).out);
  expect(rows).toContainEqual({ part: 'thin_lath', left: '-35 N', 'newly fails': 'breaks' });
});

test('what cannot be asked is a mistake in the call', async () => {
  expect((await run('nail')).err).toBe('gusset: S has no block nail.\n');
});
