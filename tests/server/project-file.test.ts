import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import { ProjectFiles, projectFilesFor, readProjectFile, rulesOf } from '../../server/project-file.ts';
import { projectFileName } from '../../server/reach.ts';
import { shelf } from '../cli/support.ts';
import { library, read } from '../support.ts';
import { Client } from './client.ts';

const { file } = read(shelf);
const rules = rulesOf(library.scope, () => [file]);
const uri = `file:///shop/${projectFileName}`;
/** What is wrong in a text, each with what is marked. */
const wrong = (text: string) =>
  readProjectFile(uri, text, rules).mistakes.map(({ start, end, message }) => [text.slice(start, end), message]);
const said = (rules: unknown) => JSON.stringify({ rules }, null, 2);

describe('a project file', () => {
  test('says how grave rules are, and why', () => {
    const text = said({ shelf_sags: { severity: 'advice', because: 'it stands in a cellar' } });
    const { weights, mistakes } = readProjectFile(uri, text, rules);
    expect([...weights]).toEqual([['shelf_sags', { severity: 'advice', because: 'it stands in a cellar' }]]);
    expect(mistakes).toEqual([]);
    expect(readProjectFile(uri, '{}', rules).mistakes).toEqual([]);
  });

  test('leaves people’s safety as it is, and says so where it is tried', () => {
    const text = said({ shelf_overloaded: { severity: 'error', because: 'why not' } });
    const { weights, mistakes } = readProjectFile(uri, text, rules);
    expect(weights.size).toBe(0);
    expect(mistakes.map(({ message }) => message)).toEqual([
      'shelf_overloaded is about people’s safety: it stays as grave as its rule says, and no project changes that. Accept a finding where it stands, with a reason; it is listed and counted all the same.',
    ]);
    expect(wrong(text)[0]?.[0]).toBe('"shelf_overloaded"');
  });

  test('is told of what is wrong where it stands, and all else holds', () => {
    const text = said({
      shelf_sag: { severity: 'advice', because: 'a reason' },
      shelf_sags: { severity: 'off', because: 'a reason' },
      shelf_without_reserve: { severity: 'error', because: 'a reason' },
    });
    expect(wrong(text)).toEqual([
      ['"shelf_sag"', 'There is no rule shelf_sag. Did you mean shelf_sags?'],
      [
        '"severity"',
        '"off" is no severity. Expected "error", "warning", "advice". No rule can be left out: what is only advice does not stop a check.',
      ],
    ]);
    const { weights, mistakes } = readProjectFile(uri, text, rules);
    expect([...weights.keys()]).toEqual(['shelf_without_reserve']);
    expect(mistakes[1]?.start).toBe(text.indexOf('"severity": "off"'));
  });

  test.each([
    ['no JSON', '{\n  "rules": {,}\n}', '', 'This is not JSON. Expected { "rules"'],
    ['an end too early', '{ "rules"', '', 'This is not JSON.'],
    ['a list', '[]', '[]', 'A project file says how grave findings of rules are'],
    ['no rules', '{ "rules": 3 }', '{ "rules": 3 }', 'A project file says how grave findings of rules are'],
    ['another key', '{ "rule": {} }', '"rule"', '"rule" means nothing here. A project file says "rules" alone.'],
    ['a word alone', said({ shelf_sags: 'advice' }), '"shelf_sags"', 'How grave is shelf_sags, and why?'],
    ['no severity', said({ shelf_sags: { because: 'x' } }), '"shelf_sags"', 'How grave is it? "severity" is missing.'],
    ['no reason', said({ shelf_sags: { severity: 'advice' } }), '"shelf_sags"', 'Why is shelf_sags taken otherwise'],
    ['an empty reason', said({ shelf_sags: { severity: 'advice', because: ' ' } }), '"because"', 'Why is shelf_sags'],
    [
      'a third key',
      said({ shelf_sags: { severity: 'advice', because: 'x', until: 'May' } }),
      '"until"',
      '"until" means nothing here.',
    ],
  ])('is told of %s', (_, text, marked, message) => {
    expect(wrong(text)).toEqual([[marked, expect.stringContaining(message)]]);
  });

  test('tells of no JSON in its line and column', () => {
    const text = '{\n  "rules": {,}\n}';
    expect(readProjectFile(uri, text, rules).mistakes[0]?.start).toBe(text.indexOf(','));
  });
});

