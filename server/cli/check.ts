import { diskProject, gather, readText, TextPlaces, uriOf } from './files.ts';
import { fixFiles } from './fix.ts';
import type { Io } from './io.ts';
import { reportOn } from './report.ts';
import { exitStatus } from './tally.ts';
import { textReport } from './text.ts';

export interface CheckOptions {
  readonly format: 'text' | 'json';
  /** Are all values of the machines wanted? */
  readonly values: boolean;
  readonly strict: boolean;
  /** Are the changes to be made that mend findings? */
  readonly fix: boolean;
}

/**
 * Checks files and folders, prints what was found, and returns the exit status. With `fix`, what mends findings is written first, and
 * told beside.
 */
export function check(paths: readonly string[], options: CheckOptions, io: Io): number {
  const files = gather(paths, io.cwd);
  if (options.fix) fixFiles(files, paths, io, options.format === 'json' ? io.err : io.out);
  const inputs = files.map((path) => ({ uri: uriOf(path), text: readText(path, io.cwd) }));
  const isJson = options.format === 'json';
  const places = TextPlaces.onDisk(diskProject(io.cwd, paths), io.cwd);
  const report = reportOn(inputs, places, isJson && options.values);
  io.out(isJson ? `${JSON.stringify(report, null, 2)}\n` : textReport(report, inputs.length, io));
  return exitStatus(report, options.strict);
}
