import { type Dirent, readdirSync, statSync } from 'node:fs';
import { isAbsolute, join, relative, resolve, sep } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { type AstNode, fileOf, Lines, rangeOf } from '../../language/grammar/syntax.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { canonicalUri, libraryScheme, Project, readLibrary, type SourceFile } from '../../language/project.ts';
import { today } from '../day.ts';
import { readFile, readUsed, reasonOf, refuseUse, rootOf } from '../disk.ts';
import { type ProjectFile, ProjectFiles, rulesOf } from '../project-file.ts';
import { fileEnding } from '../reach.ts';
import { CallError, type Io } from './io.ts';

/**
 * The files meant by paths of files and folders, each once and in order. A file that is named may have any ending; in
 * folders, however deep, those that end in `.gusset` count. Throws a `CallError` for what cannot be read.
 */
export function gather(paths: readonly string[], cwd: string): string[] {
  const found = new Set<string>();
  for (const path of paths) for (const file of filesAt(path, resolve(cwd, path))) found.add(file);
  return [...found];
}

/** The text on standard input, as `readText` has it of a file. */
export function inputText({ input }: Pick<Io, 'input'>): string {
  if (!input) throw new CallError('There is no standard input to read.');
  return asCall('Standard input', () => {
    const bytes = input();
    try {
      return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    } catch {
      throw new CallError('Standard input cannot be read: it is not text in UTF-8.');
    }
  });
}

/** The folders that are looked through for files where these paths are checked: each that is named, and those below. */
export function foldersOf(paths: readonly string[], cwd: string): string[] {
  return paths.flatMap((path) => {
    const full = resolve(cwd, path);
    return statSync(full, { throwIfNoEntry: false })?.isDirectory() ? foldersIn(full) : [];
  });
}

function foldersIn(folder: string): string[] {
  const below = readdirSync(folder, { withFileTypes: true }).filter(isLookedInto);
  return [folder, ...below.flatMap(({ name }) => foldersIn(join(folder, name)))];
}

/** Folders that begin with a point, and those of installed packages, hold nothing of the user's own. */
function isLookedInto(entry: Dirent): boolean {
  return entry.isDirectory() && !entry.name.startsWith('.') && entry.name !== 'node_modules';
}

function filesAt(path: string, full: string): string[] {
  const isFolder = asCall(path, () => statSync(full).isDirectory());
  if (!isFolder) return [full];
  const files = filesIn(path, full);
  if (files.length === 0) throw new CallError(`There is no ${fileEnding} file in ${path}.`);
  return files;
}

