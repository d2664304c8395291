import { defineConfig } from 'vitest/config';
import { LongestFirst } from './tests/runner/order.ts';
import { Report } from './tests/runner/report.ts';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['**/node_modules/**'],
    setupFiles: ['tests/runner/each-file.ts'],
    reporters: ['default', new Report()],
    // A busy machine takes its time: what is waited for comes within it, or never.
    expect: { requireAssertions: true, poll: { timeout: 10_000 } },
    maxWorkers: 2,
    sequence: { sequencer: LongestFirst },
    // Tests keep nothing in what they import: a worker reads the library and its modules once, and not for each file.
    isolate: false,
    testTimeout: 30_000,
    hookTimeout: 60_000,
    passWithNoTests: false,
  },
});
