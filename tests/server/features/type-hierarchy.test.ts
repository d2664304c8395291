import { afterAll, beforeAll, expect, test } from 'vitest';
import type { TypeHierarchyItem } from 'vscode-languageserver';
import { ownKind } from '../../own-kind.ts';
import { Client, cursor } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;
async function at(marked: string): Promise<TypeHierarchyItem | undefined> {
  const { text, position } = cursor(marked);
  const uri = `file:///hierarchy/${++files}.gusset`;
  await client.open(uri, text);
  const items = await client.at<TypeHierarchyItem[] | null>('textDocument/prepareTypeHierarchy', uri, position);
  return items?.[0];
}
const asked = async (way: 'supertypes' | 'subtypes', item: TypeHierarchyItem | undefined) => {
  const found = await client.request<TypeHierarchyItem[]>(`typeHierarchy/${way}`, { item });
  return found.map(({ name, uri }) => (uri.startsWith('gusset-library:') ? `library ${name}` : name));
};
const marked = (words: string) => ownKind.replace(words.replace('<|>', ''), words);

test('a part of a kind, whose kind descends from the library’s', async () => {
  const part = await at(marked('part small_<|>drum is drum'));
  expect(part).toMatchObject({ name: 'small_drum' });
  expect(await asked('supertypes', part)).toEqual(['drum']);
  // A machine has a block that is one: that is no start of its own.
  expect(await asked('subtypes', part)).toEqual([]);
});

test('a kind: what it descends from, and its parts', async () => {
  const kind = await at(marked('kind dr<|>um is component'));
  expect(kind).toMatchObject({ name: 'drum' });
  expect(await asked('supertypes', kind)).toEqual(['library component']);
  expect(await asked('subtypes', kind)).toContain('small_drum');
});

test('a machine and its variants', async () => {
  const text = 'machine Ba<|>se {\n}\nmachine Wider is Base {\n}\n';
  const machine = await at(text);
  expect(await asked('subtypes', machine)).toEqual(['Wider']);
  expect(await asked('supertypes', machine)).toEqual(['library machine']);
  const [wider] = await client.request<TypeHierarchyItem[]>('typeHierarchy/subtypes', { item: machine });
  expect(await asked('supertypes', wider)).toEqual(['Base']);
});

test('a part of the library, from where a machine takes it', async () => {
  const part = await at('machine M {\n  supply psu is supply_24v_4<|>50w\n}\n');
  expect(part?.uri).toMatch(/^gusset-library:/);
  expect(await asked('supertypes', part)).toEqual(['library supply']);
});

test('nothing for a value, nor for an item that has gone', async () => {
  expect(await at('machine M {\n  amb<|>ient = 20 degC\n}\n')).toBeUndefined();
  const gone = await at('machine Go<|>ne {\n}\n');
  await client.change(`file:///hierarchy/${files}.gusset`, '');
  expect(await asked('supertypes', gone)).toEqual([]);
  expect(await asked('subtypes', gone)).toEqual([]);
});
