import { expect, test } from 'vitest';
import type { CodeLens, Location } from 'vscode-languageserver';
import type { SourceFile } from '../../../language/project.ts';
import { codeLenses } from '../../../server/features/code-lens.ts';
import { Workspace } from '../../../server/workspace.ts';
import { bench } from '../../support.ts';
import { Client } from '../client.ts';

test('above each machine, how it stands; an empty one is not a passing one', async () => {
  const client = await Client.start();
  const uri = 'file:///lens/a.gusset';
  const wrong = bench
    .replace('area = 2.5 mm^2', 'area = 0.75 mm^2')
    .replace(/}\n$/, '  require bed.heater.power > 1 W\n  require bed.heater.power > 1 kW\n}\n');
  await client.open(
    uri,
    `${wrong}machine Empty {\n  bed\n}\nmachine Begun {\n  bed {\n    heater\n    sensor is ntc_100k\n  }\n}\n`,
  );
  const lenses = await client.request<CodeLens[]>('textDocument/codeLens', { textDocument: { uri } });
  await client.stop();
  const [first, second, third] = lenses.map((lens) => lens.command?.title ?? '');
  expect(first).toMatch(/^\d+ errors?, 1 requirement fails, 1 requirement holds, .*\d+ rules hold$/);
  expect(second).toMatch(/^nothing decided yet; 1 rule could not be judged, for want of /);
  expect(third).toMatch(/^nothing \w+( yet)?; \d+ rules could not be judged, for want of /);
});

test('a machine of another file is counted anew when a part of it changes', async () => {
  const client = await Client.start();
  await client.open('file:///lens/stock.gusset', 'part mine is blade_15a\n');
  const uri = 'file:///lens/user.gusset';
  await client.open(uri, 'use "./stock.gusset"\nmachine M {\n  circuit c {\n    fuse is mine\n  }\n}\n');
  await client.diagnostics(uri);
  await expect.poll(() => client.lensesRefreshed).toBeGreaterThan(0);
  await new Promise((resolve) => setTimeout(resolve, 300));
  const before = client.lensesRefreshed;
  await client.change('file:///lens/stock.gusset', 'part mine is blade_5a\n');
  await expect.poll(() => client.lensesRefreshed).toBe(before + 1);
  await client.stop();
});

test('a click opens the sheet of the machine, in a client that shows sheets; in another it does nothing, and says nothing of it', () => {
  const workspace = new Workspace(() => undefined);
  const uri = 'file:///lens/click.gusset';
  workspace.open(uri, bench);
  const commandOf = () => codeLenses(workspace.file(uri) as SourceFile, workspace).map(({ command }) => command);
  expect(commandOf()).toEqual([{ title: expect.stringContaining('rules hold'), command: '' }]);
  workspace.openSheet = 'shop.open';
  expect(commandOf()).toMatchObject([
    { command: 'shop.open', tooltip: 'Open the machine sheet', arguments: [uri, 'Bench'] },
  ]);
});

test('in a client that shows places, what was found, what is open and what holds lead each to what they tell of', () => {
  const workspace = new Workspace(() => undefined);
  Object.assign(workspace, { openSheet: 'shop.open', showPlaces: 'shop.places' });
  const uri = 'file:///lens/places.gusset';
  const text = bench.replace('area = 2.5 mm^2', 'area = 0.75 mm^2').replace('fuse is blade_15a', 'fuse is ?');
  workspace.open(uri, text);
  const lenses = codeLenses(workspace.file(uri) as SourceFile, workspace).map(({ command }) => command);
  expect(lenses.map((command) => [command?.command, command?.title])).toEqual([
    ['shop.places', expect.stringMatching(/^\d+ errors?/)],
    ['shop.places', '1 open choice'],
    ['shop.open', expect.stringMatching(/^\d+ rules? undecided, \d+ rules hold$|^\d+ rules hold$/)],
  ]);
  const line = (part: string) => text.split('\n').findIndex((each) => each.includes(part));
  const lines = lenses.map((command) => command?.arguments?.[2]?.map?.((place: Location) => place.range.start.line));
  expect(lines[0]).toContain(line('area = 0.75 mm^2'));
  expect(lines[1]).toEqual([line('fuse is ?')]);
});

test('above a part or a kind, in how many places it is used, in all files that are known', () => {
  const workspace = new Workspace(() => undefined);
  workspace.showPlaces = 'shop.places';
  const stock = 'file:///lens/drawer.gusset';
  workspace.open(stock, 'part mine is blade_15a\npart other is mine\npart left is blade_1a\n');
  const uri = 'file:///lens/user.gusset';
  workspace.open(uri, 'use "./drawer.gusset"\nmachine M {\n  circuit c {\n    fuse is mine\n  }\n}\n');
  const [only, ...others] = codeLenses(workspace.file(stock) as SourceFile, workspace);
  expect(others).toEqual([]);
  expect(only).toMatchObject({
    range: { start: { line: 0, character: 5 } },
    command: { title: '2 uses', command: 'shop.places' },
  });
  expect(only?.command?.arguments?.[2]).toMatchObject([
    { uri: stock, range: { start: { line: 1, character: 14 } } },
    { uri, range: { start: { line: 3, character: 12 } } },
  ]);
});
