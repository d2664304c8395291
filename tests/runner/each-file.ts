// Runs before each test file. A table of cases that came out empty, such as that of a glob which finds nothing, would drop its
// tests without a word: it is refused. Random tests start from the one seed.
import fc from 'fast-check';
import { describe, test } from 'vitest';
import { seed } from './seed.ts';

fc.configureGlobal({ seed });

type Each = (this: unknown, cases: readonly unknown[], ...rest: unknown[]) => unknown;

for (const makes of [describe, test] as unknown as Record<'each' | 'for', Each>[]) {
  for (const name of ['each', 'for'] as const) {
    const original = makes[name];
    makes[name] = function (cases, ...rest) {
      if (cases.length === 0)
        throw new Error(`.${name}([]) makes no test: what should have filled the table found nothing`);
      return original.call(this, cases, ...rest);
    };
  }
}
