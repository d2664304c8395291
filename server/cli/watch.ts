// A check that is made again whenever something is changed on the disk that it rests on.
import { type FSWatcher, watch } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { readFile, reasonOf } from '../disk.ts';
import { type CheckOptions, checkAndNote } from './check.ts';
import { displayPath, foldersOf, gather } from './files.ts';
import { CallError, exitStatuses, type Io, stylesFor } from './io.ts';

/** An editor that saves writes a file in several steps: so long nothing must have happened (ms). */
const pause = 100;

/** Checks until it is told to stop. Returns the exit status of the last check. Throws a `CallError` for what cannot be done while watching. */
export async function watchAndCheck(paths: readonly string[], options: CheckOptions, io: Io): Promise<number> {
  const { format, fix, writeBaseline } = options;
  if (paths.includes('-')) throw new CallError('Standard input can be read once only: it cannot be watched.');
  if (format !== 'text') throw new CallError('What is watched is told as text: leave out --format.');
  if (fix || writeBaseline) throw new CallError('--watch only looks, and writes nothing.');
  if (!io.stopped) throw new CallError('What is watched has to be stopped by somebody.');
  const watched = new Watched(paths, options, io);
  watched.check();
  await io.stopped();
  watched.stop();
  return watched.status;
}

class Watched {
  readonly #paths: readonly string[];
  readonly #options: CheckOptions;
  readonly #io: Io;
  readonly #watchers = new Map<string, FSWatcher>();
  /** What was read, and how it read. */
  #texts = new Map<string, string | undefined>();
  #waiting: NodeJS.Timeout | undefined;
  status: number = exitStatuses.good;

  constructor(paths: readonly string[], options: CheckOptions, io: Io) {
    this.#paths = paths;
    this.#options = options;
    this.#io = io;
  }

  check(): void {
    const read = new Set<string>();
    try {
      this.status = checkAndNote(this.#paths, this.#options, this.#io, (full) => read.add(full));
    } catch (error) {
      if (!(error instanceof CallError)) throw error;
      // A file that is gone for now may come back.
      this.#io.err(`gusset: ${error.message}\n`);
      this.status = exitStatuses.wrongCall;
    }
    // What was read before counts as well: a check that failed half-way has not read all.
    this.#texts = textsOf(new Set([...this.#texts.keys(), ...read, ...this.#namedFiles()]));
    this.#follow();
  }

  stop(): void {
    clearTimeout(this.#waiting);
    for (const watcher of this.#watchers.values()) watcher.close();
  }

  /** Files are seen by their folders, so that one is followed that is put in another's place. */
  #follow(): void {
    const { cwd } = this.#io;
    const named = this.#paths.map((path) => dirname(resolve(cwd, path)));
    const folders = new Set([...named, ...[...this.#texts.keys()].map((full) => dirname(full))]);
    for (const folder of foldersOf(this.#paths, cwd)) folders.add(folder);
    for (const [folder, watcher] of this.#watchers)
      if (!folders.has(folder)) {
        watcher.close();
        this.#watchers.delete(folder);
      }
    for (const folder of folders) if (!this.#watchers.has(folder)) this.#watch(folder);
  }

  #watch(folder: string): void {
    try {
      const watcher = watch(folder, () => this.#later());
      this.#watchers.set(folder, watcher);
      watcher.on('error', () => {
        watcher.close();
        this.#watchers.delete(folder);
        this.#later();
      });
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'ENOENT') return;
      this.#io.err(`gusset: ${displayPath(folder, this.#io.cwd)} cannot be watched: ${reasonOf(error)}.\n`);
    }
  }

  #later(): void {
    clearTimeout(this.#waiting);
    this.#waiting = setTimeout(() => this.#look(), pause);
  }

  #look(): void {
    const now = textsOf(new Set([...this.#texts.keys(), ...this.#namedFiles()]));
    const changed = [...now].flatMap(([full, text]) => (text === this.#texts.get(full) ? [] : [full]));
    if (changed.length === 0) {
      // A folder may have come in which nothing lies yet.
      this.#follow();
      return;
    }
    const names = changed.map((full) => displayPath(full, this.#io.cwd)).join(', ');
    this.#io.out(`\n${stylesFor(this.#io).quiet(`${names} changed:`)}\n\n`);
    this.check();
  }

  #namedFiles(): string[] {
    return this.#paths.flatMap((path) => {
      try {
        return gather([path], this.#io.cwd);
      } catch {
        return [];
      }
    });
  }
}

/** Of each file its text; why it cannot be read; undefined where it is not there. */
function textsOf(files: Iterable<string>): Map<string, string | undefined> {
  return new Map([...files].map((full) => [full, textOf(full)]));
}

function textOf(full: string): string | undefined {
  try {
    const read = readFile(full);
    return typeof read === 'string' ? read : read.refused;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'ENOENT' ? undefined : reasonOf(error);
  }
}
