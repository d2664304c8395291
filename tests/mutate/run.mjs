// `npm run mutate [FOLDER …] [-- --sample=N --seed=S]`: changes language/ and server/ in small ways, one at a time, and prints which
// share of the changes the tests notice, by folder. Not a part of `npm test`: it takes an hour.
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { argv, env } from 'node:process';
import { parseArgs } from 'node:util';
import { Stryker } from '@stryker-mutator/core';
import { Instrumenter } from '@stryker-mutator/instrumenter';
import { root } from '../setup.mjs';
import { equivalent } from './equivalent.mjs';
import { folders } from './folders.mjs';
import { keyOf } from './sample.mjs';

const { values, positionals } = parseArgs({
  args: argv.slice(2),
  allowPositionals: true,
  options: { sample: { type: 'string', default: '50' }, seed: { type: 'string', default: '1' } },
});

/** The files that a folder's row is about; those of folders within it have rows of their own where it is `shallow`. */
function filesOf({ name, shallow }) {
  return readdirSync(join(root, name), { recursive: !shallow, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith('.ts'))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)))
    .filter((file) => !file.includes('generated/'))
    .toSorted();
}

const silent = new Proxy({}, { get: (_, name) => (String(name).startsWith('is') ? () => false : () => {}) });

/** Every change that could be made to some texts, by their files' names. */
async function changesTo(sources) {
  const files = [...sources].map(([name, content]) => ({ name, mutate: true, content }));
  const options = { plugins: null, excludedMutations: [], ignorers: [], noHeader: true };
  return (await new Instrumenter(silent).instrument(files, options)).mutants;
}

/** FNV-1a: spreads texts evenly over 32 bits, the same everywhere. */
function hash(text) {
  let value = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) value = Math.imul(value ^ byte, 0x01000193) >>> 0;
  return value;
}

function sampleOf(changes, size, seed) {
  const drawn = changes.map((change) => ({ key: keyOf(change), by: hash(`${seed} ${keyOf(change)}`) }));
  return drawn
    .toSorted((a, b) => a.by - b.by)
    .slice(0, size)
    .map(({ key }) => key);
}

async function tried(files, sample, tests) {
  const sampleFile = join(root, '.cache', 'mutants', 'sample.json');
  mkdirSync(join(root, '.cache', 'mutants'), { recursive: true });
  writeFileSync(sampleFile, JSON.stringify(sample));
  // Of random edits a few: all that is asked is whether a change is noticed.
  env.FUZZ_RUNS = '2';
  env.MUTATE_TESTS = tests.map((path) => (path.endsWith('.ts') ? path : `${path}/*.test.ts`)).join(',');
  const results = await new Stryker({
    mutate: files,
    sample: sampleFile,
    testRunner: 'vitest',
    checkers: ['sample'],
    plugins: ['@stryker-mutator/vitest-runner', './tests/mutate/sample.mjs'],
    vitest: { configFile: 'tests/mutate/vitest.config.ts', related: false },
    coverageAnalysis: 'perTest',
    concurrency: 2,
    dryRunTimeoutMinutes: 60,
    timeoutMS: 20_000,
    reporters: [],
    allowConsoleColors: false,
    ignorePatterns: ['.cache', 'tests/workbench/node_modules'],
    tempDirName: '.cache/mutants/sandbox',
    disableTypeChecks: false,
    warnings: false,
    logLevel: 'error',
  }).runMutationTest();
  const wanted = new Set(sample);
  return results.map(fromZero).filter((result) => wanted.has(keyOf(result)));
}

/** Results count lines and columns from 1, changes from 0. */
function fromZero(result) {
  const less = ({ line, column }) => ({ line: line - 1, column: column - 1 });
  const { start, end } = result.location;
  return { ...result, location: { start: less(start), end: less(end) } };
}

/** The text that a change replaced. */
function replacedBy({ fileName, location: { start, end } }) {
  const lines = readFileSync(fileName, 'utf8')
    .split('\n')
    .slice(start.line, end.line + 1);
  if (lines.length === 1) return lines[0].slice(start.column, end.column);
  return [lines[0].slice(start.column), ...lines.slice(1, -1), lines.at(-1).slice(0, end.column)].join('\n');
}

const squeezed = (text) => text.replace(/\s+/g, ' ').trim();

function isEquivalent(result, sources) {
  const [was, is] = [squeezed(replacedBy(result, sources)), squeezed(result.replacement)];
  const file = relative(root, result.fileName);
  return equivalent.some((known) => known.file === file && known.was === was && known.is === is);
}

function report({ name, share }, results, total, sources) {
  const counted = results.filter((result) => !isEquivalent(result, sources));
  const missed = counted.filter(({ status }) => status !== 'Killed' && status !== 'Timeout');
  for (const result of missed) {
    const { fileName, location, status, replacement } = result;
    const [was, is] = [squeezed(replacedBy(result, sources)).slice(0, 90), squeezed(replacement).slice(0, 90)];
    console.log(`  ${relative(root, fileName)}:${location.start.line + 1} ${status}: ${was} -> ${is}`);
  }
  const noticed = (counted.length - missed.length) / counted.length;
  const percent = (part) => `${(100 * part).toFixed(0)} %`;
  console.log(
    `${name}: ${percent(noticed)} noticed of ${counted.length} drawn from ${total} (aim ${percent(share)}; ${results.length - counted.length} change nothing)`,
  );
}

const wanted = positionals.length ? folders.filter(({ name }) => positionals.includes(name)) : folders;
if (wanted.length === 0) throw new Error(`Folders are: ${folders.map(({ name }) => name).join(', ')}`);
console.log(`seed ${values.seed}, ${values.sample} changes from each folder`);
for (const folder of wanted) {
  const sources = new Map(filesOf(folder).map((file) => [file, readFileSync(join(root, file), 'utf8')]));
  const changes = await changesTo(sources);
  const sample = sampleOf(changes, Number(values.sample), values.seed);
  report(folder, await tried([...sources.keys()], sample, folder.tests), changes.length, sources);
}
