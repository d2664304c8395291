import { afterAll, beforeAll, expect, test } from 'vitest';
import type { ComparisonAnswer } from '../../../server/features/compare.ts';
import type { LastEdit } from '../../../server/features/last-edit.ts';
import { Client } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

const kinds = `kind oven {
  toplevel
  power: Power
  fan: Power default 2 W
  current: Current = (power + fan) / 24 V
  headline current
}
rule overloaded on oven {
  holds current <= 15 A
  error "{current} of 15 A"
  source defined "a test"
}
`;
const uri = 'file:///test/last-edit.gusset';
const oven = (power: string, fan = '0 W', name = 'O') =>
  `${kinds}oven ${name} {\n  power = ${power}\n  fan = ${fan}\n}\n`;
const lastEdit = () => client.request<LastEdit>('gusset/lastEdit', { uri });
const after = async (text: string) => {
  await client.change(uri, text);
  const { statements, machines } = await lastEdit();
  return [statements, machines.map(({ line }) => line)];
};

test('an edit is told in a line once the text has settled, and at length', async () => {
  await client.open(uri, oven('240 W'));
  expect(await lastEdit()).toEqual({ statements: [], machines: [] });
  await client.change(uri, oven('480 W'));
  expect(await lastEdit()).toEqual({
    statements: ['power = 240 W → 480 W'],
    machines: [
      {
        machine: 'O',
        line: 'current 10 → 20 A, 1 rule newly fails',
        lines: ['Newly fails: overloaded: 20 A of 15 A', 'current 10 → 20 A'],
      },
    ],
  });
});

test('who goes on in the same line makes the same edit, who writes elsewhere another', async () => {
  expect(await after(oven('120 W'))).toEqual([['power = 240 W → 120 W'], ['current 10 → 5 A']]);
  expect(await after(oven('120 W', '48 W'))).toEqual([['fan = 0 W → 48 W'], ['current 5 → 7 A']]);
  // Taken back, it changes nothing.
  expect(await after(oven('120 W'))).toEqual([[], []]);
});

test('while it is half written the edit before is told, and a new text without another meaning changes nothing', async () => {
  expect(await after(oven('240 W'))).toEqual([['power = 120 W → 240 W'], ['current 5 → 10 A']]);
  expect(await after(oven('240 W').replace('240 W', '240 W +'))).toEqual([
    ['power = 120 W → 240 W'],
    ['current 5 → 10 A'],
  ]);
  expect(await after(oven('0.24 kW'))).toEqual([['power = 120 W → 0.24 kW'], ['current 5 → 10 A']]);
});

test('the machine can be compared with the text before it', async () => {
  await client.change(uri, oven('480 W'));
  await lastEdit();
  const asked = { uri, machine: 'O' };
  expect(await client.request('gusset/compare', asked)).toMatchObject({ others: [], hasLastEdit: true });
  const answer = await client.request<ComparisonAnswer>('gusset/compare', { ...asked, other: { lastEdit: true } });
  expect(answer).toMatchObject({ title: 'O, before the last edit ↔ O' });
  expect((answer as { after: string }).after).toContain('overloaded');
  await client.close(uri);
  await client.open(uri, oven('240 W'));
  expect(await client.request('gusset/compare', asked)).toMatchObject({ hasLastEdit: false });
  expect(await client.request('gusset/compare', { ...asked, other: { lastEdit: true } })).toEqual({
    refused: 'Nothing is known of an edit of this file.',
  });
});
