// A value gone through and parts put side by side, at a place in the editor.
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { ExplorationAnswer } from '../../../server/features/exploring.ts';
import { shelf as text } from '../../explore/shelf.ts';
import { Client } from '../client.ts';

const uri = 'file:///test/shelf.gusset';
let client: Client;
beforeAll(async () => {
  client = await Client.start();
  await client.open(uri, text);
});
afterAll(() => client.stop());

const lines = text.split('\n');
const at = (word: string) => {
  const line = lines.findLastIndex((each) => each.includes(word));
  return { line, character: (lines[line] as string).indexOf(word) + 1 };
};
const ask = async (what: string, word: string) =>
  (await client.request('gusset/explore', { uri, what, position: at(word) })) as ExplorationAnswer;

test('a value is gone through from half of it to twice as much, with what fails', async () => {
  const answer = await ask('value', '60 N');
  expect(answer).toMatchObject({ title: 'load' });
  const { text: told } = answer as { text: string };
  expect(told).toContain('s has 60 N there.');
  expect(told).toMatch(/\| load +\| left +\| fails +\|/);
  expect(told).toMatch(/\| 30 N +\| 70 N +\| +\|/);
  expect(told).toMatch(/\| 120 N +\| -20 N +\| breaks +\|/);
});

test('parts are put side by side in the block at the cursor', async () => {
  const { title, text: told } = (await ask('parts', 'stout_lath')) as { title: string; text: string };
  expect(title).toBe('lath');
  expect(told).toContain('stout_lath (there now)');
  expect(told).toMatch(/thin_lath +\| 5 mm +\| -35 N/);
});

test('where there is nothing to be gone through, it says so', async () => {
  expect(await ask('value', 'stout_lath')).toEqual({ refused: 'There is no value at the cursor.' });
  expect(await ask('value', 'has lath')).toEqual({ refused: 'There is no value at the cursor.' });
  expect(await ask('parts', 'has lath')).toEqual({ refused: 'There is no block at the cursor.' });
});