function filesIn(path: string, folder: string): string[] {
  const entries = asCall(path, () => readdirSync(folder, { withFileTypes: true }));
  return entries
    .toSorted((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((entry) => {
      const full = join(folder, entry.name);
      if (entry.isDirectory()) return isLookedInto(entry) ? filesIn(join(path, entry.name), full) : [];
      return entry.name.endsWith(fileEnding) && isFile(entry, full) ? [full] : [];
    });
}

function isFile(entry: Dirent, full: string): boolean {
  if (!entry.isSymbolicLink()) return entry.isFile();
  return statSync(full, { throwIfNoEntry: false })?.isFile() ?? false;
}

/** The text of a file, without the mark of its byte order unless that is to be kept. Throws a `CallError` where it cannot be read or is not text. */
export function readText(full: string, cwd: string, keepMark = false): string {
  const path = displayPath(full, cwd);
  const read = asCall(path, () => readFile(full, keepMark));
  if (typeof read === 'string') return read;
  throw new CallError(`${path} cannot be read: ${read.refused}.`);
}

/** Runs what may fail on the file system, and tells of a failure as a wrong call. */
export function asCall<T>(path: string, work: () => T, done = 'read'): T {
  try {
    return work();
  } catch (error) {
    if (error instanceof CallError) throw error;
    throw new CallError(`${path} cannot be ${done}: ${reasonOf(error)}.`);
  }
}

let own: Project['library'] | undefined;

/** The library of this version: what was found out of it serves every project. */
export function ownLibrary(): Project['library'] {
  own ??= readLibrary(libraryFiles);
  return own;
}

/**
 * A project that reads the files it uses from the disk: those beside a file, in the folder where the command runs, or in one
 * of the folders that are named. `library` is that of another version; `read` reads what is used in another way.
 */
export function diskProject(
  cwd: string,
  paths: readonly string[] = [],
  library = ownLibrary(),
  read: typeof readUsed = readUsed,
): Project {
  const folders = [cwd, ...paths.map((path) => resolve(cwd, path))].map(uriOf);
  const refuses = (uri: string, from: string) => refuseUse(uri, from, folders);
  const weights = weightsOnDisk(library, folders, cwd, read);
  return new Project(library, { read, refuses, today, weights });
}

/**
 * How grave projects on the disk have findings, by the files that these are in. Throws a `CallError` for a project file that is wrong,
 * as what it asks for could not be kept to.
 */
export function weightsOnDisk(
  library: Project['library'],
  folders: readonly string[],
  cwd: string,
  read: typeof readUsed = readUsed,
): NonNullable<Project['host']['weights']> {
  const below = (uri: string) => {
    const all = new Project(library, { read: readUsed });
    const folder = fileURLToPath(new URL('.', uri));
    return filesIn(folder, folder).flatMap((full) => all.file(uriOf(full)) ?? []);
  };
  const files = new ProjectFiles(read, (uri) => rulesOf(library.scope, () => below(uri)));
  return (uri) => {
    const root = rootOf(uri);
    const found = files.of(uri, root ? [...folders, root] : folders);
    if (found && found.mistakes.length > 0) throw new CallError(mistakesInWords(found, cwd));
    return found?.weights;
  };
}

function mistakesInWords({ uri, text, mistakes }: ProjectFile, cwd: string): string {
  const lines = new Lines(text);
  const path = displayPath(fileURLToPath(uri), cwd);
  return mistakes
    .map(({ start, message }) => {
      const { line, character } = lines.position(start);
      return `${path}:${line + 1}:${character + 1}: ${message}`;
    })
    .join('\n');
}

/** Takes a file into a project. */
export function openFile(project: Project, full: string, cwd: string): SourceFile {
  return project.update(uriOf(full), readText(full, cwd));
}

export function uriOf(full: string): string {
  return canonicalUri(pathToFileURL(full).href);
}

/** A path as it is best read: relative to where the command runs, where it lies within. */
export function displayPath(full: string, cwd: string): string {
  const path = relative(cwd, full);
  const outside = path === '' || isAbsolute(path) || path.split(sep).filter((step) => step === '..').length > 2;
  return (outside ? full : path).split(sep).join('/');
}

/** A place in a text, lines and columns from 1, the end not included. */
export interface TextPlace {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

/** Tells where nodes stand, in files as they are best read. */
export class TextPlaces {
  readonly project: Project;
  readonly #pathOf: (uri: string) => string;
  /** `pathOf` is how a file that is not the library's is best called. */
  constructor(project: Project, pathOf: (uri: string) => string) {
    this.project = project;
    this.#pathOf = pathOf;
  }

  /** Files by their paths on the disk, as they are best read from a folder. */
  static onDisk(project: Project, cwd: string): TextPlaces {
    return new TextPlaces(project, (uri) => displayPath(fileURLToPath(uri), cwd));
  }

  nameOf({ uri }: Pick<SourceFile, 'uri'>): string {
    return uri.startsWith(libraryScheme) ? `library:${uri.slice(libraryScheme.length + 1)}` : this.#pathOf(uri);
  }

  /** The place of a range of a file's text. */
  at(file: SourceFile, { start, end }: { start: number; end: number }): TextPlace {
    const [from, to] = [file.lines.position(start), file.lines.position(end)];
    return {
      file: this.nameOf(file),
      line: from.line + 1,
      column: from.character + 1,
      endLine: to.line + 1,
      endColumn: to.character + 1,
    };
  }

  /** The place of a node of any file, the library's included. */
  of(node: AstNode): TextPlace | undefined {
    const file = this.#fileOf(node);
    return file && this.at(file, rangeOf(node));
  }

  #fileOf(node: AstNode): SourceFile | undefined {
    const spec = fileOf(node);
    for (const file of this.project.files.values()) if (file.parsed.file === spec) return file;
    for (const [uri, parsed] of this.project.library.files) if (parsed.file === spec) return this.project.file(uri);
    return undefined;
  }
}
