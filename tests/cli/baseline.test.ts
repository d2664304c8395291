import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import type { Finding, Report } from '../../server/cli/schema.ts';
import { reportSchema } from '../../server/cli/schema.ts';
import { Folder, shelf } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

/** Nobody is hurt by what is found of these. */
const kinds = shelf.replace('  caution "It falls: stand clear."\n', '');
const board = (name: string, lines: string) => `shelf ${name} {\n${lines}\n}\n`;
const left = (load: string, more = '') => board('left', `  load = ${load}\n  limit = 5 kg\n  thickness = 18 mm${more}`);
const with_ = (text: string, own = kinds) => ({
  'kinds.gusset': own,
  'shelves.gusset': `use "./kinds.gusset"\n${text}`,
});

const check = (...args: string[]) => folder.run('check', '--baseline', 'ci/known.json', ...args, 'shelves.gusset');
const write = (text: string, own = kinds) =>
  folder.write({ ...with_(text, own), 'ci/note.txt': '' }) && check('--write-baseline');
const findings = async (): Promise<Finding[]> => JSON.parse((await check('--format', 'json')).out).findings;
const listed = () => JSON.parse(readFileSync(join(folder.path, 'ci/known.json'), 'utf8')).known;

describe('what a baseline knows', () => {
  test('does not count, is listed all the same, and is counted at each run', async () => {
    expect(await write(left('7 kg'))).toMatchObject({ status: 0 });
    expect(listed()).toEqual([
      {
        file: '../shelves.gusset',
        machine: 'left',
        path: '',
        code: 'shelf_overloaded',
        severity: 'error',
        message: expect.stringContaining('7 kg lies on left'),
        short: { 'load <= limit': 0.4 },
      },
      expect.objectContaining({ code: 'shelf_without_reserve', short: { 'reserve >= 1.25': 0.4286 } }),
    ]);
    const { status, out } = await check('--strict');
    expect(status).toBe(0);
    expect(out).toContain('known error  shelf_overloaded');
    expect(out).toContain('1 known by the 3 rule checks');
    expect(out).toMatch(/\nci\/known\.json: 1 finding is known and does not count\.\n$/);
  });

  test('a new one counts, and so does one that has grown worse', async () => {
    await write(left('7 kg'));
    folder.write(with_(left('7 kg') + board('right', '  load = 9 kg\n  limit = 5 kg')));
    expect((await check()).status).toBe(1);
    expect((await findings()).map(({ machine, baseline }) => [machine, baseline])).toEqual([
      ['left', 'known'],
      ['right', 'new'],
    ]);
    folder.write(with_(left('7.2 kg')));
    const { status, out } = await check();
    expect(status).toBe(1);
    expect(out).toContain('It was known, and has grown worse.');
    expect(out).toContain('0 findings are known and do not count. 2 have grown worse since, and count.');
  });

  test('one that has become better is known, and what is rounded away is no worse', async () => {
    await write(left('7 kg'));
    for (const load of ['5.1 kg', '7.01 kg']) {
      folder.write(with_(left(load)));
      expect([load, (await check()).status]).toEqual([load, 0]);
    }
  });

  test('one that has become graver has grown worse', async () => {
    await write(left('4.5 kg'));
    const graver = kinds.replace('warning "{name} bears', 'error "{name} bears');
    folder.write(with_(left('4.5 kg'), graver));
    expect([(await check()).status, (await findings())[0]?.baseline]).toEqual([1, 'worse']);
  });

  test('something else that follows from one that is known counts', async () => {
    await write(left('7 kg'));
    const more = kinds
      .replace('error "{thickness}', 'error "{thickness}')
      .concat(
        '/// It bends.\nrule shelf_bends on shelf {\n  holds load <= 6 kg\n  error "bends"\n  source practice "a test"\n  at load\n  follows shelf_overloaded of self\n}\n',
      );
    folder.write(with_(left('7 kg'), more));
    const [finding] = await findings();
    expect([finding?.baseline, finding?.consequences?.map(({ code, baseline }) => [code, baseline])]).toEqual([
      'known',
      [
        ['shelf_without_reserve', 'known'],
        ['shelf_bends', 'new'],
      ],
    ]);
    expect((await check()).status).toBe(1);
  });

  test('what is gone is told, so that the list is written anew', async () => {
    await write(left('7 kg'));
    folder.write(with_(left('3 kg')));
    expect((await check()).out).toContain('2 entries of it are found no more: write it anew.');
  });

  test('a requirement is known by what it asks: another one of the same machine counts', async () => {
    await write(left('3 kg', '\n  require load <= 2 kg'));
    expect((await check('--strict')).status).toBe(0);
    const { out } = await check('--format', 'junit');
    expect(out).toContain('failures="0"');
    expect(out).toContain('skipped="1"');
    folder.write(with_(left('3 kg', '\n  require load <= 2 kg\n  require limit <= 4 kg')));
    expect((await check('--strict')).status).toBe(1);
    expect((await check('--strict')).out).toMatch(/fails +load <= 2 kg +known/);
    folder.write(with_(left('4 kg', '\n  require load <= 2 kg')));
    expect((await check('--strict')).status).toBe(1);
  });
});

