// Runs before each test file. A table of cases that came out empty, such as that of a glob which finds nothing, would drop its
// tests without a word: it is refused. Random tests start from the one seed.
import fc from 'fast-check';
import { describe, test } from 'vitest';
import { seed } from './seed.ts';

fc.configureGlobal({ seed });

type Each = (this: unknown, cases: readonly unknown[], ...rest: unknown[]) => unknown;

/** Marks what refuses empty tables already: a worker runs this before each of its files. */
const refuses = Symbol.for('refuses an empty table');

for (const makes of [describe, test] as unknown as Record<'each' | 'for', Each>[]) {
  for (const name of ['each', 'for'] as const) {
    const original = makes[name];
    if (refuses in original) continue;
    const made: Each = function (cases, ...rest) {
      if (cases.length === 0)
        throw new Error(`.${name}([]) makes no test: what should have filled the table found nothing`);
      return original.call(this, cases, ...rest);
    };
    makes[name] = Object.assign(made, { [refuses]: true });
  }
}
