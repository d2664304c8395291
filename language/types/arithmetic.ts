import type { Binary, Expression } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import { typing } from '../mistakes/typing.ts';
import { anyType, describeType, type QuantityType, quantityOf, type Type, truthType } from '../names/type.ts';
import { dimensionless, multiply, raise } from '../units/dimension.ts';
import { type Context, report } from './context.ts';
import { common, isBare, misfit, quantityMisfit } from './fit.ts';
import type { Inference } from './inference.ts';
import { literal, quantityText } from './literal.ts';
import { replace } from './tell.ts';

/** The type of `a + b`, `a * b`, `a ^ n`. */
export function arithmetic(node: Binary, ctx: Context, types: Inference): Type {
  const left = types.infer(node.left, ctx);
  const right = types.infer(node.right, ctx);
  if (left.is === 'any' || right.is === 'any') return anyType;
  if (left.is !== 'quantity') return notQuantity(node.left, left, ctx);
  if (right.is !== 'quantity') return notQuantity(node.right, right, ctx);
  if (node.operator === '+' || node.operator === '-') return sum(node, left, right, ctx);
  const point = left.points ? node.left : right.points ? node.right : undefined;
  if (point) return report(ctx, point, typing.point_arithmetic.product());
  if (node.operator === '^') return power(node, left, right, ctx);
  return product(node, left, right, ctx);
}

function notQuantity(node: Expression, type: Type, ctx: Context): Type {
  return report(ctx, node, typing.wrong_type.arithmetic(describeType(type, ctx.scope.system)));
}

function product(node: Binary, left: QuantityType, right: QuantityType, ctx: Context): Type {
  if (left.money && right.money && node.operator === '*')
    return report(ctx, node, typing.wrong_dimension.pricesMultiplied());
  if (right.money && !left.money && node.operator === '/')
    return report(ctx, node.right, typing.wrong_dimension.dividedByPrice());
  const sign = node.operator === '/' ? -1 : 1;
  const plain = (type: QuantityType) => type.bare || isBare(type);
  if (plain(right)) return { ...left, bare: left.bare && right.bare };
  if (plain(left) && sign > 0) return right;
  const money = left.money !== right.money && (left.money || right.money);
  const dimension = multiply(left.dimension, right.dimension, sign);
  return { is: 'quantity', dimension, money: money || undefined };
}

/** The type of `-a`. */
export function negative(operand: Expression, ctx: Context, types: Inference): Type {
  const type = types.infer(operand, ctx);
  if (type.is === 'any') return type;
  if (type.is !== 'quantity') return notQuantity(operand, type, ctx);
  if (type.points && operand.$type !== 'Quantity') return report(ctx, operand, typing.point_arithmetic.negative());
  return type;
}

function sum(node: Binary, left: QuantityType, right: QuantityType, ctx: Context): Type {
  const { system } = ctx.scope;
  const adds = node.operator === '+';
  if (left.dimension !== right.dimension || (left.money ?? false) !== (right.money ?? false)) {
    const percent = percentAdded(node, right);
    if (percent) return percentMistake(node, percent, ctx);
    const ends = adds ? undefined : endsWithoutUnit(node);
    if (ends) return withoutUnit(node, ends, ctx);
    const [what, to] = [describeType(right, system), describeType(left, system)];
    return report(ctx, node, typing.wrong_dimension.sum(what, adds, to));
  }
  if (left.points && right.points) {
    if (!adds) return difference(left, ctx);
    return report(ctx, node, typing.point_arithmetic.sum());
  }
  if (right.points && !adds) return report(ctx, node, typing.point_arithmetic.difference());
  if (left.points) return left;
  if (right.points) return right;
  if (left.named === right.named) return { ...left, bare: left.bare && right.bare };
  return { is: 'quantity', dimension: left.dimension, money: left.money };
}

/** What was probably meant by `15 .. 30 degC`, or `15 - 30 degC`. */
function endsWithoutUnit({ left, right }: Binary): string | undefined {
  if (left?.$type !== 'Quantity' || right?.$type !== 'Quantity' || left.unit || !right.unit || right.unit === '%')
    return undefined;
  return `${left.number} ${right.unit} .. ${right.number} ${right.unit}`;
}

function withoutUnit(node: Binary, whole: string, ctx: Context): Type {
  return report(ctx, node, typing.missing_unit.end(whole), replace(node, whole));
}

/** What was probably meant by `230 V + 10 %`. */
function percentAdded(node: Binary, right: QuantityType): string | undefined {
  if (!node.right || !right.named || !isBare(right) || !/%$/.test(textOf(node.right))) return undefined;
  const share = (node.operator === '+' ? 1 : -1) * Number.parseFloat(textOf(node.right));
  return `${textOf(node.left)} * ${100 + share} %`;
}

function percentMistake(node: Binary, whole: string, ctx: Context): Type {
  return report(ctx, node, typing.percent_added(whole), replace(node, whole));
}

/** The difference between two points on a scale. */
export function difference(point: QuantityType, ctx: Context): Type {
  const named = ctx.scope.system.named(point.dimension).find((n) => !n.points);
  return named ? quantityOf(named) : { is: 'quantity', dimension: point.dimension };
}

function power(node: Binary, base: QuantityType, exponent: QuantityType, ctx: Context): Type {
  if (base.money) return report(ctx, node.left, typing.wrong_dimension.pricePower());
  if (exponent.dimension !== dimensionless || (exponent.named && !isBare(exponent)))
    return report(ctx, node.right, typing.wrong_dimension.exponent());
  if (base.dimension.powers.size === 0) return { is: 'quantity', dimension: dimensionless, bare: base.bare };
  const number = constantOf(node.right);
  if (number === undefined) return report(ctx, node.right ?? node, typing.wrong_dimension.power());
  return { is: 'quantity', dimension: raise(base.dimension, number) };
}

