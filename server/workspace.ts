import { libraryFiles } from '../language/library/generated/library.ts';
import { canonicalUri, type Host, libraryScheme, Project, readLibrary, type SourceFile } from '../language/project.ts';
import { type ClientCan, clientCan } from './client-can.ts';
import type { ClientFiles } from './client-files.ts';
import { ProjectFiles, rulesOf } from './project-file.ts';
import { isProjectFile, refuseUse } from './reach.ts';

/** What the server needs from the outside: the text of a file that no client has open. */
type ReadFile = Host['read'];
/** The names in a folder, folders with a slash at their end; none for what cannot be read. */
type ListFolder = (uri: string) => readonly string[];

/** So many files of the client's folders are read at most, and so many folders looked into: a client may work in a whole disk. */
const mostFiles = 5000;
const mostFolders = 2000;
/** Folders in which nobody writes. */
const foreignFolders = new Set(['node_modules/']);

/** The texts the server works on: what a client has open wins over what is on disk. */
export class Workspace {
  readonly project: Project;
  /** Where it says how grave findings are. */
  readonly projectFiles: ProjectFiles;
  readonly #open = new Set<string>();
  readonly #read: ReadFile;
  readonly #listFolder: ListFolder;
  /** The folder under version control around a file, if there is one. */
  readonly #rootOf: ((uri: string) => string | undefined) | undefined;
  /** Files that only the client can read; undefined where it does not offer that. */
  clientFiles: ClientFiles | undefined;
  /** The folders that the client works in. */
  folders: readonly string[] = [];
  /** The client's command that opens the sheet of a machine, given the URI of its file and its name; undefined where it shows none. */
  openSheet: string | undefined;
  /** The client's command that shows places of texts, given a URI and a position to show them at; undefined where it shows none. */
  showPlaces: string | undefined;
  /** The client's command that shows the page of a finding's code, given that and the URI of its file; undefined where it shows none. */
  showPage: string | undefined;
  /** Where the library's files lie for a client that opens files of the disk alone; undefined where it asks the server for them. */
  libraryFolder: (() => string | undefined) | undefined;
  /** What the client can take, as it said when it began. */
  client: ClientCan = clientCan({});
  constructor(
    read: ReadFile,
    files: readonly { name: string; text: string }[] = libraryFiles,
    listFolder: ListFolder = () => [],
    today?: Host['today'],
    rootOf?: (uri: string) => string | undefined,
  ) {
    this.#rootOf = rootOf;
    this.#read = read;
    const library = readLibrary(files);
    this.projectFiles = new ProjectFiles(read, () => rulesOf(library.scope, () => this.everything().files.values()));
    this.project = new Project(library, { read, refuses: this.#refuses, today, weights: this.#weights });
    this.#listFolder = listFolder;
  }

  readonly #weights = (uri: string) => {
    const folders = this.folders.map(canonicalUri);
    const root = this.#rootOf?.(uri);
    return this.projectFiles.of(uri, root ? [...folders, root] : folders)?.weights;
  };

  readonly #refuses = (uri: string, from: string) => refuseUse(uri, from, this.folders.map(canonicalUri), this.#rootOf);

  /**
   * A project of everything there is: each open file, and each file in the client's folders as it is on disk now. For what
   * must reach files that nobody has opened.
   */
  everything(): Project {
    const host = this.hostOfAll();
    this.#everything ??= new Project(this.project.library, host);
    const all = this.#everything;
    const wanted = new Set([...this.project.files.keys(), ...this.filesOnDisk()]);
    const before = [...all.files.keys()];
    for (const uri of wanted) {
      const text = host.read(uri);
      if (typeof text === 'string') all.update(uri, text);
      else all.forget(uri);
    }
    // What is forgotten is read anew where another file still uses it, and would be come across again.
    for (const uri of before) if (!wanted.has(uri)) all.forget(uri);
    return all;
  }
  /** Kept between questions, so that only what has changed is read anew. */
  #everything: Project | undefined;

  /** What another project needs to read files as they are now: those that are open as they stand there, all others from the disk. */
  hostOfAll(): Host {
    const read = (uri: string) => (this.#open.has(uri) ? this.project.files.get(uri)?.parsed.text : this.#read(uri));
    return { ...this.project.host, read };
  }

  /** Does a file lie in one of the folders that the client works in, and not in one in which nobody writes? */
  isInFolders(uri: string): boolean {
    return this.folders.map(canonicalUri).some((folder) => {
      const start = `${folder.replace(/\/$/, '')}/`;
      return (
        uri.startsWith(start) && ![...foreignFolders].some((each) => uri.slice(start.length - 1).includes(`/${each}`))
      );
    });
  }

  /** The files of the language in the client's folders, by their URIs. */
  filesOnDisk(): string[] {
    const found = new Set<string>();
    const folders = this.folders.map((folder) => `${canonicalUri(folder).replace(/\/$/, '')}/`);
    // Folders are added while they are gone through.
    for (const folder of folders) {
      for (const name of this.#listFolder(folder)) {
        const uri = canonicalUri(folder + encodeURIComponent(name.replace(/\/$/, '')));
        if (name.endsWith('/') && !foreignFolders.has(name) && folders.length < mostFolders) folders.push(`${uri}/`);
        if (name.endsWith('.gusset')) found.add(uri);
        if (found.size >= mostFiles) return [...found];
      }
    }
    return [...found];
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
    if (isProjectFile(uri)) this.#weighAnew();
    else if (!this.#open.has(uri)) this.project.forget(uri);
  }

  /** Findings may be as grave as otherwise: what was told of machines is to be told again. */
  #weighAnew(): void {
    this.projectFiles.forget();
    for (const uri of this.project.files.keys()) this.project.letGo(uri);
    this.#everything = undefined;
  }

  /** Kept once all files that the client is asked for have come; undefined where none is, and what is computed rests on all that is there. */
  get coming(): Promise<unknown> | undefined {
    return this.clientFiles?.coming;
  }

  /** The text of a file as it was last saved, where it can be read. */
  savedText(uri: string): string | undefined {
    const saved = this.#read(uri);
    return typeof saved === 'string' ? saved : undefined;
  }

  isOpen(uri: string): boolean {
    return this.#open.has(uri);
  }

  /** The file of a URI, from a client or the disk. */
  file(uri: string): SourceFile | undefined {
    return this.project.file(this.#libraryUri(uri) ?? uri);
  }

  /** The URI under which the client can open a file: that of a library's file is one on the disk where it opens nothing else. */
  readonly uriForClient = (uri: string): string => {
    const start = `${libraryScheme}/`;
    const folder = uri.startsWith(start) ? this.libraryFolder?.() : undefined;
    return folder ? folder + uri.slice(start.length) : uri;
  };

  /** The library's own URI of one of its files on the disk; undefined for all else. */
  #libraryUri(uri: string): string | undefined {
    const written = uri.startsWith('file:') && uri.includes('/gusset/library-') ? this.libraryFolder?.() : undefined;
    const folder = written && canonicalUri(written);
    return folder && uri.startsWith(folder) ? `${libraryScheme}/${uri.slice(folder.length)}` : undefined;
  }

  /** Open files that may read differently after a change of these. */
  affectedBy(uris: Iterable<string>): string[] {
    const affected = new Set<string>();
    for (const uri of uris) {
      if (isProjectFile(uri)) for (const open of this.#open) affected.add(open);
      if (this.#open.has(uri)) affected.add(uri);
      for (const file of this.project.dependents(uri)) if (this.#open.has(file.uri)) affected.add(file.uri);
    }
    return [...affected];
  }

  /** The text of a file of the library; undefined if the URI is not one of them. */
  libraryText(uri: string): string | undefined {
    return this.project.library.files.get(this.#libraryUri(uri) ?? uri)?.text;
  }
}