describe('which project file is that of a file', () => {
  test('lies beside it, or above within the folders that are worked in', () => {
    const at = (folder: string) => `file:///shop/${folder}${projectFileName}`;
    const of = (folders: string[]) => projectFilesFor('file:///shop/one/two/a.gusset', folders);
    expect(of([])).toEqual([at('one/two/')]);
    expect(of(['file:///shop/one'])).toEqual([at('one/two/'), at('one/')]);
    expect(of(['file:///shop/one', 'file:///shop/'])).toEqual([at('one/two/'), at('one/'), at('')]);
    expect(of(['file:///sho'])).toEqual([at('one/two/')]);
    expect(projectFilesFor('untitled:a', [])).toEqual([]);
  });

  test('is the nearest one, read once, and anew when it is forgotten', () => {
    const texts: Record<string, string> = { [uri]: '{}' };
    let reads = 0;
    const files = new ProjectFiles(
      (each) => {
        reads++;
        return texts[each];
      },
      () => rules,
    );
    const of = () => files.of('file:///shop/one/a.gusset', ['file:///shop'])?.uri;
    expect([of(), of(), reads]).toEqual([uri, uri, 2]);
    texts[`file:///shop/one/${projectFileName}`] = '{}';
    expect(of()).toBe(uri);
    files.forget();
    expect(of()).toBe(`file:///shop/one/${projectFileName}`);
    expect(files.all().length).toBe(1);
  });

  test('that cannot be read says why', () => {
    const files = new ProjectFiles(
      () => ({ refused: 'it is a folder' }),
      () => rules,
    );
    expect(files.of('file:///shop/a.gusset', [])?.mistakes[0]?.message).toBe('This file is not read: it is a folder.');
  });
});

describe('in an editor', () => {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-project-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  const at = (name: string) => pathToFileURL(join(folder, name)).href;
  const put = (name: string, text: string) => {
    mkdirSync(join(folder, name, '..'), { recursive: true });
    writeFileSync(join(folder, name), text);
  };

  test('findings are as grave as it says, as soon as it says so, and what is wrong in it is told in it', async () => {
    put('shelves/kinds.gusset', shelf);
    put('shelves/own.gusset', '');
    const client = await Client.start({}, [at('')]);
    const text = 'use "./kinds.gusset"\nshelf left {\n  load = 1 kg\n  limit = 5 kg\n  thickness = 12 mm\n}\n';
    const shelves = at('shelves/own.gusset');
    await client.open(shelves, text);
    const graveness = async () => (await client.diagnostics(shelves)).map(({ code, severity }) => [code, severity]);
    const told = async (of: string, isIt: (params: (typeof client.published)[number]) => boolean) => {
      while (!client.published.some((params) => params.uri === of && isIt(params)))
        await new Promise((resolve) => setTimeout(resolve, 20));
    };
    expect(await graveness()).toEqual([['shelf_sags', 2]]);
    put(projectFileName, said({ shelf_sags: { severity: 'advice', because: 'a cellar' }, shelf_overloaded: 'advice' }));
    await client.changedOnDisk(at(projectFileName));
    await told(shelves, ({ diagnostics }) => diagnostics.some(({ severity }) => severity === 3));
    const last = client.published.findLast(({ uri }) => uri === shelves)?.diagnostics[0]?.message;
    expect(last).toContain('In this project it counts as advice, by its rule as a warning: a cellar.');
    await told(at(projectFileName), ({ diagnostics }) => diagnostics.length === 2);
    put(projectFileName, '{}');
    await client.changedOnDisk(at(projectFileName));
    await told(at(projectFileName), ({ diagnostics }) => diagnostics.length === 0);
    expect(client.published.findLast(({ uri }) => uri === shelves)?.diagnostics[0]?.severity).toBe(2);
    await client.stop();
  });
});
