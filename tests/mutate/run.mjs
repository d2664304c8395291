// `npm run mutate [FOLDER …] [-- --sample=N --seed=S --at=FILE[:LINE] --near]`: changes language/ and server/ in small ways, one at
// a time, and prints which share of the changes the tests notice, by folder. Not a part of `npm test`: it takes long. The changes
// are the instrumenter's; the tests are run here, the changed file's twin first: each test file is run once as it stands, and then each of its
// tests that come to a change with that switched on, up to the first that fails. (The instrumenter's own runner tries every test before it
// begins, and starts anew for each change.) `--at` draws from one file or one line; `--near` asks the twin and its folder alone.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
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
setPriority(5);

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
const { areFailing, askTogether } = asking(copy);

/** Tests of the twin and others that take longer, in milliseconds of a processor, are not asked where the nearest alone are. */
const longest = values.near ? [10_000, 1_000] : [Number.MAX_SAFE_INTEGER, Number.MAX_SAFE_INTEGER];

const late = (a, b) => Number(long.includes(a)) - Number(long.includes(b));

/** Is one change noticed by tests that are started anew? */
async function isNoticed(change, tests, sources) {
  if (tests.length === 0) return false;
  const text = sources.get(change.file);
  writeFileSync(join(copy, change.file), text.slice(0, change.start) + change.is + text.slice(change.end));
  try {
    return await areFailing(tests);
  } finally {
    writeFileSync(join(copy, change.file), text);
  }
}

/**
 * The tests that are started anew for a change that none noticed: what is done once for several tests, as the files are read or for a library
 * that all of them share, is done anew in these. The twin is always asked so, but for what takes long of it where the change was come to in tests.
 */
function anewFor(change, row, asked) {
  const isAsked = asked.some((each) => each.isAsked);
  const isWhole = asked[0].isOutside || !isAsked;
  const twins = twinsOf(change.file).filter((test) => isWhole || !long.includes(test));
  const others = isAsked ? [] : othersFor(change.file, row);
  return [...new Set([...twins, ...asked.flatMap(({ files }) => files), ...others])];
}

/** Tries the changes of a folder. Returns those that nothing noticed, and prints each. */
async function missedOf(row, sample, sources) {
  const { files, counterOf } = await counted(sample, sources);
  const twins = [...new Set(sample.flatMap(({ file }) => twinsOf(file)))].toSorted(late);
  const others = [...new Set(sample.flatMap(({ file }) => othersFor(file, row)))].toSorted(late);
  const idsOf = (some) => some.map(counterOf);
  const ofTwin = (test) => idsOf(sample.filter(({ file }) => twinsOf(file).includes(test)));
  for (const { name, content } of files) writeFileSync(join(copy, name), content);
  const first = await askTogether(
    twins,
    idsOf(sample),
    longest[0],
    Object.fromEntries(twins.map((test) => [test, ofTwin(test)])),
  );
  console.log(`  ${first.noticed.size} of ${sample.length} are noticed by the changed file's twin`);
  const rest = idsOf(sample).filter((id) => !first.noticed.has(id));
  const second = await askTogether(others, rest, longest[1]);
  for (const { name } of files) writeFileSync(join(copy, name), sources.get(name));
  const missed = [];
  for (const change of sample) {
    const id = counterOf(change);
    if (first.noticed.has(id) || second.noticed.has(id)) continue;
    if (await isNoticed(change, anewFor(change, row, [first.of(id), second.of(id)]), sources)) continue;
    missed.push(change);
    const { file, line, was, is } = change;
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
