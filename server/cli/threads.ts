import { realpathSync } from 'node:fs';
import { Worker } from 'node:worker_threads';
import { CallError } from './io.ts';
import type { ThreadAnswer, ThreadTask } from './thread.ts';

/**
 * Has stretches of a task worked through in threads that each run `program` anew, and returns what came of them in their order. No thread
 * pool of a package: the program is one file without packages beside it, which theirs need. Throws what a thread throws; all others are
 * ended then.
 */
export async function inThreads<Stretch, Found>(
  task: ThreadTask,
  stretches: readonly Stretch[],
  cores: number,
  program: string,
  told: (done: number, of: number) => void = () => {},
): Promise<Found[]> {
  const found: Found[][] = new Array(stretches.length);
  const file = realpathSync(program);
  const workers = Array.from({ length: cores }, () => new Worker(file, { workerData: task }));
  let next = 0;
  let done = 0;
  const serve = (worker: Worker) =>
    new Promise<void>((end, fail) => {
      let at = 0;
      const give = () => {
        at = next++;
        if (at >= stretches.length) return end();
        worker.postMessage(stretches[at]);
      };
      worker.on('message', (answer: ThreadAnswer<Found>) => {
        if ('refused' in answer) return fail(new CallError(answer.refused));
        found[at] = answer.found;
        told(++done, stretches.length);
        give();
      });
      worker.on('error', fail);
      worker.on('exit', () => fail(new Error('a thread has ended before its work was done')));
      give();
    });
  try {
    await Promise.all(workers.map(serve));
    return found.flat();
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
}
