import type { Declaration, Entry } from '../grammar/generated/ast.ts';
import { type AstNode, rangeOf, textOf } from '../grammar/syntax.ts';
import type { Cell, Engine } from './cell.ts';
import { sizeValues, standingFor } from './evaluate.ts';
import { partKind } from './infer.ts';
import type { Kind } from './kind.ts';
import { type Machine, missingPaths, targetsOf } from './machine.ts';
import { renderMessage } from './message.ts';
import { binary } from './operators.ts';
import { contextOf, frameOf, least, marginOf, type Rule, rulesOn, verdictCell } from './rule.ts';
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

/**
 * Proposes something for each `?` of a machine, parts first: the least candidate that no rule or requirement which depends
 * on it rejects. What is proposed flows on to everything that depends on it.
 */
export function choose(machine: Machine, rebuild: Rebuild): { machine: Machine; choices: Choice[] } {
  const choices: Choice[] = [];
  let now = machine;
  const parts = new Map<string, Part>();
  for (const path of openParts(machine)) {
    const tried = choosePart(path, parts, now, rebuild);
    if (!tried) continue;
    now = tried.machine;
    choices.push(tried.choice);
  }
  for (const cell of openValues(now)) choices.push(chooseValue(cell, now));
  return { machine: now, choices };
}

// ---- values ----

function openValues(machine: Machine): Cell[] {
  const found: Cell[] = [];
  for (const instance of machine.tree.all()) {
    const names = new Set(
      instance.layers.flatMap((layer) =>
        (layer.body?.members ?? []).flatMap((m) => (isOpenValue(m) ? [m.first.text] : [])),
      ),
    );
    for (const name of names) {
      const cell = instance.cell(name);
      if (cell?.definition.origin === 'open') found.push(cell);
    }
  }
  return found;
}

function isOpenValue(node: { $type: string }): node is Entry {
  return node.$type === 'Entry' && (node as Entry).value?.$type === 'Open' && (node as Entry).first !== undefined;
}

function chooseValue(cell: Cell, machine: Machine): Choice {
  const { proposed, obstacles } = leastThatPasses(cell, machine);
  return {
    instance: cell.instance,
    name: cell.name,
    node: cell.definition.expression as AstNode,
    proposed,
    obstacles: proposed ? obstacles.slice(-1) : obstacles,
    undecided: proposed ? undecidedOf(machine, (dep) => dep === cell) : [],
  };
}

/** Tries candidates in their order until one passes, which then stays in place; and what ruled out those before it. */
export function leastThatPasses(
  cell: Cell,
  machine: Machine,
): { proposed: Candidate | undefined; obstacles: Obstacle[] } {
  const obstacles: Obstacle[] = [];
  for (const candidate of candidatesFor(cell, machine)) {
    attempt(cell, candidate.value, machine.engine);
    const obstacle = rejection(candidate, machine, (dep) => dep === cell);
    if (!obstacle) return { proposed: candidate, obstacles };
    obstacles.push(obstacle);
  }
  attempt(cell, undefined, machine.engine);
  return { proposed: undefined, obstacles };
}

/** Puts a value in place of what a cell says, such as an open choice; everything that depends on it is computed anew. Undefined takes it back. */
export function attempt(cell: Cell, value: Value | undefined, engine: Engine): void {
  cell.trial = value;
  for (const result of cell.results.values()) result.verified = -1;
  engine.revision++;
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
  return [...machine.tree.all()].filter((instance) => openBase(instance)).map(pathOf);
}

/** The `?` that stands for a block's part. */
function openBase(instance: Instance): AstNode | undefined {
  const layer = instance.layers.find((l) => l.node.$type === 'Entry' && l.node.base);
  const base = layer?.node.$type === 'Entry' ? layer.node.base : undefined;
  return base?.$type === 'Open' ? base : undefined;
}

function partsFor(kind: Kind, machine: Machine) {
  const found = machine.scope.parts().filter(({ node, scope }) => partKind(declaredName(node) ?? '', scope)?.isA(kind));
  const listed = found.flatMap(({ node, scope }) => {
    const value = node.$type === 'Declaration' ? standingFor(node, scope, machine.engine) : undefined;
    if (!value || node.$type !== 'Declaration') return [];
    const name = declaredName(node) as string;
    const rank = value.kind.order && value.cell(value.kind.order);
    const by = rank ? machine.engine.value(rank) : undefined;
    return [{ part: { node, scope }, by, candidate: { text: name, shown: name, value: value as Value } }];
  });
  const frame = { engine: machine.engine, self: machine.tree, scope: machine.scope, mode: 'block' as const };
  const before = (a: Value | undefined, b: Value | undefined) => {
    if (a === undefined || b === undefined || isMissing(a) || isMissing(b))
      return Number(a === undefined || isMissing(a)) - Number(b === undefined || isMissing(b));
    return binary('<', a, b, frame, undefined as never) === true
      ? -1
      : binary('<', b, a, frame, undefined as never) === true
        ? 1
        : 0;
  };
  return listed.sort((a, b) => before(a.by, b.by) || (a.candidate.text < b.candidate.text ? -1 : 1));
}

