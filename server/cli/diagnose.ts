import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { type Cause, type Diagnosis, diagnose, symptomsOf } from '../../language/explore/diagnosis.ts';
import { fitRecording, type RecordedFit, type Recording } from '../../language/explore/recorded.ts';
import { leastSets, type Together } from '../../language/explore/together.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import { today } from '../day.ts';
import { asCall, below, type Format, inJson, sideOnDisk } from './explore.ts';
import { CallError, columns, exitStatuses, type Io, stylesFor, wrap } from './io.ts';

/** What is known of what was seen. */
interface DiagnoseOptions {
  readonly at: readonly string[];
  readonly format: Format;
}

/** Prints what would explain what was seen of a machine, most likely first. */
export function printDiagnosis(
  path: string,
  machine: string,
  seen: readonly string[],
  { at, format }: DiagnoseOptions,
  io: Io,
): number {
  const found = asCall(() => diagnose(sideOnDisk(path, machine, io.cwd), seen, at));
  io.out(format === 'json' ? inJson(found) : diagnosisText(found, io));
  return exitStatuses.good;
}

/** Prints which two inputs explain a recorded curve best. The file has two columns, with units in their headings, or seconds and degrees Celsius. */
export function printRecorded(
  path: string,
  machine: string,
  curve: string | undefined,
  { recorded, at, format }: DiagnoseOptions & { readonly recorded: string },
  io: Io,
): number {
  if (curve === undefined) throw new CallError('Of which curve was that recorded? Name one, such as bed.plate_course.');
  const recording = recordingIn(readFile(resolve(io.cwd, recorded)), recorded);
  const found = asCall(() => fitRecording(sideOnDisk(path, machine, io.cwd), below(curve, machine), recording, at));
  io.out(format === 'json' ? inJson(found) : recordedText(found, io));
  return exitStatuses.good;
}

function readFile(path: string): string {
  try {
    return readFileSync(path, 'utf8');
  } catch (error) {
    throw new CallError(`${path} cannot be read: ${(error as Error).message}`);
  }
}

const unitsUnsaid: Recording['units'] = ['s', 'degC'];

/** Two columns of numbers, parted by commas, semicolons, tabs or spaces, behind a heading such as `time (min), plate (degC)`. */
function recordingIn(text: string, name: string): Recording {
  const lines = text.split(/\r?\n/).filter((line) => line.trim() !== '');
  const cells = lines.map((line) => line.split(/[,;\t]|(?<=\d) +(?=[-\d])/).map((each) => each.trim()));
  const isRow = (row: readonly string[]) => row.length >= 2 && row.slice(0, 2).every((each) => /^[-+]?\d/.test(each));
  const bad = cells.findIndex((row, i) => i > 0 && !isRow(row));
  if (bad >= 0) throw new CallError(`${name}, line ${bad + 1}: expected two numbers, found ${lines[bad]}.`);
  const heading = cells[0] && !isRow(cells[0]) ? cells[0] : [];
  const unit = (i: 0 | 1) => /[([]([^)\]]+)[)\]]/.exec(heading[i] ?? '')?.[1] ?? unitsUnsaid[i];
  return {
    units: [unit(0), unit(1)],
    rows: cells.slice(heading.length > 0 ? 1 : 0).map(([x, y]) => [Number(x), Number(y)]),
  };
}

function recordedText({ path, points, at, off, offNumber, best, others }: RecordedFit, io: Io): string {
  const { heading } = stylesFor(io);
  const titles = ['Nothing explains it', 'One input explains it', 'The two inputs that explain it best'];
  const found = best
    ? [
        heading(`${titles[best.inputs.length]}: off by ${best.off} then`),
        ...best.inputs.map(({ change, atEnd }) => `  ${change}${atEnd ? ', as far as it may be' : ''}`),
        heading('To write into the machine, once you know it is so'),
        ...best.inputs.map(({ record }) => `  ${record} on ${today()} in place`),
      ]
    : [heading('Nothing that can be otherwise moves it')];
  const isLittle = best && best.offNumber > offNumber * leftOver;
  return [
    heading(`${path}: ${points} points, off by ${off} as it is computed`),
    ...(at.length > 0 ? [`  taken at ${listed(at, 6)}`] : []),
    ...found,
    ...(isLittle ? ['Much is left: ask for defects as well, by a value that was measured or by a symptom.'] : []),
    ...(others.length > 0 ? [heading('What was recorded does not tell these from it')] : []),
    ...others.map(({ inputs, off: left }) => `  ${listed(inputs.map(({ change }) => change))}: off by ${left}`),
    '',
  ].join('\n');
}

