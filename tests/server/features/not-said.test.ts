import { afterAll, beforeAll, expect, test } from 'vitest';
import type { MachineNotSaid } from '../../../server/features/not-said.ts';
import { bench } from '../../support.ts';
import { Client, edited } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

test('what a machine does not say yet is asked for by a request, as the text stands now', async () => {
  const uri = 'file:///test/not-said.gusset';
  await client.open(uri, bench.replace(/\}\n$/, '  light lamp is strip_24v_300mm\n}\n'));
  const { machines } = (await client.request('gusset/notSaid', { uri })) as {
    machines: { machine: string; notSaid: { path: string; question: string; range: { start: { line: number } } }[] }[];
  };
  expect(machines.map(({ machine }) => machine)).toEqual(['Bench']);
  const lamp = machines[0]?.notSaid.find(({ path }) => path === 'lamp.feed');
  expect(lamp).toMatchObject({ question: 'What feeds it?', range: { start: { line: bench.split('\n').length - 2 } } });
});

test('a value is begun where it would be said, a block by what it is, and what follows from elsewhere is not', async () => {
  const uri = 'file:///test/begun.gusset';
  const text = bench.replace('      area = 2.5 mm^2\n', '').replace(/\}\n$/, '  light lamp is strip_24v_300mm\n}\n');
  await client.open(uri, text);
  const { machines } = await client.request<{ machines: MachineNotSaid[] }>('gusset/notSaid', { uri });
  const begun = (path: string) => machines[0]?.notSaid.find((each) => each.path === path)?.begin;
  const area = begun('bed_power.wire.area');
  if (!area) throw new Error('the wire is not begun');
  const written = edited(text, [{ range: area.range, newText: area.text }]);
  const lines = written.split('\n');
  const at = lines.indexOf('      area = ');
  expect(lines.slice(0, at).findLast((line) => line.includes('{'))).toContain('wire');
  expect(area.text.slice(0, area.cursor)).toMatch(/area = $/);
  // What feeds the lamp is said in the path of a circuit.
  expect(begun('lamp.feed')).toBeUndefined();
  expect(begun('motion')).toMatchObject({ text: expect.stringContaining('motion is ') });
});
