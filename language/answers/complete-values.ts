import type { Access, Argument, Call, Clause, Entry, Expression } from '../grammar/generated/ast.ts';
import { type AstNode, docOf, textOf } from '../grammar/syntax.ts';
import { clauses } from '../grammar/words.ts';
import { type Instance, isBlock } from '../machine/tree.ts';
import type { Kind, Member } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import { describeType, kindOfListedBlocks, type Type, typeOf } from '../names/type.ts';
import { blockAt } from '../types/bind.ts';
import type { Context } from '../types/context.ts';
import { type LanguageFunction, languageFunctions } from '../types/functions.ts';
import { infer } from '../types/infer.ts';
import { parametersOf, type Situation, someQuantity } from '../types/situation.ts';
import { isUnit, type UnitSystem } from '../units/units.ts';
import type { CursorPlace } from './complete-cursor.ts';
import { kindNames, partNames } from './complete-names.ts';
import { memberDoc, typeWithUnits } from './docs.ts';
import type { Proposal } from './proposal.ts';

type Keyword = import('../grammar/generated/ast.ts').GussetKeywordNames;

/** Prefixes are offered between these factors; others can still be written. */
const offeredPrefixes = { least: 1e-6, most: 1e6 };

// ---- units ----

/** Units for what is expected after a number: those it is usually given in first. */
export function units({ ctx, expected }: Situation): Proposal[] {
  const { system } = ctx.scope;
  if (expected === someQuantity) return units({ ctx });
  const type = expected?.is === 'sides' || expected?.is === 'list' ? expected.of : expected;
  if (type && type.is !== 'quantity') return [];
  const named = type?.named ?? (type && system.named(type.dimension)[0]);
  const shown = (named?.shown ?? []).filter((text) => text !== '1');
  const plain = system
    .plainUnits()
    .filter((unit) => !type || (named && unit.of ? unit.of === named : unit.dimension === type.dimension));
  const prefixed = type ? plain.flatMap((unit) => withPrefixes(unit.text, system)) : [];
  const all = [...shown, ...plain.map((unit) => unit.text), ...prefixed];
  return [...new Set(all)].map((text, i) => unitProposal(text, i < shown.length ? 0 : unitRank(text, system), system));
}

/** Thousandfolds before centi, deci, deca and hecto; near ones before far ones. */
function unitRank(text: string, system: UnitSystem): number {
  const unit = asUnit(text, system);
  const plain = unit?.node && asUnit(unit.node.name.text, system);
  const steps = unit && plain ? Math.log10(unit.factor / plain.factor) / 3 : 0;
  return (Math.abs(steps - Math.round(steps)) < 1e-6 ? 1 : 2) + Math.abs(steps) / 10;
}

function withPrefixes(unit: string, system: UnitSystem): string[] {
  return [...system.prefixes].flatMap(([prefix, { factor }]) => {
    if (factor < offeredPrefixes.least || factor > offeredPrefixes.most) return [];
    const found = system.unit(prefix + unit);
    return isUnit(found) && found.node === asUnit(unit, system)?.node ? [prefix + unit] : [];
  });
}

function asUnit(text: string, system: UnitSystem) {
  const unit = system.unit(text);
  return isUnit(unit) ? unit : undefined;
}

function unitProposal(label: string, rank: number, system: UnitSystem): Proposal {
  const unit = asUnit(label, system);
  const of = unit?.of ?? (unit && system.named(unit.dimension)[0]);
  const detail =
    of &&
    describeType({ is: 'quantity', dimension: of.dimension, named: of, points: of.points, money: of.money }, system);
  return { label, sort: 'unit', rank, detail, documentation: unit?.node && docOf(unit.node) };
}

// ---- values ----

