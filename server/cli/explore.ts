import { resolve } from 'node:path';
import type { Influence } from '../../language/answers/foundations.ts';
import { AlternativesError } from '../../language/explore/alternatives.ts';
import { AroundError, around, aroundInWords } from '../../language/explore/around.ts';
import { DiagnosisError } from '../../language/explore/diagnosis.ts';
import { type Goal, GoalError, goalOf } from '../../language/explore/goal.ts';
import { InfluenceError, influences } from '../../language/explore/influence.ts';
import { type Spread, SpreadError, spreadOf } from '../../language/explore/spreading.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import { type Side, treesIn } from '../../language/one-machine.ts';
import { diskProject, openFile } from './files.ts';
import { CallError, columns, count, exitStatuses, type Io, stylesFor } from './io.ts';

/** How what is found is printed. */
export type Format = 'text' | 'json';

/** A machine of a file on the disk. Throws a `CallError` where there is none of that name. */
export function sideOnDisk(path: string, machine: string, cwd: string): Side {
  const project = diskProject(cwd, [path]);
  const file = openFile(project, resolve(cwd, path), cwd);
  const names = treesIn({ project, file }).map(({ name }) => name);
  if (names.includes(machine)) return { project, file, machine };
  throw new CallError(
    `${path} has no machine called ${machine}. ${names.length > 0 ? `It has ${listed(names)}.` : 'It has none.'}`,
  );
}

/** A path below the machine, whether or not it begins with its name. */
export function below(path: string, machine: string): string {
  return path.startsWith(`${machine}.`) ? path.slice(machine.length + 1) : path;
}

const refusals = [AlternativesError, AroundError, GoalError, InfluenceError, SpreadError, DiagnosisError];

function sentenceOf({ message }: Error): string {
  // A path keeps its letters.
  const begun = /^\w+[._]\w/.test(message) ? message : `${message.charAt(0).toUpperCase()}${message.slice(1)}`;
  return /[.?]$/.test(begun) ? begun : `${begun}.`;
}

/** Does some work; what cannot be asked for is told as a mistake in the call. */
export function asCall<T>(work: () => T): T {
  try {
    return work();
  } catch (error) {
    if (refusals.some((each) => error instanceof each)) throw new CallError(sentenceOf(error as Error));
    throw error;
  }
}

export function inJson(data: unknown): string {
  return `${JSON.stringify(data, null, 2)}\n`;
}

/** Prints the greatest or least value with which nothing fails, and what stops it. */
export function printGoal(
  path: string,
  machine: string,
  direction: string,
  value: string,
  format: Format,
  io: Io,
): number {
  if (direction !== 'greatest' && direction !== 'least')
    throw new CallError(`${direction} is no direction: expected greatest or least.`);
  const goal = asCall(() => goalOf(sideOnDisk(path, machine, io.cwd), below(value, machine), direction));
  io.out(format === 'json' ? inJson(goal) : goalText(goal, value, direction));
  return exitStatuses.good;
}

function goalText({ answer, stops }: Goal, value: string, direction: string): string {
  const others = stops.slice(1).map(({ rule, path, message }) => `  ${rule}${path ? ` (${path})` : ''}: ${message}`);
  const besides = others.length > 0 ? `What stops it as well:\n${others.join('\n')}\n` : '';
  return `${direction} ${value}: ${answer}\n${besides}`;
}

/** Prints how far a number can go either way before a rule or a requirement turns. */
export function printAround(path: string, machine: string, value: string, format: Format, io: Io): number {
  const found = asCall(() => around(sideOnDisk(path, machine, io.cwd), below(value, machine)));
  io.out(format === 'json' ? inJson(found) : `${value} is ${found.shown}. ${aroundInWords(found)}\n`);
  return exitStatuses.good;
}

/** A bar is as long at most (characters). */
const longest = 24;

/** Prints how much each input moves a value, as bars. */
export function printInfluences(
  path: string,
  machine: string,
  value: string,
  share: number,
  format: Format,
  io: Io,
): number {
  const found = asCall(() => influences(sideOnDisk(path, machine, io.cwd), below(value, machine), share));
  io.out(format === 'json' ? inJson(found) : influenceText(found, value, io));
  return exitStatuses.good;
}

function influenceText(found: readonly Influence[], value: string, io: Io): string {
  if (found.length === 0)
    return `No range and no tolerance moves ${value}. By --by 5 % every number that is given is moved by so much.\n`;
  const most = Math.abs(found[0]?.moved ?? 0) || 1;
  const { heading } = stylesFor(io);
  // What moves it by less than is shown is only counted.
  const seen = found.filter(({ atFrom, atTo }) => atFrom !== atTo);
  const rest = found.length - seen.length;
  const rows = seen.map(({ path, by, from, to, atFrom, atTo, moved }) => {
    const bar = '█'.repeat(Math.max(1, Math.round((Math.abs(moved) / most) * longest)));
    return [path, `${from} → ${to}`, by === 'share' ? '' : by, `${atFrom} → ${atTo}`, bar];
  });
  const more = rest > 0 ? `${count(rest, 'other')} by less than is shown.\n` : '';
  return `${heading(`What moves ${value}`)}\n${columns(rows).join('\n')}\n${more}`;
}

/** Prints how a value and the requirements spread over machines that are built alike. */
export function printSpread(
  path: string,
  machine: string,
  value: string,
  { draws, seed, format }: { readonly draws: number; readonly seed: number; readonly format: Format },
  io: Io,
): number {
  if (draws < 1) throw new CallError('At least one machine has to be drawn.');
  const spread = asCall(() => spreadOf(sideOnDisk(path, machine, io.cwd), below(value, machine), draws, seed));
  io.out(format === 'json' ? inJson(spread) : spreadText(spread, value, draws, seed, io));
  return exitStatuses.good;
}

function spreadText(
  { tolerances, nominal, drawn, mostly, worst, requirements }: Spread,
  value: string,
  draws: number,
  seed: number,
  io: Io,
): string {
  const { heading } = stylesFor(io);
  const rows = [
    ['as it is written', nominal],
    ['nine of ten', mostly],
    [`all ${draws}`, drawn],
    ['at worst', worst],
  ];
  const met = requirements.map(({ text, share, atWorst }) => [
    `${Number((share * 100).toPrecision(3))} %`,
    text,
    atWorst === undefined ? 'at worst not known' : atWorst ? 'at worst too' : 'not at worst',
  ]);
  return [
    heading(`${value}, of ${draws} machines drawn with the seed ${seed}`),
    ...columns(rows).map((line) => `  ${line}`),
    `  over ${listed(
      tolerances.map(({ path, shown }) => `${path} ${shown}`),
      6,
    )}`,
    ...(met.length > 0
      ? [heading('Requirements, and the share that meets them'), ...columns(met).map((line) => `  ${line}`)]
      : []),
    '',
  ].join('\n');
}
