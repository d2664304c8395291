// What would explain that a machine does other than was computed: a range, an input within its tolerance, or a single defect.

import { cellAt } from '../answers/derivation.ts';
import { type Cell, computedCell } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Machine } from '../compute/machine.ts';
import { marginOf, rankOf } from '../compute/margin.ts';
import { deviationsOf } from '../compute/measurements.ts';
import { renderMessage } from '../compute/message.ts';
import { showCell, typeOfCell } from '../compute/show-cell.ts';
import { docOf } from '../grammar/syntax.ts';
import { writeBlock, writeValue } from '../judge/edit.ts';
import { putInPlace } from '../judge/trials.ts';
import type { Instance } from '../machine/tree.ts';
import { withEdits } from '../mistakes/mistake.ts';
import { listed } from '../mistakes/sentence.ts';
import type { Checking } from '../names/kind.ts';
import { alone, rewrite, type Side } from '../one-machine.ts';
import { clausesOf } from '../units/units.ts';
import { isMissing, type Value } from '../values/value.ts';
import { rangeSuspect, rangesOf, type Suspect, suspectsOf } from './suspects.ts';

/** Why nothing can be said of what is amiss. */
export class DiagnosisError extends Error {}

/** What would explain it. */
export interface Cause {
  readonly by: Suspect['by'];
  readonly path: string;
  readonly title: string;
  /** What is otherwise then: `bed.heater.power 68 W instead of 80 W`. */
  readonly change: string;
  /** What each of the observations comes to then, in their order. */
  readonly seen: readonly string[];
  /** Does it explain all of them, within what a reading is off by? */
  readonly explains: boolean;
  /** How likely it is beside the others; all together 1. */
  readonly weight: number;
  /** How it is looked whether it is so; what is read then, and what if all is as it is written, where these differ; which of the other causes told here read alike. */
  readonly how: string;
  readonly reads?: string;
  readonly asWritten?: string;
  readonly alike: readonly string[];
}

export interface Diagnosis {
  /** What was seen, what was computed in its place, and whether that is the same within what a reading is off by. */
  readonly observed: readonly { readonly what: string; readonly computed: string; readonly isAsComputed: boolean }[];
  /** At what the ranges were taken that were not said. */
  readonly at: readonly string[];
  readonly causes: readonly Cause[];
  /** How many could be otherwise and were tried. */
  readonly tried: number;
}

/** A reading is off by so much: a share of it, or of a temperature kelvins. */
const readingError = 0.02;
const readingErrorKelvin = 1;
/** Where a symptom does not show, by what share it may be missed and still be meant. */
const symptomError = 0.05;
/** Each suspect is tried at its ends, then, if it moves anything, in the middle, and at so many places more where it fits best. */
const morePlaces = 3;
/** What moves everything by less, in errors of a reading, is not looked at more closely. */
const leastMove = 0.1;
/** How fine what lies between is looked at. */
const gridSteps = 100;
/** So many causes are told of. */
const mostCauses = 8;
/** Readings that differ by a smaller share tell nothing apart. */
const leastApart = 0.03;

/** Something that was seen, as a number of the machine. */
interface Seen {
  readonly what: string;
  readonly cells: readonly Cell[];
  /** Undefined where it is not known. */
  readonly number: () => number | undefined;
  /** How many errors of a reading it is off, and up to how many it is explained. */
  readonly off: (number: number) => number;
  readonly upTo: number;
  readonly show: (number: number) => string;
}

/**
 * What would explain what was seen of a machine, most likely first. `seen` are measured values, `bed.ready_time = 8 min`, and symptoms by
 * name, with the path of their block or without; where there are none, the `measured` lines of the text that differ. `at` says at what ranges
 * were taken: `ambient = 22 degC`. Throws a `DiagnosisError` where one of them means nothing, or is not known.
 *
 * Source: each cause by itself is weighed by Bayes' rule: how often it is met, times how likely it makes what was seen, over all places where
 * it can be. Errors of readings are spread as Student's t with three degrees of freedom is, so that what fits nothing still has an order.
 */
export function diagnose(side: Side, seen: readonly string[], at: readonly string[]): Diagnosis {
  const own = aloneAt(side, at);
  const values = seen.filter((each) => each.includes('='));
  for (const each of values)
    write(own, each, ([path, value], machine) =>
      writeBlock(machine.tree, `measured ${path} = ${value} on ${someDay}`, machine.entry),
    );
  const machine = machineOf(own);
  const symptoms = seen.filter((each) => !each.includes('='));
  const measured = values.length > 0 || symptoms.length === 0 ? deviations(machine, values.length > 0) : [];
  const observed = [...measured, ...symptoms.map((name) => symptomSeen(name, machine))];
  if (observed.length === 0)
    throw new DiagnosisError(
      `nothing was measured of ${side.machine} that differs: say what was seen, such as a value = what was read, or a symptom: ${listed(symptomNames(machine), 12)}`,
    );
  return diagnosisOf(observed, machine);
}

