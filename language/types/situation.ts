import type {
  Argument,
  Binary,
  Call,
  Checked,
  Clause,
  Declaration,
  Entry,
  Expression,
  Item,
  ListElement,
  Row,
  Step,
} from '../grammar/generated/ast.ts';
import { type AstNode, childrenOf, type Placed } from '../grammar/syntax.ts';
import { interpolations } from '../grammar/texts.ts';
import { clauses } from '../grammar/words.ts';
import type { TextFile } from '../machine/text-file.ts';
import { buildPart, buildTree, type Instance, isBlock, type Mode } from '../machine/tree.ts';
import type { Kind, Member } from '../names/kind.ts';
import type { Scope } from '../names/scope.ts';
import {
  anyType,
  bareNumber,
  type ParameterType,
  signatureOf,
  type Type,
  textType,
  truthType,
  typeOf,
} from '../names/type.ts';
import { matchArguments } from './arguments.ts';
import { comparedWith, listedWith } from './arithmetic.ts';
import { bind, bindMember } from './bind.ts';
import { calledBy, withName } from './calls.ts';
import { type Context, narrowed } from './context.ts';
import { languageFunctions } from './functions.ts';
import { inference, typeIn } from './infer.ts';
import { domainType } from './question.ts';
import { checkRecorded, kindChecked, typeRead, typeRestedOn } from './records.ts';
import { remedyMember } from './remedy.ts';
import { withSteps } from './steps.ts';

/** What names can mean at a place in the text, and what kind of value is expected there. */
export interface Situation {
  readonly ctx: Context;
  readonly expected?: Type;
  /** The value that is expected there, where it is one that a kind declares. */
  readonly member?: Member;
}

/** Gives the tree of a machine or a part by its item in a file. */
export type TreeOf = (item: Item, scope: Scope) => Instance | undefined;

const trees = new WeakMap<Item, { version: number; tree: Instance | undefined }>();

/** The tree of an item, built without computing anything; kept until the item or what it sees changes. */
export const plainTree: TreeOf = (item, scope) => {
  const known = trees.get(item);
  if (known?.version === scope.version) return known.tree;
  const tree =
    item.$type === 'Entry'
      ? buildTree(item, scope)
      : item.$type === 'Declaration' && item.what === 'part'
        ? buildPart(item, scope)
        : undefined;
  trees.set(item, { version: scope.version, tree });
  return tree;
};

/** The nodes around an offset, from the file's item to the innermost; expressions inside messages count. */
export function pathAt(file: TextFile, offset: number): AstNode[] {
  const item = itemAround(file, offset);
  const path: AstNode[] = [];
  const relative = offset - (item?.start ?? 0);
  for (let node: AstNode | undefined = item?.node; node; node = nextInward(node, relative)) path.push(node);
  return path;
}

function nextInward(node: AstNode, offset: number): AstNode | undefined {
  const inside = innerNodes(node).filter((n) => (n as Placed).$start <= offset && offset <= (n as Placed).$end);
  return inside.find((n) => (n as Placed).$end > offset) ?? inside[inside.length - 1];
}

/** A node's children; for a text, the expressions in it. */
export function innerNodes(node: AstNode): AstNode[] {
  if (node.$type !== 'Text') return childrenOf(node);
  return interpolations(node as Parameters<typeof interpolations>[0]).filter((part) => typeof part !== 'string');
}

/** The item that an offset stands in, or right behind. */
function itemAround({ parsed }: TextFile, offset: number) {
  let [low, high] = [0, parsed.items.length - 1];
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if ((parsed.items[middle]?.start ?? 0) <= offset) low = middle;
    else high = middle - 1;
  }
  const item = parsed.items[low];
  return item && item.start <= offset && offset <= item.end ? item : undefined;
}

const silent = () => {};

/** What an item's own text sees. */
export function situationIn(item: Item | undefined, scope: Scope, treeOf: TreeOf = plainTree): Situation {
  const outside: Context = { scope, mode: 'kind', kind: undefined, report: silent };
  if (item?.$type === 'Entry' || (item?.$type === 'Declaration' && item.what === 'part')) {
    const tree = treeOf(item, scope);
    return { ctx: { ...outside, mode: 'block', kind: tree?.kind, instance: tree } };
  }
  if (item?.$type !== 'Declaration') return { ctx: outside };
  const name = item.what === 'kind' ? item.name : item.what === 'rule' ? item.on : undefined;
  const kind = name && scope.kindNamed(name.text);
  return { ctx: { ...outside, kind, locals: parametersAsLocals(item, scope) } };
}

