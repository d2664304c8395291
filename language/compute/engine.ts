import type { Declaration, Name } from '../grammar/generated/ast.ts';
import type { Instance } from '../machine/tree.ts';
import type { Scope } from '../names/scope.ts';
import { hasSpan, isConstant, Opaque, Span } from '../values/span.ts';
import { Fault, Range, sameValue, type Value } from '../values/value.ts';
import {
  type Adopted,
  type Cell,
  type Corners,
  cellsOf,
  type Ends,
  type Engine,
  type Evaluate,
  everyCell,
  type Result,
} from './cell.ts';
import { cornersOf, searchedDeeper } from './corners.ts';
import { anywhere, EndSets } from './ends.ts';

/** Values that rest on each other are computed in one go down to this depth; what lies deeper is computed first, by itself. */
const deepest = 120;
/** Calls of functions within each other, at most: a machine's own need a handful. */
const mostCalls = 100;
/** Calls and items of questions that computing one value may take. */
const mostSteps = 200_000;
/** Sets of ranges that are kept before all is computed anew. */
const mostSets = 50_000;
/** Blocks that are gone before what was computed in them is let go of: to look for all that knows of them takes as long for one as for many. */
const mostGone = 200;

const none: readonly Cell[] = [];

/** Kept as the result of a cell whose value bounds do not tell. Only `value` ever sees it: there it is thrown on. */
const opaque = new Fault('the bounds of this do not tell');

/** Thrown where values rest on each other too deeply for one go. */
class TooDeep {
  readonly cell: Cell;
  /** What led to it, outermost first. */
  readonly path: readonly Cell[];
  constructor(cell: Cell, path: readonly Cell[]) {
    this.cell = cell;
    this.path = path;
  }
}

/** What is being computed: what it has read, what that rests on, and how long it takes. */
interface Work {
  readonly deps: Set<Cell>;
  rests: Ends;
  steps: number;
  /** Calls of functions within each other. */
  calls: number;
}

/** Thrown where an allowance is spent: what was being computed is thrown away, and what was computed before it is kept. */
class Spent {}

/** How many steps may be computed before others have their turn: as many as it takes, unless a limit is set. */
export class Allowance {
  #left = Number.POSITIVE_INFINITY;
  /** So many were computed up to now. */
  spent = 0;

  /** Lets `work` compute for so many steps. Returns whether they were enough; if not, `work` was left where it stood. */
  suffices(steps: number, work: () => unknown): boolean {
    this.#left = steps;
    try {
      work();
      return true;
    } catch (spent) {
      if (spent instanceof Spent) return false;
      throw spent;
    } finally {
      this.#left = Number.POSITIVE_INFINITY;
    }
  }

  spend(): void {
    this.spent++;
    if (--this.#left < 0) throw new Spent();
  }
}

/**
 * Computes cells by need, and again only where something they depend on changed. A scenario is the set of ranges that are not
 * at their low end, each with the share of the way to its high end.
 *
 * What must stay true: after any edits, a cell has in each scenario the result that a new engine gives it. Two results are the
 * same only if their values are (what is missing and faults included), the ranges they rest on, and where these are taken; a
 * reader is left as it is only where all that it read is the same in this sense.
 */
export class IncrementalEngine implements Engine {
  revision = 0;
  readonly #sets = new EndSets<Cell>();
  /** The scenario in which every range is at its low end. */
  readonly low = this.#sets.none;
  scenario = this.low;
  /** Parts and other machines that stand for themselves in this evaluation. */
  readonly standing = new Map<unknown, Instance | undefined>();
  readonly copies = new Map<Instance, readonly Cell[]>();
  /** The scenario in which every range is anywhere, and values are bounds; what they do not tell throws `Opaque`. */
  get everywhere(): Ends {
    return this.#sets.everywhere;
  }
  /** The scenario that takes these ranges at their high end, and the others at their low end. */
  atHighEnds(ranges: readonly Cell[]): Ends {
    return this.#sets.of(ranges);
  }
  /** Cells with results for scenarios inside ranges. */
  readonly #inside = new Set<Cell>();
  /** Names that were looked up among a file's declarations, and what they led to. */
  readonly #lookups = new Map<Scope, Map<string, unknown>>();
  readonly #stack: Work[] = [];
  /** Cells that are being verified or computed, each for the one before. */
  readonly #path: Cell[] = [];
  readonly #calls: Declaration[] = [];
  readonly evaluate: Evaluate;
  readonly allowance: Allowance;
  constructor(evaluate: Evaluate, allowance = new Allowance()) {
    this.evaluate = evaluate;
    this.allowance = allowance;
  }

