import { type Cell, cellOf, type Engine } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import { blockStandingFor, sizeValues } from '../compute/evaluate-declared.ts';
import type { Frame } from '../compute/frame.ts';
import type { Machine } from '../compute/machine.ts';
import type { Declaration, Open } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import type { Kind } from '../names/kind.ts';
import { declaredName, type Scope } from '../names/scope.ts';
import { partKind } from '../types/bind.ts';
import { exchange, statedRates } from '../values/money.ts';
import { binary } from '../values/operators.ts';
import { showValue } from '../values/show.ts';
import { isMissing, Money, sameValue, type Value } from '../values/value.ts';
import { bestFirst, type Score } from './joint.ts';

/** Something that could stand in place of a `?`. */
export interface Candidate {
  /** As it would be written in the file. */
  readonly text: string;
  /** As people read it. */
  readonly shown: string;
  readonly value: Value;
  /** Where it is a part: its declaration. */
  readonly part?: Part;
}

export interface Part {
  readonly node: Declaration;
  readonly scope: Scope;
}

/** What may stand in place of a `?`: what is listed behind it or, where nothing is, all that fits there. */
export function candidatesAmong(open: Open, cell: Cell, machine: Machine): Candidate[] {
  // What has a mistake in it is told there.
  if (cell.definition.spoiled) return [];
  const all = open.furthest ? [] : candidatesFor(cell, machine);
  if (!open.among) return all;
  const { engine, scope } = machine;
  const frame = { engine, self: cell.instance, scope: cell.definition.scope, mode: cell.definition.mode };
  return open.among.elements.flatMap(({ value: node }) => {
    const text = textOf(node);
    const listed = all.find((each) => each.text === text);
    if (listed) return [listed];
    const value = engine.aside(() => evaluate(node, frame));
    if (isMissing(value)) return [];
    const shown = cell.member ? showValue(value, cell.member.type, scope.system, { shown: cell.member.shown }) : text;
    return [all.find((each) => sameValue(each.value, value)) ?? { text, shown, value }];
  });
}

/** The parts that may stand in place of a `?`. */
export function partsAmong({ among }: Open, kind: Kind, machine: Machine): Candidate[] {
  const all = partsFor(kind, machine);
  if (!among) return all;
  const names = new Set(among.elements.flatMap(({ value }) => (value.$type === 'Reference' ? [value.name.text] : [])));
  return all.filter(({ text }) => names.has(text));
}

/** What a value can be chosen from, the least first: its standard sizes, its options, or parts of its kind. */
export function candidatesFor(cell: Cell, machine: Machine): Candidate[] {
  const { member, instance } = cell;
  if (!member) return [];
  if (member.type.is === 'choice')
    return member.type.options.map((text) => ({ text, shown: text.replaceAll('_', ' '), value: text }));
  const scope = member.owner.scope;
  const found = member.sizes.length > 0 ? scope.find(member.sizes[0] as string) : undefined;
  const sizes =
    found?.node.$type === 'Declaration' && found.node.value?.$type === 'List' ? found.node.value : undefined;
  if (member.type.is === 'instance' && member.type.kind) {
    const all = partsFor(member.type.kind, machine);
    const names = sizes?.elements.map(({ value }) => textOf(value));
    // What a builder declares is meant to be taken.
    return names ? all.filter(({ text, part }) => names.includes(text) || part?.scope.shared) : all;
  }
  if (!found || !sizes) return [];
  const frame = { engine: machine.engine, self: instance, scope: found.scope, mode: 'kind' as const };
  const values = sizeValues(found.node as Declaration, frame, evaluate);
  const candidates = sizes.elements.flatMap((element, i) => {
    const value = values[i];
    // A list with a mistake in it is told of where it stands.
    if (value === undefined || isMissing(value)) return [];
    const shown = showValue(value, member.type, scope.system, { shown: member.shown });
    return [{ text: element.name?.text ?? textOf(element.value), shown, value }];
  });
  return candidates.sort((a, b) =>
    typeof a.value === 'number' && typeof b.value === 'number' ? a.value - b.value : 0,
  );
}

/** The parts of a kind that the machine's file sees, as they are preferred by themselves; alike ones as they are declared. */
export function partsFor(kind: Kind, machine: Machine): Candidate[] {
  const { engine, scope } = machine;
  const found = scope.parts().flatMap(({ node, scope: own }) => {
    const text = declaredName(node) ?? '';
    if (node.$type !== 'Declaration' || !partKind(text, own)?.isA(kind)) return [];
    const value = blockStandingFor(node, own, engine);
    return value ? [{ text, shown: text, value, part: { node, scope: own } }] : [];
  });
  const by = preferences(found, 1, currencyAmong(found, machine), machine);
  return bestFirst(by).map((i) => found[i] as Candidate);
}

