import { adoptTree, tryBlock } from '../compute/adopt.ts';
import { type Adopted, type Cell, cellOf, cellsOf, type Ends, type Engine } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Frame } from '../compute/frame.ts';
import { blockContext, blockFrame, type Machine, type Target, targetsOf } from '../compute/machine.ts';
import { leastMargin, type Margin, marginOf } from '../compute/margin.ts';
import { renderMessage } from '../compute/message.ts';
import { literalOf, showCell } from '../compute/show-cell.ts';
import type { Entry, Open, Reference, Remedy } from '../grammar/generated/ast.ts';
import { type AstNode, childrenOf } from '../grammar/syntax.ts';
import { statementsOf } from '../machine/statements.ts';
import { blockMadeAnew, childMadeAnew, type Instance, type PartChoices } from '../machine/tree.ts';
import type { Kind } from '../names/kind.ts';
import { cannotBe } from '../values/show.ts';
import { Fault, isMissing, sameValue, type Value } from '../values/value.ts';
import {
  type Candidate,
  candidatesAmong,
  candidatesFor,
  currencyAmong,
  type Part,
  partsAmong,
  partsFor,
  preferences,
} from './candidates.ts';
import type { Answer, Puzzle, Score } from './joint.ts';
import { Memory, type Place } from './memory.ts';
import { cautionOf, contextOf, frameOf, type Rule, rulesOn, verdictCell } from './rule.ts';
import { type WhyUnknown, whyUnknown } from './verdict-words.ts';

/** A `?`, and what could stand in its place. */
export interface OpenPlace extends Place {
  /** The `?`. */
  readonly node: Open;
}

/** A tree of the same machine, computed from nothing, with other parts in place of its open ones. */
export type Rebuild = (parts: PartChoices) => Machine | undefined;

/** Something that can fail: a rule on a block, or a requirement. */
type Item = { readonly cell: Cell; readonly instance: Instance } & (
  | { readonly rule: Rule; readonly target?: undefined }
  | { readonly target: Target; readonly rule?: undefined }
);

/** A rule that stands behind a choice and cannot be decided yet, with what it lacks. */
export interface Waiting extends WhyUnknown {
  readonly code: string;
  /** What to mind, where it is about people's safety. */
  readonly caution?: string;
}

/** Something that fails with a candidate. */
export interface Failure {
  readonly key: string;
  /** The rule's name, or `requirement`. */
  readonly rule: string;
  readonly instance: Instance;
  readonly severity: Rule['severity'];
  /** Is it about people's safety? */
  readonly grave: boolean;
  readonly message: string;
  readonly margin: Margin | undefined;
  /** What to mind, where it is about people's safety. */
  readonly caution: string | undefined;
  /** Values that would have to be others for it to be met, as `length 0.9 m → 0.7 m`. */
  readonly changes: readonly string[];
}

/** What is passed over with an open number: what is said of other open blocks, or all that rests on something else that is open. */
export type PassedOver = 'said of others' | 'resting on others';

const holds: Score = [0, 0];
/** What a verdict that fails measures where it compares no numbers. */
const comparesNothing = -1;
/** So many rules are looked at in one step. */
const atOnce = 20;

/** The path of a block below its machine, or the machine's own name. */
function pathOf(instance: Instance): string {
  return instance.holder ? instance.label : instance.name;
}

export function blockAtPath({ tree }: Machine, path: string): Instance | undefined {
  if (path === tree.name) return tree;
  let at: Instance | undefined = tree;
  for (const name of path.split('.')) at = at?.children.get(name);
  return at;
}

/** Is what stands at a path the block at another, or in it? */
function isAtOrIn(path: string, block: string, tree: Instance): boolean {
  return path === block || path.startsWith(`${block}.`) || block === tree.name;
}

/** The `?` that stands for a block's part. */
function openBase(instance: Instance): Open | undefined {
  const layer = instance.layers.find((l) => l.node.$type === 'Entry' && l.node.base);
  const base = layer?.node.$type === 'Entry' ? layer.node.base : undefined;
  return base?.$type === 'Open' ? base : undefined;
}

/** The kind that the text asks for, whatever part stands in the block for now. */
function wantedKind(open: Instance, node: AstNode): Kind {
  const entry = node.$container as Entry;
  const layer = open.layers.find((l) => l.node === entry);
  const slot = open.holder?.member(open.name);
  // Over a block that is there already, one word is its name.
  const isName = !entry.name && open.layers.some(({ node: other }) => other !== entry && other.$type === 'Entry');
  const named = entry.first && !isName ? layer?.scope.kindNamed(entry.first.text) : undefined;
  return named ?? (slot?.type.is === 'instance' ? slot.type.kind : undefined) ?? open.kind;
}

