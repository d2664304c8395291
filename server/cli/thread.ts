// One of the threads that do a task together: what `inThreads` hands over is answered with what comes of it.
import { parentPort, workerData } from 'node:worker_threads';
import type { CheckTask } from './check.ts';
import { CallError } from './io.ts';
import type { SweepTask } from './sweep.ts';

/** What threads do together. */
export type ThreadTask = ({ readonly does: 'sweep' } & SweepTask) | ({ readonly does: 'check' } & CheckTask);

/** What came of a stretch, or why it was a wrong call. */
export type ThreadAnswer<Found> = { readonly found: Found[] } | { readonly refused: string };

/** Answers until it is ended. */
export async function answer(): Promise<void> {
  const work = await workOf(workerData as ThreadTask);
  parentPort?.on('message', (stretch) => parentPort?.postMessage(answered(() => work(stretch as never))));
}

async function workOf(task: ThreadTask): Promise<(stretch: never) => unknown[]> {
  if (task.does === 'sweep') return (await import('./sweep.ts')).sweeper(task);
  return (await import('./check.ts')).checker(task);
}

function answered(work: () => unknown[]): ThreadAnswer<unknown> {
  try {
    return { found: work() };
  } catch (error) {
    if (error instanceof CallError) return { refused: error.message };
    throw error;
  }
}
