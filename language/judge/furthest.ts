import type { Cell } from '../compute/cell.ts';
import { rankOf, showMargin } from '../compute/margin.ts';
import type { QuantityType } from '../names/type.ts';
import { showValue, unitFor } from '../values/show.ts';
import type { Range } from '../values/value.ts';
import type { Candidate } from './candidates.ts';
import { compare } from './joint.ts';
import type { Failure, Trials } from './trials.ts';
import { meantRange } from './whatever.ts';

/** The greatest or least value of a number with which nothing fails. */
export interface Furthest {
  readonly direction: 'greatest' | 'least';
  /** Undefined where no value holds, or nothing stops it. */
  readonly found: Candidate | undefined;
  /** Where something fails with any value: with which nothing else does or, where that does not stop it, that fails by the least. */
  readonly nearest: Candidate | undefined;
  /** What fails a step further on or, where no value holds, what fails where the least does. */
  readonly stops: readonly Failure[];
  /** How far what stops it is from failing with what was found. */
  readonly margin: string | undefined;
  /** Where what holds falls apart: its stretches, in words. */
  readonly stretches: readonly string[];
  /** Where no value holds: some with which all may hold once other things stand in place of what else is open, the likeliest first. */
  readonly begin: readonly number[];
  /** Where nothing stops it up to where nothing more can be meant: that, in words. */
  readonly bound?: string;
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
/** So often an interval is halved. */
const halvings = 14;

/**
 * Looks for the furthest value of an open number at which no error, warning or requirement fails that rests on it; where `alone`, but for
 * what is said of other blocks that are open. In steps.
 */
export function* furthestFor(choice: number, trials: Trials, alone: boolean): Generator<void, Furthest | undefined> {
  const cell = trials.cellAt(choice);
  const direction = trials.places[choice]?.node.furthest;
  const type = cell?.member?.type;
  if (!cell || !direction || type?.is !== 'quantity') return undefined;
  const search = new Search(choice, trials, alone, type, cell);
  const samples = yield* search.samples();
  const always = common(samples);
  const holds = ({ failing }: Sample) => [...failing.keys()].every((key) => always.includes(key));
  const runs = runsOf(samples, holds);
  const none = { direction, found: undefined, nearest: undefined, stops: [], margin: undefined, stretches: [] };
  if (runs.length === 0) {
    const least = samples.reduce((best, each) => (compare(weight(each), weight(best)) < 0 ? each : best));
    trials.putNumber(choice, least.at);
    const stops = trials.failuresWith(least.failing, always);
    trials.putNumber(choice, undefined);
    return { ...none, stops, begin: likeliest(samples, direction) };
  }
  const isLast = direction === 'greatest';
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
      stops: trials.failuresWith(there.failing, []),
      begin: likeliest(samples, direction),
    };
  }
  const stretches = ends.map((each) => search.inWords(each));
  if (end === undefined) {
    trials.putNumber(choice, undefined);
    return { ...none, stretches, begin: [], bound: search.bound(isLast) };
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
  readonly alone: boolean;
  readonly type: QuantityType;
  readonly cell: Cell;
  /** What can be meant at all, where that is stated. */
  readonly meant: Range | undefined;
  constructor(choice: number, trials: Trials, alone: boolean, type: QuantityType, cell: Cell) {
    this.choice = choice;
    this.trials = trials;
    this.alone = alone;
    this.type = type;
    this.cell = cell;
    this.meant = cell.member && meantRange(cell.member, cell.instance, trials.machine.engine);
  }

  *sample(at: number): Generator<void, Sample> {
    this.trials.putNumber(this.choice, at);
    const failing = this.trials.failingOn(this.choice, this.alone);
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
    if (depth === 0 || a.length === 0 || b.length === 0 || a.some((key) => b.includes(key))) return [];
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

  /** Of samples with which as much fails, the one with which that fails by the least; of those alike the furthest. */
  *leastWrong(samples: readonly Sample[], isGreatest: boolean): Generator<void, Sample> {
    let best: { sample: Sample; short: number } | undefined;
    for (const sample of isGreatest ? samples.toReversed() : samples) {
      yield* this.sample(sample.at);
      const short = this.trials
        .failuresWith(sample.failing, [])
        .reduce((sum, { margin }) => sum + (margin ? -rankOf(margin) : 1), 0);
      if (!best || short < best.short) best = { sample, short };
    }
    return best?.sample as Sample;
  }

  /** The last value that holds on the way from one that does to one that does not. */
  *edge(inside: Sample, outside: Sample, holds: (sample: Sample) => boolean): Generator<void, number> {
    let [good, bad] = [inside.at, outside.at];
    for (let n = 0; n < halvings + 6; n++) {
      const at = this.#middle(good, bad);
      if (at === good || at === bad) break;
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
