// `npm test`: set-up, then every check there is. The last line says how many passed and failed; the exit status is 0 only
// when something ran, nothing failed and nothing was left out.
import { spawnSync } from 'node:child_process';
import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { argv, exit } from 'node:process';
import { count } from './runner/count.mjs';
import { environment, progress, root, SetupError, setUp } from './setup.mjs';

/** Where tests/runner/report.ts leaves them. */
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
  rmSync(results, { force: true });
  const clean = run('node', [
    join(root, 'node_modules', 'vitest', 'vitest.mjs'),
    'run',
    '--allowOnly=false',
    ...filters,
  ]);
  return countTests(clean, filters.length === 0);
}

function countTests(clean, everything) {
  let report;
  try {
    report = JSON.parse(readFileSync(results, 'utf8'));
  } catch {
    console.log('FAILED: the tests left no results');
    return { passed: 0, failed: 1 };
  }
  const least = JSON.parse(readFileSync(join(root, 'tests', 'runner', 'least.json'), 'utf8'));
  const { passed, failed, lines } = count(report, { clean, least: everything ? least : undefined });
  for (const line of lines) console.log(line);
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
