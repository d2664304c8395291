import type { ChildProcess } from 'node:child_process';
import { readFileSync } from 'node:fs';

/** A place in a text: line and column from 0. */
export interface Position {
  readonly line: number;
  readonly column: number;
}

/** A replacement within one line. */
export interface Edit {
  readonly at: Position;
  /** How many characters are replaced. */
  readonly length: number;
  readonly text: string;
}

/** How long an edit took to be answered, in ms. */
export interface Answered {
  readonly diagnostics: number;
  /** Until diagnostics and the inline values around the edit were both there; only where asked for. */
  readonly values: number | undefined;
}

/** An editor as a language server sees it, with a stopwatch. Times are ms from the message sent to the answer read. */
export interface Editor {
  /** Starts the server for a folder. */
  start(folder: string): Promise<void>;
  /** Opens a file: ms to its first diagnostics. */
  open(path: string, text: string): Promise<number>;
  /** Makes an edit: ms to the diagnostics of that text or a later one. */
  edit(path: string, edit: Edit): Promise<Answered>;
  /** Asks what may stand at a place: ms to the list, and how long the list is. */
  complete(path: string, at: Position): Promise<{ ms: number; items: number }>;
  /** How many problems the server last found in a file. */
  problems(path: string): number;
  /** The most memory the server has held so far, in MB. */
  memory(): number;
  stop(): Promise<void>;
}

/** The most memory a process has held, in MB. Linux only. */
export function peakMemory(process: ChildProcess): number {
  const status = readFileSync(`/proc/${process.pid}/status`, 'utf8');
  return Number(/VmHWM:\s*(\d+) kB/.exec(status)?.[1]) / 1024;
}

export function stopped(process: ChildProcess): Promise<void> {
  if (process.exitCode !== null || process.signalCode !== null) return Promise.resolve();
  const done = new Promise<void>((resolve) => process.once('exit', () => resolve()));
  process.kill();
  return done;
}

/** Fails with a clear message when an answer never comes. */
export function within<T>(seconds: number, what: string, promise: Promise<T>): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`No answer within ${seconds} s: ${what}`)), seconds * 1000);
  });
  return Promise.race([promise, late]).finally(() => clearTimeout(timer));
}
