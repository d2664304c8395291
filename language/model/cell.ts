import type { Entry, Expression, Measurement } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import type { Member } from './kind.ts';
import { isSpoiled } from './problem.ts';
import { said } from './said.ts';
import type { Scope } from './scope.ts';
import type { Adopted, Instance, Mode } from './tree.ts';
import { Fault, Range, sameValue, type Value } from './value.ts';

/** Where a value comes from. */
export type Origin = 'given' | 'default' | 'derived' | 'measured' | 'open' | 'missing';

/** The text that decides a value. */
export interface Definition {
  readonly origin: Origin;
  readonly expression: Expression | undefined;
  /** The statement: an assignment, a measurement, or the kind's declaration. */
  readonly node: Entry | Measurement | undefined;
  readonly scope: Scope;
  readonly mode: Mode;
}

/** One value of one instance (or a rule's verdict on it), with what it was computed from. */
export class Cell {
  #definition: Definition | undefined;
  /** Results by scenario; `mask` tells which ranges of the machine they depend on. */
  results: Result[] = [];
  mask = 0;
  computing = false;
  /** Cells that were computed from it, some of them perhaps no longer. */
  readers: Set<Cell> | undefined;
  /** The revision in which it, or something it may depend on, was last defined anew: older results must be verified. */
  touched = 0;
  /** What was last worked out from its results, and in which revision: it holds until the cell is touched. */
  note: { readonly key: string; readonly at: number; readonly what: unknown } | undefined;
  /** A value tried in place of an open choice. */
  trial: Value | undefined;
  /** For values that no declaration gives: rules, requirements, calls with arguments. */
  compute: ((engine: Engine) => Value) | undefined;
  /** For a derived value called with arguments: which, and with what. */
  called: { readonly cell: Cell; readonly args: readonly Value[] } | undefined;
  constructor(
    readonly instance: Instance,
    readonly name: string,
    readonly member: Member | undefined,
  ) {}

  get definition(): Definition {
    this.#definition ??= define(this);
    return this.#definition;
  }
  set definition(definition: Definition) {
    this.#definition = definition;
  }
  get path(): string {
    return `${this.instance.path}.${this.name}`;
  }
}

interface Result {
  /** The scenario, as far as the value depends on it. */
  readonly scenario: number;
  value: Value;
  deps: Cell[];
  /** Revision in which it was last known to hold, and in which it last changed. */
  verified: number;
  changed: number;
}

/** Finds the text that decides a cell: a measurement used in place, the most specific assignment, or the kind's own. */
function define(cell: Cell): Definition {
  const member = cell.member as Member;
  let given: Definition | undefined;
  for (const { body, scope, mode, elsewhere } of cell.instance.layers) {
    const own = said(body).values.get(cell.name);
    if (own?.measured && !elsewhere)
      return { origin: 'measured', expression: own.measured.value, node: own.measured, scope, mode };
    if (given || !own?.given) continue;
    const node = own.given;
    const origin = node.value?.$type === 'Open' ? 'open' : node.value ? 'given' : 'missing';
    given = { origin, expression: node.value, node, scope, mode };
  }
  const node = member.node as Entry;
  const byKind: Definition = {
    origin: member.role === 'derived' ? 'derived' : member.role === 'default' ? 'default' : 'missing',
    expression: node.value,
    node,
    scope: member.owner.scope,
    mode: 'kind',
  };
  // A derived value is not to be given: the checks say so, and the formula stays in force.
  return given && member.role !== 'derived' ? given : byKind;
}

/** Reads the deciding text again after an edit. Returns whether it reads otherwise than before. */
export function redefine(cell: Cell): boolean {
  if (!cell.member) return false;
  const before = cell.definition;
  const after = define(cell);
  cell.definition = after;
  if (after.origin !== 'open') cell.trial = undefined;
  return (
    before.origin !== after.origin ||
    before.mode !== after.mode ||
    before.scope !== after.scope ||
    isSpoiled(before.expression) !== isSpoiled(after.expression) ||
    !sameText(before.expression, after.expression)
  );
}

function sameText(a: Expression | undefined, b: Expression | undefined): boolean {
  return a === b || (a !== undefined && b !== undefined && textOf(a) === textOf(b));
}

/** Computes a cell from its definition; given by the evaluator. */
export type Evaluate = (cell: Cell, engine: Engine) => Value;

/** The most ranges of which every combination of ends is tried; beyond it, all low and all high. */
const mostRanges = 4;

/**
 * Computes cells by need, and again only where something they depend on changed. A scenario is a set
 * of bits, one for each range in the machine: 0 takes its low end, 1 its high end.
 */
export class Engine {
  revision = 0;
  scenario = 0;
  readonly ranges: Cell[] = [];
  /** Parts and other machines that stand for themselves in this evaluation. */
  readonly standing = new Map<unknown, Instance | undefined>();
  /** Names that were looked up among a file's declarations, and what they led to. */
  readonly #lookups = new Map<Scope, Map<string, unknown>>();
  readonly #stack: { cell: Cell; deps: Set<Cell>; mask: number }[] = [];
  constructor(readonly evaluate: Evaluate) {}

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

  /** Takes in that cells are defined anew: what was computed from them is verified before it is used again. */
  touch(cells: Iterable<Cell>): void {
    this.revision++;
    for (const cell of cells) for (const result of cell.results) result.verified = -1;
    for (let wave = [...cells]; wave.length > 0; ) {
      const next: Cell[] = [];
      for (const cell of wave) {
        if (cell.touched === this.revision) continue;
        cell.touched = this.revision;
        if (cell.readers) next.push(...cell.readers);
      }
      wave = next;
    }
  }

