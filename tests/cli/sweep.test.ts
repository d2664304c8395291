import { spawnSync } from 'node:child_process';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { Folder, shelf } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());
folder.write({ 'a room.gusset': `${shelf}\nshelf left {\n  load = 3 kg\n  limit = 5 kg\n}\n` });

const args = (...more: string[]) => [
  'sweep',
  'a room.gusset',
  'left',
  '--over',
  'load = 2 kg .. 6 kg step 2 kg',
  '--show',
  'press',
  ...more,
];

test('a table, and where what begins to fail', async () => {
  const { status, out } = await folder.run(...args());
  expect(status).toBe(0);
  expect(out).toBe(`load  press   fails
2 kg  19.6 N
4 kg  39.2 N
6 kg  58.9 N  2

shelf_overloaded fails at 1 of 3: from load 6 kg
shelf_without_reserve fails at 1 of 3: from load 6 kg
`);
  const all = await folder.run('sweep', 'a room.gusset', 'left', '--over', 'load = [1 kg, 2 kg]', '--show', 'press');
  expect(all.out).toContain('Nothing fails anywhere.');
});

test('other formats', async () => {
  expect((await folder.run(...args('--format', 'csv'))).out).toBe(
    'load,press,fails\r\n2 kg,19.6 N,\r\n4 kg,39.2 N,\r\n6 kg,58.9 N,shelf_overloaded; shelf_without_reserve\r\n',
  );
  expect(JSON.parse((await folder.run(...args('--format', 'json'))).out)[2]).toMatchObject({
    load: '6 kg',
    press: '58.9 N',
  });
  expect((await folder.run(...args('--format', 'markdown'))).out).toContain('| 2 kg | 19.6 N |');
});

test('a picture, with where what begins to fail', async () => {
  const { out } = await folder.run(...args('--format', 'svg'));
  expect(out).toMatch(/^<svg /);
  for (const words of ['press in N', 'load in kg', 'shelf_overloaded', 'shelf_without_reserve'])
    expect(out).toContain(words);
  const words = await folder.run(...args('--format', 'svg').map((word) => (word === 'press' ? 'thickness' : word)));
  expect([words.status, words.err]).toEqual([2, 'gusset: thickness is no number at any point.\n']);
});

test('what cannot be gone through is told', async () => {
  expect(
    (await folder.run('sweep', 'a room.gusset', 'right', '--over', 'load = [1 kg]', '--show', 'press')).err,
  ).toContain('has no machine called right. It has left.');
  expect((await folder.run('sweep', 'a room.gusset', 'left', '--over', 'lod = [1 kg]', '--show', 'press')).err).toBe(
    'gusset: It cannot be gone through: left has no value lod.\n',
  );
});

test('several threads find what one finds, in the same order', async () => {
  const program = join(import.meta.dirname, '../../dist/gusset.js');
  const run = (cores: string) => {
    const many = [
      'sweep',
      'a room.gusset',
      'left',
      '--over',
      'load = 0.01 kg .. 1.5 kg step 0.01 kg',
      '--show',
      'press',
      '--format',
      'csv',
    ];
    return spawnSync(process.execPath, [program, ...many, '--cores', cores], { cwd: folder.path, encoding: 'utf8' });
  };
  const [one, two] = [run('1'), run('2')];
  expect([one.status, one.stderr, two.status, two.stderr]).toEqual([0, '', 0, '']);
  expect(one.stdout.split('\r\n')).toHaveLength(152);
  expect(two.stdout).toBe(one.stdout);
});
