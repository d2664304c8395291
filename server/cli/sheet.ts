import { mkdirSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { doubt } from '../../language/answers/foundations.ts';
import { drawingSheetOf, pathsToldFirst, sheetOf } from '../../language/answers/sheet.ts';
import { weakestSources } from '../../language/explore/influence.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import { csvOf } from '../sheet/csv.ts';
import { dataOf, type SheetData } from '../sheet/data.ts';
import { dxfOf } from '../sheet/dxf.ts';
import { livingPageOf, pageOf } from '../sheet/html.ts';
import { markdownOf } from '../sheet/markdown.ts';
import { builtFile } from './built.ts';
import { diskProject, displayPath, openFile, TextPlaces } from './files.ts';
import { CallError, exitStatuses, type Io } from './io.ts';
import { packedText } from './pack.ts';
import { sweepOf } from './sweep.ts';

export type Format = 'html' | 'markdown' | 'csv' | 'json' | 'dxf';

interface SheetOptions {
  readonly format: Format;
  /** The folder to write into; without one, what is one text is printed. */
  readonly out?: string;
  /** Inputs that can be moved on the page, as axes of a sweep: the checker is then put into it. */
  readonly move?: readonly string[];
}

/**
 * Hands over the sheets of a file's machines, or of the one named. Throws a `CallError` where there is none, or several or several files
 * would have to be printed as one.
 */
export async function writeSheets(
  path: string,
  name: string | undefined,
  { format, out, move = [] }: SheetOptions,
  io: Io,
): Promise<number> {
  if (move.length > 0 && format !== 'html')
    throw new CallError('Only a page has inputs that can be moved: leave --format away.');
  const files =
    move.length > 0
      ? [await livingFile(path, name, move, io)]
      : (await Promise.all(sheetsOf(path, name, io, format).map((sheet) => filesOf(sheet, format)))).flat();
  if (files.length === 0) throw new CallError('Nothing is drawn of it: no place and no sides are said of any part.');
  if (out === undefined) {
    const [only, ...more] = files;
    if (!only || more.length > 0) {
      const names = files.map((file) => file.name);
      throw new CallError(`These are ${files.length} files: ${listed(names, 6)}. Name a folder for them with --out.`);
    }
    io.out(only.text);
    return exitStatuses.good;
  }
  const folder = resolve(io.cwd, out);
  try {
    mkdirSync(folder, { recursive: true });
    for (const file of files) writeFileSync(join(folder, file.name), file.text);
  } catch (error) {
    throw new CallError(`${displayPath(folder, io.cwd)} cannot be written: ${(error as Error).message}`);
  }
  for (const file of files) io.out(`${displayPath(join(folder, file.name), io.cwd)}\n`);
  return exitStatuses.good;
}

/** The page of a machine with inputs that can be moved. Throws a `CallError` where these cannot be gone through, or no machine is named. */
async function livingFile(path: string, machine: string | undefined, move: readonly string[], io: Io) {
  if (machine === undefined) throw new CallError('On which machine are inputs to be moved? Name it.');
  const [sheet] = sheetsOf(path, machine, io, 'html', false) as [SheetData];
  sweepOf({ cwd: io.cwd, path, machine, over: move, show: [] });
  const living = { uri: 'given:/machine.gusset', text: packedText(path, io), machine, over: move };
  return { name: `${machine}.html`, text: await livingPageOf(sheet, living, builtFile('living-page.js')) };
}

function sheetsOf(path: string, name: string | undefined, io: Io, format: Format, withSources = true): SheetData[] {
  const project = diskProject(io.cwd, [path]);
  const places = TextPlaces.onDisk(project, io.cwd);
  const file = openFile(project, resolve(io.cwd, path), io.cwd);
  // What is drawn rests on no verdict.
  if (format !== 'dxf') for (const _ of project.searchDeeper(file));
  const all = project.machines(file);
  const wanted = all.filter(({ tree }) => name === undefined || tree.name === name);
  if (wanted.length === 0) {
    const names = all.map(({ tree }) => tree.name);
    if (names.length === 0) throw new CallError(`${path} has no machine in it.`);
    throw new CallError(`${path} has no machine called ${name}. It has ${listed(names)}.`);
  }
  return wanted.map((machine) => {
    if (format === 'dxf') return dataOf(drawingSheetOf(machine), (node) => places.of(node));
    const side = { project, file, machine: machine.tree.name };
    const resting = withSources ? weakestSources(side, pathsToldFirst(machine), doubt) : [];
    return dataOf(sheetOf(machine, resting), (node) => places.of(node));
  });
}

async function filesOf(sheet: SheetData, format: Format): Promise<{ name: string; text: string }[]> {
  switch (format) {
    case 'html':
      return [{ name: `${sheet.machine}.html`, text: await pageOf(sheet) }];
    case 'markdown':
      return [{ name: `${sheet.machine}.md`, text: markdownOf(sheet) }];
    case 'csv':
      return csvOf(sheet);
    case 'dxf': {
      const text = dxfOf(sheet);
      return text === undefined ? [] : [{ name: `${sheet.machine}.dxf`, text }];
    }
    case 'json':
      return [{ name: `${sheet.machine}.json`, text: `${JSON.stringify(sheet, null, 2)}\n` }];
  }
}
