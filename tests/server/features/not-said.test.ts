import { afterAll, beforeAll, expect, test } from 'vitest';
import { bench } from '../../support.ts';
import { Client } from '../client.ts';

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
