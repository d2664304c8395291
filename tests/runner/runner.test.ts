import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { count } from './count.mjs';
import { longest } from './order.ts';
import type { Results } from './report.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));

/** Runs the tests in `cases/` as the project's own are run. */
function runCases(): Results & { output: string; status: number | null } {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-runner-'));
  const results = join(folder, 'results.json');
  const { status, stdout } = spawnSync(
    process.execPath,
    [join(root, 'node_modules/vitest/vitest.mjs'), 'run', '--config', 'tests/runner/cases/vitest.config.ts'],
    { cwd: root, encoding: 'utf8', env: { ...process.env, RESULTS: results } },
  );
  const read = JSON.parse(readFileSync(results, 'utf8')) as Results;
  rmSync(folder, { recursive: true });
  return { ...read, output: stdout, status };
}

describe('the runner', () => {
  const { tests, errors, output, status } = runCases();
  const named = (name: string) => tests.find((test) => test.name === name);

  test('fails a test that asserts nothing', () => {
    expect(named('asserts nothing')?.state).toBe('failed');
  });

  test('refuses a test that is said to fail', () => {
    expect(named('is said to fail')).toMatchObject({ state: 'passed', refused: expect.stringContaining('marked') });
    expect(output).toContain('refused: tests/runner/cases/passing.cases.ts: is said to fail');
    expect(status).toBe(1);
  });

  test('prints what passed at a second try', () => {
    expect(output).toContain('passed at try 2: tests/runner/cases/passing.cases.ts: fails once');
    expect(output).not.toContain('is good');
  });

  test('fails a file in which a table of cases came out empty', () => {
    expect(errors.toSorted()).toEqual(
      ['describe', 'test'].map((of) =>
        expect.stringContaining(`empty-${of}.cases.ts could not be run: .each([]) makes no test`),
      ),
    );
  });

  test('says which seed random tests start from', () => {
    expect(output).toMatch(/random tests start from seed \d+/);
  });
});

test('what begins first is there', () => {
  expect(longest.filter((file) => !existsSync(join(root, file)))).toEqual([]);
});

describe('what a run comes to', () => {
  const passed = (file: string) => ({ file, name: 'a', state: 'passed', tries: 1 });
  const clean = { clean: true };

  test('passed tests are counted', () => {
    const results = { tests: [passed('tests/a/x.test.ts'), passed('tests/a/y.test.ts')], errors: [] };
    expect(count(results, clean)).toEqual({ passed: 2, failed: 0, lines: [] });
  });

  test.each([
    ['a failed test', { tests: [{ ...passed('tests/a/x.test.ts'), state: 'failed' }], errors: [] }, []],
    [
      'a test left out',
      { tests: [{ ...passed('tests/a/x.test.ts'), state: 'skipped' }], errors: [] },
      ['FAILED: left out (skipped): tests/a/x.test.ts: a'],
    ],
    [
      'a test refused',
      { tests: [{ ...passed('tests/a/x.test.ts'), refused: 'it is marked' }], errors: [] },
      ['FAILED: refused: tests/a/x.test.ts: a: it is marked'],
    ],
    ['a file that could not be run', { tests: [], errors: ['x could not be run'] }, ['FAILED: x could not be run']],
    ['a run without tests', { tests: [], errors: [] }, ['FAILED: no test ran']],
  ])('%s counts as failed', (_what, results, lines) => {
    expect(count(results, clean)).toEqual({ passed: 0, failed: 1, lines });
  });

  test('a run that did not end well failed, whatever its tests say', () => {
    expect(count({ tests: [passed('tests/a/x.test.ts')], errors: [] }, { clean: false }).failed).toBe(1);
  });

  test('a folder with fewer tests than before failed, and one that is not heard of', () => {
    const results = { tests: [passed('tests/a/x.test.ts'), passed('tests/b/x.test.ts')], errors: [] };
    const { failed, lines } = count(results, { clean: true, least: { a: 2, c: 1 } });
    expect(failed).toBe(3);
    expect(
      lines.map(
        (line) => /tests\/\w+( has \d+ tests, and had at least \d+)?$|tests\/\w+ has \d+ tests/.exec(line)?.[0],
      ),
    ).toEqual(['tests/a has 1 tests', 'tests/c has 0 tests', 'tests/b']);
    expect(count(results, { clean: true, least: { a: 1, b: 1 } }).failed).toBe(0);
  });
});
