import { cellAt } from '../answers/derivation.ts';
import type { Cell, Engine } from '../compute/cell.ts';
import { copyMeant, severalAround, tellApart } from '../compute/copies.ts';
import type { Machine } from '../compute/machine.ts';
import { targetsOf } from '../compute/machine.ts';
import { showCell, valueOver } from '../compute/show-cell.ts';
import { type Scatter, type Tolerance, tolerancesIn } from '../compute/tolerances.ts';
import { putInPlace } from '../judge/trials.ts';
import { alone, type Side } from '../one-machine.ts';
import { xoshiro } from '../random.ts';
import { Bounds, isMissing, Money, Range, type Value } from '../values/value.ts';

/** Why nothing can be said of how a value spreads. */
export class SpreadError extends Error {}

/** How a value spreads over machines that are built alike. */
export interface Spread {
  readonly tolerances: readonly { readonly path: string; readonly shown: string }[];
  /** What it comes to with every value as it is written. */
  readonly nominal: string;
  /** The least and the greatest that was drawn, and between what nine of ten lie; over ranges, such as the ambient, at both ends. */
  readonly drawn: string;
  readonly mostly: string;
  /** Between what it lies with each tolerance at its worst. */
  readonly worst: string;
  /** The same drawn ends, in coherent units, in the order in which they were drawn. */
  readonly samples: readonly (readonly [number, number])[];
  /** Of each requirement the share of machines that meet it, and whether it is met with each tolerance at its worst. */
  readonly requirements: readonly {
    readonly text: string;
    readonly share: number;
    readonly atWorst: boolean | undefined;
  }[];
}

/**
 * How a value and the requirements of a machine spread where each value with a tolerance is drawn from it, all by themselves, as likely
 * anywhere between its ends unless it says how it scatters. Ranges, such as the ambient, stay at their worst. Of a block that stands for
 * several each is drawn: a question over them goes through each, what reads one of them reads the least and the greatest.
 * The same seed draws the same. Throws a `SpreadError` where there is no such value, no tolerance, or no number.
 */
export function spreadOf(side: Side, path: string, draws: number, seed: number): Spread {
  const { project, file, machine: name } = alone(side, [side.machine]);
  const machine = project.computed(file).find(({ tree }) => tree.name === name);
  const cell = machine && cellAt(path, machine);
  if (!machine || !cell) throw new SpreadError(`${name} has no value ${path}`);
  const tolerances = tolerancesIn(machine);
  if (tolerances.length === 0)
    throw new SpreadError(
      `no value of ${name} has a tolerance: say one behind a value, as in power = 80 W { varies 5 % }`,
    );
  const { engine } = machine;
  const written = valueOver(cell, machine);
  const nominal = endsOf(written, path);
  const code = written instanceof Money || written instanceof Bounds ? written.code : undefined;
  const show = (ends: readonly [number, number]) => showCell(cell, machine, asValue(ends, code));
  for (const { cell, low, high } of tolerances) putInPlace(cell, new Range(low, high), engine);
  const worst = endsOf(valueOver(cell, machine), path);
  const targets = targetsOf(machine);
  const atWorst = targets.map((target) => met(target.cell, machine));
  const samples: [number, number][] = [];
  const counts = targets.map(() => 0);
  const random = randomFrom(seed);
  const built = tolerances.map((each) => new Drawn(each, random, engine));
  for (let n = 0; n < draws; n++) {
    for (const each of built) each.draw();
    engine.renew(built.map(({ tolerance }) => tolerance.cell));
    samples.push(endsOf(valueOver(cell, machine), path));
    for (const [i, target] of targets.entries())
      if (met(target.cell, machine) === true) counts[i] = (counts[i] ?? 0) + 1;
  }
  const [lows, highs] = [0, 1].map((end) => samples.map((sample) => sample[end] as number).sort((a, b) => a - b)) as [
    number[],
    number[],
  ];
  return {
    tolerances: tolerances.map((each) => ({
      path: pathOf(each.cell),
      shown: showCell(each.cell, machine, new Range(each.low, each.high)),
    })),
    nominal: show(nominal),
    drawn: show([lows[0] as number, highs.at(-1) as number]),
    mostly: show([quantile(lows, 0.05), quantile(highs, 0.95)]),
    worst: show(worst),
    samples,
    requirements: targets.map(({ text }, i) => ({ text, share: (counts[i] as number) / draws, atWorst: atWorst[i] })),
  };
}

