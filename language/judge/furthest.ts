import type { Cell } from '../compute/cell.ts';
import { type Margin, rankOf, showMargin } from '../compute/margin.ts';
import type { QuantityType } from '../names/type.ts';
import { showValue, unitFor } from '../values/show.ts';
import type { Range } from '../values/value.ts';
import type { Candidate } from './candidates.ts';
import { excluding } from './excluding.ts';
import { compare } from './joint.ts';
import type { Failure, OpenPlace, PassedOver, Trials } from './trials.ts';
import { meantRange } from './whatever.ts';

/** The greatest or least value of a number with which nothing fails. */
export interface Furthest {
  readonly direction: 'greatest' | 'least';
  /** Undefined where no value holds, or nothing stops it. */
  readonly found: Candidate | undefined;
  /**
   * Where no value holds: the one that suits what the number is for, else with which what fails does by the least; where something fails
   * with any, with which nothing else does.
   */
  readonly nearest: Candidate | undefined;
  /** Does something fail with any value? It is found at its own place. */
  readonly isAnyhow?: true;
  /** What fails a step further on or, where no value holds, what fails where the least does. */
  readonly stops: readonly Failure[];
  /** Where no value holds: the fewest things that together rule out all, each where it fails by the least. */
  readonly why?: readonly Failure[];
  /** How far what stops it is from failing with what was found. */
  readonly margin: string | undefined;
  /** Where what holds falls apart: its stretches, in words. */
  readonly stretches: readonly string[];
  /**
   * Where no value holds: some with which all may hold once other things stand in place of what else is open, the likeliest first; where
   * nothing stops it, one that holds.
   */
  readonly begin: readonly number[];
  /** Where nothing stops it up to where nothing more can be meant: that, in words. */
  readonly bound?: string;
  /** Was it not looked for, since so many values were tried for others that no more may be? */
  readonly isLeftOut?: true;
}

/** A value, and the keys of what fails with it, and whether that is grave. */
interface Sample {
  readonly at: number;
  readonly failing: ReadonlyMap<string, boolean>;
}

/** Samples for each factor of ten, and between which powers of ten of the basic unit. */
const [perDecade, lowest, highest] = [3, -9, 7];
/** Points of temperature are looked at in these steps, between these (K). */
const [step, coldest, hottest] = [20, 193, 1473];
const sizes = Array.from({ length: (highest - lowest) * perDecade + 1 }, (_, i) => 10 ** (lowest + i / perDecade));
const degrees = Array.from({ length: (hottest - coldest) / step + 1 }, (_, i) => coldest + i * step);
/** So many values are begun with, where none holds with what stands in place of other choices at first. */
const mostBegun = 6;
/** What falls short by more is as far as can be told. */
const mostShort = 10;
/** So often an interval is halved. */
const halvings = 14;

/** What was found for open numbers, by where each stands and what is asked for. */
export type KeptNumbers = ReadonlyMap<string, Furthest>;

/** What was found for some open numbers, or comes nearest, to be kept while it is asked for. */
export function foundFor(numbers: ReadonlyMap<number, Furthest>, { places }: Trials): KeptNumbers {
  return new Map(
    [...numbers].flatMap(([choice, number]) =>
      number.found || number.nearest ? [[keyOf(places[choice] as OpenPlace, number.direction), number] as const] : [],
    ),
  );
}

function keyOf({ path, name }: OpenPlace, direction: Furthest['direction']): string {
  return `${path}\n${name}\n${direction}`;
}

/** How the furthest value is looked for. */
export interface Looking {
  /** So many values may be tried. */
  readonly left: { samples: number };
  /** What is passed over, since it may be met once other things stand in place of what else is open. */
  readonly passedOver?: PassedOver;
  /** Of each number the one that suits what it is for, where that is known. */
  readonly wanted?: ReadonlyMap<number, Furthest>;
  /** These stand as they are, and are not looked for again. */
  readonly kept?: KeptNumbers | undefined;
}

