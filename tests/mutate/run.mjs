// `npm run mutate [FOLDER …] [-- --sample=N --seed=S --at=FILE[:LINE] --near]`: changes language/ and server/ in small ways, one at
// a time, and prints which share of the changes the tests notice, by folder. Not a part of `npm test`: it takes long. The changes
// are the instrumenter's; the tests are run here, up to the first that fails: the changed file's twin first, and only of what that misses those of
// the folder's that come to what is changed, the quickest first. (Its own runner tries every test before it begins, and nearly every test
// here touches nearly every file.) `--at` draws from one file or one line; `--near` asks the twin and its folder alone.
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { setPriority } from 'node:os';
import { join, relative } from 'node:path';
import { argv, exit } from 'node:process';
import { parseArgs } from 'node:util';
import { excused, testsBeside, twinOf } from '../house/twins.ts';
import { root } from '../setup.mjs';
import { asking } from './ask.mjs';
import { changesTo, counted, isEquivalent, sampleOf, squeezed } from './changes.mjs';
import { makeCopy } from './copy.mjs';
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
setPriority(0);

const under = (folder, { recursive, ending }) =>
  readdirSync(join(root, folder), { recursive, withFileTypes: true })
    .filter((entry) => entry.isFile() && entry.name.endsWith(ending))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)))
    .filter((file) => !/node_modules|generated\//.test(file))
    .toSorted();

/** The files that a folder's row is about; those of folders within it have rows of their own where it is `shallow`. */
const filesOf = ({ name, shallow }) => under(name, { recursive: !shallow, ending: '.ts' });

const allTests = under('tests', { recursive: true, ending: '.test.ts' }).filter((test) => !deaf.includes(test));

/** The twin of a file and what stands beside it; of a file that has none, what the reason for that names. */
function twinsOf(file) {
  const beside = testsBeside(file, allTests);
  if (beside.length > 0) return beside;
  const [, reason] = Object.entries(excused).find(([path]) => file.startsWith(path)) ?? [];
  const named = (reason ?? '').match(/[\w./-]+\.test\.ts/g) ?? [];
  return allTests.filter((test) => named.some((name) => test.endsWith(`/${name}`)));
}

/**
 * The tests that are asked of a change beside the twin: its folder's (of folders within it that have rows of their own none), and those
 * of the row. What takes long is left out where the nearest alone are asked.
 */
function othersFor(file, row) {
  const folder = twinOf(file).replace(/[^/]*$/, '');
  const near = allTests.filter(
    (test) => test.startsWith(folder) && !(row.shallow && test.indexOf('/', folder.length) > 0),
  );
  const rest = row.tests.flatMap((path) => allTests.filter((test) => test === path || test.startsWith(`${path}/`)));
  const asked = values.near ? near.filter((test) => !long.includes(test)) : [...near, ...rest];
  const twins = twinsOf(file);
  return [...new Set(asked)].filter((test) => !twins.includes(test));
}

const copy = makeCopy();
const { ask, unchanged } = asking(copy);

/** What tests make of a change. */
async function verdict(change, tests, sources) {
  if (tests.length === 0) return 'passed';
  const text = sources.get(change.file);
  writeFileSync(join(copy, change.file), text.slice(0, change.start) + change.is + text.slice(change.end));
  try {
    return await ask(tests);
  } finally {
    writeFileSync(join(copy, change.file), text);
  }
}

/** Those changes that tests do not notice, in their order, each told at once. */
async function passing(changes, testsFor, sources, by) {
  const passed = [];
  for (const change of changes) {
    if ((await verdict(change, testsFor(change), sources)) !== 'passed') continue;
    passed.push(change);
    const { file, line, was, is } = change;
    console.log(`  ${by} ${file}:${line}: ${squeezed(was).slice(0, 90)} -> ${squeezed(is).slice(0, 90)}`);
  }
  return passed;
}

/** Which tests come to each change, the quickest first: those that are asked of it are run once with counters in the texts. */
async function reachedBy(changes, testsFor, sources) {
  const { files, counterOf } = await counted(changes, sources);
  const reached = join(copy, '.reached');
  mkdirSync(reached);
  for (const { name, content } of files) writeFileSync(join(copy, name), content);
  await unchanged([...new Set(changes.flatMap(testsFor))], {
    MUTATE_REACHED: reached,
    MUTATE_FILES: JSON.stringify(files.map(({ name }) => name)),
  });
  for (const { name } of files) writeFileSync(join(copy, name), sources.get(name));
  const told = readdirSync(reached).map((name) => JSON.parse(readFileSync(join(reached, name), 'utf8')));
  rmSync(reached, { recursive: true });
  const comes = told.toSorted((a, b) => a.took - b.took).map((each) => ({ ...each, test: relative(copy, each.test) }));
  return (change) =>
    comes
      .filter(({ test, reached: ids }) => ids.includes(counterOf(change)) && testsFor(change).includes(test))
      .map(({ test }) => test);
}

/** Tries the changes of a folder one after another. Returns those that nothing noticed. */
async function missedOf(row, sample, sources) {
  const twins = ({ file }) => twinsOf(file);
  await unchanged([...new Set(sample.flatMap(twins))]);
  const byTwins = await passing(sample, twins, sources, 'not by its twin:');
  console.log(`  ${sample.length - byTwins.length} of ${sample.length} are noticed by the twins`);
  if (byTwins.length === 0) return [];
  const reaching = await reachedBy(byTwins, ({ file }) => othersFor(file, row), sources);
  return passing(byTwins, reaching, sources, 'missed:');
}

const wanted = positionals.length ? folders.filter(({ name }) => positionals.includes(name)) : folders;
if (wanted.length === 0) {
  console.error(`Folders are: ${folders.map(({ name }) => name).join(', ')}`);
  exit(1);
}
console.log(`seed ${values.seed}, ${values.sample} changes from each folder`);
let drawn = 0;
for (const row of wanted) {
  const sources = new Map(filesOf(row).map((file) => [file, readFileSync(join(copy, file), 'utf8')]));
  const changes = await changesTo(sources);
  const sample = sampleOf(changes, values);
  if (sample.length === 0) continue;
  drawn += sample.length;
  const tried = sample.filter((change) => !isEquivalent(change));
  const missed = await missedOf(row, tried, sources);
  const noticed = (100 * (1 - missed.length / tried.length)).toFixed(0);
  console.log(
    `${row.name}: ${noticed} % noticed of ${tried.length} drawn from ${changes.length} (aim ${100 * row.share} %; ${sample.length - tried.length} change nothing)`,
  );
}
if (drawn === 0) {
  console.error(`There is nothing to change at ${values.at}`);
  exit(1);
}
