import { docOf } from '../../language/grammar/syntax.ts';
import { type OwnFinding, ownFindings } from '../../language/judge/own-findings.ts';
import { ruleNamed } from '../../language/judge/rule.ts';
import { mistakeKinds } from '../../language/mistakes/all.ts';
import type { Scope } from '../../language/names/scope.ts';
import { diskProject, gather, readText, TextPlaces, uriOf } from './files.ts';
import { fixFiles } from './fix.ts';
import type { Io } from './io.ts';
import { junitOf } from './junit.ts';
import { reportOn } from './report.ts';
import { sarifOf } from './sarif.ts';
import type { Report } from './schema.ts';
import { exitStatus } from './tally.ts';
import { textReport } from './text.ts';

export interface CheckOptions {
  readonly format: 'text' | 'json' | 'sarif' | 'junit';
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
  if (options.fix) fixFiles(files, paths, io, options.format === 'text' ? io.out : io.err);
  const inputs = files.map((path) => ({ uri: uriOf(path), text: readText(path, io.cwd) }));
  const isJson = options.format === 'json';
  const places = TextPlaces.onDisk(diskProject(io.cwd, paths), io.cwd);
  const report = reportOn(inputs, places, isJson && options.values);
  io.out(written(report, options.format, inputs.length, places, io));
  return exitStatus(report, options.strict);
}

function written(report: Report, format: CheckOptions['format'], files: number, places: TextPlaces, io: Io): string {
  switch (format) {
    case 'text':
      return textReport(report, files, io);
    case 'json':
      return inJson(report);
    case 'sarif':
      return inJson(sarifOf(report, (code) => meaningOf(code, places.project.library.scope)));
    case 'junit':
      return junitOf(report);
  }
}

function inJson(data: unknown): string {
  return `${JSON.stringify(data, null, 2)}\n`;
}

/** What is found under a code, in a sentence or two; undefined for a code that nothing tells of. */
function meaningOf(code: string, scope: Scope): string | undefined {
  const rule = ruleNamed(code, scope);
  if (rule) return docOf(rule.node);
  return (
    mistakeKinds.get(code)?.why ?? (Object.hasOwn(ownFindings, code) ? ownFindings[code as OwnFinding].why : undefined)
  );
}
