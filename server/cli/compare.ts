import { statSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { type Differences, differences } from '../../language/answers/compare.ts';
import { showCell, valueOver } from '../../language/compute/show-cell.ts';
import { compare } from '../../language/explore/comparing.ts';
import { valueOrWhy } from '../../language/judge/verdict-words.ts';
import { listed, nearest } from '../../language/mistakes/sentence.ts';
import { alone, type Side, treesIn } from '../../language/one-machine.ts';
import { type Assessed, Project, readLibrary, type SourceFile } from '../../language/project.ts';
import { comparedData } from './compare-data.ts';
import { comparisonMarkdown } from './compare-markdown.ts';
import type { Compared, ComparedFiles } from './compare-schema.ts';
import { comparisonText, hasTurnedWorse } from './compare-text.ts';
import { diskProject, displayPath, gather, ownLibrary, readText, TextPlaces, uriOf } from './files.ts';
import { commitOf, libraryAt, projectAt, revisionsOf } from './git.ts';
import { CallError, exitStatuses, type Io } from './io.ts';
import { pathsIn, valueNamed } from './named-value.ts';
import { printedTable } from './table.ts';

export interface CompareOptions {
  readonly format: 'text' | 'markdown' | 'json';
  /** `REV` or `REV..REV`. */
  readonly git?: string;
  /** What moved by a smaller share than this is left out. */
  readonly least: number;
  /** Values to put side by side, in place of all else. */
  readonly show?: string;
  /** The library that the first was written for: a folder of another version's. */
  readonly library?: string;
  /** The file beside which both are thought to lie. */
  readonly beside?: string;
  readonly all: boolean;
  readonly strict: boolean;
}

/** A file with the machines in it that are named. */
interface Named {
  readonly path: string;
  readonly machines: string[];
}

/** A text that is compared, in its project. */
interface Text {
  readonly project: Project;
  readonly file: SourceFile;
  readonly path: string;
  readonly revision: string | undefined;
}

/**
 * Compares two machines of a file, of two files, or of two revisions, prints what differs, and returns the exit status: with `strict` 1 where
 * something fails that did not. Throws a `CallError` for what cannot be compared.
 */
export function compareFiles(words: readonly string[], options: CompareOptions, io: Io): number {
  const named = filesAndMachines(words, options, io);
  if (options.show !== undefined) {
    io.out(shownTable(named, options, io));
    return exitStatuses.good;
  }
  const [before, after] = textsOf(named, options, io);
  const pairs = pairsOf(before, after, named);
  const found: ComparedFiles = {
    ...namesOnOneSide(before, after, pairs),
    machines: pairs.map(([a, b]) => compared(sideOf(before, a), sideOf(after, b), before, after, options, io)),
  };
  io.out(printed(found, options, io));
  return options.strict && found.machines.some(hasTurnedWorse) ? exitStatuses.found : exitStatuses.good;
}

function printed(found: ComparedFiles, { format, all }: CompareOptions, io: Io): string {
  if (format === 'json') return `${JSON.stringify(found, null, 2)}\n`;
  return format === 'markdown' ? comparisonMarkdown(found, all) : comparisonText(found, all, io);
}

// ---- what is compared ----

/** The words of the call: files, each with the names of machines behind it. */
function filesAndMachines(words: readonly string[], { git, beside }: CompareOptions, io: Io): Named[] {
  const named: Named[] = [];
  for (const [i, word] of words.entries()) {
    const isFile = isReadable(resolve(io.cwd, word)) || (i === 0 && git !== undefined);
    if (isFile) named.push({ path: word, machines: [] });
    else if (named.length === 0 || /[./\\]/.test(word))
      throw new CallError(`${word} cannot be read: there is no such file.`);
    else named.at(-1)?.machines.push(word);
  }
  if (named.length > 2) throw new CallError(`Two files can be compared, and these are ${named.length}.`);
  if (named.length === 0) throw new CallError('Which file is to be compared?');
  if (git !== undefined && (named.length > 1 || beside !== undefined))
    throw new CallError('With --git one file is named: its revisions are compared.');
  return named;
}

/** Can it be read as a text? A file that is new to a repository is handed over as the null device. */
function isReadable(full: string): boolean {
  const about = statSync(full, { throwIfNoEntry: false });
  return about !== undefined && (about.isFile() || about.isCharacterDevice());
}

function textsOf(named: readonly Named[], options: CompareOptions, io: Io): [Text, Text] {
  const [first, second = first] = named as [Named, Named | undefined];
  if (options.git !== undefined) return revisionTexts(first, options, io);
  const library =
    options.library === undefined
      ? undefined
      : asLibrary(options.library, () => readLibrary(libraryIn(options.library ?? '', io)));
  const before = diskText(first.path, options, io, library);
  return [before, first === second && !library ? before : diskText(second.path, options, io)];
}

function diskText(path: string, { beside }: CompareOptions, io: Io, library?: Project['library']): Text {
  const project = diskProject(io.cwd, [path, ...(beside === undefined ? [] : [beside])], library);
  const full = resolve(io.cwd, path);
  const isNull = beside !== undefined && statSync(full).isCharacterDevice();
  const text = isNull ? '' : readText(full, io.cwd);
  const uri = uriOf(resolve(io.cwd, beside ?? path));
  return { project, file: project.update(uri, text), path: beside ?? path, revision: undefined };
}

function revisionTexts({ path }: Named, { git = '', library }: CompareOptions, io: Io): [Text, Text] {
  const { from, to } = revisionsOf(git);
  const folder = dirname(resolve(io.cwd, path));
  const at = (revision: string, wasItsOwn: boolean): Text => {
    const commit = commitOf(revision, folder);
    const files = wasItsOwn && library !== undefined ? libraryAt(commit, resolve(io.cwd, library)) : undefined;
    const project = asLibrary(library, () =>
      projectAt(commit, folder, [io.cwd, folder].map(uriOf), files ? readLibrary(files) : ownLibrary()),
    );
    const file = project.file(uriOf(resolve(io.cwd, path)));
    if (!file) throw new CallError(whyNotAt(project, path, revision, io));
    return { project, file, path, revision };
  };
  return [at(from, true), to === undefined ? diskText(path, { ...defaults, git: undefined }, io) : at(to, false)];
}

const defaults: CompareOptions = { format: 'text', least: 0, all: false, strict: false };

function whyNotAt(project: Project, path: string, revision: string, io: Io): string {
  const read = project.host.read(uriOf(resolve(io.cwd, path)));
  const why = typeof read === 'object' ? read.refused : 'it was not there then, or has another name now';
  return `${path} cannot be read at ${revision}: ${why}.`;
}

/** The files of a library in a folder: those of each subject in a folder of its own, their examples left out. */
function libraryIn(path: string, io: Io): { name: string; text: string }[] {
  const folder = resolve(io.cwd, path);
  return gather([path], io.cwd)
    .filter((full) => !/[\\/]examples[\\/]/.test(full.slice(folder.length)))
    .map((full) => ({ name: displayPath(full, folder), text: readText(full, io.cwd) }));
}

/** What a version of long ago wrote may be more than this one can read. */
function asLibrary<T>(library: string | undefined, work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (library === undefined || error instanceof CallError) throw error;
    throw new CallError(`The library in ${library} cannot be read by this version: ${(error as Error).message}.`);
  }
}

