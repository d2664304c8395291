import type { Binary, Expression } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import type { Context } from '../types/context.ts';
import { infer } from '../types/infer.ts';
import { literal } from '../types/literal.ts';
import { Bounds, isMissing, Money, type Value } from '../values/value.ts';
import { evaluate } from './evaluate.ts';
import type { Frame } from './frame.ts';

/** How far a comparison is from failing. Negative where it fails. */
export interface Margin {
  /** (limit - value) / limit; for points of temperature the difference in kelvin. */
  readonly amount: number;
  readonly inKelvin: boolean;
  /** What is compared, and with what. */
  readonly value: Expression;
  readonly limit: Expression;
  readonly operator: '<' | '<=' | '>' | '>=';
}

/**
 * The least margin of a condition's comparisons; undefined where it compares nothing that is known. Where what is compared is given,
 * as it is written, that comparison's.
 */
export function marginOf(node: Expression | undefined, frame: Frame, ctx: Context, only?: string): Margin | undefined {
  if (node?.$type === 'Group') return marginOf(node.inner, frame, ctx, only);
  if (node?.$type !== 'Binary') return undefined;
  if (node.operator === 'and' || node.operator === 'or') {
    const sides = [marginOf(node.left, frame, ctx, only), marginOf(node.right, frame, ctx, only)];
    return node.operator === 'and' ? leastMargin(sides) : greatest(sides);
  }
  if (!isOrder(node.operator) || !node.left || !node.right) return undefined;
  const sides = sidesOf(node, node.operator, ctx);
  return only === undefined || textOf(sides.value) === only ? comparison(sides, frame, ctx) : undefined;
}

function isOrder(operator: string): operator is Margin['operator'] {
  return operator === '<' || operator === '<=' || operator === '>' || operator === '>=';
}

/** The same comparison read from its other side. */
const mirrored = { '<': '>', '<=': '>=', '>': '<', '>=': '<=' } as const;

type Sides = Pick<Margin, 'value' | 'limit' | 'operator'>;

/** What is compared stands on the left, with its limit on the right; a number that stands on the left is the limit all the same. */
function sidesOf({ left, right }: Binary, operator: Margin['operator'], ctx: Context): Sides {
  const isTurned = literal(left, ctx) !== undefined && literal(right, ctx) === undefined;
  return isTurned
    ? { value: right, limit: left, operator: mirrored[operator] }
    : { value: left, limit: right, operator };
}

function comparison(sides: Sides, frame: Frame, ctx: Context): Margin | undefined {
  const upper = sides.operator === '<' || sides.operator === '<=';
  const [value, limit] = [
    amountOf(evaluate(sides.value, frame), upper),
    amountOf(evaluate(sides.limit, frame), !upper),
  ];
  if (value === undefined || limit === undefined) return undefined;
  const type = infer(sides.limit, ctx);
  const inKelvin = type.is === 'quantity' && (type.points ?? false);
  const gap = upper ? limit - value : value - limit;
  const scale = inKelvin ? 1 : Math.abs(limit) || Math.abs(value) || 1;
  return { amount: gap / scale, inKelvin, ...sides };
}

function amountOf(value: Value, high: boolean): number | undefined {
  if (typeof value === 'number') return value;
  if (value instanceof Money) return value.amount;
  return value instanceof Bounds ? (high ? value.high : value.low) : undefined;
}

/** A number by which margins are compared with each other: a share as it is, kelvins as shares of 100 K. */
export function rankOf(margin: Margin): number {
  return margin.inKelvin ? margin.amount / 100 : margin.amount;
}

export function leastMargin(margins: readonly (Margin | undefined)[]): Margin | undefined {
  return margins.reduce((a, b) => (a && b ? (rankOf(b) < rankOf(a) ? b : a) : (a ?? b)), undefined);
}

function greatest(margins: readonly (Margin | undefined)[]): Margin | undefined {
  return margins.reduce((a, b) => (a && b ? (rankOf(b) > rankOf(a) ? b : a) : (a ?? b)), undefined);
}

/** A verdict as a number, the least the worst: below zero where it fails, zero where it is not known, above where it holds. */
export function verdictAsNumber(verdict: Value, margin: () => Margin | undefined): number {
  if (typeof verdict !== 'boolean') return isMissing(verdict) ? 0 : Number.MAX_VALUE;
  const by = margin();
  const amount = by ? rankOf(by) : verdict ? 1 : -1;
  return verdict ? Math.max(amount, Number.MIN_VALUE) : Math.min(amount, -Number.MIN_VALUE);
}

const bounds = { '<': 'less than', '<=': 'at most', '>': 'more than', '>=': 'at least' } as const;

/** What the limit asks of the value, before it: `at least`. */
export function showBound({ operator }: Pick<Margin, 'operator'>): string {
  return bounds[operator];
}

/** A margin as people read it: `12 % to spare`, `5 K short`. */
export function showMargin(margin: Margin): string {
  const size = Math.abs(margin.amount);
  const amount = margin.inKelvin ? `${Number(size.toPrecision(2))} K` : `${Number((size * 100).toPrecision(2))} %`;
  return margin.amount < 0 ? `${amount} short` : `${amount} to spare`;
}
