// Runs before each test file while the changes are only counted: writes which of them the file comes to, and how long it took.
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect } from 'vitest';

type Counters = Record<string, number>;
const global = globalThis as { __stryker__?: { mutantCoverage?: { static: Counters } }; countedAtOnce?: string[] };

/** What was come to since the last time. */
function taken(): string[] {
  const coverage = global.__stryker__?.mutantCoverage;
  const reached = Object.keys(coverage?.static ?? {});
  if (coverage) coverage.static = {};
  return reached;
}

// What is run as a file is read is run once for all tests, which all come to it.
if (!global.countedAtOnce) {
  for (const file of JSON.parse(process.env.MUTATE_FILES ?? '[]')) await import(join(process.cwd(), file));
  global.countedAtOnce = taken();
}
taken();
const began = performance.now();

afterAll(() => {
  const test = expect.getState().testPath as string;
  const reached = [...(global.countedAtOnce ?? []), ...taken()];
  const name = `${test.replace(/\W/g, '_')}.json`;
  const told = JSON.stringify({ test, reached, took: performance.now() - began });
  writeFileSync(join(process.env.MUTATE_REACHED as string, name), told);
});
