// Files of the client's folders that nobody has open: checked when nothing else is to be done, so that a list of problems is whole.
import type { CancellationToken, PublishDiagnosticsParams } from 'vscode-languageserver';
import { canonicalUri, Project, type SourceFile } from '../language/project.ts';
import { diagnostics } from './features/diagnostics.ts';
import { isProjectFile } from './reach.ts';
import type { Workspace } from './workspace.ts';

/** So many files that nobody has open are checked at most; the others are checked once they are opened. */
const mostFiles = 500;
/** Steps of a computation between two looks whether something else is to be done. */
const stepsAtOnce = 3000;

/** What goes on while many files are checked, shown to whoever waits. */
export interface Progress {
  /** So many of so many files have been checked. */
  report(done: number, of: number): void;
  done(): void;
  /** Tells that no more files are to be checked. */
  readonly token: CancellationToken;
}

/** What checking in the background needs of the server. */
export interface Surroundings {
  readonly workspace: Workspace;
  /** Returns once nothing else is to be done. */
  untilIdle(): Promise<void>;
  publish(told: PublishDiagnosticsParams): void;
  /** Begins to show how far it is; undefined where a client shows none. */
  begin(): Promise<Progress | undefined>;
}

/** Checks the files that no client has open, one after the other, each with a project of its own that is let go of afterwards. */
export class Background {
  readonly #of: Surroundings;
  readonly #due = new Set<string>();
  /** The files that each file's check has asked for, itself among them, whether they are there or not. */
  readonly #read = new Map<string, ReadonlySet<string>>();
  readonly #told = new Set<string>();
  #isRunning = false;
  /** Is it asked for? Not before the client's settings are read. */
  #isOn = false;

  constructor(surroundings: Surroundings) {
    this.#of = surroundings;
  }

  /** Checks what lies in the client's folders; switched off, takes back what was told of that. */
  begin(isOn: boolean): void {
    this.#isOn = isOn;
    this.foldersChanged();
  }

  /** Looks through the client's folders anew. */
  foldersChanged(): void {
    const isOn = this.#isOn;
    const there = new Set(isOn ? this.#of.workspace.filesOnDisk().slice(0, mostFiles) : []);
    for (const uri of this.#told) if (!there.has(uri)) this.#forget(uri);
    for (const uri of there) if (!this.#read.has(uri)) this.#due.add(uri);
    this.#start();
  }

  /** Files have changed, in an editor or on disk, were opened or closed, came or went. */
  changed(uris: Iterable<string>): void {
    const { workspace } = this.#of;
    for (const changed of uris) {
      if (workspace.isOpen(changed)) this.#leave(changed);
      else if (!isProjectFile(changed)) this.#due.add(changed);
      const rests = (read: ReadonlySet<string>) => read.has(changed) || isProjectFile(changed);
      for (const [uri, read] of this.#read) if (rests(read) && !workspace.isOpen(uri)) this.#due.add(uri);
    }
    this.#start();
  }

  /** An open file is told of by whoever answers its edits. */
  #leave(uri: string): void {
    this.#due.delete(uri);
    this.#read.delete(uri);
    this.#told.delete(uri);
  }

  #forget(uri: string): void {
    this.#leave(uri);
    if (!this.#of.workspace.isOpen(uri)) this.#of.publish({ uri, diagnostics: [] });
  }

  #start(): void {
    if (this.#isRunning || !this.#isOn || this.#due.size === 0) return;
    this.#isRunning = true;
    void this.#run().finally(() => {
      this.#isRunning = false;
    });
  }

  async #run(): Promise<void> {
    await this.#of.untilIdle();
    // One file that was closed or written is no matter to speak of.
    const progress = this.#due.size > 1 ? await this.#of.begin() : undefined;
    let done = 0;
    for (const uri of this.#due) {
      if (progress?.token.isCancellationRequested) this.#due.clear();
      else {
        progress?.report(done, done + this.#due.size);
        await this.#check(uri);
        done++;
      }
    }
    progress?.done();
  }

  /** Checks one file. Where it, or one that it uses, changes meanwhile, it stays due. */
  async #check(uri: string): Promise<void> {
    this.#due.delete(uri);
    const { workspace } = this.#of;
    if (!this.#isAsked(uri)) return this.#told.has(uri) ? this.#forget(uri) : this.#leave(uri);
    const host = workspace.hostOfAll();
    const read = new Set<string>();
    const noted = (used: string) => {
      read.add(used);
      return host.read(used);
    };
    const project = new Project(workspace.project.library, { ...host, read: noted });
    const file = project.file(uri);
    if (await this.#waited(uri)) return;
    if (!file) return this.#forget(uri);
    this.#read.set(uri, read);
    for (const _ of steps(project, file)) {
      await this.#of.untilIdle();
      if (this.#due.has(uri) || !this.#isAsked(uri)) return;
    }
    this.#told.add(uri);
    this.#of.publish({ uri, diagnostics: checked(file, project, workspace) });
  }

  /** Waits for files that the client still sends: with them, it is checked anew. */
  async #waited(uri: string): Promise<boolean> {
    const { coming } = this.#of.workspace;
    if (!coming) return false;
    await coming;
    this.#due.add(uri);
    return true;
  }

  #isAsked(uri: string): boolean {
    const { workspace } = this.#of;
    return this.#isOn && !workspace.isOpen(uri) && workspace.isInFolders(canonicalUri(uri));
  }
}

/** Computes all that is said of a file, as a command line would, in steps. */
function* steps(project: Project, file: SourceFile): Generator<void> {
  try {
    for (let most = stepsAtOnce; !project.computes(file, most); most *= 2) yield;
    yield* project.searchDeeper(file);
  } catch {
    // What fails is told when the file is opened.
  }
}

function checked(file: SourceFile, project: Project, { client, uriForClient }: Workspace) {
  try {
    return diagnostics(file, { project, client, uriForClient });
  } catch {
    return [];
  }
}
