import { type Cell, cellOf, type Engine } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Machine } from '../compute/machine.ts';
import { provedVerdict } from '../compute/proof.ts';
import { pathOfCell, showCell } from '../compute/show-cell.ts';
import type { Instance } from '../machine/tree.ts';
import { listed } from '../mistakes/sentence.ts';
import { boundsOf, type Member } from '../names/kind.ts';
import { Fault, type Missing, Range, Unknown, type Value } from '../values/value.ts';

/** What comes of a verdict whatever is said for the values that it lacks, as far as that can be meant at all. */
export interface Settled {
  readonly holds: boolean;
  /** The values that make no difference, each with all that could be said for it. */
  readonly over: ReadonlyMap<Cell, Plausible>;
  /** Values at which it was looked at. */
  readonly at: Supposed;
}

/** All that could be said for a value: a number from one to another, or one of a few words. */
export type Plausible = Range | readonly Value[];

type Supposed = ReadonlyMap<Cell, Value>;

/** The most values that are supposed for one verdict, and the most combinations of them that are looked at. */
const [mostSupposed, mostCombined] = [6, 32];
/** How often ranges are halved where bounds do not tell of the whole. */
const mostHalved = 5;

/** What was last found out of a verdict, in which revision, and all that it was computed from. */
interface Known {
  readonly at: number;
  readonly inputs: ReadonlySet<Cell>;
  readonly settled: Settled | undefined;
}

const known = new WeakMap<Cell, Known>();

/** What is known to come of a verdict whatever is said for what it lacks; undefined where that can change it, or was not asked yet. */
export function settledOf(cell: Cell): Settled | undefined {
  const found = known.get(cell);
  return found && stillHolds(found) ? found.settled : undefined;
}

function stillHolds({ at, inputs }: Known): boolean {
  for (const input of inputs) if (input.touched > at) return false;
  return true;
}

/** What makes no difference, as people read it: "whatever glued is, for any length from 1 mm to 100 m". */
export function wordsOfSettled({ over }: Settled, machine: Machine): string {
  const all = [...over].map(([cell, plausible]) => ({ cell, plausible, name: pathOfCell(cell, machine) }));
  const words = all.flatMap(({ plausible, name }) => (plausible instanceof Range ? [] : [name]));
  const numbers = all.flatMap(({ cell, plausible, name }) =>
    plausible instanceof Range ? [`${name} from ${showCell(cell, machine, plausible)}`] : [],
  );
  return [
    ...(words.length > 0 ? [`whatever ${listed(words)} ${words.length > 1 ? 'are' : 'is'}`] : []),
    ...(numbers.length > 0 ? [`for any ${listed(numbers)}`] : []),
  ].join(', ');
}

/** Finds out, in steps, whether what is missing can change a verdict that is undecided for want of it; `settledOf` tells from then on. */
export function* settle(cell: Cell, engine: Engine): Generator<void, void> {
  const found = known.get(cell);
  if (found && stillHolds(found)) return;
  const asked = new Question(cell, engine);
  const settled = yield* asked.settled();
  known.set(cell, { at: engine.revision, inputs: asked.inputs, settled });
}

/** Whether what is missing can change a verdict. */
class Question {
  /** All that the verdict was computed from, whatever was supposed. */
  readonly inputs = new Set<Cell>();
  readonly #cell: Cell;
  readonly #engine: Engine;
  constructor(cell: Cell, engine: Engine) {
    this.#cell = cell;
    this.#engine = engine;
    this.inputs.add(cell);
  }