/** How well something of a type fits: the less the better; undefined where it does not fit at all. */
function closeness(type: Type, expected: Type | undefined): number | undefined {
  if (expected === someQuantity && type.is === 'formula') return closeness(type.result, expected);
  if (expected === someQuantity)
    return type.is === 'quantity' ? 0 : type.is === 'sides' ? 2 : type.is === 'any' ? 1 : undefined;
  if (!expected || expected.is === 'any' || type.is === 'any') return 1;
  if (type.is === 'formula' && expected.is !== 'formula') return closeness(type.result, expected);
  if (type.is === 'sides' && expected.is === 'quantity') return 2;
  if (expected.is === 'truth') return type.is === 'truth' ? 0 : type.is === 'quantity' || type.is === 'choice' ? 1 : 2;
  if (type.is !== expected.is) return undefined;
  if (type.is === 'quantity' && expected.is === 'quantity') {
    if (type.dimension !== expected.dimension || (type.points ?? false) !== (expected.points ?? false))
      return undefined;
    return type.named === expected.named ? 0 : 1;
  }
  if (type.is === 'instance' && expected.is === 'instance')
    return !expected.kind || type.kind?.isA(expected.kind) ? 0 : undefined;
  if (type.is === 'list' && expected.is === 'list') return closeness(type.of, expected.of);
  return 0;
}

/** What an expression can begin with here. */
export function expressions(cursor: CursorPlace): Proposal[] {
  const { path, situations } = cursor;
  const reference = path.at(-2) as AstNode;
  const { ctx, expected, member } = situations.at(-2) as Situation;
  const parent = path.at(-3) as (AstNode & Record<string, unknown>) | undefined;
  if (parent?.$type === 'Binary' && parent.operator === 'is' && parent.right === reference) return kindNames(ctx.scope);
  if (parent?.$type === 'Measurement' && parent.target === reference) return measurable(ctx);
  if (parent?.$type === 'Remedy' && parent.target === reference) return changeable(ctx);
  const whole = parent?.$type === 'Entry' || parent?.$type === 'Remedy';
  const own = nameBeingGiven(cursor);
  return [
    ...argumentNames(path, situations),
    ...choices(expected),
    ...(whole ? sizesOf(member, ctx) : []),
    ...(whole && ctx.mode === 'block' ? openChoice(member) : []),
    ...locals(ctx, expected),
    ...(ctx.mode === 'block' ? blocks(ctx, expected) : []),
    ...ownValues(ctx, expected),
    ...declaredValues(ctx.scope, expected),
    ...languageWords(parent, expected, ctx),
  ].filter((proposal) => proposal.label !== own || proposal.sort !== 'value');
}

/** What can be measured beside what is computed: the block's computed values. */
function measurable(ctx: Context): Proposal[] {
  const computed = [...(ctx.kind?.members.values() ?? [])].filter((m) => m.role === 'derived' && !m.parameters.length);
  return computed.flatMap((m) => memberProposal(m, undefined, ctx, 0, false));
}

/** What a way out can change of the block that its rule is on. */
function changeable(ctx: Context): Proposal[] {
  return [...(ctx.kind?.members.values() ?? [])].map((m) => ({ label: m.name, sort: 'value', rank: 0 }));
}

/** The value that the statement gives: it is not made of itself. */
function nameBeingGiven({ path }: CursorPlace): string | undefined {
  const entry = path[0];
  return entry?.$type === 'Entry' ? (entry as Entry).first?.text : undefined;
}

/** Names of arguments that a call still needs. */
function argumentNames(path: readonly AstNode[], situations: readonly Situation[]): Proposal[] {
  const argument = path.at(-3) as Argument | undefined;
  const call = path.at(-4) as Call | undefined;
  if (argument?.$type !== 'Argument' || call?.$type !== 'Call' || argument.name) return [];
  const { ctx } = situations.at(-4) as Situation;
  const given = new Set(call.arguments.map((a) => a.name?.text));
  return parametersOf(call.callee, ctx)
    .filter((parameter) => !given.has(parameter.name))
    .map(({ name, type }) => ({
      label: name,
      sort: 'argument',
      rank: 0,
      text: `${name}: `,
      detail: typeWithUnits(type, ctx.scope),
    }));
}

