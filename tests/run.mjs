// `npm test`: set-up, then every check there is. The last line says how many passed and failed; the exit status is 0 only
// when something ran, nothing failed and nothing was left out.
import { spawnSync } from 'node:child_process';
import { mkdirSync, readFileSync, rmSync } from 'node:fs';
import { join, relative } from 'node:path';
import { argv, exit } from 'node:process';
import { environment, progress, root, SetupError, setUp } from './setup.mjs';

const results = join(root, '.cache', 'tests.json');

function run(command, args) {
  return (
    spawnSync(command, args, { cwd: root, stdio: ['ignore', 'inherit', 'inherit'], env: environment }).status === 0
  );
}

/** A check that is a whole program: passed or failed. */
function check(name, command, args) {
  progress(`check: ${name}`);
  const passed = run(command, args);
  if (!passed) console.log(`FAILED: ${name}`);
  return { passed: passed ? 1 : 0, failed: passed ? 0 : 1 };
}

function tests(filters) {
  progress('check: tests');
  mkdirSync(join(root, '.cache'), { recursive: true });
  rmSync(results, { force: true });
  const reporters = ['--reporter=default', '--reporter=json', `--outputFile.json=${results}`];
  const clean = run('node', [
    join(root, 'node_modules', 'vitest', 'vitest.mjs'),
    'run',
    '--allowOnly=false',
    ...reporters,
    ...filters,
  ]);
  return countTests(clean);
}

/** A test left out counts as failed, and so does a file that could not be loaded. */
function countTests(clean) {
  let report;
  try {
    report = JSON.parse(readFileSync(results, 'utf8'));
  } catch {
    console.log('FAILED: the tests left no results');
    return { passed: 0, failed: 1 };
  }
  let passed = 0;
  let failed = 0;
  for (const file of report.testResults) {
    const path = relative(root, file.name);
    for (const test of file.assertionResults) {
      if (test.status === 'passed') passed += 1;
      else {
        failed += 1;
        if (test.status !== 'failed') console.log(`FAILED: left out (${test.status}): ${path}: ${test.fullName}`);
      }
    }
    if (file.status !== 'passed' && !file.assertionResults.some((test) => test.status === 'failed')) {
      failed += 1;
      console.log(`FAILED: ${path} could not be run: ${file.message}`);
    }
  }
  if (passed + failed === 0) console.log('FAILED: no test ran');
  if (failed === 0 && (passed === 0 || !clean)) failed = 1;
  return { passed, failed };
}

function everything(filters) {
  try {
    setUp();
  } catch (error) {
    if (!(error instanceof SetupError)) throw error;
    console.log(`FAILED: set-up: ${error.message}`);
    return [{ passed: 0, failed: 1 }];
  }
  return [
    check('types', 'tsc', ['--noEmit']),
    check('format and lint', 'biome', ['check', '--error-on-warnings', '.']),
    tests(filters),
  ];
}

const counts = everything(argv.slice(2));
const sum = (side) => counts.reduce((total, count) => total + count[side], 0);
progress('done');
console.log(`${sum('passed')} passed, ${sum('failed')} failed`);
exit(sum('failed') === 0 && sum('passed') > 0 ? 0 : 1);
