import { type Cell, cellOf, type Engine } from '../compute/cell.ts';
import { sizeValues, standingFor } from '../compute/evaluate.ts';
import type { Frame } from '../compute/frame.ts';
import { blockContext, blockFrame, type Machine, targetsOf } from '../compute/machine.ts';
import { least, type Margin, marginOf, rankOf } from '../compute/margin.ts';
import { renderMessage } from '../compute/message.ts';
import type { Declaration, Entry, Reference } from '../grammar/generated/ast.ts';
import { type AstNode, childrenOf, textOf } from '../grammar/syntax.ts';
import { said } from '../machine/statements.ts';
import type { Instance, PartChoices } from '../machine/tree.ts';
import type { Kind } from '../names/kind.ts';
import { declaredName, type Scope } from '../names/scope.ts';
import { partKind } from '../types/bind.ts';
import { binary } from '../values/operators.ts';
import { showValue } from '../values/show.ts';
import { isMissing, type Value } from '../values/value.ts';
import { cautionOf, contextOf, frameOf, type Rule, rulesOn, verdictCell } from './rule.ts';
import { notJudged, type Wants, wantsOf, whyNotKnown } from './verdict-words.ts';

/** Something that could stand in place of a `?`. */
interface Candidate {
  /** As it would be written in the file. */
  readonly text: string;
  /** As people read it. */
  readonly shown: string;
  readonly value: Value;
}

/** Why a candidate was passed over. */
interface Obstacle {
  readonly candidate: Candidate;
  /** The rule's name, or `requirement`. */
  readonly rule: string;
  readonly message: string;
}

/** A rule that stands behind a choice and cannot be decided yet, with what it lacks. */
interface Waiting extends Wants {
  readonly rule: string;
  /** What to mind, where it is about people's safety. */
  readonly caution?: string;
}

/** An open choice, and what the tool proposes for it. */
export interface Choice {
  readonly instance: Instance;
  /** The value's name; empty where the block's part is open. */
  readonly name: string;
  /** The `?`. */
  readonly node: AstNode;
  readonly proposed: Candidate | undefined;
  /** Where none passes, the candidate that breaks the fewest rules: the machine is judged with it, so that no finding hides. */
  readonly nearest: Candidate | undefined;
  /** What ruled out the candidate before the one proposed, or, where none fits, what ruled out each. */
  readonly obstacles: readonly Obstacle[];
  /** Rules that depend on it and cannot be decided yet. */
  readonly undecided: readonly Waiting[];
}

type Part = { readonly node: Declaration; readonly scope: Scope };

/** A tree of the same machine with other parts in place of its open ones. */
type Rebuild = (parts: PartChoices) => Machine | undefined;

/** Choices that bear on each other settle in this many rounds or are left as they are. */
const mostRounds = 4;

/**
 * Proposes something for each `?` of a machine, parts first: the least candidate that no rule or requirement which depends
 * on it rejects, with the other choices as they stand. What is proposed flows on to everything that depends on it; so does, where
 * nothing passes, what comes nearest: a machine with an open choice is judged as if the best that can be chosen were written there.
 */
export function choose(machine: Machine, rebuild: Rebuild): { machine: Machine; choices: Choice[] } {
  const parts = new Map<string, Part>();
  for (const cell of openValues(machine)) if (cell.trial !== undefined) attempt(cell, undefined, machine.engine);
  let round = chooseEach(machine, parts, rebuild);
  for (let n = 1; n < mostRounds && round.choices.length > 1; n++) {
    const before = standing(round.choices);
    round = chooseEach(round.machine, parts, rebuild);
    if (standing(round.choices) === before) break;
  }
  const now = round.machine;
  const choices = round.choices.map((choice) => unlessUndecided(choice, now));
  return { machine: now, choices: choices.map((choice) => asItEnds(choice, now)) };
}

function standing(choices: readonly Choice[]): string {
  return choices.map(({ proposed, nearest }) => (proposed ?? nearest)?.text ?? '?').join();
}

/** One round: each choice anew, with the others as they stand. */
function chooseEach(machine: Machine, parts: Map<string, Part>, rebuild: Rebuild) {
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
    const tried = choosePart(path, parts, now, rebuild, besides(path));
    if (!tried) continue;
    now = tried.machine;
    choices.push(tried.choice);
  }
  for (const cell of openValues(now)) choices.push(chooseValue(cell, now, besides(pathOf(cell.instance))));
  return { machine: now, choices };
}