/** What is seen inside a node, with the block in which it is computed. */
export function contextWithin(node: AstNode, self: Instance, scope: Scope, mode: Mode): Context {
  const path: AstNode[] = [];
  for (let at: AstNode | undefined = node; at && at.$type !== 'SpecFile'; at = at.$container) path.unshift(at);
  const { locals } = situationsAlong(path, scope).at(-1)?.ctx ?? {};
  return { scope, mode, kind: self.kind, around: self.holder?.kind, instance: self, locals, report: silent };
}

/** The kind whose values can be named in the text of a kind or a rule; inside the block of a slot also the kind that has the slot. */
export function kindsOfText(node: AstNode, scope: Scope): Pick<Context, 'kind' | 'around'> {
  let slot: Fields | undefined;
  for (let at: AstNode | undefined = node; at; at = at.$container) {
    if (at.$type === 'Has') slot = at as unknown as Fields;
    if (at.$container?.$type !== 'SpecFile') continue;
    const { kind } = situationIn(at as Item, scope).ctx;
    return slot ? { kind: slotKind(slot, scope), around: kind } : { kind };
  }
  return { kind: undefined };
}

/** What is expected where a node stands, in the text of a kind or of a block. */
export function expectedAt(node: AstNode, scope: Scope, self?: Instance): Type | undefined {
  const path: AstNode[] = [];
  for (let at: AstNode | undefined = node; at && at.$type !== 'SpecFile'; at = at.$container) path.unshift(at);
  // Where the text is that of the block's own machine, its tree is there already, and none is built.
  const treeOf: TreeOf = (item, situation) => (self?.root.node === item ? self.root : plainTree(item, situation));
  return situationsAlong(path, scope, treeOf).at(-1)?.expected;
}

function parametersAsLocals(node: Declaration | Entry, scope: Scope): ReadonlyMap<string, Type> | undefined {
  if (!node.parameters?.length) return undefined;
  return new Map(signatureOf(node, scope).parameters.map(({ name, type }) => [name, type]));
}

/** The names that are seen around a value's declaration, and its own arguments. */
function withParameters(entry: Entry, { scope, locals }: Context): Context['locals'] {
  const parameters = parametersAsLocals(entry, scope);
  return parameters ? new Map([...(locals ?? []), ...parameters]) : locals;
}

/** What is seen at each node of a path. */
export function situationsAlong(path: readonly AstNode[], scope: Scope, treeOf: TreeOf = plainTree): Situation[] {
  const list: Situation[] = [];
  for (const [i, node] of path.entries()) {
    const outer = path[i - 1];
    list.push(
      outer ? situationInside(list[i - 1] as Situation, outer, node) : situationIn(node as Item, scope, treeOf),
    );
  }
  return list;
}

type Fields = Record<string, AstNode | undefined>;

/** What is seen at a node, from what is seen at the node around it. */
export function situationInside(situation: Situation, outer: AstNode, node: AstNode): Situation {
  const { ctx } = situation;
  const as = outer as AstNode & Fields;
  switch (outer.$type) {
    case 'Entry':
      return intoEntry(situation, outer as Entry, node);
    case 'Has':
      return { ctx: node === as.body ? { ...ctx, kind: slotKind(as, ctx.scope), around: ctx.kind } : ctx };
    case 'Declaration':
      return intoDeclaration(ctx, outer as Declaration, node);
    case 'Clause':
      return intoClause(situation, outer as Clause, node);
    case 'Requirement':
      return { ctx, expected: truthType };
    case 'Remedy':
      return node === as.value ? expecting(ctx, remedyMember(as.target as Expression, ctx)) : { ctx };
    case 'Checked':
      return intoRecord(ctx, outer as Checked, node);
    case 'Setting':
    case 'Measurement':
      return node === as.value ? { ctx, ...asked(as.target as Expression, ctx) } : { ctx };
    case 'Alteration':
      return node === as.value ? expecting(ctx, ctx.kind?.members.get(nameText(as.name))) : { ctx };
    case 'Step':
      return { ctx: node === as.value ? stepsAbove(outer as Step, ctx) : ctx };
    case 'Row':
      return intoRow(situation, outer as Row, node);
    case 'List':
      if (outer.$container?.$type === 'Checked')
        return restExpected(ctx, outer.$container as Checked, node as ListElement);
      return { ctx, member: situation.member, expected: elementOf(situation.expected) };
    case 'ListElement':
    case 'Group':
    case 'Body':
      return situation;
    case 'Binary':
      return intoBinary(situation, as, node);
    case 'Conditional':
      return intoConditional(situation, as, node);
    case 'Call':
      return node === as.callee ? { ctx } : { ctx, ...argumentExpected(outer as Call, node as Argument, situation) };
    case 'Argument':
      return intoArgument(situation, outer as Argument, node);
    case 'Comprehension':
      return node === as.condition
        ? { ctx: bound(ctx, outer as Argument['comprehension']), expected: truthType }
        : { ctx };
    default:
      return { ctx };
  }
}

