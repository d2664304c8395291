import { type Cell, cellOf, type Ends, type Engine } from '../compute/cell.ts';
import type { Machine, Target } from '../compute/machine.ts';
import type { Remedy } from '../grammar/generated/ast.ts';
import { itemOf } from '../grammar/syntax.ts';
import { statementsOf } from '../machine/statements.ts';
import { type Instance, isBlock, type Layer } from '../machine/tree.ts';
import type { Member } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { infer } from '../types/infer.ts';
import type { Value } from '../values/value.ts';
import { contextOf, ownRules, type Rule } from './rule.ts';
import { putInPlace } from './trials.ts';

/** What a requirement that is not met could be mended by. */
export type Means =
  | {
      readonly is: 'value';
      readonly cell: Cell /** Is it the builder's to choose, and no fact of what is there? */;
      readonly free: boolean;
    }
  | { readonly is: 'part'; readonly instance: Instance };

/** So many values are looked at; of parts, all. */
const mostValues = 8;
/** By what share a number is changed to see what that does, and a point of temperature by how many kelvins. */
const [nudge, nudgeKelvins] = [0.01, 1];
/** What counts as far: a number has to grow to so many times itself (its logarithm), or a point to move by so many hundred kelvins. */
const far = 1;

/**
 * The values and parts that a requirement rests on and that could be otherwise: first the numbers that have to change least for it to be
 * met, as far as that can be told from a small change, then what is chosen from a list, then parts, then facts. No value that is to agree
 * with another, and none that blocks share, which tells where the machine stands.
 */
export function meansFor(target: Target, scenario: Ends, machine: Machine): Means[] {
  const { engine } = machine;
  const inputs = engine.under(scenario, () => inputsOf(target.cell, machine));

  const settable = settableIn(machine.scope);
  const values = inputs.flatMap((cell) => {
    const member = cell.member as Member;
    const free = member.sizes.length > 0 || settable.chosen.has(nameOf(member));
    if (!free && settable.agreed.has(nameOf(member))) return [];
    const apart = canBeOtherwise(cell, free, machine)
      ? engine.under(scenario, () => wayOff(cell, target, machine))
      : undefined;
    return apart === undefined ? [] : [{ is: 'value' as const, cell, free, apart }];
  });
  const inOrder = values.sort((a, b) => a.apart - b.apart).slice(0, mostValues);
  const parts = new Set(inputs.flatMap((cell) => (isGivenByPart(cell) ? (partAround(cell.instance) ?? []) : [])));
  return [
    ...inOrder.filter(({ free, apart }) => free && apart <= far),
    ...[...parts].map((instance) => ({ is: 'part' as const, instance })),
    ...inOrder.filter(({ free, apart }) => free && apart > far),
    ...inOrder.filter(({ free }) => !free),
  ];
}

/** Does a part say it? Then it describes that part, and cannot be chosen to mend something. */
export function isGivenByPart({ definition: { node, origin } }: Cell): boolean {
  const item = origin === 'given' && node ? itemOf(node) : undefined;
  return item?.$type === 'Declaration' && item.what === 'part';
}

/** The values that a text gives. */
export function givenIn({ body }: Layer): string[] {
  return [...statementsOf(body).values.keys()];
}

function bringsBlocks({ body }: Layer): boolean {
  return (body?.members ?? []).some((member) => member.$type === 'Entry' && isBlock(member));
}

/**
 * What a block's values are with another part in its place, as far as that can be told without writing it. Undefined where the part is of
 * another kind, brings blocks, or leaves to its kind what the present part gives.
 */
export function valuesInstead(
  part: Instance,
  instance: Instance,
  engine: Engine,
): { readonly cell: Cell; readonly value: Value }[] | undefined {
  const given = new Set(part.layers.flatMap(givenIn));
  const now = instance.layers.filter(({ inherited }) => inherited).flatMap(givenIn);
  if (part.kind !== instance.kind || now.some((name) => !given.has(name)) || part.layers.some(bringsBlocks))
    return undefined;
  return [...given].flatMap((name) => {
    const [cell, from] = [cellOf(instance, name), cellOf(part, name)];
    return cell && from ? [{ cell, value: engine.aside(() => engine.value(from)) }] : [];
  });
}

