import { expect, test } from 'vitest';
import type { CodeLens } from 'vscode-languageserver';
import { bench } from '../model/support.ts';
import { Client } from './client.ts';

test('above each machine, how it stands; an empty one is not a passing one', async () => {
  const client = await Client.start();
  const uri = 'file:///lens/a.gusset';
  const wrong = bench
    .replace('area = 2.5 mm^2', 'area = 0.75 mm^2')
    .replace(/}\n$/, '  require bed.heater.power > 1 W\n}\n');
  await client.open(
    uri,
    `${wrong}machine Empty {\n  bed\n}\nmachine Begun {\n  bed {\n    heater\n    sensor is ntc_100k\n  }\n}\n`,
  );
  const lenses = await client.request<CodeLens[]>('textDocument/codeLens', { textDocument: { uri } });
  await client.stop();
  const [first, second, third] = lenses.map((lens) => lens.command?.title ?? '');
  expect(first).toMatch(/^\d+ errors?, .*1 of 1 requirement met, .*\d+ rules hold$/);
  expect(second).toBe('nothing decided yet');
  expect(third).toMatch(/^nothing \w+( yet)?, \d+ undecided/);
});
