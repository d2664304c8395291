import { type Dirent, readdirSync, readFileSync, statSync } from 'node:fs';
import { isAbsolute, join, relative, resolve, sep } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { type AstNode, fileOf, rangeOf } from '../../language/grammar/syntax.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { canonicalUri, libraryScheme, Project, readLibrary, type SourceFile } from '../../language/project.ts';
import { CallError } from './io.ts';

const ending = '.gusset';

/**
 * The files meant by paths of files and folders, each once and in order. A file that is named may have any ending; in
 * folders, however deep, those that end in `.gusset` count. Throws a `CallError` for what cannot be read.
 */
export function gather(paths: readonly string[], cwd: string): string[] {
  const found = new Set<string>();
  for (const path of paths) for (const file of filesAt(path, resolve(cwd, path))) found.add(file);
  return [...found];
}

function filesAt(path: string, full: string): string[] {
  const isFolder = asCall(path, () => statSync(full).isDirectory());
  if (!isFolder) return [full];
  const files = filesIn(path, full);
  if (files.length === 0) throw new CallError(`There is no ${ending} file in ${path}.`);
  return files;
}

/** Folders that begin with a point, and those of installed packages, hold nothing of the user's own. */
function filesIn(path: string, folder: string): string[] {
  const entries = asCall(path, () => readdirSync(folder, { withFileTypes: true }));
  return entries
    .toSorted((a, b) => (a.name < b.name ? -1 : 1))
    .flatMap((entry) => {
      const full = join(folder, entry.name);
      if (entry.isDirectory())
        return entry.name.startsWith('.') || entry.name === 'node_modules' ? [] : filesIn(join(path, entry.name), full);
      return entry.name.endsWith(ending) && isFile(entry, full) ? [full] : [];
    });
}

function isFile(entry: Dirent, full: string): boolean {
  if (!entry.isSymbolicLink()) return entry.isFile();
  return statSync(full, { throwIfNoEntry: false })?.isFile() ?? false;
}

/** The text of a file, without the mark of its byte order unless that is to be kept. Throws a `CallError` where it cannot be read or is not text. */
export function readText(full: string, cwd: string, keepMark = false): string {
  const path = displayPath(full, cwd);
  const bytes = asCall(path, () => readFileSync(full));
  try {
    return decode(bytes, keepMark);
  } catch {
    throw new CallError(`${path} is not text in UTF-8.`);
  }
}

function decode(bytes: Uint8Array, keepMark = false): string {
  return new TextDecoder('utf-8', { fatal: true, ignoreBOM: keepMark }).decode(bytes);
}

const reasons: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file or folder',
  EACCES: 'that is not allowed',
  EPERM: 'that is not allowed',
  EROFS: 'that is not allowed',
  EISDIR: 'it is a folder',
  ENOTDIR: 'a folder on its way is a file',
  ELOOP: 'its links lead in a ring',
};

/** Runs what may fail on the file system, and tells of a failure as a wrong call. */
export function asCall<T>(path: string, work: () => T, done = 'read'): T {
  try {
    return work();
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code ?? '';
    throw new CallError(`${path} cannot be ${done}: ${reasons[code] ?? (code || String(error))}.`);
  }
}

/** A project that reads the files it uses from the disk. */
export function diskProject(): Project {
  return new Project(readLibrary(libraryFiles), { read: readUri });
}

function readUri(uri: string): string | undefined {
  if (!uri.startsWith('file:')) return undefined;
  try {
    return decode(readFileSync(fileURLToPath(uri)));
  } catch {
    return undefined;
  }
}

/** Takes a file into a project. */
export function open(project: Project, full: string, cwd: string): SourceFile {
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
export interface Place {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

/** Tells where nodes stand, in files as they are best read. */
export class Places {
  constructor(
    readonly project: Project,
    readonly cwd: string,
  ) {}

  nameOf(file: Pick<SourceFile, 'uri'>): string {
    const { uri } = file;
    return uri.startsWith(libraryScheme)
      ? `library:${uri.slice(libraryScheme.length + 1)}`
      : displayPath(fileURLToPath(uri), this.cwd);
  }

  /** The place of a range of a file's text. */
  at(file: SourceFile, { start, end }: { start: number; end: number }): Place {
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
  of(node: AstNode): Place | undefined {
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

/** `file:line:column` */
export function showPlace(place: Place): string {
  return `${place.file}:${place.line}:${place.column}`;
}
