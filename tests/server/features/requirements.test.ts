import { afterAll, beforeAll, expect, test } from 'vitest';
import type { MachineRequirements } from '../../../server/features/requirements.ts';
import { bench } from '../../support.ts';
import { Client, cursor } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

test('what each machine is asked to be, as the text stands now: held, missed, and not decided', async () => {
  const asked = '  require ambient <= 30 degC\n  require ambient >= 25 degC\n  require cost <= 9 EUR\n  bed {';
  const { text } = cursor(bench.replace('  bed {', asked));
  const uri = 'file:///test/requirements.gusset';
  await client.open(uri, text);
  const { machines } = await client.request<{ machines: MachineRequirements[] }>('gusset/requirements', { uri });
  expect(machines.map(({ machine }) => machine)).toEqual(['Bench']);
  const told = machines[0]?.requirements.map(({ text, path, holds, message }) => [text, path, holds, message]);
  expect(told?.map(([text]) => text)).toEqual(['ambient <= 30 degC', 'ambient >= 25 degC', 'cost <= 9 EUR']);
  expect(told?.map(([, path, holds]) => [path, holds])).toEqual([
    ['', true],
    ['', false],
    ['', null],
  ]);
  expect(told?.map(([, , , message]) => message)).toMatchInlineSnapshot(`
    [
      "holds: 20 °C, 10 K to spare",
      "fails: ambient is 20 °C, the limit is 25 °C (5 K short)",
      "undecided: psu.price, bed.plate.price, bed.heater.price, bed.sensor.price, bed.cutoff.price, bed_power.fuse.price and bed_power.wire.price are not given",
    ]
  `);
  expect(machines[0]?.requirements[1]?.range.start.line).toBe(
    text.split('\n').findIndex((line) => line.includes('>= 25')),
  );
});

test('a variant is asked what its base is, and of it as well', async () => {
  const uri = 'file:///test/variants.gusset';
  const base = bench.replace('  bed {', '  require ambient >= 25 degC\n  bed {');
  await client.open(uri, `${base}\nmachine Warm is Bench {\n  ambient = 30 degC\n}\n`);
  const { machines } = await client.request<{ machines: MachineRequirements[] }>('gusset/requirements', { uri });
  expect(machines.map(({ machine, requirements }) => [machine, requirements.map(({ holds }) => holds)])).toEqual([
    ['Bench', [false]],
    ['Warm', [true]],
  ]);
  // It stands in the base: the variant is where it is asked of the variant.
  const line = `${base}\n`.split('\n').length - 1;
  expect(machines[1]?.requirements[0]?.range.start.line).toBe(line);
});
