import type { Binary, Expression } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import type { Context } from '../types/context.ts';
import { infer } from '../types/infer.ts';
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
  if (only !== undefined && (!node.left || textOf(node.left) !== only)) return undefined;
  return isOrder(node.operator) ? comparison(node, node.operator, frame, ctx) : undefined;
}

function isOrder(operator: string): operator is Margin['operator'] {
  return operator === '<' || operator === '<=' || operator === '>' || operator === '>=';
}

function comparison(node: Binary, operator: Margin['operator'], frame: Frame, ctx: Context): Margin | undefined {
  const upper = operator === '<' || operator === '<=';
  const [value, limit] = [amountOf(evaluate(node.left, frame), upper), amountOf(evaluate(node.right, frame), !upper)];
  if (value === undefined || limit === undefined) return undefined;
  const type = infer(node.right, ctx);
  const inKelvin = type.is === 'quantity' && (type.points ?? false);
  const gap = upper ? limit - value : value - limit;
  const scale = inKelvin ? 1 : Math.abs(limit) || Math.abs(value) || 1;
  return { amount: gap / scale, inKelvin, value: node.left, limit: node.right, operator };
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

/** A margin as people read it: `12 % to spare`, `5 K short`. */
export function showMargin(margin: Margin): string {
  const size = Math.abs(margin.amount);
  const amount = margin.inKelvin ? `${Number(size.toPrecision(2))} K` : `${Number((size * 100).toPrecision(2))} %`;
  return margin.amount < 0 ? `${amount} short` : `${amount} to spare`;
}
