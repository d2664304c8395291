import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** Answers of a script beside the tests, by SciPy, to a list of cases. Fails loudly where it cannot be had: tests/setup.mjs installs it. */
export function oracle<T>(script: string, cases: readonly object[]): T[] {
  const path = fileURLToPath(new URL(script, import.meta.url));
  const run = spawnSync('/usr/bin/python3', [path], { input: JSON.stringify(cases), encoding: 'utf8' });
  if (run.status !== 0) throw new Error(`SciPy gave no answer (Debian package python3-scipy):\n${run.stderr}`);
  return JSON.parse(run.stdout) as T[];
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