function constantOf(node: Expression | undefined): number | undefined {
  if (node?.$type === 'Quantity' && !node.unit) return Number(node.number);
  if (node?.$type === 'Group') return constantOf(node.inner);
  if (node?.$type === 'Unary' && node.operator === '-') {
    const value = constantOf(node.operand);
    return value === undefined ? undefined : -value;
  }
  if (node?.$type !== 'Binary' || node.operator !== '/') return undefined;
  const [a, b] = [constantOf(node.left), constantOf(node.right)];
  return a === undefined || !b ? undefined : a / b;
}

/** The type of `230 mm x 230 mm`. */
export function sides(node: Binary, ctx: Context, types: Inference, expected?: Type): Type {
  const left = types.infer(node.left, ctx, expected);
  const of = left.is === 'sides' ? left.of : left;
  if (of.is === 'any') return anyType;
  if (of.is !== 'quantity') return report(ctx, node, typing.wrong_type.sides());
  const right = types.expect(node.right, ctx, of);
  if (right.is === 'any') return anyType;
  return { is: 'sides', of, count: left.is === 'sides' ? left.count + 1 : 2 };
}

/** The type of `18 degC .. 32 degC`: that of its ends. */
export function range(node: Binary, ctx: Context, types: Inference, expected?: Type): Type {
  const ends = endsWithoutUnit(node);
  if (ends) return withoutUnit(node, ends, ctx);
  const low = types.infer(node.left, ctx, expected);
  if (low.is !== 'quantity' && low.is !== 'any')
    return report(ctx, node.left, typing.wrong_type.range(describeType(low, ctx.scope.system)));
  return turnedRound(node, ctx) ?? types.joined('The ends of a range', low, node.right, ctx, expected);
}

/** A range whose ends are written the wrong way round. */
function turnedRound(node: Binary, ctx: Context): Type | undefined {
  const { left, right } = node;
  const [low, high] = [literal(left, ctx), literal(right, ctx)];
  if (low === undefined || high === undefined || low <= high) return undefined;
  const [a, b] = [quantityText(left), quantityText(right)];
  const turned = `${b} .. ${a}`;
  return report(ctx, node, typing.wrong_way_round(turned), replace(node, turned));
}

/** What is expected of one side of a comparison: something like the other side. */
export function comparedWith(node: Binary, side: 'left' | 'right', ctx: Context, types: Inference): Type | undefined {
  const type = types.typeIn(side === 'left' ? node.right : node.left, ctx);
  return type.is === 'any' ? undefined : type;
}

const orders: ReadonlySet<string> = new Set(['<', '<=', '>', '>=']);

/** The type of `a <= b` is yes or no; its sides must be alike. */
export function comparison(node: Binary, ctx: Context, types: Inference): Type {
  const left = types.infer(node.left, ctx, comparedWith(node, 'left', ctx, types));
  const right = types.infer(node.right, ctx, comparedWith(node, 'right', ctx, types));
  if (left.is === 'any' || right.is === 'any' || !node.right) return truthType;
  const { system } = ctx.scope;
  if (left.is === 'quantity' && right.is === 'quantity') {
    compareQuantities(node, left, right, ctx);
  } else if (orders.has(node.operator) || left.is === 'curve' || left.is === 'formula') {
    const wrong = left.is === 'quantity' ? right : left;
    report(ctx, node, typing.wrong_type.order(describeType(wrong, system)));
  } else if (!areComparable(left, right)) {
    const [one, other] = [describeType(left, system), describeType(right, system)];
    report(ctx, node, typing.wrong_type.comparison(one, other));
  }
  return truthType;
}

/** Blocks of which neither kind is the other's, and choices without a word in common, are never the same. */
function areComparable(a: Type, b: Type): boolean {
  if (a.is === 'instance' && b.is === 'instance') return !a.kind || !b.kind || a.kind.isA(b.kind) || b.kind.isA(a.kind);
  if (a.is === 'choice' && b.is === 'choice') return a.options.some((option) => b.options.includes(option));
  return common(a, b) !== undefined;
}

function compareQuantities(node: Binary, left: QuantityType, right: QuantityType, ctx: Context): void {
  const named = left.named && right.named && !right.bare ? left.named : isBare(left) ? left.named : undefined;
  const wrong = quantityMisfit(right, { ...left, named }, node.right, ctx.scope);
  if (wrong && !(left.bare && right.dimension === dimensionless))
    report(ctx, node.right, wrong.wording, ...wrong.fixes);
}

/** What is expected of a list that a choice is looked for in: its words. */
export function listedWith(node: Binary, ctx: Context, types: Inference): Type | undefined {
  const element = types.typeIn(node.left, ctx);
  return element.is === 'choice' ? { is: 'list', of: element } : undefined;
}

/** The type of `a in list` is yes or no; `a` must be like the list's elements. */
export function membership(node: Binary, ctx: Context, types: Inference): Type {
  const list = types.infer(node.right, ctx, listedWith(node, ctx, types));
  if (list.is === 'any') {
    types.infer(node.left, ctx);
    return truthType;
  }
  if (list.is !== 'list') {
    types.infer(node.left, ctx);
    const what = describeType(list, ctx.scope.system);
    report(ctx, node.right, typing.wrong_type.list(what));
    return truthType;
  }
  const element = types.infer(node.left, ctx, list.of);
  if (element.is === 'quantity') types.expect(node.left, ctx, list.of);
  else if (!areComparable(element, list.of)) {
    const wrong = misfit(element, list.of, node.left, ctx.scope);
    if (wrong) report(ctx, node.left, wrong.wording, ...wrong.fixes);
  }
  return truthType;
}