/** Values whose text is a `?`. */
function openValues({ tree }: Machine): Cell[] {
  return tree.all().flatMap((instance) =>
    [...new Set(instance.layers.flatMap((layer) => statementsOf(layer.body).open))].flatMap((name) => {
      const cell = cellOf(instance, name);
      return cell?.definition.origin === 'open' ? [cell] : [];
    }),
  );
}

/** What stood in place of an open value. */
interface TrialOf {
  readonly path: string;
  readonly name: string;
  readonly trial: Value | undefined;
  readonly tentative: boolean;
}

function trialOf({ instance, name, trial, tentative }: Cell): TrialOf {
  return { path: pathOf(instance), name, trial, tentative };
}

/** Has a machine a `?`? */
export function hasChoices(machine: Machine): boolean {
  return openValues(machine).length > 0 || machine.tree.all().some((instance) => openBase(instance));
}

/** Tells of a cell whether it was computed from what stands, or will stand, in place of a `?`. */
export function restsOnChoices(machine: Machine): (cell: Cell) => boolean {
  const open = new Set<unknown>(openValues(machine));
  for (const instance of machine.tree.all()) if (openBase(instance)) for (const each of instance.all()) open.add(each);
  return (cell) => computedFrom(cell, (input) => open.has(input) || open.has(input.instance));
}

/** Puts a value in place of what a cell says, such as an open choice; everything that depends on it is computed anew. Undefined takes it back. */
export function putInPlace(cell: Cell, value: Value | undefined, engine: Engine, tentative = false): void {
  cell.trial = value;
  cell.tentative = tentative;
  engine.touch([cell], true);
}

/** Is it a kind that some of what is wanted are, and others not? */
function isOnlySome(kind: Kind, wanted: Kind): boolean {
  return kind !== wanted && kind.isA(wanted);
}

