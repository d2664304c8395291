import { showMargin } from '../compute/margin.ts';
import type { QuantityType } from '../names/type.ts';
import { showValue, unitFor } from '../values/show.ts';
import type { Candidate } from './candidates.ts';
import { compare } from './joint.ts';
import type { Failure, Trials } from './trials.ts';

/** The greatest or least value of a number with which nothing fails. */
export interface Furthest {
  readonly direction: 'greatest' | 'least';
  /** Undefined where no value holds, or nothing stops it. */
  readonly found: Candidate | undefined;
  /** What fails a step further on or, where no value holds, what fails where the least does. */
  readonly stops: readonly Failure[];
  /** How far what stops it is from failing with what was found. */
  readonly margin: string | undefined;
  /** Where what holds falls apart: its stretches, in words. */
  readonly stretches: readonly string[];
  /** Where no value holds: some with which all may hold once other things stand in place of what else is open, the likeliest first. */
  readonly begin: readonly number[];
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
/** So many values are begun with, where none holds with what stands in place of other choices at first. */
const mostBegun = 6;
/** So often an interval is halved. */
const halvings = 14;

/**
 * Looks for the furthest value of an open number at which no error, warning or requirement fails that rests on it. What fails at each
 * value is none of its concern; where `alone`, nor is what is said of other blocks that are open. In steps.
 */
export function* furthestFor(choice: number, trials: Trials, alone: boolean): Generator<void, Furthest | undefined> {
  const place = trials.places[choice];
  const cell = trials.cellAt(choice);
  const direction = place?.node.furthest;
  const type = cell?.member?.type;
  if (!cell || !direction || type?.is !== 'quantity') return undefined;
  const search = new Search(choice, trials, alone, type);
  const samples = yield* search.samples();
  const always = common(samples);
  const holds = ({ failing }: Sample) => [...failing.keys()].every((key) => always.includes(key));
  const runs = runsOf(samples, holds);
  if (runs.length === 0) {
    const least = samples.reduce((best, each) => (compare(weight(each), weight(best)) < 0 ? each : best));
    trials.putNumber(choice, least.at);
    const stops = trials.failuresWith(least.failing, always);
    trials.putNumber(choice, undefined);
    const begin = likeliest(samples, direction);
    return { direction, found: undefined, stops, margin: undefined, stretches: [], begin };
  }
  const isLast = direction === 'greatest';
  const ends: [number | undefined, number | undefined][] = [];
  for (const [from, to] of runs) {
    const low =
      from === 0 ? undefined : yield* search.edge(samples[from] as Sample, samples[from - 1] as Sample, holds);
    const high =
      to === samples.length - 1
        ? undefined
        : yield* search.edge(samples[to] as Sample, samples[to + 1] as Sample, holds);
    ends.push([low, high]);
  }
  const end = isLast ? ends.at(-1)?.[1] : ends[0]?.[0];
  const { system } = trials.machine.scope;
  const shown = (value: number) => showValue(value, type, system, { shown: cell.member?.shown });
  const stretches = ends.map(([low, high]) =>
    low === undefined
      ? high === undefined
        ? 'everywhere'
        : `up to ${shown(high)}`
      : high === undefined
        ? `from ${shown(low)} on`
        : `from ${shown(low)} to ${shown(high)}`,
  );
  if (end === undefined) {
    trials.putNumber(choice, undefined);
    return { direction, found: undefined, stops: [], margin: undefined, stretches, begin: [] };
  }
  const rounded = yield* search.rounded(end, isLast, holds);
  const further = yield* search.sample(rounded.at + (isLast ? 1 : -1) * rounded.step);
  const stops = trials.failuresWith(further.failing, always);
  trials.putNumber(choice, rounded.at);
  const margin = trials.marginOf(stops[0]?.key ?? '');
  return {
    direction,
    found: { text: rounded.text, shown: shown(rounded.at), value: rounded.at },
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

class Search {
  readonly choice: number;
  readonly trials: Trials;
  readonly alone: boolean;
  readonly type: QuantityType;
  constructor(choice: number, trials: Trials, alone: boolean, type: QuantityType) {
    this.choice = choice;
    this.trials = trials;
    this.alone = alone;
    this.type = type;
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
    return this.type.points ? (a + b) / 2 : Math.sqrt(a * b);
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

  #grid(): number[] {
    if (this.type.points) return Array.from({ length: (hottest - coldest) / step + 1 }, (_, i) => coldest + i * step);
    const steps = Array.from({ length: (highest - lowest) * perDecade + 1 }, (_, i) => 10 ** (lowest + i / perDecade));
    return this.#isWhole ? [...new Set(steps.map(Math.round))].filter((each) => each > 0) : steps;
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

  /** With as few digits as are enough for it to hold as it is written, and how far the next such number is. */
  *rounded(
    end: number,
    isGreatest: boolean,
    holds: (sample: Sample) => boolean,
  ): Generator<void, { at: number; text: string; step: number }> {
    const { system } = this.trials.machine.scope;
    const unit = unitFor(end, this.type, system, this.trials.cellAt(this.choice)?.member?.shown);
    const [factor, zero] = [unit?.factor ?? 1, unit?.zero ?? 0];
    const number = (end - zero) / factor;
    for (const digits of [3, 4, 5, 6]) {
      const by = this.#isWhole ? 1 : 10 ** (Math.floor(Math.log10(Math.abs(number) || 1)) + 1 - digits);
      // Halving stops a little before the end, so that the next round number beyond may still hold.
      const [low, high] = [Math.floor(number / by), Math.ceil(number / by)];
      for (const near of isGreatest ? [high, low] : [low, high]) {
        const written = Number((near * by).toPrecision(digits + 2));
        const at = written * factor + zero;
        if (!holds(yield* this.sample(at))) continue;
        return { at, text: unit && unit.text !== '1' ? `${written} ${unit.text}` : String(written), step: by * factor };
      }
    }
    return { at: end, text: String(end), step: Math.abs(end) * 1e-6 };
  }
}