/** A value with a tolerance in machines that are drawn: of a block that stands for several, one for each of them. */
class Drawn {
  readonly tolerance: Tolerance;
  readonly #random: () => number;
  readonly #copies: number;
  #values: readonly number[] = [];
  constructor(tolerance: Tolerance, random: () => number, engine: Engine) {
    this.tolerance = tolerance;
    this.#random = random;
    const { cell } = tolerance;
    const several = severalAround(cell.instance);
    for (const each of several) tellApart(each, engine);
    this.#copies = several.reduce((product, { count }) => product * count, 1);
    cell.trial = undefined;
    cell.compute = (engine) => this.#values[copyMeant(cell.instance, engine)] as number;
  }

  draw(): void {
    const { low, high, scatter } = this.tolerance;
    this.#values = Array.from({ length: this.#copies }, () => low + drawn[scatter](this.#random) * (high - low));
  }
}

/** Where between the ends of a tolerance one lies that was built, from 0 to 1. */
const drawn: Record<Scatter, (random: () => number) => number> = {
  uniform: (random) => random(),
  // The sum of two that are as likely anywhere. Source: JCGM 100:2008, 4.3.9.
  triangular: (random) => (random() + random()) / 2,
  normal: (random) => {
    // Source: Box and Muller, "A note on the generation of random normal deviates", Annals of Mathematical Statistics 29 (1958).
    for (;;) {
      const deviate = Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
      if (Math.abs(deviate) <= deviations) return (1 + deviate / deviations) / 2;
    }
  },
};

/** So many standard deviations lie on each side: 99.7 % of all do (JCGM 100:2008, 4.3.6), and what does not is sorted out. */
const deviations = 3;

function pathOf({ instance, name }: Cell): string {
  return instance.holder ? `${instance.label}.${name}` : name;
}

/** Is a requirement met wherever the ranges are taken? Undefined where that is not known. */
function met(cell: Cell, { engine }: Machine): boolean | undefined {
  const { values } = engine.corners(cell);
  if (values.includes(false)) return false;
  return values.some(isMissing) ? undefined : true;
}

function endsOf(value: Value, path: string): [number, number] {
  if (typeof value === 'number') return [value, value];
  if (value instanceof Money) return [value.amount, value.amount];
  if (value instanceof Range) return [value.low, value.high];
  if (value instanceof Bounds && value.low !== undefined && value.high !== undefined) return [value.low, value.high];
  throw new SpreadError(`${path} is no number that is known`);
}

/** What lies between two ends, or is both: a number, or what is paid in a currency. */
function asValue([low, high]: readonly [number, number], code: string | undefined): Value {
  if (low === high) return code ? new Money(low, code) : low;
  return code ? new Bounds(low, high, [], code) : new Range(low, high);
}

/** The value below which such a share of them lies. */
function quantile(sorted: readonly number[], share: number): number {
  const at = share * (sorted.length - 1);
  const [low, high] = [sorted[Math.floor(at)] as number, sorted[Math.ceil(at)] as number];
  return low + (at - Math.floor(at)) * (high - low);
}

/**
 * Numbers from 0 to 1, the same for the same seed.
 * Source: the state is filled with words that the final mixing of MurmurHash3 makes of equal steps, so that seeds beside each other begin
 * nothing alike.
 */
function randomFrom(seed: number): () => number {
  let filled = seed >>> 0;
  const next = () => {
    filled = (filled + 0x9e3779b9) >>> 0;
    let mixed = filled;
    mixed = Math.imul(mixed ^ (mixed >>> 16), 0x85ebca6b);
    mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
    return (mixed ^ (mixed >>> 16)) >>> 0;
  };
  const state = Uint32Array.of(next(), next(), next(), next());
  return () => xoshiro(state) / 2 ** 32;
}
