import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/**
 * What a script beside the library's tests answers, by SciPy, to what it is asked. Fails loudly where SciPy cannot be had: tests/setup.mjs
 * installs it.
 */
export function oracle<T>(script: string, asked: readonly object[]): T[];
export function oracle<T>(script: string, asked: Readonly<Record<string, readonly object[]>>): Record<string, T[]>;
export function oracle(script: string, asked: object): unknown {
  const path = fileURLToPath(new URL(script, import.meta.url));
  const run = spawnSync('/usr/bin/python3', [path], {
    input: JSON.stringify(asked),
    encoding: 'utf8',
    // The matrices are small: threads would take longer to wait for each other than to reckon.
    env: { ...process.env, OPENBLAS_NUM_THREADS: '1' },
  });
  if (run.status !== 0) throw new Error(`SciPy gave no answer (Debian package python3-scipy):\n${run.stderr}`);
  return JSON.parse(run.stdout);
}

/** Numbers between two ends, the same ones in every run (a linear congruence), to four digits. */
export function generator(seed: number): (low: number, high: number) => number {
  let state = seed;
  return (low, high) => {
    state = (state * 1664525 + 1013904223) % 2 ** 32;
    return +(low + ((high - low) * state) / 2 ** 32).toPrecision(4);
  };
}

/** The mean of signed errors: a constant that is off leans all cases to one side, a method's own errors lie to both. */
export function mean(signed: readonly number[]): number {
  return signed.reduce((sum, one) => sum + one, 0) / signed.length;
}