/** The reading in a record is of the type of the check's bounds. */
function intoRecord(ctx: Context, record: Checked, node: AstNode): Situation {
  const check = node === record.value ? checkRecorded(record, ctx) : undefined;
  return { ctx, expected: check && typeRead(check) };
}

/** One of the values that something was checked with, as the kind of the block declares it. */
function restExpected(ctx: Context, record: Checked, { name }: ListElement): Situation {
  const kind = kindChecked(record, ctx);
  return { ctx, expected: name && typeRestedOn(name.text, kind), member: kind?.members.get(name?.text ?? '') };
}

function nameText(node: AstNode | undefined): string {
  return (node as { text?: string } | undefined)?.text ?? '';
}

function elementOf(type: Type | undefined): Type | undefined {
  return type?.is === 'list' ? type.of : undefined;
}

function expecting(ctx: Context, member: Member | undefined): Situation {
  return { ctx, expected: member?.type, member };
}

function slotKind(has: Fields, scope: Scope): Kind | undefined {
  return scope.kindNamed(nameText(has.kind ?? has.name));
}

function intoEntry(situation: Situation, entry: Entry, node: AstNode): Situation {
  const { ctx } = situation;
  if (node === entry.count) return { ctx, expected: bareNumber };
  const isItem = entry.$container?.$type === 'SpecFile';
  if (ctx.mode === 'block') {
    if (node === entry.value) return expecting(ctx, ctx.kind?.members.get(entry.first?.text ?? ''));
    if (node !== entry.body || isItem || !isBlock(entry)) return { ctx };
    const instance = ctx.instance?.blockOf(entry);
    return { ctx: { ...ctx, instance, kind: instance?.kind } };
  }
  const member = ctx.kind?.members.get(entry.first?.text ?? '');
  const inner: Context = { ...ctx, locals: withParameters(entry, ctx) };
  if (node === entry.value || node === entry.body)
    return {
      ctx: node === entry.value ? withSteps(entry, inner) : inner,
      member,
      expected: entry.type ? typeOf(entry.type, ctx.scope) : member?.type,
    };
  return { ctx };
}

function intoDeclaration(ctx: Context, node: Declaration, inner: AstNode): Situation {
  if (inner !== node.value && inner !== node.body) return { ctx };
  const type = typeOf(node.type, ctx.scope);
  if (inner === node.value && node.what !== 'sizes')
    return { ctx: withSteps(node, ctx), expected: node.type ? type : undefined };
  return { ctx, expected: node.what === 'sizes' ? { is: 'list', of: type } : node.type ? type : undefined };
}

/** A step sees the steps above it. */
function stepsAbove(step: Step, ctx: Context): Context {
  const formula = step.$container?.$container;
  return formula?.$type === 'Entry' || formula?.$type === 'Declaration' ? withSteps(formula, ctx, step) : ctx;
}

function intoClause(situation: Situation, clause: Clause, node: AstNode): Situation {
  const { ctx } = situation;
  switch (clauses[clause.keyword].contents) {
    case 'condition':
      return { ctx, expected: truthType };
    case 'question':
      return { ctx, expected: node === clause.values[0] ? truthType : textType };
    case 'reported':
      return { ctx, expected: node === clause.values[0] ? textType : undefined };
    case 'drawn':
      return { ctx, expected: clause.values.indexOf(node as Expression) < 2 ? textType : undefined };
    case 'text':
    case 'message':
      return { ctx, expected: textType };
    case 'range':
      return situation;
    default:
      return { ctx };
  }
}

/** Expected beside an arithmetic operator: any quantity will do. */
export const someQuantity: Type = { is: 'any' };

