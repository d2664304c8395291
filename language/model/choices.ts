import type { Declaration, Entry } from '../grammar/generated/ast.ts';
import { type AstNode, textOf } from '../grammar/syntax.ts';
import type { Cell, Engine } from './cell.ts';
import { type Frame, sizeValues, standingFor } from './evaluate.ts';
import { partKind } from './infer.ts';
import type { Kind } from './kind.ts';
import { type Machine, missingPaths, targetsOf } from './machine.ts';
import { renderMessage } from './message.ts';
import { binary } from './operators.ts';
import { contextOf, frameOf, least, type Margin, marginOf, type Rule, rulesOn, verdictCell } from './rule.ts';
import { said } from './said.ts';
import { declaredName, type Scope } from './scope.ts';
import { showValue } from './show.ts';
import type { Instance, PartChoices } from './tree.ts';
import { isMissing, type Value } from './value.ts';

/** Something that could stand in place of a `?`. */
export interface Candidate {
  /** As it would be written in the file. */
  readonly text: string;
  /** As people read it. */
  readonly shown: string;
  readonly value: Value;
}

/** Why a candidate was passed over. */
export interface Obstacle {
  readonly candidate: Candidate;
  /** The rule's name, or `requirement`. */
  readonly rule: string;
  readonly message: string;
}

/** An open choice, and what the tool proposes for it. */
export interface Choice {
  readonly instance: Instance;
  /** The value's name; empty where the block's part is open. */
  readonly name: string;
  /** The `?`. */
  readonly node: AstNode;
  readonly proposed: Candidate | undefined;
  /** What ruled out the candidate before the one proposed, or, where none fits, what ruled out each. */
  readonly obstacles: readonly Obstacle[];
  /** Rules that depend on it and cannot be decided yet, with what they lack. */
  readonly undecided: readonly { readonly rule: string; readonly missing: readonly string[] }[];
}

type Part = { readonly node: Declaration; readonly scope: Scope };

/** A tree of the same machine with other parts in place of its open ones. */
export type Rebuild = (parts: PartChoices) => Machine | undefined;

/** Choices that bear on each other settle in this many rounds or are left as they are. */
const mostRounds = 4;

/**
 * Proposes something for each `?` of a machine, parts first: the least candidate that no rule or requirement which depends
 * on it rejects, with the other proposals in place. What is proposed flows on to everything that depends on it.
 */
export function choose(machine: Machine, rebuild: Rebuild): { machine: Machine; choices: Choice[] } {
  const parts = new Map<string, Part>();
  for (const cell of openValues(machine)) if (cell.trial !== undefined) attempt(cell, undefined, machine.engine);
  let round = chooseEach(machine, parts, rebuild, true);
  for (let n = 1; n < mostRounds && round.choices.length > 1; n++) {
    const before = proposals(round.choices);
    round = chooseEach(round.machine, parts, rebuild, true);
    if (proposals(round.choices) === before) break;
  }
  if (round.choices.some((choice) => !choice.proposed)) round = chooseEach(round.machine, parts, rebuild, false);
  return { machine: round.machine, choices: round.choices.map((choice) => unlessUndecided(choice, round.machine)) };
}

function proposals(choices: readonly Choice[]): string {
  return choices.map((choice) => choice.proposed?.text ?? '?').join();
}

/** One round. Where nothing fits yet, `tentative` leaves what comes nearest in place, so that the others have something to go by. */
function chooseEach(machine: Machine, parts: Map<string, Part>, rebuild: Rebuild, tentative: boolean) {
  const choices: Choice[] = [];
  let now = machine;
  // What a rule asks of a block that is itself open is that choice's concern, not that of the others.
  const open = [...openParts(machine), ...openValues(machine).map((cell) => pathOf(cell.instance))];
  const besides = (path: string) => (instance: Instance) =>
    isAmong(
      instance,
      open.filter((other) => other !== path),
    ) && !isAmong(instance, [path]);
  for (const path of openParts(machine)) {
    const tried = choosePart(path, parts, now, rebuild, tentative, besides(path));
    if (!tried) continue;
    now = tried.machine;
    choices.push(tried.choice);
  }
  for (const cell of openValues(now)) choices.push(chooseValue(cell, now, tentative, besides(pathOf(cell.instance))));
  return { machine: now, choices };
}

