import type { Declaration, Expression } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import { type Definition, defined, definitionOf, type Origin } from '../machine/definition.ts';
import type { Instance } from '../machine/tree.ts';
import type { Kind, Member } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { Fault, type Value, type ValueList } from '../values/value.ts';
import type { Ends as EndsOf } from './ends.ts';

/** One value of one instance (or a rule's verdict on it), with what it was computed from. */
export class Cell {
  #definition: Definition | undefined;
  /** Results, of which no two hold for the same ends. */
  results: Result[] = [];
  computing = false;
  /** Cells that were computed from it, some of them perhaps no longer. */
  readers: Set<Cell> | undefined;
  /** The revision in which it, or something it may depend on, was last defined anew: older results must be verified. */
  touched = 0;
  /** The revision in which an edit last reached it, or what it was ever computed from; infinite where it is not known. What is only tried is no edit. */
  edited = 0;
  /** What was last worked out from its results, and in which revision: it holds until the cell is touched. */
  note: { readonly key: unknown; readonly at: number; readonly what: unknown } | undefined;
  /** A value tried in place of an open choice. */
  trial: Value | undefined;
  /** True where the trial only comes nearest to passing, and is not proposed. */
  tentative = false;
  /** For values that no declaration gives: rules, requirements, calls with arguments. */
  compute: ((engine: Engine) => Value) | undefined;
  /** For a derived value called with arguments: which, and with what. */
  called: { readonly cell: Cell; readonly args: readonly Value[] } | undefined;
  /** For a verdict: the cell that tells how far it is from failing. */
  measure: (() => Cell) | undefined;
  /** For a verdict: what it is made of, and what that is computed in. */
  conditions: ((engine: Engine) => Conditions) | undefined;
  /** The combinations of ends to look at, and since when they are. */
  corners: { readonly at: number; readonly by: Cell; readonly what: Corners } | undefined;
  readonly instance: Instance;
  readonly name: string;
  readonly member: Member | undefined;
  constructor(instance: Instance, name: string, member: Member | undefined) {
    this.instance = instance;
    this.name = name;
    this.member = member;
  }

  get definition(): Definition {
    this.#definition ??= definitionOf(this.instance, this.member as Member);
    return this.#definition;
  }
  set definition(definition: Definition) {
    this.#definition = definition;
  }
  /** Where its value comes from, what is proposed for an open choice included. */
  get origin(): Origin | 'proposed' {
    return this.trial === undefined || this.tentative ? this.definition.origin : 'proposed';
  }
  get path(): string {
    return `${this.instance.path}.${this.name}`;
  }
}

/** The cells of one block: of its values and verdicts, and of which blocks there are in it. */
class Cells {
  readonly values = new Map<string, Cell>();
  blocks: Cell | undefined;
  readonly every = new Map<Kind, Cell>();
}

/** All cells of a block. */
export function cellsOf(instance: Instance): Cells {
  instance.computed ??= new Cells();
  return instance.computed as Cells;
}

/** The cell of one of a block's values, if its kind declares such a value. */
export function cellOf(instance: Instance | undefined, name: string): Cell | undefined {
  if (!instance) return undefined;
  const { values } = cellsOf(instance);
  const cell = values.get(name);
  if (cell) return cell;
  const member = instance.member(name);
  if (!member || member.role === 'child') return undefined;
  const made = new Cell(instance, name, member);
  values.set(name, made);
  return made;
}

/** A cell for which blocks stand directly in a block: what rests on that reads it. */
export function blocksOf(instance: Instance): Cell {
  const cells = cellsOf(instance);
  cells.blocks ??= survey(instance, 'blocks', () => [...instance.children.values(), ...instance.broken]);
  return cells.blocks;
}

