import { afterAll, expect, test } from 'vitest';
import { Repository } from './repository.ts';
import { Folder, shelf } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const text = (load: string) => `use "./kinds.gusset"\nshelf left {\n  load = ${load}\n  limit = 5 kg\n}\n`;
const repository = new Repository(folder);
repository.commit({ 'kinds.gusset': shelf }, 'kinds alone');
repository.commit({ 'a room.gusset': text('2 kg') }, 'a shelf');
repository.commit({ 'other.txt': 'of no concern' }, 'something else');
repository.commit({ 'a room.gusset': text('2.008 kg') }, 'a little more');
repository.commit({ 'a room.gusset': text('?kg') }, 'a slip');
repository.commit({ 'a room.gusset': text('3 kg') }, 'books | and more');
repository.commit({ 'kinds.gusset': shelf.replace('9.81', '10') }, 'on another planet');
folder.write({ 'a room.gusset': text('4 kg') });

const run = (...args: string[]) => folder.run('history', 'a room.gusset', ...args);

test('the commits that moved a value, those of a file that is used as well, and what is not committed', async () => {
  const { status, out } = await run('left.press', '--format', 'csv');
  expect(status).toBe(0);
  const rows = out
    .trimEnd()
    .split('\r\n')
    .map((line) => line.split(','));
  expect(rows[0]).toEqual(['day', 'commit', 'left.press', 'moved by', 'change']);
  expect(rows.slice(1).map(([, , ...rest]) => rest)).toEqual([
    ['not there', '', 'kinds alone'],
    ['19.6 N', '', 'a shelf'],
    ['not known: load is not given', '', 'a slip'],
    ['29.4 N', '', 'books | and more'],
    ['30 N', '1.9 % more', 'on another planet'],
    ['40 N', '33 % more', 'what is not committed'],
  ]);
  expect(rows[1]?.[1]).toMatch(/^[0-9a-f]{9}$/);
  expect(rows.at(-1)?.slice(0, 2)).toEqual(['now', '']);
});

test('what moves it by little is told where that is wanted, and only the last commits are looked at', async () => {
  expect((await run('left.press', '--least', '0')).out).toContain('a little more');
  const { out } = await run('left.press', '--last', '2');
  expect(out.trimEnd().split('\n')).toHaveLength(4);
});

test('by how much ranges have moved is told at both ends, and of points of temperature in kelvin', async () => {
  const ranged = new Folder();
  const own = new Repository(ranged);
  const hall = (air: string, load: string) => `kind hall {
  toplevel
  air: Temperature
  load: Mass
}
hall H {
  air = ${air}
  load = ${load}
}
`;
  own.commit({ 'h.gusset': hall('10 degC .. 20 degC', '2 kg .. 4 kg') }, 'first');
  own.commit({ 'h.gusset': hall('15 degC .. 32 degC', '1 kg .. 3 kg') }, 'second');
  own.commit({ 'h.gusset': hall('5 degC .. 37 degC', '0.5 kg .. 1.5 kg') }, 'third');
  const moved = async (value: string) => {
    const { out } = await ranged.run('history', 'h.gusset', value, '--format', 'csv');
    return out
      .trimEnd()
      .split('\r\n')
      .slice(1)
      .map((line) => line.split(',')[3]);
  };
  expect(await moved('H.load')).toEqual(['', '25 to 50 % less', '50 % less']);
  expect(await moved('H.air')).toEqual(['', '5 to 12 K more', '10 K less to 5 K more']);
  ranged.remove();
});

test('no such value, and no repository, are told', async () => {
  expect((await run('left.pres')).err).toContain('pres');
  const other = new Folder().write({ 'a room.gusset': 'machine M { ambient = 20 degC }' });
  expect((await other.run('history', 'a room.gusset', 'M.ambient')).err).toContain('is in no git repository');
  other.remove();
});