/** Looks for the furthest value of an open number at which no error, warning or requirement fails that rests on it. In steps. */
export function* furthestFor(
  choice: number,
  trials: Trials,
  { left, passedOver, wanted, kept }: Looking,
): Generator<void, Furthest | undefined> {
  const cell = trials.cellAt(choice);
  const direction = trials.places[choice]?.node.furthest;
  const type = cell?.member?.type;
  if (!cell || !direction || type?.is !== 'quantity') return undefined;
  const known = kept?.get(keyOf(trials.places[choice] as OpenPlace, direction));
  if (known) return known;
  const none = { direction, found: undefined, nearest: undefined, stops: [], margin: undefined, stretches: [] };
  if (left.samples <= 0) return { ...none, begin: [], isLeftOut: true };
  const search = new Search(choice, trials, passedOver, type, cell, left);
  const samples = yield* search.samples();
  const always = common(samples);
  const holds = ({ failing }: Sample) => [...failing.keys()].every((key) => always.includes(key));
  const runs = runsOf(samples, holds);
  const isLast = direction === 'greatest';
  if (runs.length === 0) {
    const suits = wanted?.get(choice)?.found;
    const nearest = suits ?? search.candidate(yield* search.nearest(samples, isLast));
    const there = yield* search.sample(nearest.value as number);
    const stops = trials.failuresWith(there.failing, always);
    const why = yield* search.ruledOutBy([there, ...samples], always);
    return { ...none, nearest, stops, why, begin: likeliest(samples, direction) };
  }
  const ends = yield* search.ends(samples, runs, holds);
  const end = isLast ? ends.at(-1)?.[1] : ends[0]?.[0];
  if (always.length > 0) {
    const near =
      end === undefined
        ? search.written((yield* search.leastWrong(samples.filter(holds), isLast)).at)
        : yield* search.rounded(end, isLast, holds);
    const there = yield* search.sample(near.at);
    return {
      ...none,
      nearest: search.candidate(near),
      isAnyhow: true,
      stops: trials.failuresWith(there.failing, []),
      begin: likeliest(samples, direction),
    };
  }
  const stretches = ends.map((each) => search.inWords(each));
  if (end === undefined) {
    trials.putNumber(choice, undefined);
    const inner = isLast ? ends.at(-1)?.[0] : ends[0]?.[1];
    return { ...none, stretches, begin: inner === undefined ? [] : [inner], bound: search.bound(isLast) };
  }
  const rounded = yield* search.rounded(end, isLast, holds);
  const further = yield* search.sample(rounded.at + (isLast ? 1 : -1) * rounded.step);
  const stops = trials.failuresWith(further.failing, []);
  trials.putNumber(choice, rounded.at);
  const margin = trials.marginOf(stops[0]?.key ?? '');
  return {
    ...none,
    found: search.candidate(rounded),
    stops,
    margin: margin && showMargin(margin),
    stretches,
    begin: [],
  };
}

/** Of each stretch of values with which the same fails the one in the middle: with which the least fails first, then the furthest. */
function likeliest(samples: readonly Sample[], direction: Furthest['direction']): number[] {
  const keysOf = (sample: Sample) => [...sample.failing.keys()].sort().join();
  const stretches: Sample[][] = [];
  for (const sample of direction === 'least' ? samples : samples.toReversed()) {
    const last = stretches.at(-1);
    if (last && keysOf(last[0] as Sample) === keysOf(sample)) last.push(sample);
    else stretches.push([sample]);
  }
  return stretches
    .map((some) => some[Math.floor(some.length / 2)] as Sample)
    .sort((a, b) => compare(weight(a), weight(b)))
    .slice(0, mostBegun)
    .map(({ at }) => at);
}

/** By how much something falls short, wherever its number is: twice its limit is as far from it as half of it. */
function shortBy(margin: Margin): number {
  if (margin.inKelvin) return -rankOf(margin);
  const times = margin.operator.startsWith('<') ? 1 - margin.amount : 1 + margin.amount;
  return Math.min(Math.abs(Math.log(Math.max(times, 0))), mostShort);
}

/** What fails with all of them. */
function common(samples: readonly Sample[]): string[] {
  const [first] = samples;
  return [...(first?.failing.keys() ?? [])].filter((key) => samples.every(({ failing }) => failing.has(key)));
}

/** How many grave things fail, and how many others. */
function weight({ failing }: Sample): number[] {
  const grave = [...failing.values()].filter((each) => each).length;
  return [grave, failing.size - grave];
}

/** The stretches of samples that hold, by the first and the last. */
function runsOf(samples: readonly Sample[], holds: (sample: Sample) => boolean): [number, number][] {
  const runs: [number, number][] = [];
  for (const [i, sample] of samples.entries()) {
    if (!holds(sample)) continue;
    const last = runs.at(-1);
    if (last && last[1] === i - 1) last[1] = i;
    else runs.push([i, i]);
  }
  return runs;
}

/** Where a stretch that holds begins and ends; undefined where that is where the samples do. */
type Stretch = readonly [low: number | undefined, high: number | undefined];

/** A number as it would be written, and how far the next one with as many digits is. */
interface Written {
  readonly at: number;
  readonly text: string;
  readonly step: number;
}