  /** Notes that a name was looked up among the declarations that a scope sees; the library's never change. */
  lookedUp(name: string, scope: Scope, node: unknown): void {
    if (!scope.shared) return;
    let names = this.#lookups.get(scope);
    if (!names) {
      names = new Map();
      this.#lookups.set(scope, names);
    }
    names.set(name, node);
  }

  /** Do all names that were looked up still lead to the same declarations? If not, nothing that was computed can be kept. */
  holds(): boolean {
    for (const [scope, names] of this.#lookups) {
      for (const [name, node] of names) if (scope.find(name)?.node !== node) return false;
    }
    return true;
  }

  /** Takes in that cells are defined anew, or what is tried there: what was computed from them is verified before it is used again. */
  touch(cells: Iterable<Cell>, isTry = false): void {
    this.revision++;
    const { revision } = this;
    const reached: Cell[] = [];
    for (const cell of cells) {
      for (const result of cell.results) result.verified = -1;
      cell.touched = revision;
      if (!isTry) cell.edited = revision;
      reached.push(cell);
    }
    for (let cell = reached.pop(); cell; cell = reached.pop()) {
      for (const reader of cell.readers ?? none) {
        if (reader.touched === revision) continue;
        reader.touched = revision;
        if (!isTry) reader.edited = revision;
        reached.push(reader);
      }
    }
  }

  /** The same where they differ in scenarios that a reader was not computed in: all that was computed from them goes. */
  renew(cells: Iterable<Cell>): void {
    this.touch(cells);
    for (const cell of withReaders(cells)) cell.results = [];
  }