  /**
   * Takes in an edit that was adopted by a tree. False where a block with a range is gone: the scenarios that were counted with it
   * are then no longer sound, and all must be computed anew.
   */
  takeIn({ changed, gone }: Adopted, tree: Instance): boolean {
    if (this.ranges.some((range) => gone.has(range.instance))) return false;
    if (gone.size > 0) this.#release(gone, tree);
    this.touch(changed);
    return true;
  }

  /** Lets go of what was computed in blocks that are gone. */
  #release(gone: ReadonlySet<Instance>, tree: Instance): void {
    const parts = [...this.standing.values()].flatMap((part) => part?.all() ?? []);
    for (const instance of [...tree.all(), ...parts]) {
      for (const cell of instance.everyCell()) {
        for (const reader of cell.readers ?? []) if (gone.has(reader.instance)) cell.readers?.delete(reader);
      }
    }
  }

  /** The value of a cell in the present scenario. */
  value(cell: Cell): Value {
    const result = this.#demand(cell);
    const top = this.#stack[this.#stack.length - 1];
    if (top) {
      top.deps.add(cell);
      top.mask |= cell.mask;
    }
    return result.value;
  }

  /** Works something out from a cell and what it was computed from, once until one of these is touched. */
  noted<T>(cell: Cell, key: string, work: () => T): T {
    const { note } = cell;
    if (note?.key === key && note.at >= cell.touched) return note.what as T;
    const what = work();
    cell.note = { key, at: this.revision, what };
    return what;
  }

  /** Cells that a cell's value was computed from, in the present scenario. */
  inputs(cell: Cell): readonly Cell[] {
    return this.#demand(cell).deps;
  }

  #demand(cell: Cell): Result {
    const { revision } = this;
    if (cell.computing)
      return { scenario: 0, value: this.#ring(cell), deps: [], verified: revision, changed: revision };
    const scenario = this.scenario & cell.mask;
    const found = cell.results.find((result) => result.scenario === scenario);
    if (found && found.verified >= cell.touched) return found;
    if (found && found.verified >= 0 && this.#unchanged(found)) {
      found.verified = revision;
      return found;
    }
    return this.#compute(cell, found);
  }

  #unchanged(result: Result): boolean {
    for (const dep of result.deps) {
      if (dep.computing) return false;
      if (this.#demand(dep).changed > result.verified) return false;
    }
    return true;
  }

  #compute(cell: Cell, before: Result | undefined): Result {
    const frame = { cell, deps: new Set<Cell>(), mask: 0 };
    this.#stack.push(frame);
    cell.computing = true;
    let value: Value;
    try {
      value = cell.trial ?? (cell.compute ? cell.compute(this) : this.evaluate(cell, this));
    } finally {
      cell.computing = false;
      this.#stack.pop();
    }
    if (value instanceof Range) {
      const bit = this.#rangeBit(cell);
      frame.mask |= bit;
      value = this.scenario & bit ? value.high : value.low;
    }
    if ((frame.mask & ~cell.mask) !== 0) {
      cell.mask |= frame.mask;
      cell.results = [];
    }
    const changed = before && sameValue(before.value, value) ? before.changed : this.revision;
    const scenario = this.scenario & cell.mask;
    const result = { scenario, value, deps: [...frame.deps], verified: this.revision, changed };
    cell.results = [...cell.results.filter((other) => other.scenario !== scenario), result];
    for (const dep of frame.deps) {
      dep.readers ??= new Set();
      dep.readers.add(cell);
    }
    return result;
  }

  #rangeBit(cell: Cell): number {
    let index = this.ranges.indexOf(cell);
    if (index < 0) index = this.ranges.push(cell) - 1;
    return index < 30 ? 1 << index : 0;
  }

  #ring(cell: Cell): Fault {
    const from = this.#stack.findIndex((frame) => frame.cell === cell);
    const cells = this.#stack.slice(from).flatMap((frame) => (frame.cell ? [frame.cell] : []));
    const names = cells.map((c) => (c.instance.holder ? `${c.instance.label}.${c.name}` : c.name));
    // The ring reads the same wherever it was entered.
    const start = names.indexOf(names.toSorted()[0] as string);
    const ring = [...names.slice(start), ...names.slice(0, start)];
    const message = `this value depends on itself: ${[...ring, ring[0]].join(' → ')}`;
    return new Fault(message, cells[start]?.definition.node, true);
  }

  /** The scenarios in which a cell can differ: every combination of the ends it depends on. */
  scenarios(cell: Cell): number[] {
    this.scenario = 0;
    this.#demand(cell);
    for (let tried = new Set<number>(); ; ) {
      const list = combinations(cell.mask);
      const next = list.find((s) => !tried.has(s));
      if (next === undefined) return list;
      const mask = cell.mask;
      this.scenario = next;
      this.#demand(cell);
      this.scenario = 0;
      tried = cell.mask === mask ? tried.add(next) : new Set();
    }
  }

  /** Runs `work` in a scenario. */
  under<T>(scenario: number, work: () => T): T {
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
    this.#stack.push({ cell: undefined as unknown as Cell, deps: new Set(), mask: 0 });
    try {
      return work();
    } finally {
      this.#stack.pop();
    }
  }
}

function combinations(mask: number): number[] {
  const bits: number[] = [];
  for (let bit = 1; bit && bit <= mask; bit <<= 1) if (mask & bit) bits.push(bit);
  if (bits.length > mostRanges) return [0, mask];
  let list = [0];
  for (const bit of bits) list = [...list, ...list.map((s) => s | bit)];
  return list;
}
