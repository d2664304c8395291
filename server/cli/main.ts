#!/usr/bin/env node
// The command line as it is started: what a process has of the outside is handed to the program here.
import { readFileSync } from 'node:fs';
import process from 'node:process';
import { isMainThread } from 'node:worker_threads';

/** The oldest version of Node's that the rest is written for; checked before any of it is loaded. */
const oldestNode = 20;

const { stdin, stdout, stderr, env } = process;

// A reader that has seen enough, such as `head`, closes the pipe: that is no error. A disk that is full is one.
stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit();
  const reason = error.code === 'ENOSPC' ? 'the disk is full' : error.message;
  stderr.write(`gusset: the output cannot be written: ${reason}.\n`);
  process.exit(2);
});

if (Number.parseInt(process.versions.node, 10) < oldestNode) {
  stderr.write(`gusset: Node ${oldestNode} or later is needed; this is ${process.version}.\n`);
  process.exitCode = 2;
} else if (!isMainThread) {
  const { answer } = await import('./thread.ts');
  await answer();
} else {
  const { run } = await import('./program.ts');
  process.exitCode = await run(process.argv.slice(2), {
    out: (text) => stdout.write(text),
    err: (text) => stderr.write(text),
    input: () => readFileSync(stdin.fd),
    stopped: () => new Promise((resolve) => process.once('SIGINT', resolve)),
    cwd: process.cwd(),
    colours: stdout.isTTY === true && !env.NO_COLOR && env.TERM !== 'dumb',
    program: process.argv[1],
    ...(stderr.isTTY && { progress: (text) => stderr.write(`\r\x1b[K${text}`) }),
    width: Math.min(Math.max(stdout.columns ?? 100, 60), 110),
  });
}
