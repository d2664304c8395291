import { availableParallelism } from 'node:os';
import { Sweep, SweepError, type SweptPoint } from '../../language/explore/sweeping.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import { sideOnDisk } from './explore.ts';
import { CallError, exitStatuses, type Io } from './io.ts';
import { pathsIn } from './named-value.ts';
import { sweepPicture } from './sweep-picture.ts';
import { printedTable, type TableFormat } from './table.ts';
import { inThreads } from './threads.ts';

export interface SweepOptions {
  readonly format: TableFormat | 'svg';
  /** What is gone through: each an axis. */
  readonly over: readonly string[];
  readonly show: string;
  /** How many threads compute; 1 is this one. */
  readonly cores?: number;
}

/** What is gone through, as a thread is told of it. */
export interface SweepTask {
  readonly cwd: string;
  readonly path: string;
  readonly machine: string;
  readonly over: readonly string[];
  readonly show: readonly string[];
}

/** Which points a thread is to compute next. */
interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** With fewer points for each the others have no time to begin. */
const fewest = 60;
/** So many points are given to a thread at a time: few, so that all end together. */
const atOnce = 20;

/**
 * Goes through combinations of values and parts of a machine, and prints what comes of each and what fails there. Throws a `CallError` where
 * something cannot be gone through or shown.
 */
export async function sweepFile(path: string, machine: string, options: SweepOptions, io: Io): Promise<number> {
  const task = { cwd: io.cwd, path, machine, over: options.over, show: pathsIn(options.show) };
  if (task.over.length === 0) throw new CallError('What is to be gone through? Say it by --over.');
  const sweep = sweepOf(task);
  const cores = Math.min(options.cores ?? availableParallelism(), Math.floor(sweep.count / fewest));
  const points =
    cores > 1 && io.program
      ? await inThreads<Stretch, SweptPoint>(
          { does: 'sweep', ...task },
          stretchesOf(sweep),
          cores,
          io.program,
          progress(io),
        )
      : [...pointsOf(sweep, io)];
  io.out(printed(sweep, points, options.format));
  return exitStatuses.good;
}

/** What is gone through, checked. */
export function sweepOf({ cwd, path, machine, over, show }: SweepTask): Sweep {
  const side = sideOnDisk(path, machine, cwd);
  try {
    return new Sweep(side, over, show);
  } catch (error) {
    if (error instanceof SweepError)
      throw new CallError(`It cannot be gone through: ${error.message.replace(/\.$/, '')}.`);
    throw error;
  }
}

/** Computes the points of a stretch, in a thread. */
export function sweeper(task: SweepTask): (stretch: Stretch) => SweptPoint[] {
  const sweep = sweepOf(task);
  return ({ from, to }) => [...sweep.points(from, to)];
}

function stretchesOf({ count }: Sweep): Stretch[] {
  return Array.from({ length: Math.ceil(count / atOnce) }, (_, i) => ({
    from: i * atOnce,
    to: Math.min((i + 1) * atOnce, count),
  }));
}

function* pointsOf(sweep: Sweep, io: Io): Generator<SweptPoint> {
  const told = progress(io);
  let done = 0;
  for (const point of sweep.points()) {
    told(++done, sweep.count);
    yield point;
  }
}

/** Tells how far it has come, where somebody is looking. */
function progress({ progress }: Io): (done: number, of: number) => void {
  let last = -1;
  return (done, of) => {
    const share = Math.floor((100 * done) / of);
    if (share === last) return;
    last = share;
    progress?.(done < of ? `${share} %` : '');
  };
}

// ---- what is printed ----

function printed(sweep: Sweep, points: readonly SweptPoint[], format: SweepOptions['format']): string {
  if (format === 'svg') return sweepPicture(sweep, points);
  const heading = [...sweep.axes.map(({ path }) => path), ...sweep.shown.map(({ path }) => path), 'fails'];
  const rows = points.map(({ at, values, fails }) => [
    ...at.map((stop, axis) => sweep.axes[axis]?.stops[stop]?.shown ?? ''),
    ...values.map(({ shown }) => shown),
    // What fails is told below the table.
    format === 'text' ? String(fails.length || '') : fails.join('; '),
  ]);
  const table = printedTable(heading, rows, format);
  return format === 'text' ? `${table}${begins(sweep, points)}` : table;
}

/** Where things begin to fail along the last axis, in the order in which they do; what fails everywhere is told once. */
function begins(sweep: Sweep, points: readonly SweptPoint[]): string {
  const names = [...new Set(points.flatMap(({ fails }) => fails))];
  const lines = names.map((name) => {
    const number = points.filter(({ fails }) => fails.includes(name)).length;
    if (number === points.length) return `${name} fails everywhere`;
    const turned = turns(sweep, points, name).map(
      ({ point, to }) => `${to ? 'from' : 'up to before'} ${placeOf(sweep, point)}`,
    );
    return `${name} fails at ${number} of ${points.length}: ${listed(turned, 4)}`;
  });
  return lines.length > 0 ? `\n${lines.join('\n')}\n` : '\nNothing fails anywhere.\n';
}

interface Turn {
  readonly point: SweptPoint;
  /** Does it fail from there on, or no longer? */
  readonly to: boolean;
}

/** Where something turns along the last axis; at its beginning it turns where it fails there. */
function turns({ axes }: Sweep, points: readonly SweptPoint[], name: string): Turn[] {
  const length = axes.at(-1)?.stops.length ?? 1;
  return points.flatMap((point, n) => {
    const fails = point.fails.includes(name);
    const before = n % length > 0 && points[n - 1]?.fails.includes(name) === true;
    return fails === before ? [] : [{ point, to: fails }];
  });
}

function placeOf({ axes }: Sweep, { at }: SweptPoint): string {
  return axes
    .map(
      ({ path, stops, isPart }, i) =>
        `${path.split('.').at(-1)} ${isPart ? 'is ' : ''}${stops[at[i] as number]?.shown}`,
    )
    .join(', ');
}
