import type { Expression, Text } from '../grammar/generated/ast.ts';
import { interpolations } from '../grammar/parser.ts';
import type { Margin } from '../judge/rule.ts';
import { describeType } from '../names/type.ts';
import type { Context } from '../types/context.ts';
import { infer } from '../types/infer.ts';
import { memberOf } from '../types/seen.ts';
import { showValue } from '../values/show.ts';
import { isMissing, Unknown } from '../values/value.ts';
import { evaluate, type Frame } from './evaluate.ts';

/** Units to show an expression's value in, where the value it names has such units. */
function shownOf(node: Expression, ctx: Context): readonly string[] | undefined {
  return memberOf(node, ctx)?.shown;
}

/** The value of an expression as people read it. */
export function showExpression(node: Expression, frame: Frame, ctx: Context, digits = 3): string {
  const type = infer(node, ctx);
  const result = type.is === 'formula' ? type.result : type;
  return showValue(evaluate(node, frame), result, ctx.scope.system, { shown: shownOf(node, ctx), digits });
}

/**
 * A message with the values in it. Where what is compared and its limit would read alike (`10.4 A … 10.4 A`), both are
 * shown with more digits.
 */
export function renderMessage(text: Text, frame: Frame, ctx: Context, margin?: Margin): string {
  const digits = margin ? digitsApart(margin, frame, ctx) : 3;
  return interpolations(text)
    .map((part) => (typeof part === 'string' ? part : shownInText(part, frame, ctx, digits)))
    .join('');
}

/** A value in a sentence: where it is not known, what kind of value it is. */
function shownInText(node: Expression, frame: Frame, ctx: Context, digits: number): string {
  const value = evaluate(node, frame);
  if (!isMissing(value)) return showExpression(node, frame, ctx, digits);
  const type = infer(node, ctx);
  const what = type.is === 'quantity' ? describeType(type, ctx.scope.system) : 'something';
  return `${what} that ${value instanceof Unknown ? 'is not given' : 'cannot be computed'}`;
}

/** Is every value known that a text shows? */
export function isKnown(text: Text, frame: Frame): boolean {
  return interpolations(text).every((part) => typeof part === 'string' || !isMissing(evaluate(part, frame)));
}

function digitsApart(margin: Margin, frame: Frame, ctx: Context): number {
  for (let digits = 3; digits < 7; digits++) {
    if (showExpression(margin.value, frame, ctx, digits) !== showExpression(margin.limit, frame, ctx, digits))
      return digits;
  }
  return 3;
}

/** A margin as people read it: `12 % to spare`, `5 K short`. */
export function showMargin(margin: Margin): string {
  const size = Math.abs(margin.amount);
  const amount = margin.inKelvin ? `${Number(size.toPrecision(2))} K` : `${Number((size * 100).toPrecision(2))} %`;
  return margin.amount < 0 ? `${amount} short` : `${amount} to spare`;
}