// ---- which machines ----

function machinesOf(text: Text): string[] {
  return treesIn(text).map(({ name }) => name);
}

function sideOf({ project, file }: Text, machine: string): Side {
  return { project, file, machine };
}

/** Which machine is compared with which, by their names. */
function pairsOf(before: Text, after: Text, named: readonly Named[]): [string, string][] {
  const [was, is] = [machinesOf(before), machinesOf(after)];
  const wanted = named.flatMap(({ machines }) => machines);
  if (wanted.length > 2) throw new CallError('Two machines can be compared; more can be put side by side with --show.');
  const [first, second] = wanted;
  if (before.file === after.file) {
    if (first === undefined) throw new CallError(whatWith(before, was));
    return [
      second === undefined
        ? withBase(first, before, was)
        : [machineNamed(first, was, before), machineNamed(second, is, after)],
    ];
  }
  if (first !== undefined) return [[machineNamed(first, was, before), machineNamed(second ?? first, is, after)]];
  if (was.length === 1 && is.length === 1) return [[was[0] as string, is[0] as string]];
  const both = was.filter((name) => is.includes(name));
  if (both.length === 0 && was.length > 0 && is.length > 0)
    throw new CallError(`No machine is in both: ${listed(was)} before, ${listed(is)} after. Name one of each.`);
  return both.map((name) => [name, name]);
}

function machineNamed(name: string, all: readonly string[], { path, revision }: Text): string {
  if (all.includes(name)) return name;
  const at = revision === undefined ? '' : ` at ${revision}`;
  const near = nearest(name, all);
  const others = near ? `Did you mean ${near}?` : all.length > 0 ? `It has ${listed(all)}.` : 'It has none.';
  throw new CallError(`${path}${at} has no machine called ${name}. ${others}`);
}