function choices(expected: Type | undefined): Proposal[] {
  const type = expected?.is === 'list' ? expected.of : expected;
  if (type?.is === 'choice') return type.options.map((label) => ({ label, sort: 'choice', rank: 0 }));
  const truths: readonly Keyword[] = ['yes', 'no'];
  return type?.is === 'truth' ? truths.map((label) => ({ label, sort: 'choice', rank: 0 })) : [];
}

/** The standard sizes that a value comes in, as they are written. */
function sizesOf(member: Member | undefined, ctx: Context): Proposal[] {
  return (member?.sizes ?? []).flatMap((name) => {
    const node = ctx.scope.find(name)?.node;
    if (node?.$type !== 'Declaration' || node.value?.$type !== 'List') return [];
    return node.value.elements.map(
      (element): Proposal => ({
        label: element.name?.text ?? textOf(element.value),
        sort: 'size',
        rank: 1,
        detail: name.replaceAll('_', ' '),
        documentation: docOf(node),
      }),
    );
  });
}

function openChoice(member: Member | undefined): Proposal[] {
  if (!member || (member.sizes.length === 0 && member.type.is !== 'instance')) return [];
  return [{ label: '?', sort: 'keyword', rank: 4.5, detail: 'an open choice' }];
}

function locals(ctx: Context, expected: Type | undefined): Proposal[] {
  return [...(ctx.locals ?? [])].map(([label, type]) => ({
    label,
    sort: 'local',
    rank: closeness(type, expected) ?? 4,
    detail: typeWithUnits(type, ctx.scope),
  }));
}

/** Values of the kind itself, and those that what holds it shares. */
function ownValues(ctx: Context, expected: Type | undefined): Proposal[] {
  const own = [...(ctx.kind?.members.values() ?? []), ...(ctx.around?.members.values() ?? [])];
  const names = new Set(own.map((m) => m.name));
  const shared = sharedValues(ctx).filter((m) => !names.has(m.name));
  const leads = ctx.mode === 'kind';
  return [
    ...own.flatMap((m) => memberProposal(m, expected, ctx, 2, leads)),
    ...shared.flatMap((m) => memberProposal(m, expected, ctx, 3, leads)),
  ];
}

function sharedValues(ctx: Context): Member[] {
  const kinds: Iterable<Kind> =
    ctx.mode === 'kind' || !ctx.instance ? ctx.scope.kinds() : holders(ctx.instance).map((i) => i.kind);
  return [...kinds].flatMap((kind) => [...kind.members.values()].filter((m) => m.shared));
}

function holders(instance: Instance): Instance[] {
  const list: Instance[] = [];
  for (let at = instance.around; at; at = at.around) list.push(at);
  return list;
}

/** How far up a member was declared: what is a kind's own comes first, and its headlines before all. */
export function distance(member: Member, kind: Kind | undefined): number {
  let steps = 0;
  for (let at = kind; at && at !== member.owner; at = at.base) steps++;
  return (kind?.headlines.includes(member.name) ? -0.3 : 0) + Math.min(steps, 9) * 0.1;
}

/** A value or a block of a kind; blocks and references lead on to what fits. */
function memberProposal(
  member: Member,
  expected: Type | undefined,
  ctx: Context,
  rank: number,
  leads: boolean,
): Proposal[] {
  if (member.role === 'child' && !leads) return [];
  const fits = closeness(member.type, expected);
  if (fits === undefined && member.type.is !== 'instance') return [];
  const takes = member.parameters.map((p) => p.name).join(', ');
  return [
    {
      label: member.name,
      sort: member.role === 'child' ? 'block' : 'value',
      rank: rank + (fits ?? 4) + distance(member, ctx.kind),
      detail: (takes ? `(${takes}) ` : '') + typeWithUnits(member.type, ctx.scope, member.shown),
      documentation: memberDoc(member),
    },
  ];
}