/** A row's keys are what the table takes, in their order. */
function intoRow(situation: Situation, row: Row, node: AstNode): Situation {
  const index = row.keys.indexOf(node as Expression);
  return index < 0 ? situation : { ctx: situation.ctx, expected: [...(situation.ctx.locals?.values() ?? [])][index] };
}

const comparing = new Set(['==', '!=', '<', '<=', '>', '>=']);
const keeping = new Set(['+', '-', 'otherwise', '..']);
const scaling = new Set(['*', '/', '^']);

function intoBinary(situation: Situation, as: Fields & { operator?: unknown }, node: AstNode): Situation {
  const operator = as.operator as string;
  const right = node === as.right;
  const ctx = operator === 'and' && right ? narrowed(as.left as Expression, situation.ctx) : situation.ctx;
  const other = (right ? as.left : as.right) as Expression | undefined;
  if (operator === 'and' || operator === 'or') return { ctx, expected: truthType };
  if (comparing.has(operator)) {
    const expected = comparedWith(as as unknown as Binary, right ? 'right' : 'left', ctx, inference);
    return { ctx, expected, member: memberOf(other, ctx) };
  }
  if (operator === 'in')
    return {
      ctx,
      expected: right ? listedWith(as as unknown as Binary, ctx, inference) : elementOf(typeIn(other, ctx)),
    };
  if (operator === 'x')
    return { ctx, expected: situation.expected?.is === 'sides' ? situation.expected.of : undefined };
  if (scaling.has(operator)) return { ctx, expected: someQuantity };
  if (keeping.has(operator)) return { ...situation, expected: situation.expected ?? known(typeIn(other, ctx)) };
  return { ctx };
}

function known(type: Type): Type | undefined {
  return type.is === 'any' ? undefined : type;
}

/** What is expected beside an expression: something of its type. */
function asked(node: Expression | undefined, ctx: Context): Pick<Situation, 'expected' | 'member'> {
  return { expected: known(typeIn(node, ctx)), member: memberOf(node, ctx) };
}

/** The value or block that an expression names, as its kind declares it. */
export function memberOf(node: Expression | undefined, ctx: Context): Member | undefined {
  if (node?.$type === 'Group') return memberOf(node.inner, ctx);
  if (node?.$type === 'Call') return memberOf(node.callee, ctx);
  if (node?.$type === 'Reference') {
    const binding = bind(node.name?.text ?? '', ctx);
    return binding?.is === 'member' ? binding.member : undefined;
  }
  if (node?.$type !== 'Access') return undefined;
  const object = typeIn(node.object, ctx);
  const binding = object.is === 'instance' ? bindMember(node.member?.text ?? '', object.kind) : undefined;
  return binding?.is === 'member' ? binding.member : undefined;
}

function intoConditional(situation: Situation, as: Fields, node: AstNode): Situation {
  if (node === as.condition) return { ctx: situation.ctx, expected: truthType };
  return node === as.then ? { ...situation, ctx: narrowed(as.condition as Expression, situation.ctx) } : situation;
}

/** The parameters of what a call calls. */
export function parametersOf(callee: Expression | undefined, ctx: Context): readonly ParameterType[] {
  const called = calledBy(callee, ctx, inference);
  return called?.is === 'formula' ? called.signature.parameters : [];
}

function argumentExpected(call: Call, argument: Argument, situation: Situation): Pick<Situation, 'expected'> {
  const called = calledBy(call.callee, situation.ctx, inference);
  if (called?.is === 'function') {
    const { shape } = languageFunctions[called.name];
    return {
      expected: shape === 'truth' ? truthType : shape === 'one of its arguments' ? situation.expected : undefined,
    };
  }
  if (!called) return {};
  const matched = matchArguments(call.arguments, called.signature.parameters);
  return { expected: matched.parameters[call.arguments.indexOf(argument)]?.type };
}

function intoArgument(situation: Situation, argument: Argument, node: AstNode): Situation {
  const { comprehension } = argument;
  if (!comprehension || node !== argument.value) return situation;
  return { ctx: narrowed(comprehension.condition, bound(situation.ctx, comprehension)), expected: situation.expected };
}

/** What is seen inside a question: besides, the name that it gives to each element that it goes through. */
function bound(ctx: Context, comprehension: Argument['comprehension']): Context {
  if (!comprehension?.variable?.text) return ctx;
  return withName(
    comprehension,
    comprehension.domain ? domainType(comprehension.domain, ctx, inference) : anyType,
    ctx,
  );
}