/** A machine in a project of its own, with its ranges where they are said to be. Throws a `DiagnosisError` where one of these means nothing. */
export function machineAt(side: Side, at: readonly string[]): Machine {
  return machineOf(aloneAt(side, at));
}

function aloneAt(side: Side, at: readonly string[]): Side {
  const own = alone(side, [side.machine]);
  for (const each of at)
    write(own, each, ([path, value], machine) => {
      const cell = cellAt(path, machine);
      if (!cell) throw new DiagnosisError(`${side.machine} has no value ${path}`);
      return writeValue(cell.instance, cell.name, value, machine.entry);
    });
  return own;
}

/** Whatever day it was: it is not told. */
const someDay = '2000-01-01';

/** The names of all symptoms that blocks of a machine can have, and what each is. */
export function symptomsOf(
  side: Side,
): { readonly name: string; readonly doc: string; readonly blocks: readonly string[] }[] {
  const machine = machineOf(alone(side, [side.machine]));
  return symptomNames(machine).map((name) => {
    const found = symptomsCalled(name, machine);
    return {
      name,
      doc: docOf(found[0]?.symptom.node as Checking['node']).replace(/\s+/g, ' '),
      blocks: found.map(({ instance }) => (instance.holder ? instance.label : instance.name)),
    };
  });
}

function machineOf({ project, file, machine }: Side): Machine {
  const found = project.computed(file).find(({ tree }) => tree.name === machine);
  if (!found) throw new DiagnosisError(`there is no machine ${machine}`);
  return found;
}

/** Writes something that was said as PATH = VALUE into the text. */
function write(
  side: Side,
  said: string,
  edit: (said: [string, string], machine: Machine) => ReturnType<typeof writeValue>,
): void {
  const [, path = '', value = ''] = /^\s*([^=]*?)\s*=\s*(.*?)\s*$/s.exec(said) ?? [];
  if (!path || !value) throw new DiagnosisError(`${said} says nothing: expected PATH = VALUE`);
  const text = withEdits([edit([path, value], machineOf(side))], side.file.parsed.text);
  const mistake = rewrite(side, text);
  if (mistake) throw new DiagnosisError(`${said}: ${mistake.replace(/\.$/, '')}`);
}

/** The measured values: those that were said on the call, or else those of the text that differ from what is computed. */
function deviations(machine: Machine, said: boolean): Seen[] {
  const all = deviationsOf(machine).filter(({ inPlace, date }) => !inPlace && (!said || date === someDay));
  return all.flatMap(({ cell, path, measured }) => {
    if (typeof measured !== 'number') return [];
    const type = typeOfCell(cell);
    const isPoint = type.is === 'quantity' && (type.points ?? false);
    const error = isPoint ? readingErrorKelvin : readingError * Math.abs(measured) || readingError;
    const show = (value: Value) => showCell(cell, machine, value);
    const number = () => asNumber(machine.engine.value(cell));
    const now = number();
    if (!said && now !== undefined && Math.abs(now - measured) < error) return [];
    return {
      what: `${path} ${show(measured)}`,
      cells: [cell],
      number,
      off: (n) => Math.abs(n - measured) / error,
      upTo: 3,
      show,
    };
  });
}

function asNumber(value: Value): number | undefined {
  return typeof value === 'number' && Number.isFinite(value) ? value : undefined;
}

// ---- symptoms ----

interface Symptom {
  readonly symptom: Checking;
  readonly instance: Instance;
}

function symptomNames({ tree }: Machine): string[] {
  return [...new Set(tree.all().flatMap(({ kind }) => [...kind.checkings('symptom').keys()]))].sort();
}

/** All symptoms of that name, of the block whose path is said, or of every block. */
function symptomsCalled(said: string, machine: Machine): Symptom[] {
  const name = said.split('.').at(-1) as string;
  const path = said.slice(0, -name.length - 1);
  return machine.tree.all().flatMap((instance) => {
    const symptom = instance.kind.checkings('symptom').get(name);
    const isMeant = path === '' || instance.label === path || instance.label.startsWith(`${path}.`);
    return symptom && isMeant ? [{ symptom, instance }] : [];
  });
}

/** A symptom of a block. */
export interface Shown {
  /** The path of the block. */
  readonly path: string;
  /** What shows, in words. */
  readonly what: () => string;
  /** Whether it shows. */
  readonly cell: Cell;
  /** By how much it does, below zero where it does not; undefined where it cannot be, or that is not known. */
  readonly margin: () => number | undefined;
}