/** A cell for all of a kind in a block, in the order of the tree. */
export function everyOf(instance: Instance, kind: Kind): Cell {
  const { every } = cellsOf(instance);
  let cell = every.get(kind);
  if (!cell) {
    cell = survey(instance, `every ${kind.name}`, () => instance.all().filter((each) => each.kind.isA(kind)));
    every.set(kind, cell);
  }
  return cell;
}

function survey(instance: Instance, name: string, blocks: () => ValueList): Cell {
  const cell = new Cell(instance, name, undefined);
  cell.compute = blocks;
  return cell;
}

/** The cells that rest on which blocks stand in a block: its own, and those of what holds it. */
export function surveysOf(instance: Instance): Cell[] {
  const { blocks } = cellsOf(instance);
  const surveys = blocks ? [blocks] : [];
  for (let at: Instance | undefined = instance; at; at = at.holder) surveys.push(...cellsOf(at).every.values());
  return surveys;
}

/** Its cells, those for which blocks there are among them. */
export function* everyCell(instance: Instance): Generator<Cell> {
  const { values, every, blocks } = cellsOf(instance);
  yield* values.values();
  yield* every.values();
  if (blocks) yield blocks;
}

/** What an edit did to a tree. */
export interface Adopted {
  /** Cells that are defined otherwise now, or that rested on which blocks there were. */
  readonly changed: ReadonlySet<Cell>;
  readonly gone: ReadonlySet<Instance>;
}

/** What a verdict is made of: it holds where all of these do, if it applies. */
export interface Conditions {
  readonly when: readonly Expression[];
  readonly holds: readonly Expression[];
  readonly evaluate: (node: Expression) => Value;
  /** Is it shown how near it comes to failing, and where? */
  readonly showsMargin: boolean;
}

/** A cell's value in every scenario that takes the ranges it rests on at the same place. */
export interface Result {
  readonly rests: Ends;
  /** Where these ranges are taken. */
  readonly ends: Ends;
  readonly value: Value;
  readonly deps: readonly Cell[];
  /** Revision in which it was last known to hold, and in which it last changed. */
  verified: number;
  readonly changed: number;
}

/** A cell that no declaration gives: a verdict, a requirement, what stands in a list. */
export function computedCell(
  instance: Instance,
  key: string,
  scope: Scope,
  compute: (engine: Engine) => Value,
  expression?: Expression,
): Cell {
  const cell = new Cell(instance, key, undefined);
  cell.definition = defined({ origin: 'derived', expression, node: undefined, scope, mode: 'kind' });
  cell.compute = compute;
  return cell;
}

/** Reads the deciding text again after its value was replaced in place. Returns whether it is another. */
export function rereadValue(cell: Cell): boolean {
  if (!cell.member) return false;
  const before = cell.definition;
  cell.definition = definitionOf(cell.instance, cell.member);
  return before.expression !== cell.definition.expression || before.spoiled !== cell.definition.spoiled;
}

/** Reads the deciding text again after an edit. Returns whether it reads otherwise than before. */
export function rereadDefinition(cell: Cell): boolean {
  if (!cell.member) return false;
  const before = cell.definition;
  const after = definitionOf(cell.instance, cell.member);
  cell.definition = after;
  if (after.origin !== 'open') cell.trial = undefined;
  return (
    before.origin !== after.origin ||
    before.mode !== after.mode ||
    before.scope !== after.scope ||
    before.spoiled !== after.spoiled ||
    holdsFault(cell) ||
    !sameText(before.expression, after.expression)
  );
}

/** Is what could not be computed told of a place in the text? After an edit that place is another. */
export function holdsFault(cell: Cell): boolean {
  return cell.results.some(({ value }) => value instanceof Fault && value.node !== undefined);
}

function sameText(a: Expression | undefined, b: Expression | undefined): boolean {
  return a === b || (a !== undefined && b !== undefined && textOf(a) === textOf(b));
}

/** Computes a cell from its definition; given by the evaluator. */
export type Evaluate = (cell: Cell, engine: Engine) => Value;

