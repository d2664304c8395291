// Runs tests in a copy of the project.
import { spawn } from 'node:child_process';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join, relative } from 'node:path';
import { env, execPath } from 'node:process';
import { root } from '../setup.mjs';

/** How long nothing may be told, in milliseconds, beside many times what the test takes of a processor that is being run. */
const [longestSilence, timesLonger] = [30_000, 20];

/** How to ask tests in a copy. */
export function asking(copy) {
  /** Runs tests up to the first that fails, or until `isOver` says so. Returns whether all passed, and whether it was ended. */
  function run(tests, more, isOver) {
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
      const timer = setInterval(() => {
        if (ended || !isOver()) return;
        ended = true;
        process.kill(-child.pid, 'SIGKILL');
      }, 500);
      child.on('exit', (status) => {
        clearInterval(timer);
        resolve({ passed: status === 0, ended });
      });
    });
  }

  /** Do tests notice what stands in the copy now, by failing or by not coming to an end? */
  async function areFailing(tests) {
    const began = Date.now();
    const { passed } = await run(tests, {}, () => Date.now() - began > 600_000);
    return !passed;
  }

  /**
   * Asks tests of all changes that are switched on and off in the copy, without starting anew for each; tests that take longer than so many
   * milliseconds are left out, and `only` names what alone is asked of a file. Returns those that are noticed, with the
   * test file, and of the others those to be asked by themselves, with the files: what is done once for several tests is not done anew.
   */
  async function askTogether(tests, ids, longest, only = {}) {
    const told = join(copy, '.told');
    const noticed = new Map();
    const alone = new Map(ids.map((id) => [id, new Set()]));
    const isOutside = new Set();
    const isAsked = new Set();
    let [left, files] = [[...ids], [...tests]];
    while (files.length > 0 && left.length > 0) {
      rmSync(told, { force: true });
      const MUTATE_ASKED = JSON.stringify({ pending: left, only, told, longest });
      const lines = () =>
        existsSync(told)
          ? readFileSync(told, 'utf8')
              .split('\n')
              .filter((line) => line.endsWith('}'))
              .map((line) => JSON.parse(line))
          : [];
      let [seen, since, limit] = [0, Date.now(), 3_600_000];
      const { passed, ended } = await run(files, { MUTATE_ASKED }, () => {
        const now = lines();
        if (now.length !== seen) {
          const last = now.at(-1);
          // While a file runs as it stands, nothing is told.
          limit = last?.began ? longestSilence + timesLonger * last.took : 3_600_000;
          [seen, since] = [now.length, Date.now()];
        }
        return Date.now() - since > limit;
      });
      const all = lines();
      for (const { noticed: id, by } of all) if (id) noticed.set(id, relative(copy, by));
      for (const { began } of all) if (began) isAsked.add(began);
      const last = all.at(-1);
      if (ended && last?.began) noticed.set(last.began, 'what has no end');
      for (const { done, outside, deaf } of all) {
        if (!done) continue;
        for (const id of outside) isOutside.add(id);
        for (const id of deaf) alone.get(id).add(relative(copy, done));
        files = files.filter((file) => file !== relative(copy, done));
      }
      if (!passed && !ended && !last?.noticed && !last?.broke)
        throw new Error(`the tests fail without any change: ${files.join(' ')}`);
      const first = last?.broke ? [last.broke] : [];
      left = [...first, ...left.filter((id) => !first.includes(id))].filter((id) => !noticed.has(id));
    }
    return {
      noticed,
      alone: (id) => ({ files: [...alone.get(id)], isOutside: isOutside.has(id), isAsked: isAsked.has(id) }),
    };
  }

  return { areFailing, askTogether };
}
