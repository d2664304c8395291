import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Ajv from 'ajv/dist/2020.js';
import { afterAll, describe, expect, test } from 'vitest';
import type { ComparedFiles } from '../../server/cli/compare-schema.ts';
import { commitOf, revisionsOf } from '../../server/cli/git.ts';
import { Repository } from './repository.ts';
import { bench, Folder, shelf } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const text = (more = '') => `use "./kinds.gusset"

shelf left {
  load = 3 kg
  limit = 5 kg
${more}}

shelf left_thick is left {
  thickness = 25 mm
  load = 6 kg
}
`;
folder.write({ 'kinds.gusset': shelf, 'a room.gusset': text() });

const repository = new Repository(folder);
repository.commit({}, 'what there was');
repository.commit(
  {
    'a room.gusset': text().replace('load = 3 kg', 'load = 7 kg'),
    'kinds.gusset': shelf.replace('9.81', '9.9'),
  },
  'more lies on it',
);

const run = (...args: string[]) => folder.run('compare', ...args);
const json = async (...args: string[]): Promise<ComparedFiles> =>
  JSON.parse((await run(...args, '--format', 'json')).out);

describe('revisions', () => {
  test('what changed since, which change did it, and what it did', async () => {
    const { status, out, err } = await run('a room.gusset', 'left', '--git', 'HEAD~1');
    expect([status, err]).toEqual([0, '']);
    expect(out.split('\n').slice(0, 4)).toEqual([
      'left, a room.gusset: HEAD~1 → now',
      'text       left.load: 3 kg → 7 kg'.replace('left.load', 'load'),
      '           kind shelf.pull: pull: Acceleration default 9.81 m/s^2 { source recalled "at middle latitudes" } → pull: Acceleration default 9.9 m/s^2 { source recalled "at middle latitudes" }',
      'fails now  error shelf_overloaded: 7 kg lies on left, which bears 5 kg (by load)',
    ]);
    expect(out.trimEnd().split('\n').length).toBeLessThanOrEqual(15);
  });

  test('two of them, whatever stands there now; each machine of the file', async () => {
    const { machines, come, gone } = await json('a room.gusset', '--git', 'HEAD~1..HEAD');
    expect(machines.map(({ before, after }) => [before.machine, before.revision, after.revision])).toEqual([
      ['left', 'HEAD~1', 'HEAD'],
      ['left_thick', 'HEAD~1', 'HEAD'],
    ]);
    expect([come, gone]).toEqual([[], []]);
    expect(machines[0]?.turns).toMatchObject([
      { code: 'shelf_overloaded', after: 'fails', causes: [[0]], follows: false },
      { code: 'shelf_without_reserve', after: 'fails', causes: [[0]], follows: true },
    ]);
    // The variant says its own load: nothing turns there.
    expect(machines[1]?.turns).toEqual([]);
  });

  test('with --strict a change that breaks something is a status of 1', async () => {
    expect((await run('a room.gusset', '--git', 'HEAD~1..HEAD', '--strict')).status).toBe(1);
    expect((await run('a room.gusset', '--git', 'HEAD..HEAD~1', '--strict')).status).toBe(0);
  });

  test('what names none, or is not there, is told', async () => {
    const told = async (...args: string[]) => {
      const { status, out, err } = await run(...args);
      expect([status, out]).toEqual([2, '']);
      return err;
    };
    expect(await told('a room.gusset', '--git', 'nowhere')).toBe('gusset: There is no revision nowhere here.\n');
    expect(await told('a room.gusset', '--git=--output=x')).toContain('--output=x names no revision');
    expect(await told('a room.gusset', '--git', 'a..b..c')).toContain('names no revision');
    expect(await told('b.gusset', '--git', 'HEAD')).toContain('b.gusset cannot be read at HEAD: it was not there then');
    const outside = new Folder().write({ 'c.gusset': 'shelf a' });
    expect((await outside.run('compare', 'c.gusset', '--git', 'HEAD')).err).toContain('is in no git repository');
    outside.remove();
  });

  test('nothing of the repository is run, and an object that is changed by a filter is read as it was committed', async () => {
    const mark = join(folder.path, 'was-run');
    repository.git('config', 'core.fsmonitor', `touch ${mark}`);
    repository.git('config', 'filter.louder.smudge', `touch ${mark}; cat`);
    repository.git('config', 'diff.louder.textconv', `touch ${mark}; cat`);
    folder.write({ '.gitattributes': '*.gusset filter=louder diff=louder\n' });
    const { machines } = await json('a room.gusset', 'left', '--git', 'HEAD~1');
    expect(machines[0]?.edits).toHaveLength(2);
    expect(spawnSync('ls', [mark]).status).not.toBe(0);
    for (const name of ['core.fsmonitor', 'filter.louder.smudge', 'diff.louder.textconv'])
      repository.git('config', '--unset', name);
    folder.write({ '.gitattributes': '' });
  });

  test('what moved because the library is another one is told apart', async () => {
    const own = new Folder().write({ 'b.gusset': bench });
    spawnSync('cp', ['-r', join(import.meta.dirname, '../../language/library'), join(own.path, 'library')]);
    const parts = join(own.path, 'library/power/parts.gusset');
    writeFileSync(parts, readFileSync(parts, 'utf8').replace(/(part blade_15a is[^}]*rated_current = )15 A/, '$110 A'));
    const { out } = await own.run('compare', 'b.gusset', '--library', 'library', '--format', 'json');
    own.remove();
    const { machines } = JSON.parse(out) as ComparedFiles;
    expect(machines).toMatchObject([{ edits: [], turns: [] }]);
    expect(machines[0]?.byLibrary?.turns).toMatchObject([
      { code: 'fuse_too_small', before: 'fails', after: 'holds', path: 'mat_power.fuse' },
    ]);
  });
});

