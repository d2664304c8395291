// Runs tests in a copy of the project.
import { spawn } from 'node:child_process';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { env, execPath } from 'node:process';
import { root } from '../setup.mjs';

/** How long nothing may be told, in milliseconds, beside many times what the test takes of a processor that is being run. */
const [longestSilence, timesLonger] = [30_000, 20];

/** What the tests have told so far, line by line; one that is not whole yet is left for later. */
function linesOf(told) {
  const lines = existsSync(told) ? readFileSync(told, 'utf8').split('\n') : [];
  return lines.filter((line) => line.endsWith('}')).map((line) => JSON.parse(line));
}

/** Says whether nothing was told for too long. While a file runs as it stands, nothing is told. */
function silenceOf(told) {
  let [seen, since, limit] = [0, Date.now(), Number.POSITIVE_INFINITY];
  return () => {
    const lines = linesOf(told);
    if (lines.length !== seen) {
      const last = lines.at(-1);
      limit = last.began ? longestSilence + timesLonger * last.took : Number.POSITIVE_INFINITY;
      [seen, since] = [lines.length, Date.now()];
    }
    return Date.now() - since > limit;
  };
}

/** What came of changes, of which all are asked together. */
class Asked {
  /** By which test file each is noticed. */
  noticed = new Map();
  #isAsked = new Set();
  #isOutside = new Set();
  #deaf = new Map();

  /** Takes over what was told. Returns the files that are done. */
  note(lines) {
    for (const { noticed, by, began, outside = [], deaf = [], done } of lines) {
      if (noticed) this.noticed.set(noticed, by);
      if (began) this.#isAsked.add(began);
      for (const id of outside) this.#isOutside.add(id);
      for (const id of deaf) this.#deaf.set(id, [...(this.#deaf.get(id) ?? []), done]);
    }
    return lines.flatMap(({ done }) => done ?? []);
  }

  /** Whether any test was asked of a change, whether it is come to outside of tests, and the files with tests that cannot be asked again. */
  of(id) {
    return { isAsked: this.#isAsked.has(id), isOutside: this.#isOutside.has(id), files: this.#deaf.get(id) ?? [] };
  }
}

/** How to ask tests in a copy. */
export function asking(copy) {
  const told = join(copy, '.told');

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
   * milliseconds are left out, and `only` names what alone is asked of a file. Where a worker was ended, or ended itself, it goes on with
   * another.
   */
  async function askTogether(tests, ids, longest, only = {}) {
    const asked = new Asked();
    let [left, files] = [ids, tests];
    const failed = new Set();
    while (files.length > 0 && left.length > 0) {
      rmSync(told, { force: true });
      const MUTATE_ASKED = JSON.stringify({ pending: left, only, told, longest });
      const { passed, ended } = await run(files, { MUTATE_ASKED }, silenceOf(told));
      const lines = linesOf(told);
      const done = asked.note(lines);
      files = files.filter((file) => !done.includes(file));
      const { began, noticed, broke } = lines.at(-1) ?? {};
      if (ended && began) asked.noticed.set(began, 'what has no end');
      if (!passed && !ended && !noticed && !broke && files.length > 0) {
        // It may be that the machine was too busy to begin it: then it is tried once more, after the others.
        const [file, ...others] = files;
        if (failed.has(file)) console.log(`  left out, for it fails without any change: ${file}`);
        files = failed.has(file) ? others : [...others, file];
        failed.add(file);
      }
      left = left.filter((id) => !asked.noticed.has(id)).toSorted((a, b) => Number(b === broke) - Number(a === broke));
    }
    return asked;
  }

  return { areFailing, askTogether };
}
