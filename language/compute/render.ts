import type { Expression, Text } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import { interpolations } from '../grammar/texts.ts';
import { boundsOf, boundsStated } from '../names/kind.ts';
import { describeType, type Type } from '../names/type.ts';
import type { Context } from '../types/context.ts';
import { infer } from '../types/infer.ts';
import { memberOf } from '../types/situation.ts';
import { showValue, unitFor } from '../values/show.ts';
import { isMissing, Unknown, type Value } from '../values/value.ts';
import type { EvaluateExpression, Frame } from './frame.ts';

/** A value and its limit, which a text is to tell apart. */
export interface WithLimit {
  readonly value: Expression;
  readonly limit: Expression;
}

/** How a value is told in a text. */
export interface Telling {
  readonly digits?: number;
  readonly asWritten?: boolean;
  /** What is told in a unit that its own declaration does not choose, by its text. */
  readonly units?: ReadonlyMap<string, readonly string[]>;
  /** What is told behind a value in a sentence, such as the same in another unit. */
  readonly beside?: (value: Value, type: Type) => string;
  /** Set in a way out: what is compared there, and with what. All that it tells is what something is to be. */
  readonly wayOutOf?: WithLimit;
}

/** The place of an expression in the block that it is shown of, where its declaration alone does not tell its type: `holder.power`. */
function placed(node: Expression, frame: Frame, ctx: Context): Context {
  return infer(node, ctx).is === 'any' ? { ...ctx, instance: frame.self } : ctx;
}

function resultOf(node: Expression, ctx: Context): Type {
  const type = infer(node, ctx);
  return type.is === 'formula' ? type.result : type;
}

/** The value of an expression as people read it. */
export function showText(
  node: Expression,
  frame: Frame,
  around: Context,
  evaluate: EvaluateExpression,
  { digits, asWritten, units }: Telling = {},
): string {
  const ctx = placed(node, frame, around);
  const shown = units?.get(textOf(node)) ?? memberOf(node, ctx)?.shown;
  return showValue(evaluate(node, frame), resultOf(node, ctx), ctx.scope.system, { shown, digits, asWritten });
}

/** Further apart than this, what is compared and its limit have no unit in which both are easy to read. */
const farApart = 1000;

/** What is compared and its limit in one unit, that of the greater; undefined where they have none in common. */
export function oneUnit(
  { value, limit }: WithLimit,
  frame: Frame,
  ctx: Context,
  evaluate: EvaluateExpression,
): Telling['units'] {
  const [type, values] = [resultOf(value, ctx), [value, limit].map((node) => evaluate(node, frame))];
  const sizes = values.flatMap((each) => (typeof each === 'number' ? [Math.abs(each)] : []));
  const greater = Math.max(...sizes);
  if (type.is !== 'quantity' || type.points || sizes.length < 2 || Math.min(...sizes) * farApart < greater)
    return undefined;
  const shown = memberOf(value, ctx)?.shown ?? [];
  const either = shown.length > 0 ? shown : memberOf(limit, ctx)?.shown;
  const unit = unitFor(greater, type, ctx.scope.system, either);
  return unit && unit.text !== '1' ? new Map([value, limit].map((node) => [textOf(node), [unit.text]])) : undefined;
}

/**
 * A message with the values in it: as in print, `mm²`, but in backquotes as they are to be written, `mm^2`. What is compared and its limit
 * have one unit, and more digits where they would read alike (`10.4 A … 10.4 A`).
 */
export function renderText(
  text: Text,
  frame: Frame,
  ctx: Context,
  evaluate: EvaluateExpression,
  margin?: WithLimit,
  { beside, wayOutOf }: Pick<Telling, 'beside' | 'wayOutOf'> = {},
): string {
  const units = margin && oneUnit(margin, frame, ctx, evaluate);
  const digits = margin ? digitsApart(margin, frame, ctx, evaluate, units) : 3;
  let isQuoted = false;
  const parts = interpolations(text).map((part) => {
    if (typeof part !== 'string') {
      const isLimit = wayOutOf !== undefined || (margin && textOf(part) === textOf(margin.limit));
      const never = neverSo(part, isLimit ? (wayOutOf ?? margin) : undefined, frame, ctx, evaluate);
      return never ?? shownInText(part, frame, ctx, evaluate, { digits, asWritten: isQuoted, units, beside });
    }
    if (part.split('`').length % 2 === 0) isQuoted = !isQuoted;
    return part;
  });
  return parts.join('');
}

/**
 * Said in place of what cannot be: a point below the scale, such as a temperature below absolute zero, and a limit that nothing can keep to.
 * What stays below no possible length is nothing at all. Undefined where it can be, or where what is compared lies out there as well.
 */
function neverSo(
  node: Expression,
  compared: WithLimit | undefined,
  frame: Frame,
  ctx: Context,
  evaluate: EvaluateExpression,
): string | undefined {
  const beyond = beyondMeant(node, frame, ctx, evaluate);
  if (!beyond) return undefined;
  const { type, side } = beyond;
  const isBelowScale = type.points === true && side === 'below';
  const isLimit = compared && beyondMeant(compared.value, frame, ctx, evaluate)?.side !== side;
  return isBelowScale || isLimit
    ? `no possible ${describeType(type, ctx.scope.system).replace(/^an? /, '')}`
    : undefined;
}

/** On which side a number lies beyond all that can be meant, by its own declaration or else by its dimension's. */
function beyondMeant(node: Expression, frame: Frame, around: Context, evaluate: EvaluateExpression) {
  const value = evaluate(node, frame);
  const ctx = placed(node, frame, around);
  const type = resultOf(node, ctx);
  if (typeof value !== 'number' || type.is !== 'quantity' || type.bare || type.money) return undefined;
  const named = type.named ?? ctx.scope.system.named(type.dimension).find(({ points }) => points === type.points);
  const member = memberOf(node, ctx);
  const bounds = member ? boundsOf(member) : boundsStated([named?.node]);
  const [low, high] = [bounds?.left, bounds?.right].map((end) => (end ? evaluate(end, frame) : undefined));
  if (typeof low === 'number' && value < low) return { type, side: 'below' } as const;
  if (typeof high === 'number' && value > high) return { type, side: 'above' } as const;
  return undefined;
}

/** A value in a sentence: a list without its brackets, and where it is not known, what kind of value it is. */
function shownInText(
  node: Expression,
  frame: Frame,
  ctx: Context,
  evaluate: EvaluateExpression,
  telling: Telling,
): string {
  const value = evaluate(node, frame);
  if (Array.isArray(value) && !telling.asWritten) return showText(node, frame, ctx, evaluate, telling).slice(1, -1);
  const type = infer(node, placed(node, frame, ctx));
  if (!isMissing(value)) {
    const more = telling.asWritten ? '' : (telling.beside?.(value, type) ?? '');
    return showText(node, frame, ctx, evaluate, telling) + more;
  }
  const what = type.is === 'quantity' ? describeType(type, ctx.scope.system) : 'something';
  return `${what} that ${value instanceof Unknown ? 'is not given' : 'cannot be computed'}`;
}

/** The digits at which a value and its limit read apart. */
export function digitsApart(
  { value, limit }: WithLimit,
  frame: Frame,
  ctx: Context,
  evaluate: EvaluateExpression,
  units?: Telling['units'],
): number {
  const shown = (node: Expression, digits: number) => showText(node, frame, ctx, evaluate, { digits, units });
  for (let digits = 3; digits < 7; digits++) {
    if (shown(value, digits) !== shown(limit, digits)) return digits;
  }
  return 3;
}