describe('machines and files', () => {
  test('a variant and what it starts from', async () => {
    const { out } = await run('a room.gusset', 'left_thick');
    expect(out).toContain('left → left_thick, a room.gusset\n');
    const { machines } = await json('a room.gusset', 'left', 'left_thick');
    expect(machines[0]?.edits.map((edit) => edit.text)).toEqual(['with thickness = 25 mm', 'with load = 6 kg']);
  });

  test('two files, a machine of each', async () => {
    folder.write({
      'b.gusset': text().replace('3 kg', '4 kg').replace('left {', 'upper {').replace('is left', 'is upper'),
    });
    const { machines } = await json('b.gusset', 'upper', 'a room.gusset', 'left');
    expect(machines[0]).toMatchObject({
      before: { machine: 'upper' },
      after: { machine: 'left' },
      renamed: [{ before: 'upper', after: 'left' }],
    });
    expect(machines[0]?.edits.map((edit) => edit.text)).toEqual(['load: 4 kg → 7 kg']);
  });

  test('a text that cannot be read whole is compared as far as it can, and says so', async () => {
    folder.write({ 'c.gusset': text().replace('load = 3 kg', 'load = = 3') });
    const { out } = await run('c.gusset', 'left', 'a room.gusset', 'left');
    expect(out).toMatch(/not read +1 place of the texts: not compared/);
  });

  test('a file beside which both are thought to lie finds what they use; none at all is a text of nothing', async () => {
    folder.write({ 'elsewhere/old.gusset': text() });
    const { machines } = await json('elsewhere/old.gusset', 'a room.gusset', '--beside', 'a room.gusset');
    expect(machines[0]?.edits.map((edit) => edit.text)).toEqual(['load: 3 kg → 7 kg']);
    const fresh = await json('/dev/null', 'a room.gusset', '--beside', 'a room.gusset');
    expect(fresh).toEqual({ machines: [], come: ['left', 'left_thick'], gone: [] });
  });

  test('what cannot be compared is told', async () => {
    const told = async (...args: string[]) => (await run(...args)).err;
    expect(await told('a room.gusset')).toContain(
      'Which machines of a room.gusset are to be compared? It has left and left_thick.',
    );
    expect(await told('a room.gusset', 'lefd')).toContain('Did you mean left?');
    expect(await told('a room.gusset', 'left')).toContain('left starts from no machine of a room.gusset');
    expect(await told('nothing.gusset')).toContain('nothing.gusset cannot be read');
    expect(await told('a room.gusset', 'b.gusset', 'kinds.gusset')).toContain('these are 3');
    expect(await told('kinds.gusset', '--least', 'little')).toContain('Expected a share');
  });
});

describe('what is printed', () => {
  test('JSON is by its schema', async () => {
    const schema = JSON.parse((await run('--schema')).out);
    const validate = new Ajv({ strict: true }).compile(schema);
    for (const args of [
      ['a room.gusset', '--git', 'HEAD~1'],
      ['a room.gusset', 'left_thick'],
    ])
      expect(validate(await json(...args)), JSON.stringify(validate.errors)).toBe(true);
    expect(validate({ machines: [{}] })).toBe(false);
  });

  test('Markdown shows names as they are', async () => {
    const { out } = await run('a room.gusset', 'left', '--git', 'HEAD~1', '--format', 'markdown');
    expect(out).toContain('### left, a room.gusset: HEAD\\~1 → now'.replace('\\~', '~'));
    expect(out).toContain(
      '**Fails now**\n\n- error shelf\\_overloaded: 7 kg lies on left, which bears 5 kg (by load)'.replace('\\_', '_'),
    );
  });

  test('values side by side, of any number of machines', async () => {
    const show = (format: string) => run('a room.gusset', '--show', 'load, press', '--format', format);
    expect((await show('text')).out).toBe(
      '            load  press\nleft        7 kg  69.3 N\nleft_thick  6 kg  59.4 N\n',
    );
    expect((await show('markdown')).out).toContain('| left | 7 kg | 69.3 N |');
    expect((await run('a room.gusset', 'left', '--git', 'HEAD~1', '--show', 'load')).out).toBe(
      '                load\nleft at HEAD~1  3 kg\nleft            7 kg\n',
    );
    expect((await run('a room.gusset', 'left_thick', '--show', 'what lies there: load')).out).toBe(
      '            what lies there\nleft_thick  6 kg\n',
    );
    expect((await run('a room.gusset', '--show', 'lod')).err).toContain('lod');
  });

  test('nothing differs', async () => {
    expect((await run('a room.gusset', '--git', 'HEAD')).out).toContain('Nothing differs.');
  });
});

test('a revision is one name or two', () => {
  expect(revisionsOf('main..HEAD~2')).toEqual({ from: 'main', to: 'HEAD~2' });
  expect(revisionsOf('v1')).toEqual({ from: 'v1', to: undefined });
  for (const wrong of ['', '-x', '--help', 'a b', 'a:b', '..x', 'x..'])
    expect(() => revisionsOf(wrong)).toThrow('names no revision');
  expect(commitOf('HEAD', folder.path)).toMatch(/^[0-9a-f]{40}$/);
});