/** Where no rule that depends on a value can be decided yet, nothing speaks for the least of its sizes. */
function unlessUndecided(choice: Choice, machine: Machine): Choice {
  const cell = choice.name ? choice.instance.cell(choice.name) : undefined;
  if (!cell || !choice.proposed || isDecided(cell, machine)) return choice;
  attempt(cell, undefined, machine.engine);
  return { ...choice, proposed: undefined, obstacles: [] };
}

function isDecided(choice: Cell, machine: Machine): boolean {
  const { engine } = machine;
  const verdicts = [...[...weighed(machine)].map((w) => w.cell), ...targetsOf(machine).map((t) => t.cell)];
  return verdicts.some(
    (cell) => typeof engine.value(cell) === 'boolean' && depends(cell, (dep) => dep === choice, engine),
  );
}

/** Does an instance stand at one of these paths, or within what does? */
function isAmong(instance: Instance, paths: readonly string[]): boolean {
  for (let at: Instance | undefined = instance; at; at = at.holder) if (paths.includes(pathOf(at))) return true;
  return false;
}

/** The machine with other parts, and with the values proposed so far. */
function withParts(parts: PartChoices, machine: Machine, rebuild: Rebuild): Machine | undefined {
  const rebuilt = rebuild(parts);
  if (!rebuilt) return undefined;
  for (const cell of openValues(machine)) {
    const same = find(rebuilt, pathOf(cell.instance))?.cell(cell.name);
    if (same && cell.trial !== undefined) attempt(same, cell.trial, rebuilt.engine);
  }
  return rebuilt;
}

// ---- values ----

function openValues(machine: Machine): Cell[] {
  const found: Cell[] = [];
  for (const instance of machine.tree.all()) {
    for (const name of new Set(instance.layers.flatMap((layer) => said(layer.body).open))) {
      const cell = instance.cell(name);
      if (cell?.definition.origin === 'open') found.push(cell);
    }
  }
  return found;
}

function chooseValue(cell: Cell, machine: Machine, tentative: boolean, isOthers: IsOthers): Choice {
  const { proposed, obstacles, nearest } = leastThatPasses(cell, machine, isOthers);
  if (!proposed && tentative && nearest) attempt(cell, nearest.value, machine.engine);
  return {
    instance: cell.instance,
    name: cell.name,
    node: cell.definition.expression as AstNode,
    proposed,
    obstacles: proposed ? obstacles.slice(-1) : obstacles,
    undecided: proposed ? undecidedOf(machine, choiceOf(cell)) : [],
  };
}

/**
 * Tries candidates in their order until one passes, which then stays in place; and what ruled out those before it. Beside
 * other choices, `nearest` is the one that the fewest rules reject.
 */
export function leastThatPasses(
  cell: Cell,
  machine: Machine,
  isOthers: IsOthers = nobody,
): { proposed?: Candidate; nearest?: Candidate; obstacles: Obstacle[] } {
  const candidates = candidatesFor(cell, machine);
  const tryOut = (candidate: Candidate) => {
    attempt(cell, candidate.value, machine.engine);
    return rejections(candidate, machine, choiceOf(cell), isOthers, cell.instance);
  };
  const obstacles: Obstacle[] = [];
  for (const candidate of candidates) {
    const [obstacle] = tryOut(candidate);
    if (!obstacle) return { proposed: candidate, obstacles };
    obstacles.push(obstacle);
  }
  const tried = candidates.map((candidate) => ({ candidate, rejected: [...tryOut(candidate)] }));
  const { passing, before } = despiteOthers(tried);
  attempt(cell, passing?.candidate.value, machine.engine);
  if (passing) return { proposed: passing.candidate, obstacles: before };
  const nearest = isOthers === nobody ? undefined : leastBy(tried, ({ rejected }) => rejected.length)?.candidate;
  return { nearest, obstacles };
}

/**
 * The first of candidates that were all rejected, with what fails whichever is taken left aside: a mistake elsewhere that the
 * choice hardly bears on, such as a relay that carries too much when a fuse is chosen.
 */
function despiteOthers<T extends { rejected: readonly Rejection[] }>(
  tried: readonly T[],
): { passing?: T; before: Obstacle[] } {
  const ofAll = tried.length > 1 ? (tried[0] as T).rejected.filter(({ own }) => !own) : [];
  const elsewhere = new Set(ofAll.map(({ key }) => key).filter((key) => isAlike(key, tried)));
  const left = (each: T) => each.rejected.filter(({ key }) => !elsewhere.has(key));
  const index = tried.findIndex((each) => left(each).length === 0);
  return {
    passing: tried[index],
    before: tried.slice(0, Math.max(index, 0)).flatMap((each) => left(each).slice(0, 1)),
  };
}

