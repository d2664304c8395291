import { dirname, resolve } from 'node:path';
import { changeBetween } from '../../language/answers/compare.ts';
import { showCell, typeOfCell, valueOver } from '../../language/compute/show-cell.ts';
import { valueOrWhy } from '../../language/judge/verdict-words.ts';
import type { Type } from '../../language/names/type.ts';
import type { Project, SourceFile } from '../../language/project.ts';
import { Money, Range, Unknown, type Value } from '../../language/values/value.ts';
import { diskProject, openFile, ownLibrary, uriOf } from './files.ts';
import { commitsOf, projectAt } from './git.ts';
import { CallError, exitStatuses, type Io } from './io.ts';
import { valueNamed } from './named-value.ts';
import { printedTable, type TableFormat } from './table.ts';

export interface HistoryOptions {
  readonly format: TableFormat;
  /** So many commits are looked at. */
  readonly last: number;
  /** What moved by a smaller share than this is left out. */
  readonly least: number;
}

/** What a value came to with the texts of a commit, or why it came to nothing. */
interface Point {
  readonly shown: string;
  readonly value: Value;
  readonly type: Type | undefined;
}

/**
 * Prints what a value came to over the commits up to now: the first, and each that moved it. The library is that of now. Throws a
 * `CallError` where there is no such value now, nor a repository.
 */
export function history(path: string, value: string, options: HistoryOptions, io: Io): number {
  const full = resolve(io.cwd, path);
  const folder = dirname(full);
  const now = diskProject(io.cwd, [path]);
  const present = pointIn(now, openFile(now, full, io.cwd), value);
  if (typeof present === 'string') throw new CallError(present);
  const rows: string[][] = [];
  let before: Point | undefined;
  let texts: string | undefined;
  const add = (date: string, commit: string, point: Point, subject: string) => {
    if (before && !hasMoved(before, point, options.least)) return;
    rows.push([date, commit, point.shown, before ? changeInWords(before, point) : '', subject]);
    before = point;
  };
  for (const { name, date, subject, blob } of commitsOf(full, 'HEAD', options.last)) {
    const project = projectAt(name, folder, [io.cwd, folder].map(uriOf), ownLibrary());
    const file = blob === undefined ? undefined : project.file(uriOf(full));
    const own = file ? [...project.withUsed(file)].map(({ parsed }) => parsed.text).join('\0') : '';
    if (own === texts) continue;
    texts = own;
    const point = file ? pointIn(project, file, value) : 'not there';
    add(
      date,
      name.slice(0, 9),
      typeof point === 'string' ? { shown: point, value: new Unknown([]), type: undefined } : point,
      subject,
    );
  }
  add('now', '', present, 'what is not committed');
  io.out(printedTable(['day', 'commit', value, 'moved by', 'change'], rows, options.format));
  return exitStatuses.good;
}

/** A value in a file, or why there is none. */
function pointIn(project: Project, file: SourceFile, path: string): Point | string {
  const machines = project.machines(file);
  const machine =
    machines.find(({ tree }) => path.startsWith(`${tree.name}.`)) ?? (machines.length === 1 ? machines[0] : undefined);
  if (!machine) return machines.length === 0 ? 'no machine' : `no machine that ${path} begins with`;
  try {
    const cell = valueNamed(path, machine);
    const value = valueOver(cell, machine);
    return { shown: valueOrWhy(value, showCell(cell, machine, value)), value, type: typeOfCell(cell) };
  } catch (error) {
    if (error instanceof CallError) return error.message;
    throw error;
  }
}

function hasMoved(before: Point, after: Point, least: number): boolean {
  if (before.shown === after.shown) return false;
  const change = before.type && after.type ? changeBetween(before.value, after.value, before.type) : undefined;
  return change === undefined || change >= least;
}

/** `12 % more` than it was, `52 to 54 % less` at both ends of ranges; of a point of temperature, of which there is no share, `12 K more`. */
function changeInWords({ value: a, type }: Point, { value: b }: Point): string {
  const [was, is] = [endsOf(a), endsOf(b)];
  const isPoint = type?.is === 'quantity' && type.points === true;
  if (!was || !is || (!isPoint && was.includes(0))) return '';
  const moved = is.map((end, i) => (end - (was[i] as number)) / (isPoint ? 1 : Math.abs(was[i] as number) / 100));
  const said = (by: number) => `${Number(Math.abs(by).toPrecision(2))}`;
  const unit = isPoint ? 'K' : '%';
  const way = (by: number) => (by > 0 ? 'more' : 'less');
  const [low, high] = moved.toSorted((x, y) => Math.abs(x) - Math.abs(y)) as [number, number];
  if (low * high < 0) return moved.map((by) => `${said(by)} ${unit} ${way(by)}`).join(' to ');
  const amounts = [...new Set([said(low), said(high)])];
  return `${amounts.join(' to ')} ${unit} ${way(high)}`;
}

/** Both ends of what is known of a number; undefined of all else. */
function endsOf(value: Value): [number, number] | undefined {
  if (typeof value === 'number') return [value, value];
  if (value instanceof Range) return [value.low, value.high];
  return value instanceof Money ? [value.amount, value.amount] : undefined;
}