class Search {
  readonly choice: number;
  readonly trials: Trials;
  readonly passedOver: PassedOver | undefined;
  readonly type: QuantityType;
  readonly cell: Cell;
  /** What can be meant at all, where that is stated. */
  readonly meant: Range | undefined;
  readonly left: { samples: number };
  constructor(
    choice: number,
    trials: Trials,
    passedOver: PassedOver | undefined,
    type: QuantityType,
    cell: Cell,
    left: { samples: number },
  ) {
    this.choice = choice;
    this.trials = trials;
    this.passedOver = passedOver;
    this.type = type;
    this.cell = cell;
    this.left = left;
    this.meant = cell.member && meantRange(cell.member, cell.instance, trials.machine.engine);
  }

  *sample(at: number): Generator<void, Sample> {
    this.trials.putNumber(this.choice, at);
    this.left.samples--;
    const failing = this.trials.failingOn(this.choice, this.passedOver);
    yield;
    return { at, failing };
  }

  get #isWhole(): boolean {
    return this.type.named?.shown.join() === '1';
  }

  #middle(a: number, b: number): number {
    if (this.#isWhole) return Math.round((a + b) / 2);
    if (this.type.points || a * b <= 0) return (a + b) / 2;
    return Math.sign(a) * Math.sqrt(a * b);
  }

  /** Values all along, the least first; closer where one thing stops failing and another begins to, so that what holds may lie between. */
  *samples(): Generator<void, Sample[]> {
    const coarse: Sample[] = [];
    for (const at of this.#grid()) coarse.push(yield* this.sample(at));
    const always = common(coarse);
    const found: Sample[] = [coarse[0] as Sample];
    for (const [i, right] of coarse.slice(1).entries()) {
      found.push(...(yield* this.#between(coarse[i] as Sample, right, new Set(always), halvings)), right);
    }
    return found;
  }

  *#between(left: Sample, right: Sample, always: ReadonlySet<string>, depth: number): Generator<void, Sample[]> {
    const own = ({ failing }: Sample) => [...failing.keys()].filter((key) => !always.has(key));
    const [a, b] = [own(left), own(right)];
    if (depth === 0 || this.left.samples <= 0 || a.length === 0 || b.length === 0 || a.some((key) => b.includes(key)))
      return [];
    const at = this.#middle(left.at, right.at);
    if (at === left.at || at === right.at) return [];
    const middle = yield* this.sample(at);
    if (own(middle).length === 0) return [middle];
    const before = yield* this.#between(left, middle, always, depth - 1);
    return [...before, middle, ...(yield* this.#between(middle, right, always, depth - 1))];
  }

  /** Values all along, from the least that can be meant to the greatest; nothing is not looked at where nothing less can be meant. */
  #grid(): number[] {
    const { low, high } = this.meant ?? { low: -Infinity, high: Infinity };
    const isSigned = this.meant !== undefined && low < 0;
    const all = this.type.points ? degrees : isSigned ? [...sizes.map((each) => -each).reverse(), 0, ...sizes] : sizes;
    const whole = this.#isWhole ? [...new Set(all.map(Math.round))].filter((each) => isSigned || each > 0) : all;
    const within = whole.filter((each) => each > low && each < high);
    const [first, last] = [whole[0] as number, whole.at(-1) as number];
    // Further than samples ever go, it is not for the bounds to say where nothing more is found.
    const least = low > 0 || isSigned || this.type.points ? (low >= first ? [low] : []) : [];
    return [...least, ...within, ...(high <= last ? [high] : [])];
  }

  /** How far it can be meant, in words, where the samples end there. */
  bound(isGreatest: boolean): string | undefined {
    const grid = this.#grid();
    const end = isGreatest ? this.meant?.high : this.meant?.low;
    return end !== undefined && end === (isGreatest ? grid.at(-1) : grid[0]) ? this.shown(end) : undefined;
  }

  shown(value: number): string {
    return showValue(value, this.type, this.trials.machine.scope.system, { shown: this.cell.member?.shown });
  }

  candidate({ at, text }: Written): Candidate {
    return { text, shown: this.shown(at), value: at };
  }

  inWords([low, high]: Stretch): string {
    if (low === undefined) return high === undefined ? 'everywhere' : `up to ${this.shown(high)}`;
    return high === undefined ? `from ${this.shown(low)} on` : `from ${this.shown(low)} to ${this.shown(high)}`;
  }

  /** Where stretches of samples that hold begin and end. */
  *ends(
    samples: readonly Sample[],
    runs: readonly (readonly [number, number])[],
    holds: (sample: Sample) => boolean,
  ): Generator<void, Stretch[]> {
    const found: Stretch[] = [];
    for (const [from, to] of runs) {
      const [before, after] = [samples[from - 1], samples[to + 1]];
      const low = before && (yield* this.edge(samples[from] as Sample, before, holds));
      const high = after && (yield* this.edge(samples[to] as Sample, after, holds));
      found.push([low, high]);
    }
    return found;
  }

  /** Of the samples with which the fewest grave things fail that with which what fails does by the least; of those alike the furthest. */
  *leastWrong(all: readonly Sample[], isGreatest: boolean): Generator<void, Sample> {
    const graves = (sample: Sample) => weight(sample)[0] as number;
    const fewest = Math.min(...all.map(graves));
    const samples = all.filter((sample) => graves(sample) === fewest);
    let best: { sample: Sample; short: number } | undefined;
    for (const sample of isGreatest ? samples.toReversed() : samples) {
      const short = yield* this.#shortWith(sample);
      if (!best || short < best.short) best = { sample, short };
    }
    return best?.sample as Sample;
  }

  *#shortWith(sample: Sample): Generator<void, number> {
    yield* this.sample(sample.at);
    return this.trials
      .failuresWith(sample.failing, [])
      .reduce((sum, { margin }) => sum + (margin ? shortBy(margin) : 1), 0);
  }

  /** Where none holds: the value that comes nearest, to the end of the stretch of values with which no more fails. */
  *nearest(samples: readonly Sample[], isGreatest: boolean): Generator<void, Written> {
    const least = yield* this.leastWrong(samples, isGreatest);
    const isNoWorse = ({ failing }: Sample) => [...failing.keys()].every((key) => least.failing.has(key));
    const at = samples.indexOf(least);
    const run = runsOf(samples, isNoWorse).find(([from, to]) => from <= at && at <= to) as [number, number];
    const [[low, high] = []] = yield* this.ends(samples, [run], isNoWorse);
    let best = { near: this.written(least.at), short: yield* this.#shortWith(least) };
    for (const [end, isHigh] of [
      [low, false],
      [high, true],
    ] as const) {
      if (end === undefined) continue;
      const near = yield* this.rounded(end, isHigh, isNoWorse);
      const short = yield* this.#shortWith(yield* this.sample(near.at));
      if (short < best.short) best = { near, short };
    }
    return best.near;
  }

  /** What together rules out all samples, each where it fails the nearest to the first of them. */
  *ruledOutBy(samples: readonly Sample[], always: readonly string[]): Generator<void, Failure[]> {
    const keysOf = ({ failing }: Sample) => [...failing.keys()].filter((key) => !always.includes(key));
    const away = ({ at }: Sample) => Math.abs(at - (samples[0] as Sample).at);
    const found: Failure[] = [];
    for (const key of excluding(samples.map(keysOf))) {
      const failing = samples.filter((each) => each.failing.has(key));
      yield* this.sample(failing.reduce((best, each) => (away(each) < away(best) ? each : best)).at);
      found.push(...this.trials.failuresWith(new Map([[key, true]]), []));
    }
    return found;
  }

  /** The last value that holds on the way from one that does to one that does not. */
  *edge(inside: Sample, outside: Sample, holds: (sample: Sample) => boolean): Generator<void, number> {
    let [good, bad] = [inside.at, outside.at];
    for (let n = 0; n < halvings + 6; n++) {
      const at = this.#middle(good, bad);
      if (at === good || at === bad || this.left.samples <= 0) break;
      if (holds(yield* this.sample(at))) good = at;
      else bad = at;
    }
    return good;
  }

  /** With as few digits as are enough for it to hold as it is written. */
  *rounded(end: number, isGreatest: boolean, holds: (sample: Sample) => boolean): Generator<void, Written> {
    for (const digits of [3, 4, 5, 6]) {
      // Halving stops a little before the end, so that the next round number beyond may still hold.
      const [down, up] = [this.written(end, digits, Math.floor), this.written(end, digits, Math.ceil)];
      for (const near of isGreatest ? [up, down] : [down, up])
        if (this.#canBeMeant(near.at) && holds(yield* this.sample(near.at))) return near;
    }
    return { at: end, text: String(end), step: Math.abs(end) * 1e-6 };
  }

  #canBeMeant(at: number): boolean {
    return !this.meant || (at >= this.meant.low && at <= this.meant.high);
  }

  /** A number in its unit, with so many digits. */
  written(value: number, digits = 3, round: (number: number) => number = Math.round): Written {
    const unit = unitFor(value, this.type, this.trials.machine.scope.system, this.cell.member?.shown);
    const [factor, zero] = [unit?.factor ?? 1, unit?.zero ?? 0];
    const number = (value - zero) / factor;
    const by = this.#isWhole ? 1 : 10 ** (Math.floor(Math.log10(Math.abs(number) || 1)) + 1 - digits);
    const written = Number((round(number / by) * by).toPrecision(digits + 2));
    const text = unit && unit.text !== '1' ? `${written} ${unit.text}` : String(written);
    return { at: written * factor + zero, text, step: by * factor };
  }
}
