import type { Access, Binary, Conditional, Expression, Quantity, Reference, Text } from '../grammar/generated/ast.ts';
import { type AstNode, textOf } from '../grammar/syntax.ts';
import { interpolations } from '../grammar/texts.ts';
import type { Instance } from '../machine/tree.ts';
import { naming } from '../mistakes/naming.ts';
import { capital, listed, nearest } from '../mistakes/sentence.ts';
import { typing } from '../mistakes/typing.ts';
import { anyType, bareNumber, describeType, type Type, textType, truthType } from '../names/type.ts';
import { withArticle } from '../units/display.ts';
import { isUnit } from '../units/units.ts';
import { arithmetic, comparison, membership, negative, range, sides } from './arithmetic.ts';
import { type Binding, bind, bindMember, blockAt, isCallee } from './bind.ts';
import { call } from './calls.ts';
import { type Context, narrowed, report } from './context.ts';
import { truthWords } from './fit.ts';
import { Inference } from './inference.ts';
import { replace, replaceWithNearest } from './tell.ts';
import { tellUnknownKind } from './unknown.ts';

/** The type of an expression. Each mistake is reported once, and what it spoils is of any type. */
export function infer(node: Expression | undefined, ctx: Context, expected?: Type): Type {
  if (!node) return anyType;
  switch (node.$type) {
    case 'Quantity':
      return quantity(node, ctx, expected);
    case 'Text':
      return text(node, ctx);
    case 'DateValue':
      return { is: 'date' };
    case 'Truth':
      return truthType;
    case 'Open':
      for (const { value } of node.among?.elements ?? [])
        if (expected) expect(value, ctx, expected);
        else infer(value, ctx);
      return anyType;
    case 'Group':
      return infer(node.inner, ctx, expected);
    case 'List':
      return list(
        node.elements.map((e) => e.value),
        ctx,
        expected,
      );
    case 'Reference':
      return reference(node, ctx, expected);
    case 'Access':
      return access(node, ctx);
    case 'Index':
      return element(node.object, node.index, ctx);
    case 'Unary':
      return node.operator === 'not' ? condition([node.operand], ctx) : negative(node.operand, ctx, inference);
    case 'Conditional':
      return conditional(node, ctx, expected);
    case 'Binary':
      return binary(node, ctx, expected);
    case 'Call':
      return call(node, ctx, inference);
    default:
      return anyType;
  }
}

/** The types of expressions, for what asks for those of the expressions inside it. */
export const inference = new Inference(infer);

export const expect: Inference['expect'] = (node, ctx, expected) => inference.expect(node, ctx, expected);
export const typeIn: Inference['typeIn'] = (node, ctx, expected) => inference.typeIn(node, ctx, expected);

function condition(sides: readonly (Expression | undefined)[], ctx: Context): Type {
  for (const side of sides) expect(side, ctx, truthType);
  return truthType;
}

function binary(node: Extract<Expression, { $type: 'Binary' }>, ctx: Context, expected?: Type): Type {
  switch (node.operator) {
    case 'and':
      expect(node.left, ctx, truthType);
      return condition([node.right], narrowed(node.left, ctx));
    case 'or':
      return condition([node.left, node.right], ctx);
    case 'is':
      return kindQuestion(node.left, node.right, ctx);
    case 'in':
      return membership(node, ctx, inference);
    case 'otherwise':
      return fallback(node.left, node.right, ctx, expected);
    case 'x':
      return sides(node, ctx, inference, expected);
    case '..':
      return range(node, ctx, inference, expected);
    case '==':
    case '!=':
    case '<':
    case '<=':
    case '>':
    case '>=':
      return comparison(node, ctx, inference);
    default:
      return arithmetic(node, ctx, inference);
  }
}

function kindQuestion(left: Expression | undefined, right: Expression | undefined, ctx: Context): Type {
  const type = infer(left, ctx);
  if (left && type.is !== 'instance' && type.is !== 'any')
    report(ctx, left, typing.wrong_type.kind(describeType(type, ctx.scope.system)));
  if (right?.$type !== 'Reference') {
    if (right) report(ctx, right, naming.unknown_kind.afterIs());
  } else if (!ctx.scope.kindNamed(right.name.text)) tellUnknownKind(ctx.report, right, right.name.text, ctx.scope);
  return truthType;
}

function conditional(node: Conditional, ctx: Context, expected?: Type): Type {
  expect(node.condition, ctx, truthType);
  return alike('The branches of if', node.then, narrowed(node.condition, ctx), node.else, ctx, expected);
}

