import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { Client } from './client.ts';
import { Conversation, figures, step } from './conversation.ts';

const seed = Number(process.env.FUZZ_SEED ?? 1);
const conversations = Number(process.env.FUZZ_CONVERSATIONS ?? 6);

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(async () => {
  console.info(`conversations from seed ${seed}: ${JSON.stringify(figures)}`);
  await client.stop();
});

test(
  'whatever an editor does, the server says what a new project says, and never fails',
  async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 4, maxLength: 24 }), async (steps) => {
        const conversation = await Conversation.start(client);
        try {
          for (const [index, each] of steps.entries()) {
            await conversation.take(each);
            if (index % 4 === 3 || index === steps.length - 1) expect(await conversation.wrong()).toEqual([]);
          }
        } finally {
          await conversation.end();
        }
      }),
      { numRuns: conversations, seed, endOnFailure: false, interruptAfterTimeLimit: 1e9 },
    );
    expect(figures.comparisons).toBeGreaterThan(conversations);
  },
  2 ** 31 - 1,
);