/** Does something fail with every candidate, and by much the same, within a fifth? */
function isAlike(key: string, tried: readonly { rejected: readonly Rejection[] }[]): boolean {
  const all = tried.map(({ rejected }) => rejected.find((rejection) => rejection.key === key));
  if (all.some((rejection) => !rejection)) return false;
  const amounts = all.flatMap((rejection) => rejection?.margin?.amount ?? []);
  if (amounts.length === 0) return true;
  const [low, high] = [Math.min(...amounts), Math.max(...amounts)];
  return amounts.length === all.length && high - low <= Math.abs(low) / 5;
}

/** The first of those for which the least comes out. */
function leastBy<T>(items: readonly T[], measure: (item: T) => number): T | undefined {
  let best: { item: T; size: number } | undefined;
  for (const item of items) {
    const size = measure(item);
    if (!best || size < best.size) best = { item, size };
  }
  return best?.item;
}

/** Puts a value in place of what a cell says, such as an open choice; everything that depends on it is computed anew. Undefined takes it back. */
export function attempt(cell: Cell, value: Value | undefined, engine: Engine): void {
  cell.trial = value;
  engine.touch([cell]);
}

/** What a value can be chosen from, the least first: its standard sizes, its options, or parts of its kind. */
export function candidatesFor(cell: Cell, machine: Machine): Candidate[] {
  const { member, instance } = cell;
  if (!member) return [];
  if (member.type.is === 'choice')
    return member.type.options.map((text) => ({ text, shown: text.replaceAll('_', ' '), value: text }));
  if (member.type.is === 'instance' && member.type.kind)
    return partsFor(member.type.kind, machine).map((c) => c.candidate);
  const scope = member.owner.scope;
  const found = member.sizes.length > 0 ? scope.find(member.sizes[0] as string) : undefined;
  if (found?.node.$type !== 'Declaration' || found.node.value?.$type !== 'List') return [];
  const frame = { engine: machine.engine, self: instance, scope: found.scope, mode: 'kind' as const };
  const values = sizeValues(found.node, frame);
  const candidates = found.node.value.elements.map((element, i) => {
    const value = values[i] as Value;
    return {
      text: element.name?.text ?? textOf(element.value),
      shown: showValue(value, member.type, scope.system, { shown: member.shown }),
      value,
    };
  });
  return candidates.sort((a, b) =>
    typeof a.value === 'number' && typeof b.value === 'number' ? a.value - b.value : 0,
  );
}

// ---- parts ----

function pathOf(instance: Instance): string {
  return instance.holder ? instance.label : instance.name;
}

/** Paths of the blocks whose part is open. */
function openParts(machine: Machine): string[] {
  return machine.tree
    .all()
    .filter((instance) => openBase(instance))
    .map(pathOf);
}

/** The `?` that stands for a block's part. */
function openBase(instance: Instance): AstNode | undefined {
  const layer = instance.layers.find((l) => l.node.$type === 'Entry' && l.node.base);
  const base = layer?.node.$type === 'Entry' ? layer.node.base : undefined;
  return base?.$type === 'Open' ? base : undefined;
}

/** The parts of a kind, ranked by what the kind says: the cheapest first; those not known in some rank come last in it. */
function partsFor(kind: Kind, machine: Machine) {
  const { engine, scope, tree } = machine;
  const found = scope.parts().filter((part) => partKind(declaredName(part.node) ?? '', part.scope)?.isA(kind));
  const listed = found.flatMap(({ node, scope: own }) => {
    const value = node.$type === 'Declaration' ? standingFor(node, own, engine) : undefined;
    if (!value || node.$type !== 'Declaration') return [];
    const name = declaredName(node) as string;
    const ranks = value.kind.ranking.map((rank) => {
      const cell = value.cell(rank);
      return cell && engine.value(cell);
    });
    return [{ part: { node, scope: own }, ranks, candidate: { text: name, shown: name, value: value as Value } }];
  });
  const frame: Frame = { engine, self: tree, scope, mode: 'block' };
  return listed.sort((a, b) => {
    const byRank = a.ranks.map((rank, i) => compare(rank, b.ranks[i], frame)).find((order) => order !== 0);
    return byRank ?? (a.candidate.text < b.candidate.text ? -1 : 1);
  });
}

