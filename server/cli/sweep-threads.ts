import { realpathSync } from 'node:fs';
import { Worker } from 'node:worker_threads';
import type { SweptPoint } from '../../language/explore/sweeping.ts';

/** What is gone through, as a thread is told of it. */
export interface SweepTask {
  readonly cwd: string;
  readonly path: string;
  readonly machine: string;
  readonly over: readonly string[];
  readonly show: readonly string[];
}

/** Which points a thread is to compute next. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** So many points are given to a thread at a time: few, so that all end together. */
const atOnce = 20;

/**
 * Computes the points of a sweep in threads that each run `program` anew, and returns them in their order. No thread pool of a package: the
 * program is one file without packages beside it, which theirs need. Throws what a thread throws; all others are ended then.
 */
export async function inThreads(
  task: SweepTask,
  count: number,
  cores: number,
  program: string,
  told: (done: number, of: number) => void,
): Promise<SweptPoint[]> {
  const points: SweptPoint[] = new Array(count);
  const file = realpathSync(program);
  const workers = Array.from({ length: cores }, () => new Worker(file, { workerData: task }));
  let next = 0;
  let done = 0;
  const serve = (worker: Worker) =>
    new Promise<void>((end, fail) => {
      const give = () => {
        if (next >= count) return end();
        const stretch: Stretch = { from: next, to: Math.min(next + atOnce, count) };
        next = stretch.to;
        worker.postMessage(stretch);
      };
      worker.on('message', ({ from, found }: { from: number; found: readonly SweptPoint[] }) => {
        for (const [i, point] of found.entries()) points[from + i] = point;
        done += found.length;
        told(done, count);
        give();
      });
      worker.on('error', fail);
      worker.on('exit', () => fail(new Error('a thread has ended before its work was done')));
      give();
    });
  try {
    await Promise.all(workers.map(serve));
    return points;
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
}
