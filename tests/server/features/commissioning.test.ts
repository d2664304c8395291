import { afterAll, beforeAll, expect, test } from 'vitest';
import { bench } from '../../support.ts';
import { Client } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

interface Check {
  readonly path: string;
  readonly check: string;
  readonly state: string;
  readonly date?: string;
  readonly expected?: string;
  readonly range: { start: { line: number } };
}

test('what is to be checked of a machine is asked for by a request, in the order in which that is safe', async () => {
  const uri = 'file:///test/commissioning.gusset';
  const record = '  checked output_set of psu at 24.1 V on 2024-03-02\n}\n';
  await client.open(uri, bench.replace(/\}\n$/, record));
  const { machines } = (await client.request('gusset/commissioning', { uri })) as {
    machines: { machine: string; checks: (Check & { stage: string })[] }[];
  };
  expect(machines.map(({ machine }) => machine)).toEqual(['Bench']);
  const checks = machines[0]?.checks ?? [];
  const stages = [...new Set(checks.map(({ stage }) => stage))];
  expect(stages.indexOf('before_power')).toBe(0);
  expect(stages.indexOf('full_load')).toBeGreaterThan(stages.indexOf('first_power'));
  const psu = checks.find(({ path, check }) => path === 'psu' && check === 'output_set');
  expect(psu).toMatchObject({
    state: 'made',
    date: '2024-03-02',
    expected: '23.5 V to 24.5 V',
    range: { start: { line: bench.split('\n').length - 2 } },
  });
  expect(checks.find(({ check }) => check === 'resistance_measured')).toMatchObject({ state: 'open' });
});