  /**
   * Takes in an edit that was adopted by a tree, or what is tried there. False where all must be computed anew: a block with a range is
   * gone, or more sets of ranges were kept than are worth it.
   */
  takeIn({ changed, gone }: Adopted, tree: Instance, isTry = false): boolean {
    if (this.#sets.size > mostSets) return false;
    for (const range of this.#sets.ranges()) if (gone.has(range.instance)) return false;
    for (const instance of gone) {
      this.#gone.add(instance);
      if (!isTry) for (const cell of everyCell(instance)) cell.edited = Number.POSITIVE_INFINITY;
    }
    if (this.#gone.size > mostGone) this.#release(tree);
    this.touch(changed, isTry);
    return true;
  }

  /** Lets go of what was computed in blocks that are gone. */
  #release(tree: Instance): void {
    const parts = [...this.standing.values()].flatMap((part) => part?.all() ?? []);
    for (const instance of [...tree.allWithGround(), ...parts]) {
      for (const cell of everyCell(instance)) {
        for (const reader of cell.readers ?? []) {
          if (!this.#gone.has(reader.instance)) continue;
          cell.readers?.delete(reader);
          // No edit reaches it any more.
          reader.edited = Number.POSITIVE_INFINITY;
        }
      }
    }
    this.#gone.clear();
  }
  /** Blocks that are gone, and that cells may still know as what reads them. */
  readonly #gone = new Set<Instance>();

  /** The value of a cell in the present scenario. */
  value(cell: Cell): Value {
    const result = this.#demand(cell);
    const top = this.#stack[this.#stack.length - 1];
    if (top) {
      top.deps.add(cell);
      if (top.rests !== result.rests) top.rests = top.rests.and(result.rests);
    }
    if (result.value === opaque) throw new Opaque();
    return result.value;
  }

  /** Works something out from a cell and what it was computed from, once until one of these is touched. */
  noted<T>(cell: Cell, key: unknown, work: () => T): T {
    const { note } = cell;
    if (note && note.key === key && note.at >= cell.touched) return note.what as T;
    const what = work();
    cell.note = { key, at: this.revision, what };
    return what;
  }

  /** Cells that a cell's value was computed from, in the present scenario. */
  inputs(cell: Cell): readonly Cell[] {
    return this.#demand(cell).deps;
  }

  /** The ranges that a cell's value rests on in a scenario. */
  restsOf(cell: Cell, scenario: Ends): Ends {
    return this.under(scenario, () => this.#demand(cell).rests);
  }

  #demand(cell: Cell): Result {
    const found = this.#resultOf(cell);
    if (found && found.verified >= cell.touched && !cell.computing) return found;
    return this.#path.length > 0 ? this.#within(cell, found) : this.#outermost(cell);
  }

  /** The result that holds for the present scenario's ends, if it still does. */
  #resultOf(cell: Cell): Result | undefined {
    let rests: Ends | undefined;
    let ends: Ends | undefined;
    for (const result of cell.results) {
      if (result.rests !== rests) {
        rests = result.rests;
        ends = this.scenario.within(rests);
      }
      if (result.ends === ends) return result;
    }
    return undefined;
  }

  /** Computes a cell that no other asks for. Where values rest on each other too deeply for one go, the deepest are computed first. */
  #outermost(outermost: Cell): Result {
    const pending: { cell: Cell; path: readonly Cell[] }[] = [{ cell: outermost, path: [] }];
    for (;;) {
      const at = pending[pending.length - 1] as (typeof pending)[number];
      try {
        const found = this.#resultOf(at.cell);
        const result = found && found.verified >= at.cell.touched ? found : this.#within(at.cell, found);
        pending.pop();
        if (pending.length === 0) return result;
      } catch (deep) {
        if (!(deep instanceof TooDeep)) throw deep;
        at.path = deep.path;
        const from = pending.findIndex(({ cell }) => cell === deep.cell);
        if (from < 0) pending.push({ cell: deep.cell, path: [] });
        else this.#closeRing(pending.slice(from).flatMap(({ path }) => path));
      }
    }
  }

  /** Gives the first cell of a ring its fault; the other cells of the ring then read that, and have it too. */
  #closeRing(trail: readonly Cell[]): void {
    const next = trail.indexOf(trail[0] as Cell, 1);
    const ring = next < 0 ? trail : trail.slice(0, next);
    const cell = ring[0] as Cell;
    this.#keep(cell, this.#resultOf(cell), ringOf(ring), {
      deps: new Set(ring.slice(1, 2)),
      rests: this.low,
      steps: 0,
      calls: 0,
    });
  }

  /** Verifies or computes a cell. */
  #within(cell: Cell, found: Result | undefined): Result {
    const path = this.#path;
    if (cell.computing) {
      const value = ringOf(path.slice(path.indexOf(cell)));
      return { rests: this.low, ends: this.low, value, deps: [], verified: this.revision, changed: this.revision };
    }
    if (path.length + this.#calls.length >= deepest) throw new TooDeep(cell, [...path]);
    path.push(cell);
    cell.computing = true;
    try {
      if (!found || found.verified < 0 || !this.#unchanged(found)) return this.#compute(cell, found);
      found.verified = this.revision;
      return found;
    } finally {
      cell.computing = false;
      path.pop();
    }
  }

  #unchanged(result: Result): boolean {
    for (const dep of result.deps) {
      if (dep.computing || this.#demand(dep).changed > result.verified) return false;
    }
    return true;
  }

  #compute(cell: Cell, before: Result | undefined): Result {
    this.allowance.spend();
    const work: Work = { deps: new Set(), rests: this.low, steps: 0, calls: 0 };
    this.#stack.push(work);
    let value: Value;
    try {
      value = cell.trial ?? (cell.compute ? cell.compute(this) : this.evaluate(cell, this));
      if (hasSpan(value) && isConstant(value)) value = this.#constantOf(cell);
    } catch (thrown) {
      // What cannot be told from bounds is kept as that, so that it is not tried again for every reader.
      if (!(thrown instanceof Opaque) || work.rests === this.low) throw thrown;
      value = opaque;
    } finally {
      this.#stack.pop();
    }
    if (value instanceof Range) {
      work.rests = work.rests.and(this.#sets.of([cell]));
      value = takenAt(value, this.scenario.share(cell), cell);
    }
    return this.#keep(cell, before, value, work);
  }

  /** The value of a cell that is the same wherever the ranges are taken: exact, and no bounds of it. Nothing more is read for the bounds. */
  #constantOf(cell: Cell): Value {
    cell.computing = false;
    return this.under(this.low, () => this.#demand(cell).value);
  }

  #keep(cell: Cell, before: Result | undefined, value: Value, { deps, rests }: Work): Result {
    const { revision } = this;
    const ends = this.scenario.within(rests);
    const same = before && before.rests === rests && sameValue(before.value, value);
    const result = {
      rests,
      ends,
      value,
      deps: [...deps],
      verified: revision,
      changed: same ? before.changed : revision,
    };
    const isOnly = cell.results.length === 0 || (cell.results.length === 1 && cell.results[0] === before);
    cell.results = isOnly ? [result] : [...othersThan(result, before, cell.results), result];
    if (ends.isInside) this.#inside.add(cell);
    for (const dep of deps) {
      dep.readers ??= new Set();
      if (!dep.readers.has(cell)) this.#links++;
      dep.readers.add(cell);
    }
    return result;
  }

  /** Counts a step of what is being computed; a fault where it has taken more than it may. */
  step(): Fault | undefined {
    this.allowance.spend();
    const top = this.#stack[this.#stack.length - 1];
    if (!top || ++top.steps <= mostSteps) return undefined;
    return new Fault(`it takes too long to compute: more than ${mostSteps} steps`);
  }

  /** Computes what a declaration says, which may lead to others; a fault where it leads back to itself without end. */
  calling(node: Declaration, work: () => Value): Value {
    const spent = this.step();
    if (spent) return spent;
    const top = this.#stack[this.#stack.length - 1];
    const calls = this.#calls;
    if ((top?.calls ?? calls.length) >= mostCalls) return endless(node, calls);
    calls.push(node);
    if (top) top.calls++;
    try {
      return work();
    } finally {
      calls.pop();
      if (top) top.calls--;
    }
  }

  /**
   * The scenarios in which a cell can differ: every combination of the ends it rests on, or what a search for the worst found (see
   * `cornersOf`).
   */
  scenarios(cell: Cell): readonly Ends[] {
    return this.corners(cell).tried;
  }

  /** The combinations of ends at which to look at a cell, and its values there; kept until the cell is touched. */
  corners(cell: Cell): Corners {
    const { corners } = cell;
    if (corners && corners.at >= cell.touched && corners.at >= corners.by.touched) return corners.what;
    const { by, what } = cornersOf(cell, this);
    cell.corners = { at: this.revision, by, what };
    return what;
  }

  /** Searches deeper, inside the ranges as well, in steps: what `corners` gives from then on until the cell is touched. */
  *searchDeeper(cell: Cell): Generator<void, void> {
    if (this.corners(cell).points !== undefined) return;
    const { by, what } = yield* searchedDeeper(cell, this);
    cell.corners = { at: this.revision, by, what };
  }

  /**
   * Lets go of what was computed inside ranges on the way to the worst, but for the scenarios that are kept. What is let go of is
   * only no longer at hand.
   */
  letGo(kept: Iterable<Ends>): void {
    this.#sets.letGo(kept);
    const passing: Cell[] = [];
    for (const cell of this.#inside) {
      cell.results = cell.results.filter(({ ends }) => this.#sets.holds(ends));
      if (!cell.results.some(({ ends }) => ends.isInside)) this.#inside.delete(cell);
      if (cell.called && cell.results.length === 0) passing.push(cell);
    }
    for (const cell of passing) {
      const reads = ({ results }: Cell) => results.some(({ deps }) => deps.includes(cell));
      if (![...(cell.readers ?? [])].some(reads)) cellsOf(cell.instance).values.delete(cell.name);
    }
  }

  /**
   * Runs `work` with values in place of what cells say. All that was computed stands afterwards as it stood before: nothing that
   * rests on them has to be computed again.
   */
  supposing<T>(values: ReadonlyMap<Cell, Value>, work: () => T): T {
    const cells = withReaders(values.keys());
    const before = Array.from(cells, keptOf);
    this.#putAside += cells.size;
    for (const cell of cells) keep(cell, nothingKept());
    for (const [cell, value] of values) cell.trial = value;
    const links = this.#links;
    try {
      return work();
    } finally {
      const ranges = new Set([...values].flatMap(([cell, value]) => (value instanceof Range ? cell : [])));
      // Cells that came to read them meanwhile.
      const more = this.#links === links ? [] : withReaders(values.keys());
      for (const cell of more) if (!cells.has(cell)) keep(cell, nothingKept());
      let at = 0;
      for (const cell of cells) keep(cell, before[at++] as Kept);
      if (ranges.size > 0) this.#sets.forget(ranges);
    }
  }
  /** How often a cell came to be read by another that had not read it before. */
  #links = 0;

  /** How many cells were put aside so far for what was supposed: a measure of that work which is alike on every machine. */
  get putAside(): number {
    return this.#putAside;
  }
  #putAside = 0;

  /** Runs `work` in a scenario. */
  under<T>(scenario: Ends, work: () => T): T {
    const before = this.scenario;
    this.scenario = scenario;
    try {
      return work();
    } finally {
      this.scenario = before;
    }
  }

  /** Reads without noting what was read: for messages. */
  aside<T>(work: () => T): T {
    this.#stack.push({ deps: new Set(), rests: this.low, steps: 0, calls: 0 });
    try {
      return work();
    } finally {
      this.#stack.pop();
    }
  }
}