/** So deep below a block that can be named are blocks looked for that fit. */
const deepestPath = 4;

/** Blocks around that are of the kind that is expected, by the path that leads to them; others by their name. */
function blocks(ctx: Context, expected: Type | undefined): Proposal[] {
  const found: Proposal[] = [];
  const told = new Set<string>();
  const met = new Set<Instance>();
  const wanted = expected?.is === 'list' ? expected.of : expected;
  for (const [distance, holder] of [ctx.instance, ...(ctx.instance ? holders(ctx.instance) : [])].entries()) {
    for (const child of holder?.children.values() ?? []) {
      if (told.has(child.name)) continue;
      told.add(child.name);
      found.push(...pathsFrom(child, child.name, wanted, { rank: Math.min(distance, 1), depth: 1, met }));
    }
  }
  return found;
}

interface Walk {
  readonly rank: number;
  readonly depth: number;
  /** Blocks that a shorter path leads to. */
  readonly met: Set<Instance>;
}

function pathsFrom(block: Instance, path: string, wanted: Type | undefined, { rank, depth, met }: Walk): Proposal[] {
  if (met.has(block)) return [];
  met.add(block);
  const kind = wanted?.is === 'instance' ? wanted.kind : undefined;
  const fits = kind !== undefined && block.kind.isA(kind);
  const own = fits || depth === 1 ? [blockProposal(block, path, fits ? rank : 5 + rank)] : [];
  if (!kind || depth >= deepestPath) return own;
  const inner = { rank: rank + 0.5, depth: depth + 1, met };
  return [...own, ...[...block.children.values()].flatMap((c) => pathsFrom(c, `${path}.${c.name}`, wanted, inner))];
}

function blockProposal(block: Instance, label: string, rank: number): Proposal {
  const { node } = block;
  const written = node.$type === 'Entry' && isBlock(node) ? docOf(node) : '';
  return { label, sort: 'block', rank, detail: block.kind.name, documentation: written || block.kind.documentation };
}

/** Constants, functions, tables and parts of the right type. */
function declaredValues(scope: Scope, expected: Type | undefined): Proposal[] {
  const wanted = expected?.is === 'list' ? expected.of : expected;
  const parts = wanted?.is === 'instance' && wanted.kind ? partNames(scope, wanted.kind, 2) : [];
  const others = scope.visible().flatMap((each) =>
    [...each.own.declared.values()].flatMap((node): Proposal[] => {
      if (node.$type !== 'Declaration' || !node.type || !node.name || node.what === 'sizes') return [];
      const type = typeOf(node.type, each);
      // What is of any quantity fits no word and no block.
      if (type.is === 'any' && expected && expected.is !== 'any' && wanted?.is !== 'quantity') return [];
      const fits = closeness(type, expected);
      if (fits === undefined) return [];
      const takes = node.parameters.map((p) => p.name?.text).join(', ');
      const detail = (takes ? `(${takes}) ` : '') + typeWithUnits(type, scope);
      return [{ label: node.name.text, sort: 'function', rank: 6 + fits, detail, documentation: docOf(node) }];
    }),
  );
  return [...parts, ...others];
}

const inExpressions: readonly Keyword[] = ['if', 'not'];

/** Functions and words of the language. */
function languageWords(
  parent: (AstNode & Record<string, unknown>) | undefined,
  expected: Type | undefined,
  ctx: Context,
): Proposal[] {
  const every: Keyword = 'every';
  if (parent?.$type === 'Comprehension') return [{ label: every, sort: 'keyword', rank: 0 }];
  const functions = Object.entries(languageFunctions).filter(([, each]) => gives(each, expected));
  return [
    ...functions.map(([label, { doc }]): Proposal => ({ label, sort: 'function', rank: 8, documentation: doc })),
    ...(ctx.mode === 'kind' || expected?.is === 'truth'
      ? inExpressions.map((label): Proposal => ({ label, sort: 'keyword', rank: 9 }))
      : []),
  ];
}

