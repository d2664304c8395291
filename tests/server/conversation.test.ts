import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Client } from './client.ts';
import { Conversation, type Files, figures, smallMachine, stepsIn, wholeMachine } from './conversation.ts';

const seed = Number(process.env.FUZZ_SEED ?? 1);
/** So many conversations about each, if no number is asked for. */
const usual = { whole: 6, small: 8 };
const forever = 2 ** 31 - 1;

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(async () => {
  console.info(`conversations from seed ${seed}: ${JSON.stringify(figures)}`);
  await client.stop();
});

/** Holds conversations of at most so many steps, and compares after every few of them. */
async function talk(about: Files, conversations: number, most: number, few: number): Promise<void> {
  const before = figures.comparisons;
  const steps = fc.array(stepsIn(about), { minLength: 4, maxLength: most, size: 'max' });
  const agrees = fc.asyncProperty(steps, async (all) => {
    const conversation = await Conversation.start(client, about);
    try {
      for (const [index, each] of all.entries()) {
        await conversation.take(each);
        if (index % few === few - 1 || index === all.length - 1) expect(await conversation.wrong()).toEqual([]);
      }
    } finally {
      await conversation.end();
    }
  });
  await fc.assert(agrees, { numRuns: conversations, seed, endOnFailure: false, interruptAfterTimeLimit: 1e9 });
  expect(figures.comparisons - before).toBeGreaterThan(conversations);
}

describe('whatever an editor does, the server says what a new project says, and never fails', () => {
  const asked = (many: number) => Number(process.env.FUZZ_CONVERSATIONS ?? many);

  test('about a whole machine', () => talk(wholeMachine, asked(usual.whole), 24, 4), forever);

  test('about a small one', () => talk(smallMachine, asked(usual.small), 240, 40), forever);
});