  *settled(): Generator<void, Settled | undefined> {
    const over = yield* this.#lacking();
    const [at, ...others] = over ? combined(over) : [];
    if (!over || !at) return undefined;
    const fails = this.#failsAt(at);
    for (const other of others) {
      yield;
      if (this.#failsAt(other) !== fails) return undefined;
    }
    for (const words of combinations([...over].flatMap(eachWord))) {
      const ranges = [...over].flatMap(([cell, plausible]) =>
        plausible instanceof Range ? [[cell, plausible] as const] : [],
      );
      if (!(yield* this.#isAlike(new Map(ranges), new Map(words), fails, mostHalved))) return undefined;
    }
    return { holds: !fails, over, at };
  }

  /** All that it lacks, with what could be said for it; undefined where that is not numbers or words alone. */
  *#lacking(): Generator<void, Map<Cell, Plausible> | undefined> {
    const over = new Map<Cell, Plausible>();
    for (;;) {
      const values = combined(over).flatMap((at) => this.#look(at, () => this.#engine.corners(this.#cell).values));
      yield;
      if (values.some((value) => value instanceof Fault)) return undefined;
      const unknown = values.filter((value) => value instanceof Unknown);
      if (unknown.length === 0) return over.size > 0 ? over : undefined;
      const before = over.size;
      for (const missing of unknown.flatMap((value) => value.missing)) {
        const cell = cellOf(missing.instance, missing.name);
        const plausible = cell && plausibleFor(cell, missing, this.#engine);
        if (!plausible) return undefined;
        over.set(cell, plausible);
      }
      if (over.size === before || over.size > mostSupposed || combined(over).length > mostCombined) return undefined;
    }
  }

  #failsAt(at: Supposed): boolean {
    return this.#look(at, () => this.#engine.corners(this.#cell).values.includes(false));
  }

  /** Is it proved that it comes out alike wherever some ranges are taken? */
  *#isAlike(
    ranges: ReadonlyMap<Cell, Range>,
    words: Supposed,
    fails: boolean,
    halved: number,
  ): Generator<void, boolean> {
    yield;
    if (this.#look(new Map([...words, ...ranges]), () => this.#isProved(fails))) return true;
    if (halved === 0 || ranges.size === 0) return false;
    const widest = [...ranges].reduce((a, b) => (widthOf(b[1]) > widthOf(a[1]) ? b : a));
    const [cell, { low, high }] = widest;
    const middle = middleOf(widest[1]);
    const middles = [...ranges].map(([each, range]) => [each, each === cell ? middle : middleOf(range)] as const);
    if (this.#failsAt(new Map([...words, ...middles])) !== fails) return false;
    for (const half of [new Range(low, middle), new Range(middle, high)])
      if (!(yield* this.#isAlike(new Map([...ranges, [cell, half]]), words, fails, halved - 1))) return false;
    return true;
  }

  /** Where it holds it may as well not apply. */
  #isProved(fails: boolean): boolean {
    const value = provedVerdict(this.#cell, this.#engine);
    return fails ? value === false : value === true || typeof value === 'string';
  }

  /** Looks at it with values supposed, and notes what it was computed from. */
  #look<T>(supposed: Supposed, work: () => T): T {
    return this.#engine.supposing(supposed, () => {
      const what = work();
      const seen = new Set([this.#cell]);
      for (const cell of seen) for (const { deps } of cell.results) for (const dep of deps) seen.add(dep);
      for (const cell of seen) this.inputs.add(cell);
      return what;
    });
  }
}

/**
 * What could be said for a value that is missing: what its kind, or its dimension, takes; the words of a choice; yes or no. Undefined for
 * what nothing can be proved of. A size's sides are no cells of their own: bounds and slopes run over cells, so that a size could only be
 * tried at its ends, which proves nothing between them. A list may be of any length, and its members any block that is there or comes yet.
 * Money, texts and what other blocks are pointed at have no end that could be meant.
 */
function plausibleFor({ member, instance }: Cell, missing: Missing, engine: Engine): Plausible | undefined {
  if (!member || missing.unreadable || member.role === 'derived' || member.parameters.length > 0) return undefined;
  const { type } = member;
  if (type.is === 'truth') return [false, true];
  if (type.is === 'choice') return type.options;
  return meantRange(member, instance, engine);
}

/** What can be meant at all by a number of a block, where that is stated. */
export function meantRange(member: Member, instance: Instance, engine: Engine): Range | undefined {
  const { type } = member;
  const bounds = type.is === 'quantity' && !type.money ? boundsOf(member) : undefined;
  const frame = { engine, self: instance, scope: member.owner.scope, mode: 'kind' } as const;
  const [low, high] = [bounds?.left, bounds?.right].map((end) => engine.aside(() => evaluate(end, frame)));
  return typeof low === 'number' && typeof high === 'number' ? new Range(low, high) : undefined;
}

type Pair = readonly [Cell, Value];

function eachWord([cell, plausible]: readonly [Cell, Plausible]): Pair[][] {
  return plausible instanceof Range ? [] : [plausible.map((word): Pair => [cell, word])];
}

/** Every combination of words, each with all numbers at their low end, and all at their high one. */
function combined(over: ReadonlyMap<Cell, Plausible>): Supposed[] {
  const ranges = [...over].flatMap(([cell, plausible]) => (plausible instanceof Range ? [{ cell, ...plausible }] : []));
  const ends = (['low', 'high'] as const).map((end) => ranges.map((range): Pair => [range.cell, range[end]]));
  const words = combinations([...over].flatMap(eachWord));
  return words.flatMap((some) => (ranges.length > 0 ? ends : [[]]).map((at) => new Map([...some, ...at])));
}

/** Each way to take one of each list. */
function combinations<T>(lists: readonly (readonly T[])[]): T[][] {
  return lists.reduce<T[][]>((so, list) => so.flatMap((some) => list.map((one) => [...some, one])), [[]]);
}

/** In how many doublings one end of a range is come to from the other; what leads through zero is counted by its width alone. */
function widthOf({ low, high }: Range): number {
  return low > 0 ? Math.log2(high / low) : Number.MAX_VALUE;
}

/** Numbers of all sizes are as plausible: their middle is that of their logarithms, above zero a small one of the greatest. */
function middleOf({ low, high }: Range): number {
  if (low > 0) return Math.sqrt(low * high);
  return low === 0 ? high / 1024 : (low + high) / 2;
}