/** The results of a cell without those that a new result, which holds for the same ends, takes the place of. */
function othersThan({ rests, ends }: Result, before: Result | undefined, results: readonly Result[]): Result[] {
  return results.filter(
    (o) => o !== before && (o.rests === rests ? o.ends !== ends : o.ends.within(rests) !== ends.within(o.rests)),
  );
}

/** Cells, and all that may have been computed from them, however far. */
function withReaders(cells: Iterable<Cell>): Set<Cell> {
  const all = new Set(cells);
  for (const cell of all) for (const reader of cell.readers ?? []) all.add(reader);
  return all;
}

/** What is kept of a cell that was computed. */
interface Kept {
  readonly trial: Value | undefined;
  readonly results: Result[];
  readonly corners: Cell['corners'];
  readonly note: Cell['note'];
}

function keptOf({ trial, results, corners, note }: Cell): Kept {
  return { trial, results, corners, note };
}

const nothingKept = (): Kept => ({ trial: undefined, results: [], corners: undefined, note: undefined });

function keep(cell: Cell, { trial, results, corners, note }: Kept): void {
  cell.trial = trial;
  cell.results = results;
  cell.corners = corners;
  cell.note = note;
}

/** The value of a range at a share of its way; a number that is only ever shown plain is counted, and stays whole. */
function takenAt({ low, high }: Range, share: number, cell: Cell): Value {
  if (share === anywhere) return new Span(low, high, new Map([[cell, { low: high - low, high: high - low }]]));
  if (share === 0 || share === 1) return share ? high : low;
  const way = share * (high - low);
  const type = cell.member?.type;
  const shown = type?.is === 'quantity' ? type.named?.shown : undefined;
  return low + (shown?.join() === '1' && Number.isInteger(high - low) ? Math.round(way) : way);
}

function ringOf(cells: readonly Cell[]): Fault {
  const names = cells.map((c) => (c.instance.holder ? `${c.instance.label}.${c.name}` : c.name));
  // The message begins at the same cell, whichever cell of the ring was asked for first.
  const start = names.indexOf(names.toSorted()[0] as string);
  const ring = [...names.slice(start), ...names.slice(0, start)];
  const shown = ring.length > mostShown ? [...ring.slice(0, mostShown), '…'] : ring;
  return new Fault(
    `this value depends on itself: ${[...shown, ring[0]].join(' → ')}`,
    cells[start]?.definition.node,
    true,
  );
}

const mostShown = 12;

/** The names of declarations that call each other in a ring, beginning at the same one whichever was called first. */
function endless(node: Declaration, calls: readonly Declaration[]): Fault {
  const ring = calls.slice(calls.lastIndexOf(node)).map(({ name }) => (name as Name).text);
  const start = ring.indexOf(ring.toSorted()[0] as string);
  const names = [...ring.slice(start), ...ring.slice(0, start)];
  const through = names.length > 1 ? `: ${[...names, names[0]].join(' → ')}` : '';
  return new Fault(`${names[0]} calls itself without end${through}`);
}