function compare(a: Value | undefined, b: Value | undefined, frame: Frame): number {
  const unknown = (value: Value | undefined) => value === undefined || isMissing(value);
  if (unknown(a) || unknown(b)) return Number(unknown(a)) - Number(unknown(b));
  const less = (x: Value, y: Value) => binary('<', x, y, frame, undefined as never) === true;
  return less(a as Value, b as Value) ? -1 : less(b as Value, a as Value) ? 1 : 0;
}

function choosePart(
  path: string,
  parts: Map<string, Part>,
  machine: Machine,
  rebuild: Rebuild,
  tentative: boolean,
  isOthers: IsOthers,
) {
  const open = find(machine, path);
  const node = open && openBase(open);
  if (!open || !node) return undefined;
  const tried: Tried[] = [];
  const wanted = wantedKind(open, node);
  const candidates = partsFor(wanted, machine);
  const brought = namesIn(candidates.map(({ candidate }) => candidate.value as Instance));
  for (const { part, candidate } of candidates) {
    parts.set(path, part);
    const now = withParts(parts, machine, rebuild);
    const instance = now && find(now, path);
    if (!now || !instance) continue;
    const choice: Chosen = {
      // What no part brings is not the choice's concern: a relay's control is missing whichever relay it is.
      isChoice: ({ instance: at, name, member }) =>
        isWithin(at, instance) && (brought.has(name) || (member !== undefined && isOnlySome(member.owner, wanted))),
      isOwn: (rule, at) => at === instance && isOnlySome(rule.kind, wanted),
    };
    const rejected = [...rejections(candidate, now, choice, isOthers, instance)];
    tried.push({ candidate, part, machine: now, instance, choice, rejected });
    if (rejected.length === 0) break;
  }
  const last = tried.at(-1);
  const { passing, before } =
    last?.rejected.length === 0
      ? { passing: last, before: tried.slice(0, -1).flatMap(({ rejected }) => rejected.slice(0, 1)) }
      : despiteOthers(tried);
  if (passing) {
    const { part, candidate, machine: now, instance, choice } = passing;
    parts.set(path, part);
    const undecided = undecidedOf(now, choice);
    return {
      machine: now,
      choice: { ...chosen(candidate), instance, node, obstacles: before.slice(-1), undecided },
    };
  }
  const nearest = tentative ? leastBy(tried, ({ rejected }) => rejected.length) : undefined;
  if (nearest) parts.set(path, nearest.part);
  else parts.delete(path);
  const left = nearest?.machine ?? withParts(parts, machine, rebuild) ?? machine;
  const obstacles = tried.flatMap(({ rejected }) => rejected.slice(0, 1));
  return {
    machine: left,
    choice: { ...chosen(undefined), instance: find(left, path) ?? open, node, obstacles, undecided: [] },
  };
}

/** A part put in place of an open one, and what rejects it. */
interface Tried {
  readonly candidate: Candidate;
  readonly part: Part;
  readonly machine: Machine;
  readonly instance: Instance;
  readonly choice: Chosen;
  readonly rejected: readonly Rejection[];
}

function chosen(proposed: Candidate | undefined) {
  return { name: '', proposed };
}

/** The kind that the text asks for, whatever part stands in the block for now. */
function wantedKind(open: Instance, node: AstNode): Kind {
  const entry = node.$container as Entry;
  const layer = open.layers.find((l) => l.node === entry);
  const slot = open.holder?.member(open.name);
  const named = entry.first && layer?.scope.kindNamed(entry.first.text);
  return named ?? (slot?.type.is === 'instance' ? slot.type.kind : undefined) ?? open.kind;
}

function find(machine: Machine, path: string): Instance | undefined {
  for (const instance of machine.tree.all()) if (pathOf(instance) === path) return instance;
  return undefined;
}

function isWithin(instance: Instance, holder: Instance): boolean {
  for (let at: Instance | undefined = instance; at; at = at.holder) if (at === holder) return true;
  return false;
}

// ---- what rejects a candidate ----

/** What belongs to a choice: the values that it decides, and the rules that stand on what it can be alone. */
interface Chosen {
  readonly isChoice: (cell: Cell) => boolean;
  readonly isOwn: (rule: Rule, instance: Instance) => boolean;
}