function choosePart(path: string, parts: Map<string, Part>, machine: Machine, rebuild: Rebuild) {
  const open = find(machine, path);
  const node = open && openBase(open);
  if (!open || !node) return undefined;
  const obstacles: Obstacle[] = [];
  for (const { part, candidate } of partsFor(open.kind, machine)) {
    parts.set(path, part);
    const tried = rebuild(parts);
    const instance = tried && find(tried, path);
    if (!tried || !instance) continue;
    const inside = (cell: Cell) => isWithin(cell.instance, instance);
    const obstacle = rejection(candidate, tried, inside);
    if (!obstacle)
      return {
        machine: tried,
        choice: {
          instance,
          name: '',
          node,
          proposed: candidate,
          obstacles: obstacles.slice(-1),
          undecided: undecidedOf(tried, inside),
        },
      };
    obstacles.push(obstacle);
  }
  parts.delete(path);
  return { machine, choice: { instance: open, name: '', node, proposed: undefined, obstacles, undecided: [] } };
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

type IsChoice = (cell: Cell) => boolean;

/** The first rule or requirement that depends on the choice and fails with it; undecided ones reject nothing. */
function rejection(candidate: Candidate, machine: Machine, isChoice: IsChoice): Obstacle | undefined {
  const { engine } = machine;
  for (const { rule, instance, cell } of weighed(machine)) {
    for (const scenario of engine.scenarios(cell)) {
      const obstacle = engine.under(scenario, () =>
        engine.value(cell) === false && depends(cell, isChoice, engine)
          ? { candidate, rule: rule.name, message: messageOf(rule, instance, engine) }
          : undefined,
      );
      if (obstacle) return obstacle;
    }
  }
  for (const target of targetsOf(machine)) {
    for (const scenario of engine.scenarios(target.cell)) {
      const fails = engine.under(
        scenario,
        () => engine.value(target.cell) === false && depends(target.cell, isChoice, engine),
      );
      if (fails) return { candidate, rule: 'requirement', message: `${target.text} would not hold` };
    }
  }
  return undefined;
}

/** Rules that can reject something: those of error and warning level, on every instance. */
function* weighed(machine: Machine): Generator<{ rule: Rule; instance: Instance; cell: Cell }> {
  for (const instance of machine.tree.all()) {
    for (const rule of rulesOn(instance.kind, machine.scope)) {
      if (rule.severity !== 'advice') yield { rule, instance, cell: verdictCell(rule, instance) };
    }
  }
}

function messageOf(rule: Rule, instance: Instance, engine: Engine): string {
  return engine.aside(() => {
    const [frame, ctx] = [frameOf(rule, instance, engine), contextOf(rule)];
    return renderMessage(rule.message, frame, ctx, least(rule.holds.map((part) => marginOf(part, frame, ctx))));
  });
}

/** Was a cell computed from the choice, in the present scenario? */
function depends(cell: Cell, isChoice: IsChoice, engine: Engine, seen = new Set<Cell>()): boolean {
  if (isChoice(cell)) return true;
  seen.add(cell);
  return engine.inputs(cell).some((dep) => !seen.has(dep) && depends(dep, isChoice, engine, seen));
}

function undecidedOf(machine: Machine, isChoice: IsChoice): { rule: string; missing: string[] }[] {
  const { engine } = machine;
  const found: { rule: string; missing: string[] }[] = [];
  for (const { rule, cell } of weighed(machine)) {
    const value = engine.under(0, () => engine.value(cell));
    if (isMissing(value) && engine.under(0, () => depends(cell, isChoice, engine)))
      found.push({ rule: rule.name, missing: missingPaths(value) });
  }
  return found;
}

/** Choices in the order of the text. */
export function inTextOrder(choices: readonly Choice[]): Choice[] {
  return choices.toSorted((a, b) => rangeOf(a.node).start - rangeOf(b.node).start);
}
