import { expect, test } from 'vitest';
import { libraryFiles } from '../../../language/library/generated/library.ts';
import { quickFixes } from '../../../server/features/quick-fixes.ts';
import { Workspace } from '../../../server/workspace.ts';
import { Client, cursor, edited } from '../client.ts';

const folder = 'file:///shop/';
const stock = 'part our_mat is heater {\n  power = 200 W\n  voltage = 24 V\n}\nkind rack {\n  toplevel\n}\n';

/** What is offered at the mark in the one file that is open, with the mistakes that are left when it is done. */
function offered(files: Record<string, string>, name: string): { title: string; text: string; left: string[] }[] {
  const { text, position } = cursor(files[name] as string);
  const plain: Record<string, string> = { ...files, [name]: text };
  const list = (at: string) => {
    if (!at.startsWith(folder)) throw new Error(`${at} is looked into`);
    const below = Object.keys(plain).flatMap((each) =>
      (folder + each).startsWith(at) ? [(folder + each).slice(at.length)] : [],
    );
    return [...new Set(below.map((path) => path.replace(/\/.*/, '/')))];
  };
  const workspace = new Workspace((uri) => plain[decodeURIComponent(uri.slice(folder.length))], libraryFiles, list);
  workspace.folders = [folder];
  workspace.open(folder + name, text);
  const file = workspace.file(folder + name);
  if (!file) throw new Error('the file is not there');
  return quickFixes(file, { start: position, end: position }, workspace).map(({ title, edit }) => {
    const after = edited(text, edit?.changes?.[folder + name] ?? []);
    workspace.open(folder + name, after);
    return {
      title,
      text: after,
      left: workspace.project
        .mistakes(file)
        .flatMap((m) => (/use|part|kind/.test(m.code + m.message) && m.severity === 'error' ? [m.message] : [])),
    };
  });
}

test('a path that leads nowhere is that of the nearest file there', () => {
  for (const path of ['./stok.gusset', './stock', 'stock.guset']) {
    const [fix, ...more] = offered(
      { 'a.gusset': `use "${path}<|>"\n`, 'stock.gusset': stock, 'x.gusset': '' },
      'a.gusset',
    );
    expect([fix?.title, fix?.text, more]).toEqual(['Write "./stock.gusset"', 'use "./stock.gusset"\n', []]);
  }
});

test('or that of a file of its name in another folder, and of none that is unlike', () => {
  const files = { 'a.gusset': 'use "./stock.gusset<|>"\n', 'parts/stock.gusset': stock };
  expect(offered(files, 'a.gusset')).toMatchObject([{ title: 'Write "./parts/stock.gusset"', left: [] }]);
  expect(offered({ ...files, 'a.gusset': 'use "./motors.gusset<|>"\n' }, 'a.gusset')).toEqual([]);
  // Nor is a folder looked into from which nothing may be used.
  expect(offered({ 'a.gusset': 'use "../stok.gusset<|>"\n', 'stock.gusset': stock }, 'a.gusset')).toEqual([]);
});

test('what another file declares is used from there: a part, and a kind', () => {
  const a = '// Ours.\nuse "./b.gusset"\n\nmachine M {\n  bed {\n    heater is our_mat<|>\n  }\n}\n';
  expect(offered({ 'a.gusset': a, 'b.gusset': '', 'parts/stock.gusset': stock }, 'a.gusset')).toEqual([
    {
      title: 'Use "./parts/stock.gusset", which declares our_mat',
      text: a.replace('<|>', '').replace('b.gusset"\n', 'b.gusset"\nuse "./parts/stock.gusset"\n'),
      left: [],
    },
  ]);
  expect(offered({ 'a.gusset': 'rack<|> R {\n}\n', 'stock.gusset': stock }, 'a.gusset')).toMatchObject([
    { text: 'use "./stock.gusset"\n\nrack R {\n}\n', left: [] },
  ]);
});

test('not from a file that uses this one, nor what nobody declares', () => {
  const a = 'machine M {\n  bed {\n    heater is our_mat<|>\n  }\n}\n';
  expect(offered({ 'a.gusset': a, 'stock.gusset': `use "./a.gusset"\n${stock}` }, 'a.gusset')).toEqual([]);
  expect(offered({ 'a.gusset': a, 'stock.gusset': '' }, 'a.gusset')).toEqual([]);
});

test('an editor is offered it', async () => {
  const client = await Client.start({}, [folder]);
  const { text, position } = cursor('use "./stok.gusset<|>"\n');
  await client.open(`${folder}stock.gusset`, stock);
  await client.open(`${folder}a.gusset`, text);
  expect((await client.fixes(`${folder}a.gusset`, position)).map(({ title }) => title)).toContain(
    'Write "./stock.gusset"',
  );
  await client.stop();
});