function choiceOf(cell: Cell): Chosen {
  return { isChoice: (dep) => dep === cell, isOwn: () => false };
}

/** Is it a kind that some of what is wanted are, and others not? */
function isOnlySome(kind: Kind, wanted: Kind): boolean {
  return kind !== wanted && kind.isA(wanted);
}

/** The names of all values that some of these parts give, themselves or in what they hold. */
function namesIn(parts: readonly Instance[]): ReadonlySet<string> {
  const entries = parts
    .flatMap((part) => part.all())
    .flatMap((instance) => instance.layers.flatMap((layer) => layer.body?.members ?? []));
  return new Set(entries.flatMap((entry) => (entry.$type === 'Entry' && entry.first ? [entry.first.text] : [])));
}

type IsOthers = (instance: Instance) => boolean;
const nobody: IsOthers = () => false;

/** An obstacle, with what tells whether another candidate meets the same. */
interface Rejection extends Obstacle {
  readonly key: string;
  /** True where it is the choice's own block that is at fault. */
  readonly own: boolean;
  readonly margin: Margin | undefined;
}

/**
 * The rules and requirements that depend on the choice and fail with it, those on its own block first; undecided ones reject
 * nothing.
 */
function* rejections(
  candidate: Candidate,
  machine: Machine,
  { isChoice, isOwn }: Chosen,
  isOthers: IsOthers,
  own: Instance,
): Generator<Rejection> {
  const { engine } = machine;
  const failing = (cell: Cell, concerned = false) =>
    engine
      .scenarios(cell)
      .find((scenario) =>
        engine.under(scenario, () => engine.value(cell) === false && (concerned || depends(cell, isChoice, engine))),
      );
  for (const { rule, instance, cell } of weighed(machine, own)) {
    const scenario = isOthers(instance) ? undefined : failing(cell, isOwn(rule, instance));
    if (scenario === undefined) continue;
    const said = engine.under(scenario, () => failure(rule, instance, engine));
    yield {
      candidate,
      rule: rule.name,
      key: `${rule.name} ${pathOf(instance)}`,
      own: isWithin(instance, own),
      ...said,
    };
  }
  for (const target of targetsOf(machine)) {
    if (failing(target.cell) === undefined) continue;
    const message = `${target.text} would not hold`;
    yield { candidate, rule: 'requirement', key: target.text, own: true, margin: undefined, message };
  }
}

/** Rules that can reject something: those of error and warning level, on every instance, `first` before the others. */
function* weighed(
  machine: Machine,
  first: Instance = machine.tree,
): Generator<{ rule: Rule; instance: Instance; cell: Cell }> {
  for (const instance of new Set([...first.all(), ...machine.tree.all()])) {
    for (const rule of rulesOn(instance.kind, machine.scope)) {
      if (rule.severity !== 'advice') yield { rule, instance, cell: verdictCell(rule, instance) };
    }
  }
}

function failure(rule: Rule, instance: Instance, engine: Engine): Pick<Rejection, 'message' | 'margin'> {
  return engine.aside(() => {
    const [frame, ctx] = [frameOf(rule, instance, engine), contextOf(rule)];
    const margin = least(rule.holds.map((part) => marginOf(part, frame, ctx)));
    return { message: renderMessage(rule.message, frame, ctx, margin), margin };
  });
}

/** Was a cell computed from the choice, in the present scenario? */
function depends(cell: Cell, isChoice: Chosen['isChoice'], engine: Engine, seen = new Set<Cell>()): boolean {
  if (isChoice(cell)) return true;
  seen.add(cell);
  return engine.inputs(cell).some((dep) => !seen.has(dep) && depends(dep, isChoice, engine, seen));
}

function undecidedOf(machine: Machine, { isChoice }: Chosen): { rule: string; missing: string[] }[] {
  const { engine } = machine;
  const found: { rule: string; missing: string[] }[] = [];
  for (const { rule, cell } of weighed(machine)) {
    const value = engine.under(engine.low, () => engine.value(cell));
    if (isMissing(value) && engine.under(engine.low, () => depends(cell, isChoice, engine)))
      found.push({ rule: rule.name, missing: missingPaths(value) });
  }
  return found;
}

/** What stands in the way, once for each rule: with the candidate that comes nearest to passing. */
export function obstaclesByRule(choice: Choice): Obstacle[] {
  return [...new Map(choice.obstacles.map((obstacle) => [obstacle.rule, obstacle])).values()];
}
