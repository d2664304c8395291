import { afterAll, beforeAll, expect, test } from 'vitest';
import type { DesignBlock } from '../../../server/features/design.ts';
import { bench } from '../../support.ts';
import { Client } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;
async function designOf(text: string): Promise<DesignBlock[]> {
  const uri = `file:///test/design_${++files}.gusset`;
  await client.open(uri, text);
  return (await client.request<{ machines: DesignBlock[] }>('gusset/design', { uri })).machines;
}

const lineOf = (text: string, words: string) => text.split('\n').findIndex((line) => line.includes(words));

test('a machine as the tree of its blocks, each with its kind, its place and its headline values', async () => {
  const [machine] = await designOf(bench);
  expect(machine).toMatchObject({ name: 'Bench', kind: 'machine', found: [] });
  expect(machine).not.toHaveProperty('worst');
  const bed = machine?.blocks.find(({ name }) => name === 'bed');
  expect(bed?.kind).toBe('bed');
  expect(bed?.range.start.line).toBe(lineOf(bench, '  bed {'));
  const heater = bed?.blocks.find(({ name }) => name === 'heater');
  // 250 W at 24 V.
  expect(heater?.values).toContainEqual(expect.stringMatching(/^\w.* 10\.4 A$/));
});

test('what was found stands at its block, and its gravity at all blocks around it', async () => {
  const text = bench.replace('area = 2.5 mm^2', 'area = 0.2 mm^2');
  const [machine] = await designOf(text);
  const circuit = machine?.blocks.find(({ blocks }) => blocks.some(({ name }) => name === 'wire'));
  const wire = circuit?.blocks.find(({ name }) => name === 'wire');
  expect(wire?.found[0]?.severity).toBe('error');
  expect(wire?.found.some(({ message }) => message.includes('0.2 mm'))).toBe(true);
  expect([machine?.worst, circuit?.worst, wire?.worst]).toEqual(['error', 'error', 'error']);
  expect(machine?.found.some(({ message }) => wire?.found.some((each) => each.message === message))).toBe(false);
  expect(machine?.blocks.find(({ name }) => name === 'bed')).not.toHaveProperty('worst');
});

test('a file that is half written has the blocks that can be read; what a kind brings along is none', async () => {
  const [machine] = await designOf('machine Half {\n  bed {\n    plate {\n');
  expect(machine?.blocks.map(({ name, blocks }) => [name, blocks.map((each) => each.name)])).toEqual([
    ['bed', ['plate']],
  ]);
  expect(await designOf('mach')).toEqual([]);
});