/** Where more than this share of the distance is left, inputs within their tolerance do not explain it. */
const leftOver = 0.3;

/** Prints the least sets of defects with which a symptom shows, block by block. */
export function printTogether(
  path: string,
  machine: string,
  symptoms: readonly string[],
  { at, format, together }: DiagnoseOptions & { readonly together: number },
  io: Io,
): number {
  const [symptom] = symptoms;
  if (symptom === undefined || symptoms.length > 1) throw new CallError('Of which symptom? Name one.');
  const found = asCall(() => leastSets(sideOnDisk(path, machine, io.cwd), symptom, together, at));
  io.out(format === 'json' ? inJson(found) : togetherText(found, together, io));
  return exitStatuses.good;
}

function togetherText(found: readonly Together[], most: number, io: Io): string {
  const { heading } = stylesFor(io);
  const lines = found.flatMap(({ path, what, already, sets, tried }) => {
    const told = already
      ? ['As it is written: nothing else has to be amiss.']
      : sets.length > 0
        ? sets.map((set) => `if ${set.map(({ title }) => lowered(title)).join(', and ')}`)
        : [`Not by ${most === 1 ? 'one' : `any ${most}`} of the ${tried} defects that bear on it.`];
    return [heading(wrap(`${path}: ${what}`, io.width)), ...told.map((each) => wrap(each, io.width, '  ', '    '))];
  });
  return `${[...lines, 'A defect that no kind declares is not among them: this does not say that a design is safe.'].join('\n')}\n`;
}

/** A title as it stands within a sentence: a path keeps its letters. */
function lowered(title: string): string {
  return /^[\w.]+: /.test(title)
    ? title.replace(/: (\p{Lu})/u, (_, letter: string) => `: ${letter.toLowerCase()}`)
    : title.charAt(0).toLowerCase() + title.slice(1);
}

/** Prints the symptoms that the blocks of a machine can have. */
export function printSymptoms(path: string, machine: string, format: Format, io: Io): number {
  const found = asCall(() => symptomsOf(sideOnDisk(path, machine, io.cwd)));
  const rows = found.map(({ name, doc, blocks }) => [name, doc, listed(blocks, 4)]);
  io.out(format === 'json' ? inJson(found) : `${columns(rows).join('\n')}\n`);
  return exitStatuses.good;
}

function diagnosisText({ observed, at, causes, tried }: Diagnosis, io: Io): string {
  const { heading } = stylesFor(io);
  const seen = observed.map(
    ({ what, computed, isAsComputed }) =>
      `${what}: computed ${computed}${isAsComputed ? ', as it is written already' : ''}`,
  );
  const isAsWritten = observed.every(({ isAsComputed }) => isAsComputed);
  const explaining = causes.filter(({ explains }) => explains);
  const told = isAsWritten ? [] : explaining.length > 0 ? explaining : causes.slice(0, 3);
  const title = isAsWritten
    ? 'Nothing has to be otherwise for that: the design itself explains it'
    : causes.length === 0
      ? 'Nothing that can be otherwise moves it'
      : explaining.length > 0
        ? 'What explains it, most likely first'
        : 'Nothing explains it alone; what comes nearest';
  return [
    heading(seen.join('\n')),
    ...(at.length > 0 ? [`  taken at ${listed(at, 6)}`] : []),
    heading(title),
    ...told.flatMap((cause, i) => causeLines(cause, i + 1, told, io)),
    `${tried} inputs, ranges and defects were tried, each alone. Look before you mend: with the plug pulled where it is on mains.`,
    '',
  ].join('\n');
}

function causeLines(cause: Cause, number: number, all: readonly Cause[], io: Io): string[] {
  const { title, change, seen, how, reads, asWritten, alike } = cause;
  const indent = '    ';
  const others = alike.flatMap((path) => {
    const at = all.findIndex((each) => each.path === path);
    return at < 0 ? [] : [String(at + 1)];
  });
  const reading =
    reads === undefined
      ? ''
      : `: ${reads} if it is so, ${asWritten} as it is written${others.length > 0 ? `; ${listed(others)} read${others.length === 1 ? 's' : ''} alike` : ''}`;
  return [
    wrap(`${number}. ${title}`, io.width, indent).trimStart(),
    wrap(`${change}: ${listed(seen)}`, io.width, indent),
    wrap(`${how}${reading}`, io.width, indent),
  ];
}