/** Where no rule that depends on a value can be decided yet, nothing speaks for the least of its sizes. */
function unlessUndecided(choice: Choice, machine: Machine): Choice {
  const cell = choice.name ? cellOf(choice.instance, choice.name) : undefined;
  if (!cell || !choice.proposed || isDecided(cell, machine)) return choice;
  attempt(cell, undefined, machine.engine);
  return { ...choice, proposed: undefined, obstacles: [] };
}

/** A choice in the machine as all of them leave it: those that came later may have decided what one had to wait for. */
function asItEnds(choice: Choice, machine: Machine): Choice {
  const instance = find(machine, pathOf(choice.instance)) ?? choice.instance;
  const cell = choice.name ? cellOf(instance, choice.name) : undefined;
  const chosen = cell ? choiceOf(cell) : partOf(instance, choice.node, machine);
  return { ...choice, instance, undecided: choice.proposed ? waitingFor(chosen, instance, machine) : [] };
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
    const same = cellOf(find(rebuilt, pathOf(cell.instance)), cell.name);
    if (same && cell.trial !== undefined) attempt(same, cell.trial, rebuilt.engine, cell.tentative);
  }
  return rebuilt;
}

// ---- values ----

function openValues(machine: Machine): Cell[] {
  const found: Cell[] = [];
  for (const instance of machine.tree.all()) {
    for (const name of new Set(instance.layers.flatMap((layer) => said(layer.body).open))) {
      const cell = cellOf(instance, name);
      if (cell?.definition.origin === 'open') found.push(cell);
    }
  }
  return found;
}

function chooseValue(cell: Cell, machine: Machine, isOthers: IsOthers): Choice {
  const { proposed, obstacles, nearest } = leastThatPasses(cell, machine, isOthers);
  if (nearest) attempt(cell, nearest.value, machine.engine, true);
  return {
    instance: cell.instance,
    name: cell.name,
    node: cell.definition.expression as AstNode,
    proposed,
    nearest,
    obstacles: proposed ? obstacles.slice(-1) : obstacles,
    undecided: [],
  };
}

/**
 * Tries candidates in their order until one passes, which then stays in place; and what ruled out those before it. Where none
 * does, `nearest` is the one that the fewest rules reject.
 */
function leastThatPasses(
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
  return { nearest: leastRejected(tried)?.candidate, obstacles };
}

/**
 * The first of those rejected candidates that come nearest, where what rejects them is a mistake elsewhere that the choice hardly
 * bears on, such as a relay that carries too much when a fuse is chosen: it is found at its own place, whichever is taken.
 */
function despiteOthers<T extends { rejected: readonly Rejection[] }>(
  tried: readonly T[],
): { passing?: T; before: Obstacle[] } {
  const graves = tried.map(({ rejected }) => gravity(rejected).slice(0, 2));
  const least = graves.reduce((a, b) => (isLess(b, a) ? b : a), graves[0] ?? []);
  const nearest = tried.filter((_, i) => !isLess(least, graves[i] as number[]));
  const [first, ...others] = nearest;
  if (!first?.rejected.every(({ key, own }) => !own && isAlike(key, others.length > 0 ? nearest : tried)))
    return { before: [] };
  const keys = new Set(first.rejected.map(({ key }) => key));
  if (!others.every(({ rejected }) => rejected.every(({ key }) => keys.has(key)))) return { before: [] };
  const before = tried.slice(0, tried.indexOf(first));
  return {
    passing: first,
    before: before.flatMap(({ rejected }) => rejected.filter(({ key }) => !keys.has(key)).slice(0, 1)),
  };
}

/** Does something fail with several candidates, and by much the same: a fifth of it, or of the limit? */
function isAlike(key: string, tried: readonly { rejected: readonly Rejection[] }[]): boolean {
  const all = tried.flatMap(({ rejected }) => rejected.find((rejection) => rejection.key === key) ?? []);
  if (all.length < 2) return false;
  const amounts = all.flatMap(({ margin }) => (margin ? [rankOf(margin)] : []));
  if (amounts.length === 0) return true;
  const [low, high] = [Math.min(...amounts), Math.max(...amounts)];
  return amounts.length === all.length && high - low <= Math.max(Math.abs(low), 1) / 5;
}

/** The one with the fewest errors; among those, with the fewest warnings; among those, with the least that is short. */
function leastRejected<T extends { rejected: readonly Rejection[] }>(tried: readonly T[]): T | undefined {
  const ranked = tried.map((each) => ({ each, by: gravity(each.rejected) }));
  let best = ranked[0];
  for (const other of ranked.slice(1)) if (best && isLess(other.by, best.by)) best = other;
  return best?.each;
}

function gravity(rejected: readonly Rejection[]): number[] {
  const errors = rejected.filter(({ severity }) => severity === 'error').length;
  const short = rejected.map(({ margin }) => (margin ? -rankOf(margin) : 1));
  return [errors, rejected.length - errors, short.reduce((sum, by) => sum + by, 0)];
}

