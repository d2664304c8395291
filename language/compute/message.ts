import type { Expression, Text } from '../grammar/generated/ast.ts';
import { interpolations } from '../grammar/texts.ts';
import type { Context } from '../types/context.ts';
import { isMissing } from '../values/value.ts';
import { evaluate } from './evaluate.ts';
import type { Frame } from './frame.ts';
import { oneUnit, renderText, showText, type Telling, type WithLimit } from './render.ts';

/** The value of an expression as people read it, unless something else is told of how. */
export function showExpression(node: Expression, frame: Frame, ctx: Context, telling?: Telling): string {
  return showText(node, frame, ctx, evaluate, telling);
}

/** The unit in which what is compared and its limit are told; undefined where each has its own. */
export function unitsTogether(both: WithLimit, frame: Frame, ctx: Context): Telling['units'] {
  return oneUnit(both, frame, ctx, evaluate);
}

/** A message with the values in it; what is compared and its limit are told apart. */
export function renderMessage(
  text: Text,
  frame: Frame,
  ctx: Context,
  margin?: WithLimit,
  beside?: Telling['beside'],
): string {
  return renderText(text, frame, ctx, evaluate, margin, { beside });
}

/** A way out with the values in it: of what nothing can be it is said that no value would do. */
export function renderWayOut(text: Text, frame: Frame, ctx: Context, of?: WithLimit): string {
  return renderText(text, frame, ctx, evaluate, undefined, { wayOutOf: of });
}

/** Is every value known that a text shows? */
export function isKnown(text: Text, frame: Frame): boolean {
  return interpolations(text).every((part) => typeof part === 'string' || !isMissing(evaluate(part, frame)));
}