/** What comes first must be something that can be left out: a value by its name. */
function fallback(left: Expression | undefined, right: Expression | undefined, ctx: Context, expected?: Type): Type {
  return alike('The two sides of otherwise', left, ctx, right, ctx, expected);
}

/** The type of two expressions of which either may be the result. */
function alike(
  what: string,
  one: Expression | undefined,
  oneCtx: Context,
  other: Expression | undefined,
  ctx: Context,
  expected?: Type,
): Type {
  const first = infer(one, oneCtx, expected);
  return inference.joined(what, first, other, ctx, expected);
}

function quantity(node: Quantity, ctx: Context, expected?: Type): Type {
  if (!Number.isFinite(Number(node.number))) return report(ctx, node, typing.too_large(node.number));
  if (!node.unit) return bareNumber;
  const { system } = ctx.scope;
  const unit = system.unit(node.unit);
  if (!isUnit(unit)) return unknownUnit(node, unit, ctx, expected);
  const written = system.asWritten(node.unit);
  if (written) {
    const fix = replace(node, `${node.number} ${written}`, `Write ${written}`);
    report(ctx, node, typing.unit_spelling(written, node.unit), fix);
  }
  return {
    is: 'quantity',
    dimension: unit.dimension,
    named: unit.of,
    points: unit.of?.points,
    money: unit.currency !== undefined,
  };
}

function unknownUnit(
  node: Quantity,
  { part, suggestion }: { part: string; suggestion?: string },
  ctx: Context,
  expected?: Type,
): Type {
  const unit = node.unit as string;
  const split = /^(.+?)\*([\p{L}_]\w*)$/u.exec(unit);
  if (split && split[2] === part && isUnit(ctx.scope.system.unit(split[1] as string))) {
    const product = `${node.number} ${split[1]} * ${part}`;
    const fix = replace(node, product, 'Write it as arithmetic');
    return report(ctx, node, naming.unknown_unit.product(part, unit, product), fix);
  }
  if (!suggestion) return report(ctx, node, naming.unknown_unit.unknown(part, unitsOf(expected, ctx)));
  const fix = replace(node, `${node.number} ${unit.replace(part, suggestion)}`, `Write ${suggestion}`);
  return report(ctx, node, naming.unknown_unit.meant(part, suggestion), fix);
}

/** In which units what is expected is written. */
function unitsOf(expected: Type | undefined, ctx: Context): string {
  if (expected?.is !== 'quantity') return '';
  const units = ctx.scope.system.plainUnits().filter((u) => u.of && u.of === expected.named);
  const shown = (expected.named?.shown ?? []).filter((u) => u !== '1');
  const names = [...new Set([...shown, ...units.map((u) => u.text)])];
  return names.length ? ` ${capital(describeType(expected, ctx.scope.system))} is written in ${listed(names, 5)}.` : '';
}

/** All elements are alike, or as the place expects them. */
function list(elements: readonly Expression[], ctx: Context, expected?: Type): Type {
  const of = expected?.is === 'list' && expected.of.is !== 'any' ? expected.of : undefined;
  if (of) for (const element of elements) expect(element, ctx, of);
  const type =
    of ??
    elements.reduce<Type>((so, each) => inference.joined('The elements of a list', so, each, ctx, undefined), anyType);
  return { is: 'list', of: type };
}

function element(object: Expression, index: Expression, ctx: Context): Type {
  const type = infer(object, ctx);
  expect(index, ctx, bareNumber);
  if (type.is === 'list') return type.of;
  if (type.is === 'any') return anyType;
  return report(ctx, object, typing.wrong_type.element(describeType(type, ctx.scope.system)));
}

/** A text: what stands in its braces is an expression. */
function text(node: Text, ctx: Context): Type {
  for (const part of interpolations(node)) {
    if (typeof part !== 'string') infer(part, ctx);
    else if (/^\{.*\}$/.test(part) && !node.text.includes(`\\${part}`)) report(ctx, node, typing.bad_braces(part));
  }
  return textType;
}

function reference(node: Reference, ctx: Context, expected?: Type): Type {
  const name = node.name?.text ?? '';
  const binding = bind(name, ctx, { expected, called: isCallee(node) });
  if (binding?.is === 'ambiguous') return ambiguous(node, name, binding, ctx);
  if (binding?.is === 'choice') return binding.type;
  const choice = expected?.is === 'list' ? expected.of : expected;
  if (binding) return ctx.narrowed?.get(name) ?? binding.type;
  const truth = expected?.is === 'truth' ? truthWords.get(name) : undefined;
  if (truth) return report(ctx, node, naming.unknown_name.called(name, ' here', truth), replace(node, truth));
  if (choice?.is !== 'choice') return unknownName(node, name, ctx);
  const near = nearest(name, choice.options);
  return report(ctx, node, naming.unknown_choice(choice.options, name), ...replaceWithNearest(node, near));
}

