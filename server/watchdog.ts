// A server ends with its client, whatever it is doing: what is computed in one go cannot look after the client itself.
import process from 'node:process';
import { Worker } from 'node:worker_threads';

/** How often it is looked whether the client still lives (ms). */
const interval = 2000;

/** Runs in a thread of its own, where nothing that the server computes holds it up. */
const watch = `
const { workerData: { client, interval } } = require('node:worker_threads');
setInterval(() => {
  try {
    process.kill(client, 0);
  } catch (error) {
    if (error.code === 'ESRCH') process.kill(process.pid, 'SIGKILL');
  }
}, interval);
`;

/** Ends this process once the client's is gone. Says nothing of a client that is this process, as in tests. */
export function endWithClient(client: number): void {
  if (client !== process.pid) new Worker(watch, { eval: true, workerData: { client, interval } }).unref();
}