/** The block of the machine that starts from a part, nearest around another. */
function partAround(instance: Instance): Instance | undefined {
  for (let at: Instance | undefined = instance; at; at = at.holder) if (at.part) return at;
  return undefined;
}

/** All values of the machine's blocks that something is computed from, however far, in the present scenario. */
function inputsOf(cell: Cell, { engine, tree }: Machine): Cell[] {
  const all = new Set([cell]);
  for (const each of all) for (const input of engine.inputs(each)) if (input.instance.root === tree) all.add(input);
  return [...all].filter(({ member, called }) => member !== undefined && !called);
}

/** Is it said in so many words, in the machine or by its kind, and no range? */
function canBeOtherwise(cell: Cell, free: boolean, { engine }: Machine): boolean {
  const { definition } = cell;
  const { shared, type } = cell.member as Member;
  if (shared || isGivenByPart(cell) || type.is === 'list' || !(free || type.is === 'quantity')) return false;
  if (definition.origin !== 'given' && !(free && definition.origin === 'default')) return false;
  return engine.inputs(cell).length === 0 && engine.restsOf(cell, engine.low).ranges.length === 0;
}

/** How far a value would have to change, as a share of itself; undefined where changing it a little does nothing. */
function wayOff(cell: Cell, { cell: verdict }: Target, { engine }: Machine): number | undefined {
  const { type, sizes } = cell.member as Member;
  const now = engine.value(cell);
  const measure = verdict.measure?.();
  if (type.is !== 'quantity' || sizes.length > 0 || typeof now !== 'number' || now === 0 || !measure) return far;
  const short = engine.value(measure);
  const { trial } = cell;
  putInPlace(cell, type.points ? now + nudgeKelvins : now * (1 + nudge), engine);
  const then = engine.value(measure);
  putInPlace(cell, trial, engine);
  if (typeof short !== 'number' || typeof then !== 'number' || short === then) return undefined;
  return Math.abs((short / (then - short)) * (type.points ? nudgeKelvins / 100 : nudge));
}

// ---- what is the builder's to choose ----

/** Of the values that ways out of rules set: those that may be chosen, and those that are to agree with something else. */
interface Settable {
  readonly chosen: ReadonlySet<string>;
  readonly agreed: ReadonlySet<string>;
}

const nameOf = ({ owner, name }: Member) => `${owner.name} ${name}`;

function settableIn(scope: Scope): Settable {
  return scope.once('settable values', () => {
    const all = scope.visible().map(ownSettable);
    return {
      chosen: new Set(all.flatMap(({ chosen }) => [...chosen])),
      agreed: new Set(all.flatMap(({ agreed }) => [...agreed])),
    };
  });
}

function ownSettable(scope: Scope): Settable {
  return scope.once('own settable values', () => {
    const [chosen, agreed] = [new Set<string>(), new Set<string>()];
    for (const rule of ownRules(scope)) {
      for (const remedy of rule.remedies) {
        const member = memberOf(remedy, rule);
        if (member) (remedy.value || remedy.once ? agreed : chosen).add(nameOf(member));
      }
    }
    return { chosen, agreed };
  });
}

/** The value that a way out sets. */
function memberOf({ target, added, base }: Remedy, rule: Rule): Member | undefined {
  if (added || base) return undefined;
  if (target?.$type === 'Reference') return rule.kind.members.get(target.name.text);
  if (target?.$type !== 'Access') return undefined;
  const type = infer(target.object, contextOf(rule));
  const object = type.is === 'list' ? type.of : type;
  return object.is === 'instance' ? object.kind?.members.get(target.member?.text ?? '') : undefined;
}