describe('what it never holds', () => {
  test('a finding about the safety of people, or one from which such follows', async () => {
    const { status, out } = await write(left('7 kg'), shelf);
    expect([status, listed()]).toEqual([1, []]);
    expect(out).toContain('0 findings are known');
    // Written into the list by hand, it counts all the same.
    const known = [
      {
        file: '../shelves.gusset',
        machine: 'left',
        path: '',
        code: 'shelf_overloaded',
        severity: 'error',
        message: '',
        short: {},
      },
    ];
    folder.write({ 'ci/known.json': JSON.stringify({ known }) });
    expect((await check()).status).toBe(1);
    expect((await findings())[0]?.baseline).toBe('new');
  });

  test('mistakes in the text, and what could not be computed', async () => {
    expect([(await write(left('7 V'))).status, listed()]).toEqual([1, []]);
    const halves = kinds.replace('default 9.81 m/s^2', '= 1 m/s^2 / (limit / 1 kg - 5)');
    expect([(await write(left('3 kg'), halves)).status, listed()]).toEqual([0, []]);
  });

  test('what is accepted has its reason where it stands', async () => {
    await write(left('7 kg', '\n  accept shelf_overloaded at 7 kg because "for a day"'));
    expect(listed().map(({ code }: Finding) => code)).toEqual(['shelf_without_reserve']);
  });
});

test('the JSON is as its schema says, and a log tells what is new', async () => {
  await write(left('7 kg'));
  const report: Report = JSON.parse((await check('--format', 'json')).out);
  expect(reportSchema.parse(report)).toEqual(report);
  folder.write(with_(left('7 kg') + board('right', '  load = 4.5 kg\n  limit = 5 kg')));
  const { out, err } = await check('--format', 'sarif');
  const results = JSON.parse(out).runs[0].results;
  // The states are those of SARIF 2.1.0, 3.27.24.
  expect(results.map((each: { baselineState: string }) => each.baselineState)).toEqual([
    'unchanged',
    'unchanged',
    'new',
  ]);
  expect(err).toContain('1 finding is known');
});

test('a list that is not there, or none, is a wrong call', async () => {
  folder.write({ ...with_(left('3 kg')), 'not.json': '{"known": 3}', 'no.json': 'known' });
  const call = async (...args: string[]) => {
    const { status, err } = await folder.run('check', ...args, 'shelves.gusset');
    return [status, err];
  };
  expect(await call('--baseline', 'gone.json')).toEqual([2, expect.stringContaining('There is no gone.json yet')]);
  for (const name of ['not.json', 'no.json'])
    expect(await call('--baseline', name)).toEqual([2, expect.stringContaining(`${name} is no list`)]);
  expect(await call('--write-baseline')).toEqual([2, expect.stringContaining('Name its file with --baseline')]);
});
