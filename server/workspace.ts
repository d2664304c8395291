import { libraryFiles } from '../language/library/generated/library.ts';
import { Project, readLibrary, type SourceFile } from '../language/project.ts';

/** What the server needs from the outside: the text of a file that no client has open. */
export type ReadFile = (uri: string) => string | undefined;
/** The names in a folder, folders with a slash at their end; none for what cannot be read. */
export type ListFolder = (uri: string) => readonly string[];

/** The texts the server works on: what a client has open wins over what is on disk. */
export class Workspace {
  readonly project: Project;
  readonly #open = new Set<string>();
  readonly #listFolder: ListFolder;
  constructor(
    read: ReadFile,
    files: readonly { name: string; text: string }[] = libraryFiles,
    listFolder: ListFolder = () => [],
  ) {
    this.project = new Project(readLibrary(files), { read });
    this.#listFolder = listFolder;
  }

  /** What stands in a folder, on disk or open in a client. */
  list(folder: string): string[] {
    const open = [...this.#open].filter((uri) => uri.startsWith(folder)).map((uri) => uri.slice(folder.length));
    const names = open.filter((name) => name && !name.includes('/')).map(decodeURIComponent);
    return [...new Set([...this.#listFolder(folder), ...names])].sort();
  }

  /** Takes in the text of an open file; a file of the library is read-only, and stays as it is. */
  open(uri: string, text: string): void {
    if (this.libraryText(uri) !== undefined) return;
    this.#open.add(uri);
    this.project.update(uri, text);
  }

  /** The file is open no longer: from now on what is on disk counts. */
  close(uri: string): void {
    if (!this.#open.delete(uri)) return;
    this.project.forget(uri);
  }

  /** A file was changed, made or deleted on disk. */
  changedOnDisk(uri: string): void {
    if (!this.#open.has(uri)) this.project.forget(uri);
  }

  isOpen(uri: string): boolean {
    return this.#open.has(uri);
  }

  /** The file of a URI, from a client or the disk. */
  file(uri: string): SourceFile | undefined {
    return this.project.file(uri);
  }

  /** Open files that may read differently after a change of these. */
  affectedBy(uris: Iterable<string>): string[] {
    const affected = new Set<string>();
    for (const uri of uris) {
      if (this.#open.has(uri)) affected.add(uri);
      for (const file of this.project.dependents(uri)) if (this.#open.has(file.uri)) affected.add(file.uri);
    }
    return [...affected];
  }

  /** The text of a file of the library; undefined if the URI is not one of them. */
  libraryText(uri: string): string | undefined {
    return this.project.library.files.get(uri)?.text;
  }
}
