// One of the threads that compute a sweep: what `inThreads` hands over is answered with its points.
import { parentPort, workerData } from 'node:worker_threads';
import { sweepOf } from './sweep.ts';
import type { Stretch, SweepTask } from './sweep-threads.ts';

/** Answers until it is ended. */
export function answer(): void {
  const sweep = sweepOf(workerData as SweepTask);
  parentPort?.on('message', ({ from, to }: Stretch) => {
    parentPort?.postMessage({ from, found: [...sweep.points(from, to)] });
  });
}
