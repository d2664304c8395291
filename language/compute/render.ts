import type { Expression, Text } from '../grammar/generated/ast.ts';
import { interpolations } from '../grammar/texts.ts';
import { describeType } from '../names/type.ts';
import type { Context } from '../types/context.ts';
import { infer } from '../types/infer.ts';
import { memberOf } from '../types/situation.ts';
import { showValue } from '../values/show.ts';
import { isMissing, Unknown } from '../values/value.ts';
import type { EvaluateExpression, Frame } from './frame.ts';

/** A value and its limit, which a text is to tell apart. */
export interface WithLimit {
  readonly value: Expression;
  readonly limit: Expression;
}

/** Units to show an expression's value in, where the value it names has such units. */
function shownOf(node: Expression, ctx: Context): readonly string[] | undefined {
  return memberOf(node, ctx)?.shown;
}

/** The value of an expression as people read it. */
export function showText(
  node: Expression,
  frame: Frame,
  ctx: Context,
  evaluate: EvaluateExpression,
  digits = 3,
  as?: 'print' | 'written',
): string {
  const type = infer(node, ctx);
  const result = type.is === 'formula' ? type.result : type;
  return showValue(evaluate(node, frame), result, ctx.scope.system, { shown: shownOf(node, ctx), digits, as });
}

/**
 * A message with the values in it: as in print, `mm²`, but in backquotes as they are to be written, `mm^2`. Where what is compared and its limit would read alike (`10.4 A … 10.4 A`), both are
 * shown with more digits.
 */
export function renderText(
  text: Text,
  frame: Frame,
  ctx: Context,
  evaluate: EvaluateExpression,
  margin?: WithLimit,
): string {
  const digits = margin ? digitsApart(margin, frame, ctx, evaluate) : 3;
  let isQuoted = false;
  const parts = interpolations(text).map((part) => {
    if (typeof part !== 'string')
      return shownInText(part, frame, ctx, evaluate, digits, isQuoted ? 'written' : 'print');
    if (part.split('`').length % 2 === 0) isQuoted = !isQuoted;
    return part;
  });
  return parts.join('');
}

/** A value in a sentence: where it is not known, what kind of value it is. */
function shownInText(
  node: Expression,
  frame: Frame,
  ctx: Context,
  evaluate: EvaluateExpression,
  digits: number,
  as: 'print' | 'written',
): string {
  const value = evaluate(node, frame);
  if (!isMissing(value)) return showText(node, frame, ctx, evaluate, digits, as);
  const type = infer(node, ctx);
  const what = type.is === 'quantity' ? describeType(type, ctx.scope.system) : 'something';
  return `${what} that ${value instanceof Unknown ? 'is not given' : 'cannot be computed'}`;
}

/** The digits at which a value and its limit read apart. */
export function digitsApart(
  { value, limit }: WithLimit,
  frame: Frame,
  ctx: Context,
  evaluate: EvaluateExpression,
): number {
  const shown = (node: Expression, digits: number) => showText(node, frame, ctx, evaluate, digits);
  for (let digits = 3; digits < 7; digits++) {
    if (shown(value, digits) !== shown(limit, digits)) return digits;
  }
  return 3;
}
