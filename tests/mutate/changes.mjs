// The changes that can be made to some texts, as the instrumenter makes them, and a draw from them.
import { Instrumenter } from '@stryker-mutator/instrumenter';
import { equivalent } from './equivalent.mjs';

const silent = new Proxy({}, { get: (_, name) => (String(name).startsWith('is') ? () => false : () => {}) });

const instrument = (files) =>
  new Instrumenter(silent).instrument(files, { plugins: null, excludedMutations: [], ignorers: [], noHeader: false });

const changeOf = ({ fileName: file, location, replacement, mutatorName }, sources) => {
  const lines = sources.get(file).split('\n');
  const offset = ({ line, column }) => lines.slice(0, line).join('\n').length + (line > 0 ? 1 : 0) + column;
  const [start, end] = [offset(location.start), offset(location.end)];
  const { line, column } = location.start;
  const was = sources.get(file).slice(start, end);
  const key = `${file}:${line}:${column} ${mutatorName}`;
  return { file, start, end, location, line: line + 1, on: lines[line], was, is: replacement, key };
};

/** Every change that could be made to some texts, by their files' names. */
export async function changesTo(sources) {
  const { mutants } = await instrument([...sources].map(([name, content]) => ({ name, mutate: true, content })));
  return mutants.map((mutant) => changeOf(mutant, sources));
}

const idOf = ({ file, start, end, is }) => `${file} ${start} ${end} ${is}`;

/** The texts of the changed files with a counter at the place of each change. Returns them, and the counter of a change. */
export async function counted(changes, sources) {
  const files = [...new Set(changes.map(({ file }) => file))].map((name) => ({
    name,
    mutate: changes.filter(({ file }) => file === name).map(({ location }) => location),
    content: sources.get(name),
  }));
  const made = await instrument(files);
  const ids = new Map(made.mutants.map((mutant) => [idOf(changeOf(mutant, sources)), mutant.id]));
  return { files: made.files, counterOf: (change) => ids.get(idOf(change)) };
}

/** FNV-1a: spreads texts evenly over 32 bits, the same everywhere. */
function hash(text) {
  let value = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) value = Math.imul(value ^ byte, 0x01000193) >>> 0;
  return value;
}

/** So many of the changes, by a seed; those at a file or a line of it alone, where one is given. */
export function sampleOf(changes, { sample: size, seed, at }) {
  return changes
    .filter(({ file, line }) => !at || file === at || `${file}:${line}` === at)
    .map((change) => ({ change, by: hash(`${seed} ${change.key} ${change.is}`) }))
    .toSorted((a, b) => a.by - b.by)
    .slice(0, Number(size))
    .map(({ change }) => change);
}

export const squeezed = (text) => text.replace(/\s+/g, ' ').trim();

export const isEquivalent = (change) =>
  equivalent.some(
    ({ file, on, was, is }) =>
      file === change.file &&
      (!on || change.on.includes(on)) &&
      was === squeezed(change.was) &&
      is === squeezed(change.is),
  );