/** The same, as parts that stand for themselves. */
export function partsOfKind(kind: Kind, machine: Machine): { name: string; part: Instance }[] {
  return partsFor(kind, machine).map(({ text, value }) => ({ name: text, part: value as Instance }));
}

// ---- what speaks for a candidate by itself ----

/**
 * What each candidate counts by itself, after the errors and warnings that it brings: whether it is not of the user's own stock,
 * whether it has no price, its price for so many pieces, its rank by what its kind orders parts by, and its size.
 */
export function preferences(
  candidates: readonly Candidate[],
  pieces: number,
  currency: string | undefined,
  machine: Machine,
): Score[] {
  const priced = candidates.map((candidate) => priceIn(currency, candidate, machine));
  const anyPrice = priced.some((price) => price !== undefined);
  const ranks = ranked(
    candidates.map((candidate) => orderOf(candidate, machine)),
    machine,
  );
  const sizes = ranked(
    candidates.map(({ value }) => [typeof value === 'number' ? value : undefined]),
    machine,
  );
  return candidates.map(({ part }, i) => [
    0,
    0,
    part && !part.scope.shared ? 1 : 0,
    anyPrice && priced[i] === undefined ? 1 : 0,
    // In whole millionths, so that sums are exact.
    Math.round((priced[i] ?? 0) * pieces * 1e6),
    ranks[i] as number,
    sizes[i] as number,
  ]);
}

function isPrice(name: string, { kind }: Instance): boolean {
  const type = kind.members.get(name)?.type;
  return type?.is === 'quantity' && type.money === true;
}

function knownValue(name: string, part: Instance, engine: Engine): Value | undefined {
  const cell = cellOf(part, name);
  const value = cell && engine.value(cell);
  return value === undefined || isMissing(value) ? undefined : value;
}

function statedPrice({ part, value }: Candidate, engine: Engine): Money | undefined {
  if (!part) return undefined;
  const instance = value as Instance;
  const name = instance.kind.ranking.find((each) => isPrice(each, instance));
  const price = name && knownValue(name, instance, engine);
  return price instanceof Money ? price : undefined;
}

/** What a part costs in a currency; undefined where it has no price, or no rate leads there. */
function priceIn(currency: string | undefined, candidate: Candidate, machine: Machine): number | undefined {
  const price = currency === undefined ? undefined : statedPrice(candidate, machine.engine);
  return (
    price && exchange(price, currency as string, statedRates({ self: machine.tree, scope: machine.scope }))?.amount
  );
}

/** The currency in which candidates are compared: that of the first that has a price. */
export function currencyAmong(candidates: readonly Candidate[], { engine }: Machine): string | undefined {
  for (const candidate of candidates) {
    const price = statedPrice(candidate, engine);
    if (price) return price.code;
  }
  return undefined;
}

/** What a part's kind orders it by, besides its price. */
function orderOf({ part, value }: Candidate, { engine }: Machine): (Value | undefined)[] {
  if (!part) return [];
  const instance = value as Instance;
  return instance.kind.ranking
    .filter((name) => !isPrice(name, instance))
    .map((name) => knownValue(name, instance, engine));
}

/** The rank of each among all: alike are of one rank, and what is not known comes last. */
function ranked(all: readonly (readonly (Value | undefined)[])[], { engine, tree, scope }: Machine): number[] {
  const frame: Frame = { engine, self: tree, scope, mode: 'block' };
  const compare = (a: readonly (Value | undefined)[], b: readonly (Value | undefined)[]) =>
    a.map((each, i) => order(each, b[i], frame)).find((by) => by !== 0) ?? 0;
  const inOrder = [...all.keys()].sort((a, b) => compare(all[a] ?? [], all[b] ?? []));
  const ranks = new Array<number>(all.length).fill(0);
  for (const [at, i] of inOrder.entries()) {
    const before = inOrder[at - 1];
    if (before === undefined) continue;
    const isAlike = compare(all[before] ?? [], all[i] ?? []) === 0;
    ranks[i] = (ranks[before] as number) + (isAlike ? 0 : 1);
  }
  return ranks;
}

function order(a: Value | undefined, b: Value | undefined, frame: Frame): number {
  if (a === undefined || b === undefined) return Number(a === undefined) - Number(b === undefined);
  const less = (x: Value, y: Value) => binary('<', x, y, frame, undefined as never) === true;
  return less(a, b) ? -1 : less(b, a) ? 1 : 0;
}
