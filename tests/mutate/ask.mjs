// Runs tests in a copy of the project, up to the first that fails.
import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { env, execPath } from 'node:process';
import { root } from '../setup.mjs';

/** How to ask tests in a copy: `ask` says what they make of it, `unchanged` throws where they fail. */
export function asking(copy) {
  /** The longest that any tests took without a change, in milliseconds. */
  let longest = 0;

  function run(tests, limit, more) {
    const started = performance.now();
    const args = [join(root, 'node_modules/vitest/vitest.mjs'), 'run', '--config', 'tests/mutate/vitest.config.ts'];
    // Of random edits a few: all that is asked is whether a change is noticed.
    const asked = { FUZZ_RUNS: '2', MUTATE_TESTS: JSON.stringify(tests), ...more };
    const child = spawn(execPath, args, {
      cwd: copy,
      env: { ...env, ...asked },
      stdio: env.MUTATE_SHOW ? 'inherit' : 'ignore',
      detached: true,
    });
    return new Promise((resolve) => {
      let ended = false;
      const timer = setTimeout(() => {
        ended = true;
        process.kill(-child.pid, 'SIGKILL');
      }, limit);
      child.on('exit', (status) => {
        clearTimeout(timer);
        const state = ended ? 'without end' : status === 0 ? 'passed' : 'failed';
        resolve({ state, took: performance.now() - started });
      });
    });
  }

  return {
    /** What tests make of what stands in the copy: 'passed', 'failed' or 'without end'. */
    ask: async (tests) => (await run(tests, 60_000 + 3 * longest)).state,
    /** Runs tests of the copy as it is without a change. */
    unchanged: async (tests, more) => {
      if (tests.length === 0) return;
      const { state, took } = await run(tests, 3_600_000, more);
      if (state !== 'passed') throw new Error(`the tests fail without any change: ${tests.join(' ')}`);
      longest = Math.max(longest, took);
    },
  };
}