/** Can a function of the language give what is expected? */
function gives({ shape }: LanguageFunction, expected: Type | undefined): boolean {
  if (!expected || expected.is === 'any' || expected.is === 'truth') return true;
  if (expected.is === 'instance') return shape === 'list to element';
  return expected.is === 'quantity' && shape !== 'truth' && shape !== 'value to truth';
}

// ---- after a dot ----

/** Values and blocks of what stands before the dot. */
export function membersAfterDot({ path, situations }: CursorPlace): Proposal[] {
  const access = path.at(-2) as Access;
  const { ctx, expected } = situations.at(-2) as Situation;
  const type = infer(access.object, ctx);
  if (type.is === 'sides') return sides(type.count);
  const holder = blockAt(access.object as Expression, ctx);
  const kind = holder?.kind ?? (type.is === 'instance' ? type.kind : undefined);
  const blocksHere = [...(holder?.children.values() ?? [])];
  const names = new Set(blocksHere.map((b) => b.name));
  const wanted = expected?.is === 'list' ? expected.of : expected;
  const members = [...(kind?.members.values() ?? [])].filter(
    (m) => !names.has(m.name) && (m.role !== 'child' || !holder),
  );
  return [
    ...members.map((m) => ({
      ...(memberProposal(m, undefined, ctx, 0, true)[0] as Proposal),
      rank:
        (closeness(m.type, wanted) ?? 4) +
        (m.role === 'child' ? 1 : wanted?.is === 'instance' ? 0.5 : 0) +
        distance(m, kind),
    })),
    ...blocksHere.map((b) => blockProposal(b, b.name, closeness({ is: 'instance', kind: b.kind }, wanted) ?? 3)),
  ];
}

function sides(count: number): Proposal[] {
  const names = ['width', 'depth', 'height'].slice(0, count);
  return names.map((label, rank) => ({ label, sort: 'value', rank }));
}

// ---- clauses ----

/** Names in clauses that are no expressions; undefined where the clause holds expressions. */
export function clauseValues(cursor: CursorPlace): Proposal[] | undefined {
  const clause = cursor.path.findLast((node) => node.$type === 'Clause') as Clause | undefined;
  const { ctx, expected } = cursor.outer;
  const own = [...(ctx.kind?.members.values() ?? [])];
  const valueNames = (list: Member[]) =>
    list.map((m): Proposal => ({ label: m.name, sort: 'value', rank: 0, documentation: memberDoc(m) }));
  const isShowable = (m: Member) => m.role !== 'child' && m.parameters.length === 0;
  switch (clause && clauses[clause.keyword].contents) {
    case 'values':
      return valueNames(own.filter(isShowable));
    case 'kinds':
      return kindNames(ctx.scope);
    case 'sizes':
      return sizesNames(ctx.scope);
    case 'units': {
      const listedKind = expected && kindOfListedBlocks(expected);
      if (listedKind) return valueNames([...listedKind.members.values()].filter(isShowable));
      return units(expected ? { ctx, expected } : cursor.outer);
    }
    case 'words':
      return clauses[(clause as Clause).keyword].words?.map((label, rank) => ({ label, sort: 'keyword', rank }));
    default:
      return undefined;
  }
}

function sizesNames(scope: Scope): Proposal[] {
  return scope
    .visible()
    .flatMap((each) =>
      [...each.own.declared.values()].flatMap((node): Proposal[] =>
        node.$type === 'Declaration' && node.what === 'sizes' && node.name
          ? [{ label: node.name.text, sort: 'size', rank: 0, documentation: docOf(node) }]
          : [],
      ),
    );
}
