import { diskProject, gather, open } from './files.ts';
import type { Io } from './io.ts';
import { reportOn } from './report.ts';
import { exitStatus } from './tally.ts';
import { textReport } from './text.ts';

export interface CheckOptions {
  readonly format: 'text' | 'json';
  readonly strict: boolean;
}

/** Checks files and folders, prints what was found, and returns the exit status. */
export function check(paths: readonly string[], options: CheckOptions, io: Io): number {
  const project = diskProject();
  const files = gather(paths, io.cwd).map((path) => open(project, path, io.cwd));
  const isJson = options.format === 'json';
  const report = reportOn(files, project, io.cwd, isJson);
  io.out(isJson ? `${JSON.stringify(report, null, 2)}\n` : textReport(report, files.length, io));
  return exitStatus(report, options.strict);
}