/** A symptom of every block that can have it, or of the block whose path is said. Throws a `DiagnosisError` where there is none. */
export function symptomsShown(said: string, machine: Machine): Shown[] {
  const found = symptomsCalled(said, machine);
  if (found.length === 0)
    throw new DiagnosisError(
      `${machine.tree.name} has no symptom called ${said}. It has ${listed(symptomNames(machine), 12)}`,
    );
  return found.map(({ symptom, instance }) => shownBy(symptom, instance, machine));
}

function symptomSeen(said: string, machine: Machine): Seen {
  const { engine } = machine;
  const shown = symptomsShown(said.trim(), machine);
  const known = () => shown.flatMap(({ margin }) => margin() ?? []);
  if (known().length === 0) {
    const because = engine.value(shown[0]?.cell as Cell);
    throw new DiagnosisError(
      `whether ${said.trim()} shows is not known${isMissing(because) ? `: ${showCell(shown[0]?.cell as Cell, machine, because)}` : ''}`,
    );
  }
  return {
    what: said.trim(),
    cells: shown.map(({ cell }) => cell),
    // On whichever block it shows.
    number: () => {
      const all = known();
      return all.length > 0 ? Math.max(...all) : undefined;
    },
    off: (margin) => Math.max(0, -margin) / symptomError,
    upTo: 1,
    show: (margin) =>
      margin >= 0 ? 'it shows' : `it does not show, ${Number((-margin * 100).toPrecision(2))} % from where it does`,
  };
}

function shownBy({ node, owner, name }: Checking, instance: Instance, machine: Machine): Shown {
  const frame = { engine: machine.engine, self: instance, scope: owner.scope, mode: 'kind' as const };
  const ctx = { scope: owner.scope, mode: 'kind' as const, kind: owner, report: () => {} };
  const [shows] = clausesOf(node, 'shows').flatMap(({ values }) => values);
  const when = clausesOf(node, 'when').flatMap(({ values }) => values);
  const cell = computedCell(instance, `symptom ${name}`, owner.scope, () => {
    for (const each of when) {
      const value = evaluate(each, frame);
      if (value !== true) return value;
    }
    return shows ? evaluate(shows, frame) : false;
  });
  const margin = (): number | undefined => {
    const { engine } = machine;
    const applies = when.every((each) => engine.aside(() => evaluate(each, frame)) === true);
    const verdict = applies && shows ? engine.aside(() => evaluate(shows, frame)) : undefined;
    if (typeof verdict !== 'boolean') return undefined;
    const by = engine.aside(() => marginOf(shows, frame, ctx));
    return by ? rankOf(by) : verdict ? 1 : -1;
  };
  const how = clausesOf(node, 'how')[0]?.values[0];
  const what = () =>
    how?.$type === 'Text'
      ? machine.engine.aside(() => renderMessage(how, frame, ctx))
      : docOf(node).replace(/\s+/g, ' ');
  return { path: instance.holder ? instance.label : instance.name, what, cell, margin };
}

// ---- what explains it ----

function diagnosisOf(observed: readonly Seen[], machine: Machine): Diagnosis {
  const { engine } = machine;
  const cells = observed.flatMap((seen) => seen.cells);
  const rangeCells = rangesOf(cells, machine);
  const ranges = rangeCells.map((cell) => rangeSuspect(cell, machine));
  const rest = new Map(ranges.flatMap((range) => [...range.at(range.near)]));
  for (const [cell, value] of rest) putInPlace(cell, value, engine);
  return engine.under(engine.low, () => {
    const now = observed.map((seen) => seen.number());
    const unknown = observed.find((_, i) => now[i] === undefined);
    if (unknown) throw new DiagnosisError(`${unknown.what}: what is computed of it is not known`);
    const suspects = [...ranges, ...suspectsOf(cells, rangeCells, machine)];
    const fits = suspects.flatMap((suspect) => fitOf(suspect, observed, now as number[], machine) ?? []);
    // What is as it is written explains what lies within the errors of readings.
    const likely = now.reduce<number>((so, n, i) => so * likelihood((observed[i] as Seen).off(n as number)), 1);
    const total = fits.reduce((sum, { weight }) => sum + weight, likely);
    const ranked = fits.toSorted(
      (a, b) => Number(b.explains) - Number(a.explains) || (a.explains ? b.weight - a.weight : b.likely - a.likely),
    );
    return {
      observed: observed.map((seen, i) => ({
        what: seen.what,
        computed: seen.show(now[i] as number),
        isAsComputed: seen.off(now[i] as number) < 1,
      })),
      at: [...rest].map(
        ([cell, value]) =>
          `${cell.instance.holder ? `${cell.instance.label}.` : ''}${cell.name} ${showCell(cell, machine, value)}`,
      ),
      causes: causesOf(ranked.slice(0, mostCauses), observed, total, machine),
      tried: suspects.length,
    };
  });
}