/** What belongs to an open part. What no part brings is not its concern: a relay's control is missing whichever relay it is. */
class Brought {
  /** The names of all values that some of the parts give, themselves, by their kinds, or in what they hold. */
  readonly names: ReadonlySet<string>;
  readonly wanted: Kind;
  readonly #parts: readonly Instance[];
  readonly #counts = new Map<Kind, boolean>();
  constructor(candidates: readonly Candidate[], wanted: Kind) {
    this.wanted = wanted;
    this.#parts = candidates.map(({ value }) => value as Instance);
    const entries = this.#parts
      .flatMap((part) => part.all())
      .flatMap((instance) => instance.layers.flatMap((layer) => layer.body?.members ?? []));
    const given = entries.flatMap((entry) => (entry.$type === 'Entry' && entry.first ? [entry.first.text] : []));
    const members = [...new Set(this.#parts.map((part) => part.kind))].flatMap((kind) => [...kind.members.values()]);
    this.names = new Set([
      ...given,
      ...members.filter(({ owner }) => isOnlySome(owner, wanted)).map(({ name }) => name),
    ]);
  }

  decides({ name, member }: Cell): boolean {
    return this.names.has(name) || (member !== undefined && isOnlySome(member.owner, this.wanted));
  }

  /** Do some of the parts have more blocks of a kind than others? */
  varies(kind: Kind): boolean {
    let varies = this.#counts.get(kind);
    if (varies === undefined) {
      const counts = this.#parts.map((part) => part.all().filter((each) => each.kind.isA(kind)).length);
      varies = counts.some((count) => count !== counts[0]);
      this.#counts.set(kind, varies);
    }
    return varies;
  }
}

/**
 * A machine in which candidates are put in place of its open choices, one after the other: what does not depend on them stays
 * computed. It says what fails with them, and on which choices that rests.
 */
export class Trials implements Puzzle {
  machine: Machine;
  readonly places: readonly OpenPlace[];
  readonly own: readonly (readonly Score[])[];
  readonly #rebuild: Rebuild;
  readonly #parts: Map<string, Part>;
  readonly #brought: readonly (Brought | undefined)[];
  readonly #standing: (number | undefined)[];
  readonly #before: { readonly parts: PartChoices; readonly values: readonly TrialOf[] };
  /** Of the choices that this one bears on, what is left out of account: it is found at its own place, whatever is chosen. */
  readonly apart = new Set<string>();

  readonly #memory: Memory;

  /** `memory` knows what was found out when the choices of the same machine were last solved. */
  constructor(machine: Machine, parts: PartChoices, rebuild: Rebuild, memory = new Memory()) {
    this.machine = machine;
    this.#memory = memory;
    this.#before = { parts, values: openValues(machine).map(trialOf) };
    this.#parts = new Map(parts);
    this.#rebuild = rebuild;
    const places: OpenPlace[] = [];
    const brought: (Brought | undefined)[] = [];
    // A part may bring blocks with open parts of their own.
    for (let more = this.#openParts(places); more.length > 0; more = this.#openParts(places)) {
      for (const { place, wanted } of more) {
        places.push(place);
        brought.push(new Brought(place.candidates, wanted));
        const [first] = place.candidates;
        if (first) this.#putPart(place, first);
      }
    }
    for (const cell of openValues(this.machine)) {
      const { instance, name } = cell;
      const node = cell.definition.expression as Open;
      places.push({ path: pathOf(instance), name, node, candidates: candidatesAmong(node, cell, this.machine) });
      brought.push(undefined);
    }
    this.places = places;
    this.#brought = brought;
    const currency = currencyAmong(
      places.flatMap(({ candidates }) => candidates),
      this.machine,
    );
    this.own = places.map(({ candidates, path }) =>
      candidates.length > 0
        ? preferences(candidates, piecesOf(blockAtPath(this.machine, path)), currency, this.machine)
        : [holds],
    );
    this.#standing = places.map(({ candidates, name }) => (name === '' && candidates.length > 0 ? 0 : undefined));
    this.#wanted = [...this.#standing];
    memory.begin(places);
    this.#locate();
  }

  get parts(): PartChoices {
    return this.#parts;
  }

  /** Puts everything back as it stood at first. */
  undo(): void {
    const { parts, values } = this.#before;
    this.#parts.clear();
    for (const [path, part] of parts) this.#parts.set(path, part);
    for (const { path, name } of this.places) if (name === '') this.#remake(path);
    for (const { path, name, trial, tentative } of values) {
      const cell = cellOf(blockAtPath(this.machine, path), name);
      if (cell) putInPlace(cell, trial, this.machine.engine, tentative);
    }
  }

  #openParts(known: readonly OpenPlace[]): { place: OpenPlace; wanted: Kind }[] {
    return this.machine.tree.all().flatMap((instance) => {
      const node = openBase(instance);
      const path = pathOf(instance);
      if (!node || !instance.holder || known.some((place) => place.path === path)) return [];
      const wanted = wantedKind(instance, node);
      return [{ place: { path, name: '', node, candidates: partsAmong(node, wanted, this.machine) }, wanted }];
    });
  }

  // ---- putting candidates in place ----

  /** Puts these candidates in place; choices without one are left as they stand. */
  stand(picks: readonly (number | undefined)[]): void {
    this.#wanted = this.#wanted.map((wanted, i) => picks[i] ?? wanted);
    for (const [i, pick] of this.#wanted.entries()) {
      if (pick === undefined || this.#standing[i] === pick) continue;
      const place = this.places[i] as OpenPlace;
      const candidate = place.candidates[pick];
      if (!candidate) continue;
      this.#standing[i] = pick;
      if (place.name === '') {
        this.#putPart(place, candidate);
        this.#locate();
      } else this.#putValue(i, candidate.value);
    }
  }

  /** Puts a number in place of an open one of which the furthest is looked for; undefined takes it back. */
  putNumber(choice: number, value: number | undefined): void {
    if (value === undefined) this.#numbers.delete(choice);
    else this.#numbers.set(choice, value);
    this.#putValue(choice, value);
  }
  readonly #numbers = new Map<number, number>();

  /** The numbers that stand in place of open ones, by their choices. */
  numbers(): ReadonlyMap<number, number> {
    return new Map(this.#numbers);
  }

  /** Is there a choice with several candidates? */
  get hasChoices(): boolean {
    return this.places.some(({ candidates }) => candidates.length > 1);
  }

  /**
   * The keys of what fails and rests on an open number, and whether it is grave. A requirement that cannot be computed is none that is
   * met: a bed that never gets warm is not warm in time.
   */
  failingOn(choice: number, passedOver?: PassedOver): Map<string, boolean> {
    const bit = 1n << BigInt(choice);
    const others = [...this.places.keys()].filter((each) => each !== choice);
    const keys = new Map<string, boolean>();
    for (const item of itemsOf(this.machine)) {
      const key = keyOf(item);
      if (!(this.#failsAt(item) || this.#isFaulty(item)) || !(this.reaches(item.cell) & bit)) continue;
      if (passedOver === 'said of others' && others.some((each) => this.isOwn(key, each))) continue;
      if (passedOver === 'resting on others' && this.restsOnOthers(key, choice)) continue;
      keys.set(key, isGrave(item));
    }
    return keys;
  }

  #isFaulty({ cell, target }: Item): boolean {
    return target !== undefined && this.machine.engine.corners(cell).values.some((value) => value instanceof Fault);
  }

  /** Does something rest on what else is open: a choice of several candidates, or another number? */
  restsOnOthers(key: string, choice: number): boolean {
    const item = this.#itemOf(key);
    // What it rests on is known once it is computed.
    if (item) this.machine.engine.corners(item.cell);
    const rests = new Set(item ? this.#restsOf(key, item) : this.#mayBring(key));
    const bits = item ? this.reaches(item.cell) : 0n;
    return this.places.some(({ candidates, node }, i) => {
      if (i === choice) return false;
      return node.furthest ? (bits >> BigInt(i)) & 1n : candidates.length > 1 && rests.has(i);
    });
  }

  /** Some of what fails now, with its numbers; the gravest first. */
  failuresWith(keys: ReadonlyMap<string, boolean>, but: readonly string[]): Failure[] {
    const found = [...itemsOf(this.machine)].filter((item) => keys.has(keyOf(item)) && !but.includes(keyOf(item)));
    return found.map((item) => this.#told(keyOf(item), item)).sort((a, b) => Number(b.grave) - Number(a.grave));
  }

  /** The least margin of a rule or requirement, wherever its ranges are taken. */
  marginOf(key: string): Margin | undefined {
    const item = this.#itemOf(key);
    if (!item) return undefined;
    const { engine } = this.machine;
    return leastMargin(
      engine.scenarios(item.cell).map((scenario) =>
        engine.under(scenario, () =>
          engine.aside(() => {
            if (item.target) {
              const { node, layer } = item.target;
              return marginOf(
                node.condition,
                blockFrame(item.instance, layer, engine),
                blockContext(item.instance, layer),
              );
            }
            const [frame, ctx] = [frameOf(item.rule, item.instance, engine), contextOf(item.rule)];
            return leastMargin(item.rule.holds.map((part) => marginOf(part, frame, ctx)));
          }),
        ),
      ),
    );
  }

  /** What could stand in place of a choice, but is not listed behind its `?`, as it is preferred. */
  unlisted(choice: number): Candidate[] {
    const { node, candidates } = this.places[choice] as OpenPlace;
    if (!node.among) return [];
    const [cell, wanted] = [this.cellAt(choice), this.#brought[choice]?.wanted];
    const all = cell ? candidatesFor(cell, this.machine) : wanted ? partsFor(wanted, this.machine) : [];
    return all.filter(
      ({ text, value }) => !candidates.some((each) => each.text === text || sameValue(each.value, value)),
    );
  }

  /** Puts something in place of a choice that is not among its candidates; it goes as soon as one of these is put there. */
  standUnlisted(choice: number, candidate: Candidate): void {
    const place = this.places[choice] as OpenPlace;
    this.#standing[choice] = undefined;
    if (place.name !== '') return this.#putValue(choice, candidate.value);
    this.#putPart(place, candidate);
    this.#locate();
  }

  /** Takes back what was put in place of a value. */
  leaveOpen(choice: number): void {
    this.#wanted = this.#wanted.with(choice, undefined);
    this.#standing[choice] = undefined;
    this.#putValue(choice, undefined);
  }

  /** Marks what stands in place of a value as proposed or not. */
  markAs(choice: number, tentative: boolean): void {
    const cell = this.cellAt(choice);
    if (cell) cell.tentative = tentative;
  }

  /** The open value's cell, as it stands now. */
  cellAt(choice: number): Cell | undefined {
    const { path, name } = this.places[choice] as OpenPlace;
    return name === '' ? undefined : cellOf(blockAtPath(this.machine, path), name);
  }

  #putValue(choice: number, value: Value | undefined): void {
    const cell = this.cellAt(choice);
    if (cell) putInPlace(cell, value, this.machine.engine);
  }

  #putPart({ path }: OpenPlace, { part }: Candidate): void {
    this.#parts.set(path, part as Part);
    this.#remake(path);
  }

  /** Makes a block anew, with the parts that are chosen now. */
  #remake(path: string): void {
    const { tree, engine } = this.machine;
    const block = blockAtPath(this.machine, path);
    if (!block?.holder) return;
    const adopted = this.#adopt(block, block.holder);
    if (adopted && engine.takeIn(adopted, tree, true)) {
      // What blocks require is gathered once for each machine.
      this.machine = { ...this.machine };
      return;
    }
    this.machine = this.#rebuild(this.#parts) ?? this.machine;
    this.#reached = new Map();
    this.#failedAt.clear();
    this.#memory.forget();
  }

  /** Puts what is chosen for a block in its place; where it fills another role than before, what holds it is made anew. */
  #adopt(block: Instance, holder: Instance): Adopted | undefined {
    const fresh = childMadeAnew(holder, block.name, this.#parts);
    if (fresh && fresh.fills === block.fills) return tryBlock(holder, fresh);
    return adoptTree(holder, blockMadeAnew(holder, this.#parts), true);
  }

  /** The blocks of open parts, and the cells of open values, by their choice: others may have come in their place. */
  #locate(): void {
    this.#blocks.clear();
    this.#cells.clear();
    for (const [i, { path, name, candidates }] of this.places.entries()) {
      const instance = blockAtPath(this.machine, path);
      if (!instance) continue;
      if (name === '') this.#blocks.set(instance, i);
      const cell = name === '' ? undefined : cellOf(instance, name);
      if (!cell) continue;
      this.#cells.set(cell, i);
      const pick = this.#standing[i];
      const value = pick === undefined ? this.#numbers.get(i) : candidates[pick]?.value;
      if (cell.trial !== value) putInPlace(cell, value, this.machine.engine);
    }
  }
  readonly #blocks = new Map<Instance, number>();
  readonly #cells = new Map<Cell, number>();

  // ---- what fails ----

  *failures(picks: readonly number[]): Generator<void, string[]> {
    this.stand(picks);
    const question = this.#withNumbers(picks).join();
    const before = this.#memory.lookedAt(question);
    const [found, failing, others] = [[] as string[], new Set<Cell>(), new Set<Cell>()];
    let looked = 0;
    for (const item of itemsOf(this.machine)) {
      let fails = before(item.cell);
      if (fails === undefined) {
        if (++looked % atOnce === 0) yield;
        fails = this.#failsAt(item) !== undefined && this.#restsOf(keyOf(item), item).length > 0;
      }
      (fails ? failing : others).add(item.cell);
      if (fails && !this.apart.has(keyOf(item))) found.push(keyOf(item));
    }
    this.#memory.noteLooked(question, { at: this.machine.engine.revision, failing, others });
    return found;
  }

  /** The ends of ranges at which something fails; undefined where it fails at none. Where it did so before is looked at first. */
  #failsAt(item: Item): Ends | undefined {
    const { engine } = this.machine;
    const key = keyOf(item);
    const before = this.#failedAt.get(key);
    if (before && engine.under(before, () => engine.aside(() => engine.value(item.cell))) === false) return before;
    const { tried, values } = engine.corners(item.cell);
    const at = tried[values.indexOf(false)];
    if (at) this.#failedAt.set(key, at);
    return at;
  }
  readonly #failedAt = new Map<string, Ends>();

  /** What fails with what stands in place of the choices now; of the own block of a choice that is asked for nothing is set apart. */
  *failing(choice?: number): Generator<{ key: string; item: Item }> {
    for (const item of itemsOf(this.machine)) {
      const key = keyOf(item);
      const isAsked = !this.apart.has(key) || (choice !== undefined && this.isOwn(key, choice));
      if (isAsked && this.#failsAt(item) !== undefined) yield { key, item };
    }
  }

  ask(key: string, some: readonly (number | undefined)[]): Answer {
    const picks = some.map((pick, choice) => pick ?? this.#wanted[choice]);
    this.#wanted = picks;
    const standing = picks.map((pick) => pick ?? 0);
    const known = this.#memory.recall(key, this.#withNumbers(picks));
    if (known) return { ...known, standing };
    this.stand(picks);
    const item = this.#itemOf(key);
    const at = item && this.#failsAt(item);
    const rests = item ? this.#restsOf(key, item) : this.#mayBring(key);
    const answer = {
      score: !at ? holds : isGrave(item) ? [1, 0] : [0, 1],
      margin: at ? this.#shortOf(item, at) : 0,
      rests,
      standing,
    };
    if (item) {
      const measure = at && item.cell.measure?.();
      const cells = measure ? [item.cell, measure] : [item.cell];
      const by = [...rests, ...this.#numbersIn(item)];
      this.#memory.remember(key, this.#withNumbers(standing), {
        ...answer,
        by,
        cells,
        at: this.machine.engine.revision,
      });
    }
    return answer;
  }
  /** What stands in place of all that is open, numbers among it. */
  #withNumbers(picks: readonly (number | undefined)[]): (number | undefined)[] {
    return this.#numbers.size === 0 ? [...picks] : picks.map((pick, choice) => this.#numbers.get(choice) ?? pick);
  }

  /** The numbers that something was computed from, by their choices. */
  #numbersIn({ cell }: Item): number[] {
    const bits = this.reaches(cell);
    return [...this.places.keys()].filter(
      (choice) => this.places[choice]?.node.furthest && (bits >> BigInt(choice)) & 1n,
    );
  }

  /** What was last to stand in place of each choice: it does not where the answer was known. */
  #wanted: readonly (number | undefined)[] = [];

  /** How far something that fails is from holding, below zero; undefined where it compares no numbers. */
  #shortOf({ cell }: Item, at: Ends): number | undefined {
    const { engine } = this.machine;
    const measure = cell.measure?.();
    if (!measure) return undefined;
    const by = engine.under(at, () => engine.aside(() => engine.value(measure)));
    return typeof by !== 'number' || by === comparesNothing ? undefined : by;
  }

  /** The rule or requirement of that key, where it is there with what stands now. */
  #itemOf(key: string): Item | undefined {
    const [path = '', what = ''] = splitKey(key);
    const instance = blockAtPath(this.machine, path);
    const rule = instance && rulesOn(instance.kind, this.machine.scope).find((each) => each.key === what);
    if (rule) return { rule, instance, cell: verdictCell(rule, instance) };
    const target = instance && targetsOf(this.machine).find((each) => keyOf(itemOfTarget(each)) === key);
    return target && itemOfTarget(target);
  }

  /** The choices that decide whether there is something to fail. */
  #mayBring(key: string): number[] {
    const [path = ''] = splitKey(key);
    return this.places.flatMap((place, i) =>
      place.name === '' && isAtOrIn(path, place.path, this.machine.tree) && this.#standing[i] !== undefined ? [i] : [],
    );
  }

