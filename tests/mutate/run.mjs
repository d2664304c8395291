// `npm run mutate [FOLDER …] [-- --sample=N --seed=S --at=FILE:LINE --near]`: changes language/ and server/ in small ways, one at
// a time, and prints which share of the changes the tests notice, by folder. Not a part of `npm test`: it takes hours. The changes
// are the instrumenter's; the tests are run here, nearest first and up to the first that fails, for nearly every test touches nearly every file, and its
// own runner would try all of them first and then ask all of them of each change. `--at` makes every change of one line;
// `--near` asks the twin and its folder alone, which is soon done: what these miss others may still notice.
import { spawn } from 'node:child_process';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { setPriority } from 'node:os';
import { join, relative } from 'node:path';
import { argv, env, execPath, exit } from 'node:process';
import { parseArgs } from 'node:util';
import { Instrumenter } from '@stryker-mutator/instrumenter';
import { testsBeside, twinOf } from '../house/twins.ts';
import { root } from '../setup.mjs';
import { makeCopy } from './copy.mjs';
import { equivalent } from './equivalent.mjs';
import { deaf, folders, long } from './folders.mjs';

const { values, positionals } = parseArgs({
  args: argv.slice(2),
  allowPositionals: true,
  options: {
    sample: { type: 'string', default: '50' },
    seed: { type: 'string', default: '1' },
    at: { type: 'string', default: '' },
    near: { type: 'boolean', default: false },
  },
});

/** What else is running comes first. */
setPriority(19);

const under = (folder, { recursive, ending }) =>
  readdirSync(join(root, folder), { recursive, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith(ending))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)))
    .filter((file) => !/node_modules|generated\//.test(file))
    .toSorted();

/** The files that a folder's row is about; those of folders within it have rows of their own where it is `shallow`. */
const filesOf = ({ name, shallow }) => under(name, { recursive: !shallow, ending: '.ts' });

const allTests = under('tests', { recursive: true, ending: '.test.ts' }).filter((test) => !deaf.includes(test));

/**
 * The tests asked of a change to a file: its twin, its folder's (of folders within it that have rows of their own none), those of the
 * row; what takes long last.
 */
function testsFor(file, row) {
  const folder = twinOf(file).replace(/[^/]*$/, '');
  const near = [
    ...testsBeside(file, allTests),
    ...allTests.filter((test) => test.startsWith(folder) && !(row.shallow && test.indexOf('/', folder.length) > 0)),
    ...(values.near ? [] : row.tests).flatMap((path) =>
      allTests.filter((test) => test === path || test.startsWith(`${path}/`)),
    ),
  ];
  const late = near.filter((test) => long.includes(test) && !test.startsWith(`${twinOf(file)}.`));
  return [...new Set([...near.filter((test) => !late.includes(test)), ...(values.near ? [] : late)])];
}

const silent = new Proxy({}, { get: (_, name) => (String(name).startsWith('is') ? () => false : () => {}) });

/** Every change that could be made to some texts, by their files' names. */
async function changesTo(sources) {
  const files = [...sources].map(([name, content]) => ({ name, mutate: true, content }));
  const options = { plugins: null, excludedMutations: [], ignorers: [], noHeader: true };
  const { mutants } = await new Instrumenter(silent).instrument(files, options);
  return mutants.map(({ fileName: file, location, replacement, mutatorName }) => {
    const lines = sources.get(file).split('\n');
    const offset = ({ line, column }) => lines.slice(0, line).join('\n').length + (line > 0 ? 1 : 0) + column;
    const [start, end] = [offset(location.start), offset(location.end)];
    const { line, column } = location.start;
    const was = sources.get(file).slice(start, end);
    return { file, start, end, line: line + 1, was, is: replacement, key: `${file}:${line}:${column} ${mutatorName}` };
  });
}

/** FNV-1a: spreads texts evenly over 32 bits, the same everywhere. */
function hash(text) {
  let value = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) value = Math.imul(value ^ byte, 0x01000193) >>> 0;
  return value;
}