function ambiguous(node: AstNode, name: string, { one, other }: { one: Binding; other: Binding }, ctx: Context): Type {
  return report(ctx, node, naming.ambiguous(name, inWords(one), inWords(other)));
}

/** What a binding is, as a reader would say it. */
function inWords(binding: Binding): string {
  if (binding.is === 'block') return `the block ${binding.instance.label}`;
  if (binding.is === 'member') {
    const of = binding.instance ? binding.instance.label : withArticle(binding.member.owner.name.replaceAll('_', ' '));
    return `the value ${binding.member.name} of ${of}`;
  }
  return 'a block whose kind is not known';
}

/** A number that is divided by a unit, and how that is written; undefined where a name is something else. */
function unitBehindSlash(node: Reference, name: string, ctx: Context): { node: Binary; meant: string } | undefined {
  if (!isUnit(ctx.scope.system.unit(name))) return undefined;
  const above = node.$container;
  const [unit, power] =
    above.$type === 'Binary' && above.operator === '^' && above.left === node && above.right?.$type === 'Quantity'
      ? [above, textOf(above.right)]
      : [node, '1'];
  const division = unit.$container;
  if (division.$type !== 'Binary' || division.operator !== '/' || division.right !== unit) return undefined;
  const { left } = division;
  if (left?.$type !== 'Quantity') return undefined;
  const number = textOf(left);
  const meant = left.unit ? `${number}/${textOf(unit).replace(/ /g, '')}` : `${number} ${name}^-${power}`;
  return { node: division, meant };
}

function unknownName(node: Reference, name: string, ctx: Context): Type {
  const divided = unitBehindSlash(node, name, ctx);
  if (divided) {
    const wording = naming.unknown_name.unit(textOf(divided.node).replace(/\s+/g, ''), divided.meant);
    return report(ctx, node, wording, replace(divided.node, divided.meant));
  }
  const near = nearest(name, namesSeen(ctx));
  const where =
    ctx.mode === 'kind' && ctx.kind
      ? ` in ${ctx.kind.name.replaceAll('_', ' ')}, nor is it shared by what holds one`
      : ' here';
  return report(ctx, node, naming.unknown_name.called(name, where, near), ...replaceWithNearest(node, near));
}

function* namesSeen(ctx: Context): Generator<string> {
  yield* ctx.locals?.keys() ?? [];
  yield* ctx.kind?.members.keys() ?? [];
  yield* ctx.around?.members.keys() ?? [];
  for (let at: Instance | undefined = ctx.instance; at; at = at.around) yield* at.children.keys();
  for (const scope of ctx.scope.visible()) yield* scope.own.declared.keys();
}

const sideNames = ['width', 'depth', 'height'];

function access(node: Access, ctx: Context): Type {
  const object = infer(node.object, ctx);
  const name = node.member?.text;
  if (!name || object.is === 'any') return anyType;
  const at = node.member ?? node;
  if (object.is === 'sides') {
    if (sideNames.slice(0, object.count).includes(name)) return object.of;
    return report(ctx, at, naming.unknown_member.ofSize(object.count, sideNames.slice(0, object.count), name));
  }
  if (object.is === 'quantity' && object.money && name === 'currency') return textType;
  if (object.is !== 'instance') {
    return report(ctx, at, naming.unknown_member.ofValue(describeType(object, ctx.scope.system), name));
  }
  if (!object.kind) return anyType;
  return blockMember(node, name, blockAt(node.object, ctx), object, ctx);
}

function blockMember(
  node: Access,
  name: string,
  block: Instance | undefined,
  object: Extract<Type, { is: 'instance' }>,
  ctx: Context,
): Type {
  const binding = bindMember(name, object.kind, block);
  if (binding) return binding.type;
  const members = object.kind?.members ?? new Map();
  const near = nearest(name, [...(block?.children.keys() ?? []), ...members.keys()]);
  const has = [...members.keys()];
  const what = withArticle((object.kind?.name ?? '').replaceAll('_', ' '));
  const fixes = node.member ? replaceWithNearest(node.member, near) : [];
  return report(ctx, node.member ?? node, naming.unknown_member.ofBlock(what, name, has, near), ...fixes);
}
