import { resolve } from 'node:path';
import { format } from '../../language/grammar/format.ts';
import { PackingError, pack } from '../../language/packing.ts';
import { diskProject, openFile, TextPlaces } from './files.ts';
import { CallError, exitStatuses, type Io } from './io.ts';
import { reportOn } from './report.ts';
import type { Finding, Report } from './schema.ts';

/**
 * Prints a file and all that it needs of others as one text that stands alone. It is checked first, and is not printed where
 * anything else would be said of its machines than before. Throws a `CallError` for what cannot be packed.
 */
export function packFile(path: string, io: Io): number {
  const project = diskProject(io.cwd, [path]);
  const places = TextPlaces.onDisk(project, io.cwd);
  const file = openFile(project, resolve(io.cwd, path), io.cwd);
  const { uri } = file;
  const before = reportOn([{ uri, text: file.parsed.text }], places, false);
  const text = packedText(path, io);
  const names = before.machines.map(({ name }) => name);
  const after = reportOn([{ uri, text }], TextPlaces.onDisk(diskProject(io.cwd, [path]), io.cwd), false);
  const [told] = difference(said(before, names), said(after, names));
  if (told) throw new CallError(`${path} cannot be packed: in one file something else would be said of it: ${told}`);
  io.out(text);
  return exitStatuses.good;
}

/** The same text, unchecked. */
export function packedText(path: string, io: Io): string {
  const project = diskProject(io.cwd, [path]);
  const places = TextPlaces.onDisk(project, io.cwd);
  return packed(() => pack(openFile(project, resolve(io.cwd, path), io.cwd), project, (each) => places.nameOf(each)));
}

function packed(work: () => string): string {
  try {
    return format(work());
  } catch (error) {
    if (error instanceof PackingError) throw new CallError(`It cannot be packed: ${error.message}.`);
    throw error;
  }
}

/** All that is said of these machines, but for where it stands. */
function said(report: Report, machines: readonly string[]): Set<string> {
  const finding = ({ machine, path, code, severity, message, consequences = [] }: Finding): string[] => [
    `${machine ?? 'the text'}: ${[path, `${severity} ${code}`].filter(Boolean).join(', ')}: ${message}`,
    ...consequences.flatMap(finding),
  ];
  const own = report.machines.filter(({ name }) => machines.includes(name));
  return new Set([
    ...report.findings.filter(({ machine }) => machine === null || machines.includes(machine)).flatMap(finding),
    ...own.flatMap(({ name, requirements, open, undecided }) => [
      ...requirements.map(({ text, message }) => `${name}: ${text}: ${message}`),
      ...open.map(({ path, answer }) => `${name}: ${path}: ${answer}`),
      ...undecided.map(({ path, code, message }) => `${name}: ${path}: ${code}: ${message}`),
    ]),
  ]);
}

function difference(before: ReadonlySet<string>, after: ReadonlySet<string>): string[] {
  return [...before, ...after].filter((each) => !(before.has(each) && after.has(each)));
}