/** Where each range is taken; or the ranges that a value rests on. */
export type Ends = EndsOf<Cell>;

/** The scenarios at which a value was looked at: combinations of ends and, once it was searched deeper, the worst inside ranges. */
export interface Corners {
  readonly tried: readonly Ends[];
  /** The value at each of them. */
  readonly values: readonly Value[];
  /** How many combinations of ends there are. */
  readonly of: number;
  /** How many points were looked at, the insides of ranges among them; undefined where only ends were. */
  readonly points?: number;
  /** Is it certain that it is nowhere worse? */
  readonly proved?: boolean;
}

/** What computes cells by need; see `engine.ts`. */
export interface Engine {
  readonly evaluate: Evaluate;
  /** Counts the edits that were taken in. */
  readonly revision: number;
  readonly scenario: Ends;
  /** The scenario in which every range is at its low end. */
  readonly low: Ends;
  /** The scenario in which every range is anywhere, and values are bounds. */
  readonly everywhere: Ends;
  /** Parts and other machines that stand for themselves in this evaluation. */
  readonly standing: Map<unknown, Instance | undefined>;
  /** Blocks that stand for several, each of which is computed by itself, and what tells which one is meant. */
  readonly copies: Map<Instance, readonly Cell[]>;
  /** The scenario that takes these ranges at their high end, and the others at their low end. */
  atHighEnds(ranges: readonly Cell[]): Ends;
  /** Notes that a name was looked up among the declarations that a scope sees. */
  lookedUp(name: string, scope: Scope, node: unknown): void;
  /** Do all names that were looked up still lead to the same declarations? If not, nothing that was computed can be kept. */
  holds(): boolean;
  /** Takes in that cells are defined anew, or what is tried there: what was computed from them is verified before it is used again. */
  touch(cells: Iterable<Cell>, isTry?: boolean): void;
  /** The same of an edit where they differ in scenarios that a reader was not computed in: all that was computed from them goes. */
  renew(cells: Iterable<Cell>): void;
  /** Takes in an edit that was adopted by a tree, or what is tried there; false where all must be computed anew. */
  takeIn(adopted: Adopted, tree: Instance, isTry?: boolean): boolean;
  /** The value of a cell in the present scenario. */
  value(cell: Cell): Value;
  /** Works something out from a cell and what it was computed from, once until one of these is touched. */
  noted<T>(cell: Cell, key: unknown, work: () => T): T;
  /** Cells that a cell's value was computed from, in the present scenario. */
  inputs(cell: Cell): readonly Cell[];
  /** The ranges that a cell's value rests on in a scenario. */
  restsOf(cell: Cell, scenario: Ends): Ends;
  /** Counts a step of what is being computed; a fault where it has taken more than it may. */
  step(): Fault | undefined;
  /** Computes what a declaration says, which may lead to others; a fault where it leads back to itself without end. */
  calling(node: Declaration, work: () => Value): Value;
  /** The scenarios in which a cell can differ. */
  scenarios(cell: Cell): readonly Ends[];
  /** The combinations of ends at which to look at a cell, and its values there; kept until the cell is touched. */
  corners(cell: Cell): Corners;
  /** Searches deeper, inside the ranges as well, in steps. */
  searchDeeper(cell: Cell): Generator<void, void>;
  /** Lets go of results inside ranges but for those scenarios that are kept. */
  letGo(kept: Iterable<Ends>): void;
  /** How many cells were put aside so far for what was supposed: a measure of that work which is alike on every machine. */
  readonly putAside: number;
  /** Runs `work` with values in place of what cells say; what was computed before stands afterwards. */
  supposing<T>(values: ReadonlyMap<Cell, Value>, work: () => T): T;
  /** Runs `work` in a scenario. */
  under<T>(scenario: Ends, work: () => T): T;
  /** Reads without noting what was read: for messages. */
  aside<T>(work: () => T): T;
}
