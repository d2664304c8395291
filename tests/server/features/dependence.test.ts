import { afterAll, beforeAll, expect, test } from 'vitest';
import type { CallHierarchyIncomingCall, CallHierarchyItem, CallHierarchyOutgoingCall } from 'vscode-languageserver';
import { marked, ownKind } from '../../own-kind.ts';
import { Client, cursor } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;
async function at(text: string): Promise<CallHierarchyItem | undefined> {
  const { text: plain, position } = cursor(text);
  const uri = `file:///dependence/${++files}.gusset`;
  await client.open(uri, plain);
  const items = await client.at<CallHierarchyItem[] | null>('textDocument/prepareCallHierarchy', uri, position);
  return items?.[0];
}
const told = ({ name, detail }: CallHierarchyItem) => `${name}: ${detail}`;
const dependsOn = async (item: CallHierarchyItem | undefined) =>
  (await client.request<CallHierarchyOutgoingCall[]>('callHierarchy/outgoingCalls', { item })).map(({ to }) => to);
const dependents = async (item: CallHierarchyItem | undefined) =>
  (await client.request<CallHierarchyIncomingCall[]>('callHierarchy/incomingCalls', { item })).map(({ from }) => from);

test('what a value depends on, step by step down to what is given', async () => {
  const rim = await at(marked('require roller.ri<|>m(at: 0.2) < 1 m'));
  expect(rim).toMatchObject({ name: 'roller.rim(at: 20 %)', detail: '20 mm' });
  const [width] = await dependsOn(rim);
  expect(width && told(width)).toBe('roller.width: 100 mm');
  // It is given in the part: there it stands.
  const above = ownKind.slice(0, ownKind.indexOf('width = 100 mm'));
  expect(width?.range.start.line).toBe(above.split('\n').length - 1);
  expect(await dependsOn(width)).toEqual([]);
});

test('what depends on a value: values, rules and requirements', async () => {
  const width = await at(marked('    wid<|>th = 200 mm'));
  expect(width && told(width)).toBe('roller.width: 200 mm');
  const found = (await dependents(width)).map(told);
  expect(found).toContain('roller.rim(at: 50 %): 100 mm');
  expect(found).toContain('drum_wide: roller');
  expect(found).toContain('all(d.width < 1 m for d in every drum): required');
  // What only reads what reads it is not told of here, but of that.
  expect(found.join()).not.toContain('roller.half');
});

test('what reads it can be asked of again, also after an edit', async () => {
  const width = await at(marked('    wid<|>th = 200 mm'));
  const rim = (await dependents(width)).find(({ name }) => name.startsWith('roller.rim(at: 50'));
  expect((await dependents(rim)).map(told)).toContain('roller.half: 100 mm');
  const uri = `file:///dependence/${files}.gusset`;
  await client.change(uri, marked('').replace('width = 200 mm', 'width = 300 mm'));
  expect((await dependents(rim)).map(told)).toContain('roller.half: 150 mm');
});

test('arguments are told rounded, and the value is found again all the same', async () => {
  const rim = await at(marked('require roller.ri<|>m(at: 0.2) < 1 m').replace('at: 0.2', 'at: 0.123456789'));
  expect(rim?.name).toBe('roller.rim(at: 12.3 %)');
  expect((await dependents(rim)).map(told)).toEqual(['roller.rim(at: 0.123456789) < 1 m: required']);
});

test('nothing where no value of a machine is named, and nothing of a value that is gone', async () => {
  expect(await at(marked('dr<|>um roller is small_drum'))).toBeUndefined();
  expect(await at(marked('  wid<|>th: Length {'))).toBeUndefined();
  const width = await at(marked('    wid<|>th = 200 mm'));
  await client.change(`file:///dependence/${files}.gusset`, 'machine First {\n}\n');
  expect([await dependsOn(width), await dependents(width)]).toEqual([[], []]);
  const { data: _, ...other } = width as CallHierarchyItem;
  expect(await dependents(other)).toEqual([]);
});
