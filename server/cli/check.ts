import { availableParallelism } from 'node:os';
import { resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { withoutHidden } from '../../language/grammar/hidden.ts';
import { docOf } from '../../language/grammar/syntax.ts';
import { type OwnFinding, ownFindings } from '../../language/judge/own-findings.ts';
import { ruleNamed } from '../../language/judge/rule.ts';
import { mistakeKinds } from '../../language/mistakes/all.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import type { Scope } from '../../language/names/scope.ts';
import { withArticle } from '../../language/units/display.ts';
import { readUsed } from '../disk.ts';
import { fileEnding, projectFileName } from '../reach.ts';
import { Baseline, withConsequences } from './baseline.ts';
import { diskProject, gather, inputText, ownLibrary, readText, TextPlaces, uriOf } from './files.ts';
import { fixFiles } from './fix.ts';
import { CallError, type Io } from './io.ts';
import { junitOf } from './junit.ts';
import { type FileReport, fileReports, type Input, joined } from './report.ts';
import { sarifOf } from './sarif.ts';
import type { Report } from './schema.ts';
import { exitStatus } from './tally.ts';
import { textReport } from './text.ts';
import { inThreads } from './threads.ts';

export interface CheckOptions {
  readonly format: 'text' | 'json' | 'sarif' | 'junit';
  /** Are all values of the machines wanted? */
  readonly values: boolean;
  readonly strict: boolean;
  /** Are the changes to be made that mend findings? */
  readonly fix: boolean;
  /** Which file the text on standard input stands for. */
  readonly as?: string | undefined;
  /** The file that lists the findings that are known and do not count. */
  readonly baseline?: string | undefined;
  /** Is that list to be written anew? */
  readonly writeBaseline?: boolean;
  /** How many threads check; 1 is this one. */
  readonly cores?: number;
}

/** Files that are checked, as a thread is told of them. */
export interface CheckTask {
  readonly cwd: string;
  /** The paths that are named: what lies beside and below them may be used. */
  readonly named: readonly string[];
  /** Are all values of the machines wanted? */
  readonly values: boolean;
}

/** With fewer files for each the others have no time to begin. */
const fewest = 16;
/** So many files are given to a thread at a time: few, so that all end together. */
const atOnce = 4;

/** As a path: what comes in on standard input, as the POSIX Utility Syntax Guidelines have it (13). */
const standardInput = '-';

/**
 * Checks files and folders, prints what was found, and returns the exit status; many files in several threads. With `fix`, what mends
 * findings is written first, and told beside.
 */
export async function check(paths: readonly string[], options: CheckOptions, io: Io): Promise<number> {
  const asked = ask(paths, options, io, () => {});
  const { inputs, task } = asked;
  const cores = Math.min(options.cores ?? availableParallelism(), Math.floor(inputs.length / fewest));
  if (cores < 2 || !io.program) return tell(fileReports(inputs, asked.places, task.values), asked, options, io);
  const found = await inThreads<readonly Input[], FileReport>(
    { does: 'check', ...task },
    stretchesOf(inputs),
    cores,
    io.program,
  );
  return tell(found, asked, options, io);
}

/** The same at once, in this thread; `noteRead` is told of each file that is read, by its path. */
export function checkAndNote(
  paths: readonly string[],
  options: CheckOptions,
  io: Io,
  noteRead: (full: string) => void,
): number {
  const asked = ask(paths, options, io, noteRead);
  return tell(fileReports(asked.inputs, asked.places, asked.task.values), asked, options, io);
}

/** Checks stretches of files, in a thread. */
export function checker({ cwd, named, values }: CheckTask): (inputs: readonly Input[]) => FileReport[] {
  const places = TextPlaces.onDisk(diskProject(cwd, named), cwd);
  return (inputs) => fileReports(inputs, places, values);
}

function stretchesOf(inputs: readonly Input[]): Input[][] {
  return Array.from({ length: Math.ceil(inputs.length / atOnce) }, (_, i) =>
    inputs.slice(i * atOnce, (i + 1) * atOnce),
  );
}

/** What is to be checked, and where it is read. */
interface Asked {
  readonly inputs: readonly Input[];
  readonly task: CheckTask;
  readonly places: TextPlaces;
}

function ask(paths: readonly string[], options: CheckOptions, io: Io, noteRead: (full: string) => void): Asked {
  const { cwd } = io;
  const named = paths.filter((path) => path !== standardInput);
  const given = named.length < paths.length;
  refuseMixed(options, given);
  if (options.baseline !== undefined) noteRead(resolve(cwd, options.baseline));
  const files = gather(named, cwd);
  if (options.fix) fixFiles(files, named, io, options.format === 'text' ? io.out : io.err);
  const inputs = files.map((path) => {
    noteRead(path);
    return { uri: uriOf(path), text: readText(path, cwd) };
  });
  if (given) inputs.unshift({ uri: uriOf(resolve(cwd, options.as ?? unnamed)), text: inputText(io) });
  const project = diskProject(cwd, named, ownLibrary(), (uri) => {
    if (uri.startsWith('file:')) noteRead(fileURLToPath(uri));
    return readUsed(uri);
  });
  const task = { cwd, named, values: options.format === 'json' && options.values };
  return { inputs, task, places: TextPlaces.onDisk(project, cwd) };
}

/** Prints what was found, and returns the exit status. */
function tell(found: readonly FileReport[], { inputs, places }: Asked, options: CheckOptions, io: Io): number {
  const { report, line } = withBaseline(joined(found), options, io.cwd);
  io.out(written(report, options.format, inputs.length, places, io));
  const hasProjectFile = inputs.some(({ uri }) => places.project.host.weights?.(uri));
  const say = options.format === 'text' ? io.out : io.err;
  for (const told of [line, hasProjectFile && weighedLine(report)]) if (told) say(`${told}\n`);
  return exitStatus(report, options.strict);
}

/** How many findings the project has otherwise than their rules, in a line that is told at each run. */
function weighedLine({ findings }: Report): string {
  const taken = findings.flatMap(withConsequences).filter((f) => f.weighed && f.severity === f.weighed.severity);
  const as = (['error', 'warning', 'advice'] as const).flatMap((severity) => {
    const number = taken.filter((finding) => finding.severity === severity).length;
    return number === 0 ? [] : `${number} as ${severity === 'advice' ? severity : withArticle(severity)}`;
  });
  const counted = taken.length === 1 ? '1 finding counts' : `${taken.length} findings count`;
  const how = as.length > 0 ? `: ${listed(as)}` : '';
  return `${projectFileName}: ${counted} otherwise than by ${taken.length === 1 ? 'its rule' : 'their rules'}${how}.`;
}

/** What standard input is called that stands for no file. */
const unnamed = `standard-input${fileEnding}`;

function refuseMixed({ as, fix, baseline, writeBaseline }: CheckOptions, given: boolean): void {
  if (as !== undefined && !given)
    throw new CallError('--as says which file the text on standard input stands for: it goes with - as a path.');
  if (fix && given) throw new CallError('What comes in on standard input cannot be mended with --fix: name a file.');
  if (writeBaseline && baseline === undefined)
    throw new CallError('Where is the list to be written? Name its file with --baseline.');
}

/** The report with what is said by the list of known findings, if there is one, and a line on that. */
function withBaseline(
  found: Report,
  { baseline: path, writeBaseline }: CheckOptions,
  cwd: string,
): { report: Report; line?: string } {
  if (path === undefined) return { report: found };
  const baseline = writeBaseline ? Baseline.write(found, path, cwd) : Baseline.read(path, cwd);
  const { report, recognised } = baseline.recognise(found);
  return { report, line: baseline.line(recognised) };
}

function written(report: Report, format: CheckOptions['format'], files: number, places: TextPlaces, io: Io): string {
  switch (format) {
    case 'text':
      return textReport(shown(report), files, io);
    case 'json':
      return inJson(report);
    case 'sarif':
      return inJson(sarifOf(report, (code) => meaningOf(code, places.project.library.scope)));
    case 'junit':
      return junitOf(report);
  }
}

/** A report as a terminal is to show it: what stands in texts of a file gives it no orders. */
function shown(report: Report): Report {
  return JSON.parse(JSON.stringify(report, (_, value) => (typeof value === 'string' ? withoutHidden(value) : value)));
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
