import { chmodSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { Folder } from './support.ts';

const loose = 'kind hall {\n toplevel\n}\n';
const laidOut = 'kind hall {\n  toplevel\n}\n';

test('files are laid out in place, and those that changed are named', async () => {
  const folder = new Folder().write({ 'a.gusset': loose, 'b.gusset': laidOut, 'c.gusset': `\ufeff${loose}` });
  chmodSync(join(folder.path, 'a.gusset'), 0o640);
  try {
    expect(await folder.run('format', '--check', '.')).toMatchObject({
      status: 1,
      out: 'not formatted  a.gusset\nnot formatted  c.gusset\n1 file more is formatted already.\n',
    });
    const text = (name: string) => readFileSync(join(folder.path, name), 'utf8');
    expect(text('a.gusset')).toBe(loose);
    expect(await folder.run('format', '.')).toMatchObject({
      status: 0,
      out: 'formatted  a.gusset\nformatted  c.gusset\n1 file more is formatted already.\n',
    });
    expect(['a.gusset', 'b.gusset', 'c.gusset'].map(text)).toEqual([laidOut, laidOut, `\ufeff${laidOut}`]);
    expect(statSync(join(folder.path, 'a.gusset')).mode & 0o777).toBe(0o640);
    expect(await folder.run('format', '.')).toMatchObject({ status: 0, out: '3 files are formatted already.\n' });
  } finally {
    folder.remove();
  }
});

test('a file whose brackets do not match stays as it is, and is told of', async () => {
  const torn = 'kind hall {\n toplevel\n';
  const folder = new Folder().write({ 'a.gusset': torn });
  try {
    const { status, out } = await folder.run('format', '.');
    expect([status, out]).toEqual([
      1,
      expect.stringMatching(/^cannot be formatted {2}a\.gusset:\d+: its brackets do not match\n$/),
    ]);
    expect(readFileSync(join(folder.path, 'a.gusset'), 'utf8')).toBe(torn);
  } finally {
    folder.remove();
  }
});

test('what is said at length is said shorter, with every value as it is', async () => {
  const machine = (supply: string, box: string) => `machine M {
  box b${box}
  supply psu is supply_24v_150w${supply}
  wire w {
    area = 1 mm^2
    length = 1 m${supply === '' ? '' : '\n    place = b'}
  }
}
`;
  const folder = new Folder().write({ 'a.gusset': machine(' { place = b }', '') });
  try {
    expect(await folder.run('format', '--shorter', '.')).toEqual({
      status: 0,
      out: 'a.gusset: 1 change\n  Name 2 blocks in b.contents, and not place in each\n',
      err: '',
    });
    const list = ' {\n    contents = [psu, w]\n  }';
    expect(readFileSync(join(folder.path, 'a.gusset'), 'utf8')).toBe(machine('', list));
    expect(await folder.run('format', '--shorter', '.')).toMatchObject({ status: 0, out: 'a.gusset: 0 changes\n' });
  } finally {
    folder.remove();
  }
});