function isLess(a: readonly number[], b: readonly number[]): boolean {
  const i = a.findIndex((number, at) => number !== b[at]);
  return i >= 0 && (a[i] as number) < (b[i] as number);
}

/** Puts a value in place of what a cell says, such as an open choice; everything that depends on it is computed anew. Undefined takes it back. */
export function attempt(cell: Cell, value: Value | undefined, engine: Engine, tentative = false): void {
  cell.trial = value;
  cell.tentative = tentative;
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
      const cell = cellOf(value, rank);
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

/** The parts of a kind that a machine sees, as they are ranked. */
export function partsOfKind(kind: Kind, machine: Machine): { name: string; part: Instance }[] {
  return partsFor(kind, machine).map(({ candidate }) => ({ name: candidate.text, part: candidate.value as Instance }));
}

function compare(a: Value | undefined, b: Value | undefined, frame: Frame): number {
  const unknown = (value: Value | undefined) => value === undefined || isMissing(value);
  if (unknown(a) || unknown(b)) return Number(unknown(a)) - Number(unknown(b));
  const less = (x: Value, y: Value) => binary('<', x, y, frame, undefined as never) === true;
  return less(a as Value, b as Value) ? -1 : less(b as Value, a as Value) ? 1 : 0;
}

function choosePart(path: string, parts: Map<string, Part>, machine: Machine, rebuild: Rebuild, isOthers: IsOthers) {
  const open = find(machine, path);
  const node = open && openBase(open);
  if (!open || !node) return undefined;
  const tried: Tried[] = [];
  for (const { part, candidate } of partsFor(wantedKind(open, node), machine)) {
    parts.set(path, part);
    const now = withParts(parts, machine, rebuild);
    const instance = now && find(now, path);
    if (!now || !instance) continue;
    const rejected = [...rejections(candidate, now, partOf(instance, node, now), isOthers, instance)];
    tried.push({ candidate, part, machine: now, instance, rejected });
    if (rejected.length === 0) break;
  }
  const last = tried.at(-1);
  const { passing, before } =
    last?.rejected.length === 0
      ? { passing: last, before: tried.slice(0, -1).flatMap(({ rejected }) => rejected.slice(0, 1)) }
      : despiteOthers(tried);
  const stays = passing ?? leastRejected(tried);
  if (stays) parts.set(path, stays.part);
  else parts.delete(path);
  return {
    machine: stays?.machine ?? machine,
    choice: {
      instance: stays?.instance ?? open,
      name: '',
      node,
      proposed: passing?.candidate,
      nearest: passing ? undefined : stays?.candidate,
      obstacles: passing ? before.slice(-1) : tried.flatMap(({ rejected }) => rejected.slice(0, 1)),
      undecided: [],
    },
  };
}

/** A part put in place of an open one, and what rejects it. */
interface Tried {
  readonly candidate: Candidate;
  readonly part: Part;
  readonly machine: Machine;
  readonly instance: Instance;
  readonly rejected: readonly Rejection[];
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
  /** Could a rule of which nothing is known yet turn out to hang on it? */
  readonly mayDecide: (rule: Rule, instance: Instance) => boolean;
}

function choiceOf(cell: Cell): Chosen {
  return {
    isChoice: (dep) => dep === cell,
    isOwn: () => false,
    mayDecide: (rule, instance) => instance === cell.instance && mentions(rule, cell.name),
  };
}

/** What belongs to an open part. What no part brings is not its concern: a relay's control is missing whichever relay it is. */
function partOf(instance: Instance, node: AstNode, machine: Machine): Chosen {
  const wanted = wantedKind(instance, node);
  const brought = namesIn(
    partsFor(wanted, machine).map(({ candidate }) => candidate.value as Instance),
    wanted,
  );
  return {
    isChoice: ({ instance: at, name, member }) =>
      isWithin(at, instance) && (brought.has(name) || (member !== undefined && isOnlySome(member.owner, wanted))),
    isOwn: (rule, at) => at === instance && isOnlySome(rule.kind, wanted),
    mayDecide: (rule, at) => at === instance && [...brought].some((name) => mentions(rule, name)),
  };
}

/** Is it a kind that some of what is wanted are, and others not? */
function isOnlySome(kind: Kind, wanted: Kind): boolean {
  return kind !== wanted && kind.isA(wanted);
}

/** The names of all values that some of these parts give, themselves, by their kinds, or in what they hold. */
function namesIn(parts: readonly Instance[], wanted: Kind): ReadonlySet<string> {
  const entries = parts
    .flatMap((part) => part.all())
    .flatMap((instance) => instance.layers.flatMap((layer) => layer.body?.members ?? []));
  const given = entries.flatMap((entry) => (entry.$type === 'Entry' && entry.first ? [entry.first.text] : []));
  const members = [...new Set(parts.map((part) => part.kind))].flatMap((kind) => [...kind.members.values()]);
  return new Set([...given, ...members.filter(({ owner }) => isOnlySome(owner, wanted)).map(({ name }) => name)]);
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

type IsOthers = (instance: Instance) => boolean;
const nobody: IsOthers = () => false;

/** An obstacle, with what tells whether another candidate meets the same. */
interface Rejection extends Obstacle {
  readonly key: string;
  /** True where it is the choice's own block that is at fault. */
  readonly own: boolean;
  readonly severity: Rule['severity'];
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
      severity: rule.severity,
      ...said,
    };
  }
  for (const target of targetsOf(machine)) {
    const scenario = failing(target.cell);
    if (scenario === undefined) continue;
    const { text, node, instance, layer } = target;
    const margin = engine.under(scenario, () =>
      engine.aside(() => marginOf(node.condition, blockFrame(instance, layer, engine), blockContext(instance, layer))),
    );
    const message = `${text} would not hold`;
    yield { candidate, rule: 'requirement', key: text, own: true, severity: 'warning', margin, message };
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

/** The rules that cannot be decided with what is chosen, and of which it is not known that they do not hang on it. */
function waitingFor({ isChoice, mayDecide }: Chosen, own: Instance, machine: Machine): Waiting[] {
  const { engine } = machine;
  const found: Waiting[] = [];
  for (const { rule, instance, cell } of weighed(machine, own)) {
    for (const scenario of engine.scenarios(cell)) {
      const value = engine.under(scenario, () => engine.value(cell));
      if (!isMissing(value)) continue;
      const bears = mayDecide(rule, instance) || engine.under(scenario, () => depends(cell, isChoice, engine));
      if (!bears) continue;
      found.push({
        rule: rule.name,
        ...wantsOf(value),
        ...(rule.caution && { caution: cautionOf(rule, instance, engine) }),
      });
      break;
    }
  }
  return found;
}

/** The rules that wait behind a value as it stands now. */
export function waitingBehind(cell: Cell, machine: Machine): Waiting[] {
  return waitingFor(choiceOf(cell), cell.instance, machine);
}

/** A proposal is not to be written while a rule about people's safety waits behind it. */
export function mayBeWritten({ proposed, undecided }: Choice): boolean {
  return proposed !== undefined && !undecided.some(({ caution }) => caution);
}

/** What is proposed, and how far it is to be relied on: "2.5 mm² proposed if 3 undecided rules hold, 1 of them about safety". */
export function answerTo({ proposed, nearest, undecided }: Choice): string {
  if (!proposed) return nearest ? `nothing fits; ${nearest.shown} comes nearest` : 'nothing can be proposed';
  const grave = undecided.filter(({ caution }) => caution).length;
  if (undecided.length === 0) return `${proposed.shown} proposed`;
  if (undecided.length === 1)
    return `${proposed.shown} proposed if 1 undecided rule holds${grave ? ', which is about safety' : ''}`;
  return `${proposed.shown} proposed if ${undecided.length} undecided rules hold${grave ? `, ${grave} of them about safety` : ''}`;
}

/** The rules that wait behind a proposal, those about safety first, and what they lack; undefined where none does. */
export function whatWaits(undecided: readonly Waiting[]): string | undefined {
  if (undecided.length === 0) return undefined;
  const inOrder = [...undecided].sort((a, b) => Number(b.caution !== undefined) - Number(a.caution !== undefined));
  const names = [...new Set(inOrder.map(({ rule }) => rule))];
  const rules = names.length > 3 ? `${names.slice(0, 3).join(', ')} and ${names.length - 3} more` : names.join(', ');
  const missing = [...new Set(undecided.flatMap((each) => each.missing))];
  const unreadable = [...new Set(undecided.flatMap((each) => each.unreadable ?? []))];
  // What is not given is the builder's to give; only where nothing is, what cannot be computed says why.
  const because = missing.length > 0 ? undefined : undecided.find((each) => each.because)?.because;
  return `${rules} ${notJudged([])}: ${whyNotKnown({ missing, unreadable, because })}`;
}

/** What stands in the way, once for each rule: with the candidate that comes nearest to passing. */
export function obstaclesByRule(choice: Choice): Obstacle[] {
  return [...new Map(choice.obstacles.map((obstacle) => [obstacle.rule, obstacle])).values()];
}