function whatWith({ path }: Text, machines: readonly string[]): string {
  if (machines.length < 2) return `What is ${path} to be compared with? Name another file, or a revision with --git.`;
  return `Which machines of ${path} are to be compared? It has ${listed(machines)}.`;
}

/** A variant with what it starts from. */
function withBase(name: string, text: Text, all: readonly string[]): [string, string] {
  machineNamed(name, all, text);
  const entry = text.project.judged(text.file).find(({ tree }) => tree.name === name)?.entry;
  const base = entry?.base?.$type === 'Name' ? entry.base.text : undefined;
  if (base === undefined || !all.includes(base))
    throw new CallError(`${name} starts from no machine of ${text.path}. Name the one that it is to be compared with.`);
  return [base, name];
}

function namesOnOneSide(before: Text, after: Text, pairs: readonly (readonly [string, string])[]) {
  const [was, is] = [machinesOf(before), machinesOf(after)];
  if (before.file === after.file || pairs.some(([a, b]) => a !== b)) return { come: [], gone: [] };
  return { come: is.filter((name) => !was.includes(name)), gone: was.filter((name) => !is.includes(name)) };
}

// ---- values side by side ----

/** A table of values, a row for each machine; a value may have a heading of its own before it: `most speed: x.drive.greatest_speed`. */
function shownTable(named: readonly Named[], options: CompareOptions, io: Io): string {
  const columns = pathsIn(options.show ?? '').map(columnOf);
  if (columns.length === 0) throw new CallError('Which values are to be shown? Name some, with commas between them.');
  const texts =
    options.git === undefined ? named.map(({ path }) => diskText(path, options, io)) : textsOf(named, options, io);
  const rows = texts.flatMap((text, i) => {
    const all = machinesOf(text);
    const wanted = named[Math.min(i, named.length - 1)]?.machines ?? [];
    for (const name of wanted) machineNamed(name, all, text);
    const names = wanted.length > 0 ? wanted : all;
    const { project, file } = alone(sideOf(text, ''), names);
    const machines = project.machines(file);
    const at = text.revision === undefined ? '' : ` at ${text.revision}`;
    return names.flatMap((name) => {
      const machine = machines.find(({ tree }) => tree.name === name);
      return machine ? [[`${name}${at}`, ...columns.map(({ path }) => shownIn(machine, path))]] : [];
    });
  });
  return printedTable(['', ...columns.map(({ heading }) => heading)], rows, options.format);
}

function columnOf(text: string): { heading: string; path: string } {
  const [, heading, path] = /^([^:([]+):\s*(.+)$/su.exec(text) ?? [];
  return heading && path ? { heading: heading.trim(), path } : { heading: text, path: text };
}

function shownIn(machine: Assessed, path: string): string {
  const cell = valueNamed(path, machine);
  return valueOrWhy(valueOver(cell, machine), showCell(cell, machine));
}

// ---- what is told of two machines ----

function compared(a: Side, b: Side, before: Text, after: Text, { least, library }: CompareOptions, io: Io): Compared {
  // With another library the first text is compared with itself by that of now, and then the texts by that alone.
  const anew = library === undefined ? undefined : textAnew(a, after.project);
  const found = compare(anew ?? a, b, least);
  const places = TextPlaces.onDisk(a.project, io.cwd);
  const side = ({ path, revision }: Text, machine: string) => ({ machine, file: path, revision: revision ?? null });
  const sides = { before: side(before, a.machine), after: side(after, b.machine) };
  const byLibrary = anew ? compareSides(a, anew, least) : undefined;
  return comparedData(found, sides, (uri) => places.nameOf({ uri }), byLibrary);
}

/** The first text, read with the library of now. */
function textAnew({ project, file, machine }: Side, now: Project): Side {
  const other = new Project(now.library, project.host);
  return { project: other, file: other.update(file.uri, file.parsed.text), machine };
}

function compareSides(a: Side, b: Side, least: number): Differences {
  const judged = ({ project, file, machine }: Side) => {
    for (const _ of project.searchDeeper(file));
    const found = project.machines(file).find(({ tree }) => tree.name === machine);
    if (!found) throw new CallError(`The library of then knows no machine as ${machine} is one.`);
    return found;
  };
  return differences(judged(a), judged(b), new Map(), least);
}
