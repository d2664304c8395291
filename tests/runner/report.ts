import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Reporter, TestCase, TestModule } from 'vitest/node';
import { seed } from './seed.ts';

const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');

/** Where the results of a run are left for `tests/run.mjs`. */
const resultsFile = join(root, '.cache', 'tests.json');

/** One test as it came out. `refused` says what may not be, although it passed. */
export interface Result {
  readonly file: string;
  readonly name: string;
  readonly state: string;
  readonly tries: number;
  readonly refused?: string;
}

/** What a run comes to: its tests, and what kept files from running. */
export interface Results {
  readonly tests: readonly Result[];
  readonly errors: readonly string[];
}

function resultOf(test: TestCase, file: string): Result {
  const tries = 1 + (test.diagnostic()?.retryCount ?? 0);
  const refused = test.options.fails
    ? 'it is marked as one that fails: mend what it shows, or say what is so'
    : undefined;
  return { file, name: test.fullName, state: test.result().state, tries, refused };
}

function resultsOf(modules: readonly TestModule[], unhandled: readonly { message?: string }[]): Results {
  const file = (module: TestModule) => relative(root, module.moduleId);
  const loading = modules.flatMap((module) =>
    module.errors().map((e) => `${file(module)} could not be run: ${e.message}`),
  );
  const suites = modules.flatMap((module) =>
    [...module.children.allSuites()].flatMap((suite) =>
      suite.errors().map((e) => `${file(module)}: ${suite.fullName}: ${e.message}`),
    ),
  );
  const outside = unhandled.map((error) => `an error outside of any test: ${error.message}`);
  return {
    tests: modules.flatMap((module) => [...module.children.allTests()].map((test) => resultOf(test, file(module)))),
    errors: [...loading, ...suites, ...outside],
  };
}

/** Leaves every result in a file, prints what passed at a second try, and fails a run that holds what may not be. */
export class Report implements Reporter {
  readonly left: string;
  constructor(left = resultsFile) {
    this.left = left;
  }

  onInit(): void {
    console.log(`random tests start from seed ${seed}; FUZZ_SEED=… tries another`);
  }

  onTestRunEnd(modules: readonly TestModule[], unhandled: readonly { message?: string }[]): void {
    const results = resultsOf(modules, unhandled);
    mkdirSync(dirname(this.left), { recursive: true });
    writeFileSync(this.left, JSON.stringify(results));
    for (const { file, name, state, tries, refused } of results.tests) {
      if (tries > 1) console.log(`${state} at try ${tries}: ${file}: ${name}`);
      if (!refused) continue;
      console.log(`refused: ${file}: ${name}: ${refused}`);
      process.exitCode = 1;
    }
  }
}