  /** The choices that something rests on. */
  #restsOf(key: string, { cell, rule, instance }: Item): number[] {
    let bits = this.reaches(cell);
    for (let at: Instance | undefined = instance; at; at = at.holder) {
      const block = this.#blocks.get(at);
      const brought = block === undefined ? undefined : this.#brought[block];
      if (!brought || block === undefined) continue;
      const isOwn = at === instance ? rule && isOnlySome(rule.kind, brought.wanted) : this.#isBroughtIn(key, brought);
      if (isOwn) bits |= 1n << BigInt(block);
    }
    return this.#standing.flatMap((pick, i) => (pick !== undefined && (bits >> BigInt(i)) & 1n ? [i] : []));
  }

  /** Does a part bring the block that something is said of? */
  #isBroughtIn(key: string, brought: Brought): boolean {
    const instance = blockAtPath(this.machine, splitKey(key)[0] ?? '');
    return instance !== undefined && brought.varies(instance.kind);
  }

  // ---- what rests on what ----

  /** The choices that a cell was computed from, each a bit. */
  reaches(cell: Cell): bigint {
    const known = this.#reached.get(cell);
    if (known && known.at >= cell.touched) return known.bits;
    const pending: Cell[] = [cell];
    const entered = new Set<Cell>();
    const at = this.machine.engine.revision;
    const isKnown = (each: Cell) => (this.#reached.get(each)?.at ?? -1) >= each.touched;
    while (pending.length > 0) {
      const next = pending[pending.length - 1] as Cell;
      const inputs = inputsOf(next);
      if (!entered.has(next)) {
        entered.add(next);
        const more = inputs.filter((input) => !entered.has(input) && !isKnown(input));
        if (more.length > 0) {
          pending.push(...more);
          continue;
        }
      }
      pending.pop();
      if (isKnown(next)) continue;
      let bits = this.#ownBits(next);
      for (const input of inputs) bits |= this.#reached.get(input)?.bits ?? 0n;
      this.#reached.set(next, { at, bits });
    }
    return this.#reached.get(cell)?.bits ?? 0n;
  }
  #reached = new Map<Cell, { at: number; bits: bigint }>();

  /** The choices that decide a cell itself. */
  #ownBits(cell: Cell): bigint {
    const value = this.#cells.get(cell);
    let bits = value === undefined ? 0n : 1n << BigInt(value);
    if (this.#blocks.size === 0) return bits;
    for (let at: Instance | undefined = cell.instance; at; at = at.holder) {
      const block = this.#blocks.get(at);
      if (block !== undefined && this.#brought[block]?.decides(cell)) bits |= 1n << BigInt(block);
    }
    return bits | this.#surveyBits(cell);
  }

  /** The choices that decide which blocks there are of a kind. */
  #surveyBits(cell: Cell): bigint {
    if (cell.member || !cell.compute) return 0n;
    const found = [...cellsOf(cell.instance).every].find(([, survey]) => survey === cell);
    if (!found) return 0n;
    let bits = 0n;
    for (const [instance, block] of this.#blocks)
      if (isWithin(instance, cell.instance) && this.#brought[block]?.varies(found[0])) bits |= 1n << BigInt(block);
    return bits;
  }

  /** The choices of parts, and of values on which something rests that can be decided. Where nothing does, not even the least value is proposed: nothing speaks for it. */
  decided(): Set<number> {
    let bits = 0n;
    for (const { cell } of itemsOf(this.machine)) {
      const { values } = this.machine.engine.corners(cell);
      if (values.some((value) => typeof value === 'boolean')) bits |= this.reaches(cell);
    }
    return new Set([...this.places.keys()].filter((i) => this.places[i]?.name === '' || (bits >> BigInt(i)) & 1n));
  }

  /** Is it said of the block of a choice, or of one in it? */
  isOwn(key: string, choice: number): boolean {
    const [path, what] = splitKey(key);
    return what.startsWith('rule ') && isAtOrIn(path, (this.places[choice] as OpenPlace).path, this.machine.tree);
  }

  failingKeys(): Set<string> {
    return new Set([...this.failing()].map(({ key }) => key));
  }

  /** The keys of what fails now, and whether it is grave. */
  failingNow(choice?: number): Map<string, boolean> {
    return new Map([...this.failing(choice)].map(({ key, item }) => [key, isGrave(item)]));
  }

  /** Is a rule said of the block that another one is said of, or of one in it? */
  isWithin(key: string, other: string): boolean {
    const [[path, what], [block]] = [splitKey(key), splitKey(other)];
    return what.startsWith('rule ') && block !== this.machine.tree.name && isAtOrIn(path, block, this.machine.tree);
  }

  // ---- what waits ----

  /** For each choice the rules that cannot be decided with what is chosen, and of which it is not known that they do not hang on it. */
  waiting(): Waiting[][] {
    const found: Waiting[][] = this.places.map(() => []);
    for (const item of itemsOf(this.machine)) {
      const waiting = waitingOn(item, this.machine);
      if (!waiting || !item.rule) continue;
      const bits = this.reaches(item.cell);
      for (const [i, place] of this.places.entries()) {
        if ((bits >> BigInt(i)) & 1n || this.#mayDecide(item.rule, item.instance, place, i)) found[i]?.push(waiting);
      }
    }
    return found;
  }

  /** Could a rule of which nothing is known yet turn out to hang on a choice? */
  #mayDecide(rule: Rule, instance: Instance, { path, name }: OpenPlace, choice: number): boolean {
    if (pathOf(instance) !== path) return false;
    const names = name === '' ? [...(this.#brought[choice]?.names ?? [])] : [name];
    return names.some((each) => mentions(rule, each));
  }

  // ---- in words ----

  /** What fails now, with its numbers, that rests on a choice; what is about people's safety first. */
  failuresOn(choice: number): Failure[] {
    const found = [...this.failing(choice)].filter(({ key, item }) => this.#restsOf(key, item).includes(choice));
    const weight = ({ grave, key }: Failure) => (grave ? 2 : 0) + (this.isOwn(key, choice) ? 1 : 0);
    return found.map(({ key, item }) => this.#told(key, item)).sort((a, b) => weight(b) - weight(a));
  }

  #told(key: string, item: Item): Failure {
    const { engine } = this.machine;
    const { tried, values } = engine.corners(item.cell);
    const failed = values.indexOf(false);
    const fault = failed < 0 ? values.find((value) => value instanceof Fault) : undefined;
    const scenario = tried[Math.max(failed, 0)] as Ends;
    const { rule, target, instance } = item;
    const said = engine.under(scenario, () =>
      engine.aside(() => {
        if (target) {
          const frame = blockFrame(instance, target.layer, engine);
          const margin = marginOf(target.node.condition, frame, blockContext(instance, target.layer));
          const what = fault ? cannotBe(fault.message) : 'would not hold';
          return { message: `${target.text} ${what}`, margin, changes: [], caution: undefined };
        }
        const [frame, ctx] = [frameOf(rule, instance, engine), contextOf(rule)];
        const margin = leastMargin(rule.holds.map((part) => marginOf(part, frame, ctx)));
        return {
          message: renderMessage(rule.message, frame, ctx, margin),
          margin,
          changes: rule.remedies.flatMap((remedy) => changed(remedy, instance, frame, this.machine)),
          caution: cautionOf(rule, instance, engine),
        };
      }),
    );
    return {
      key,
      rule: rule?.name ?? 'requirement',
      instance,
      severity: rule?.severity ?? 'warning',
      grave: isGrave(item),
      ...said,
    };
  }
}

/** A value that a rule says would have to be another, and what it would have to be. */
function changed({ target, value }: Remedy, instance: Instance, frame: Frame, machine: Machine): string[] {
  const cell = target?.$type === 'Reference' && value ? cellOf(instance, target.name.text) : undefined;
  const wanted = cell && literalOf(evaluate(value, frame), cell, machine);
  return wanted === undefined
    ? []
    : [`${pathOf(instance)}.${cell?.name} ${showCell(cell as Cell, machine)} → ${wanted}`];
}

/** Rules that can reject something, of error and warning level, and requirements. */
function* itemsOf(machine: Machine): Generator<Item> {
  for (const instance of machine.tree.all())
    for (const rule of rulesOn(instance.kind, machine.scope))
      if (rule.severity !== 'advice') yield { rule, instance, cell: verdictCell(rule, instance) };
  for (const target of targetsOf(machine)) yield { target, instance: target.instance, cell: target.cell };
}

/** A rule that cannot be decided, with what it lacks. */
function waitingOn({ cell, rule, instance }: Item, { engine }: Machine): Waiting | undefined {
  const value = rule && engine.corners(cell).values.find(isMissing);
  if (!rule || value === undefined) return undefined;
  const caution = rule.caution && { caution: cautionOf(rule, instance, engine) };
  return { code: rule.name, ...whyUnknown(value), ...caution };
}

/** The rules that cannot be decided with a value as it stands now, and of which it is not known that they do not hang on it. */
export function waitingBehind(value: Cell, machine: Machine): Waiting[] {
  return [...itemsOf(machine)].flatMap((item) => {
    const waiting = waitingOn(item, machine);
    if (!waiting || !item.rule) return [];
    const mayDecide = item.instance === value.instance && mentions(item.rule, value.name);
    return mayDecide || computedFrom(item.cell, (input) => input === value) ? [waiting] : [];
  });
}

function computedFrom(cell: Cell, isWanted: (cell: Cell) => boolean): boolean {
  const seen = new Set([cell]);
  for (const at of seen) {
    if (isWanted(at)) return true;
    for (const input of inputsOf(at)) seen.add(input);
  }
  return false;
}

function itemOfTarget(target: Target): Item {
  return { target, instance: target.instance, cell: target.cell };
}

/** An error, or about people's safety. */
function isGrave({ rule }: Item): boolean {
  return rule !== undefined && (rule.severity === 'error' || rule.caution !== undefined);
}

function keyOf({ rule, target, instance }: Item): string {
  return `${pathOf(instance)}\n${rule?.key ?? `require ${target?.text}`}`;
}

function splitKey(key: string): [string, string] {
  const at = key.indexOf('\n');
  return [key.slice(0, at), key.slice(at + 1)];
}

function isWithin(instance: Instance, holder: Instance): boolean {
  for (let at: Instance | undefined = instance; at; at = at.holder) if (at === holder) return true;
  return false;
}

/** What a cell was computed from, wherever its ranges are taken. */
function inputsOf(cell: Cell): Cell[] {
  return cell.results.flatMap((result) => (result.verified >= cell.touched ? result.deps : []));
}

/** Does a rule speak of a value of its kind, itself or through the formulas of others? */
function mentions({ kind, when, holds }: Rule, name: string): boolean {
  const seen = new Set<string>();
  const speaks = (node: AstNode): boolean => {
    if (node.$type !== 'Reference') return childrenOf(node).some(speaks);
    const said = (node as Reference).name?.text;
    if (said === name) return true;
    if (said === undefined || seen.has(said)) return false;
    seen.add(said);
    const formula = kind.members.get(said)?.node;
    return formula?.$type === 'Entry' && formula.value !== undefined && speaks(formula.value);
  };
  return [...when, ...holds].some(speaks);
}

/** How many of a block there are, with what holds it. */
function piecesOf(instance: Instance | undefined): number {
  let pieces = 1;
  for (let at = instance; at; at = at.holder) pieces *= at.count;
  return pieces;
}