function isExplained(number: number, { off, upTo }: Seen): boolean {
  return off(number) <= upTo;
}

/** How likely an observation is that is so many errors off, beside one that is not off at all: Student's t with three degrees of freedom. */
function likelihood(off: number): number {
  return 1 / (1 + off ** 2 / 3) ** 2;
}

interface Fit {
  readonly suspect: Suspect;
  /** Where it fits best. */
  readonly place: number;
  readonly numbers: readonly number[];
  readonly explains: boolean;
  /** How likely it makes what was seen where it fits best; and over all places, times how often it is met. */
  readonly likely: number;
  readonly weight: number;
}

/** What a suspect makes of what was seen; undefined where that is not known, or no other than what is computed `now`. */
function fitOf(
  suspect: Suspect,
  observed: readonly Seen[],
  now: readonly number[],
  { engine }: Machine,
): Fit | undefined {
  const tried = new Map<number, readonly number[]>();
  const tryAt = (place: number): boolean => {
    const numbers = engine.supposing(suspect.at(place), () => observed.map((seen) => seen.number()));
    if (numbers.some((n) => n === undefined)) return false;
    tried.set(place, numbers as number[]);
    return true;
  };
  for (const place of suspect.isOne ? [suspect.near] : [0, 1]) tryAt(place);
  const moves = [...tried.values()].some((numbers) =>
    numbers.some(
      (n, i) => Math.abs((observed[i] as Seen).off(n) - (observed[i] as Seen).off(now[i] as number)) > leastMove,
    ),
  );
  if (!suspect.isOne && (moves || tried.size < 2)) tryAt(0.5);
  if (![...tried.values()].some((numbers) => numbers.some((n, i) => n !== now[i]))) return undefined;
  const between = (place: number): number[] => {
    const places = [...tried.keys()].sort((a, b) => a - b);
    const above = places.find((each) => each >= place) ?? (places.at(-1) as number);
    const below = places.findLast((each) => each <= place) ?? (places[0] as number);
    const [low, high] = [tried.get(below), tried.get(above)] as [readonly number[], readonly number[]];
    const share = above === below ? 0 : (place - below) / (above - below);
    return low.map((n, i) => n + share * ((high[i] as number) - n));
  };
  const likelyAt = (place: number) =>
    between(place).reduce((so, n, i) => so * likelihood((observed[i] as Seen).off(n)), 1);
  const grid = suspect.isOne ? [suspect.near] : Array.from({ length: gridSteps + 1 }, (_, i) => i / gridSteps);
  // Of places that explain it as well, that which is nearest to what is written.
  const bestOf = () => {
    const most = Math.max(...grid.map(likelyAt));
    const good = grid.filter((place) => likelyAt(place) >= most * 0.9999);
    return good.reduce((a, b) => (Math.abs(b - suspect.near) < Math.abs(a - suspect.near) ? b : a));
  };
  for (let n = 0; n < (suspect.isOne || !moves ? 0 : morePlaces); n++) {
    const place = bestOf();
    if (tried.has(place) || !tryAt(place)) break;
  }
  const place = [...tried.keys()].length > 1 ? bestOf() : ([...tried.keys()][0] as number);
  const numbers = between(place);
  return {
    suspect,
    place,
    numbers,
    explains: numbers.every((n, i) => isExplained(n, observed[i] as Seen)),
    likely: likelyAt(place),
    weight: (suspect.odds * grid.reduce((sum, at) => sum + likelyAt(at), 0)) / grid.length,
  };
}

/** The causes as they are told, each with what tells it from the others. */
function causesOf(fits: readonly Fit[], observed: readonly Seen[], total: number, { engine }: Machine): Cause[] {
  return fits.map((fit): Cause => {
    const { suspect, place, numbers, explains, weight } = fit;
    const { how, read, show } = suspect.reading;
    const under = ({ suspect: other, place: at }: Fit) => read && engine.supposing(other.at(at), read);
    const own = under(fit);
    const others = fits.filter((other) => other !== fit && own !== undefined && isAlike(own, under(other) as Value));
    return {
      by: suspect.by,
      path: suspect.path,
      title: suspect.title,
      change: suspect.show(place),
      seen: numbers.map((n, i) => (observed[i] as Seen).show(n)),
      explains,
      weight: weight / total,
      how,
      ...(own !== undefined && read && !isAlike(own, read()) && { reads: show(own), asWritten: show(read()) }),
      alike: others.map((other) => other.suspect.path),
    };
  });
}

/** Can two readings not be told apart? */
function isAlike(a: Value, b: Value): boolean {
  if (typeof a !== 'number' || typeof b !== 'number') return a === b;
  return Math.abs(a - b) <= leastApart * Math.max(Math.abs(a), Math.abs(b));
}