function sampleOf(changes, { sample: size, seed, at }) {
  if (at) return changes.filter(({ file, line }) => `${file}:${line}` === at);
  const drawn = changes.map((change) => ({ change, by: hash(`${seed} ${change.key} ${change.is}`) }));
  return drawn
    .toSorted((a, b) => a.by - b.by)
    .slice(0, Number(size))
    .map(({ change }) => change);
}

const copy = makeCopy();

/** Runs tests in the copy, up to the first that fails. Returns 'passed', 'failed' or 'without end', and the milliseconds. */
function run(tests, limit) {
  const started = performance.now();
  const args = [join(root, 'node_modules/vitest/vitest.mjs'), 'run', '--config', 'tests/mutate/vitest.config.ts'];
  // Of random edits a few: all that is asked is whether a change is noticed.
  const child = spawn(execPath, args, {
    cwd: copy,
    env: { ...env, FUZZ_RUNS: '2', MUTATE_TESTS: JSON.stringify(tests) },
    stdio: env.MUTATE_SHOW ? 'inherit' : 'ignore',
    detached: true,
  });
  return new Promise((resolve) => {
    let ended = false;
    const timer = setTimeout(() => {
      ended = true;
      process.kill(-child.pid, 'SIGKILL');
    }, limit);
    child.on('exit', (status) => {
      clearTimeout(timer);
      const state = ended ? 'without end' : status === 0 ? 'passed' : 'failed';
      resolve({ state, took: performance.now() - started });
    });
  });
}

const squeezed = (text) => text.replace(/\s+/g, ' ').trim();

const isEquivalent = (change) =>
  equivalent.some(
    ({ file, was, is }) => file === change.file && was === squeezed(change.was) && is === squeezed(change.is),
  );

/** Tries the changes of a folder one after another. Returns those that nothing noticed. */
async function missedOf(row, sample, sources, limit) {
  const missed = [];
  for (const change of sample) {
    const { file, start, end, line, was, is } = change;
    const text = sources.get(file);
    writeFileSync(join(copy, file), text.slice(0, start) + is + text.slice(end));
    const { state } = await run(testsFor(file, row), limit);
    writeFileSync(join(copy, file), text);
    if (state !== 'passed') continue;
    missed.push(change);
    console.log(`  ${file}:${line}: ${squeezed(was).slice(0, 90)} -> ${squeezed(is).slice(0, 90)}`);
  }
  return missed;
}

const wanted = positionals.length ? folders.filter(({ name }) => positionals.includes(name)) : folders;
if (wanted.length === 0) {
  console.error(`Folders are: ${folders.map(({ name }) => name).join(', ')}`);
  exit(1);
}
console.log(`seed ${values.seed}, ${values.sample} changes from each folder`);
const rows = [];
for (const row of wanted) {
  const sources = new Map(filesOf(row).map((file) => [file, readFileSync(join(copy, file), 'utf8')]));
  const changes = await changesTo(sources);
  const sample = sampleOf(changes, values);
  if (sample.length > 0) rows.push({ row, sources, changes, sample });
}
if (rows.length === 0) {
  console.error(`There is nothing to change at ${values.at}`);
  exit(1);
}
const asked = new Set(rows.flatMap(({ row, sample }) => sample.flatMap(({ file }) => testsFor(file, row))));
const unchanged = await run([...asked], 3_600_000);
if (unchanged.state !== 'passed') throw new Error('the tests fail without any change');
for (const { row, sources, changes, sample } of rows) {
  const counted = sample.filter((change) => !isEquivalent(change));
  const missed = await missedOf(row, counted, sources, 60_000 + 3 * unchanged.took);
  const noticed = (100 * (1 - missed.length / counted.length)).toFixed(0);
  console.log(
    `${row.name}: ${noticed} % noticed of ${counted.length} drawn from ${changes.length} (aim ${100 * row.share} %; ${sample.length - counted.length} change nothing)`,
  );
}
