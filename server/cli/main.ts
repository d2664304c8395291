#!/usr/bin/env node
// The command line as it is started: what a process has of the outside is handed to the program here.
import process from 'node:process';
import { run } from './program.ts';

const { stdout, stderr, env } = process;

// A reader that has seen enough, such as `head`, closes the pipe: that is no error.
stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
  process.exit();
});

process.exitCode = await run(process.argv.slice(2), {
  out: (text) => stdout.write(text),
  err: (text) => stderr.write(text),
  cwd: process.cwd(),
  colours: stdout.isTTY === true && !env.NO_COLOR && env.TERM !== 'dumb',
  width: Math.min(Math.max(stdout.columns ?? 100, 60), 110),
});
