// Long random conversations with the server: `npm run fuzz -- 1000`, or `npm run fuzz -- 1000 SEED`, or `npm run fuzz -- 1000 SEED small`
// for those about a small machine alone, with many more edits in the same time. Prints the figures at its end, and the shortest
// conversation that goes wrong, if one does.
import { spawnSync } from 'node:child_process';
import { argv, env, exit } from 'node:process';
import { environment, root } from './setup.mjs';

const [count = '100', seed = String(Date.now() % 2 ** 31), about] = argv.slice(2);
console.log(`${count} conversations from seed ${seed}`);
const { status } = spawnSync('vitest', ['run', 'tests/server/conversation.test.ts', ...(about ? ['-t', about] : [])], {
  cwd: root,
  stdio: 'inherit',
  env: { ...env, ...environment, FUZZ_CONVERSATIONS: count, FUZZ_SEED: seed },
});
exit(status ?? 1);
