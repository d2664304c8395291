import type { Expression } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Wording } from '../mistakes/mistake.ts';
import { anyType, type Type } from '../names/type.ts';
import type { Viewpoint } from './bind.ts';
import { type Report, type TextFix, tell } from './tell.ts';

/** What an expression's names can mean, and where its mistakes go. */
export interface Context extends Viewpoint {
  /** Names that a condition says are of some kind, in what depends on it. */
  readonly narrowed?: ReadonlyMap<string, Type>;
  readonly report: Report;
}

/** Reports a mistake. Returns the type that fits everywhere, so that nothing more is reported of the expression with the mistake. */
export function report(ctx: Context, node: AstNode, wording: Wording, ...fixes: TextFix[]): Type {
  tell(ctx.report, node, wording, ...fixes);
  return anyType;
}

/** The same place, with nobody to hear of mistakes. */
export function silently(ctx: Context): Context {
  return { ...ctx, report: () => {} };
}

/** What a condition such as `e is fuse and …` says of names, in what depends on it. */
export function narrowed(condition: Expression | undefined, ctx: Context): Context {
  if (condition?.$type === 'Group') return narrowed(condition.inner, ctx);
  if (condition?.$type !== 'Binary') return ctx;
  if (condition.operator === 'and') return narrowed(condition.right, narrowed(condition.left, ctx));
  if (condition.operator !== 'is' || condition.left?.$type !== 'Reference' || condition.right?.$type !== 'Reference')
    return ctx;
  const kind = ctx.scope.kindNamed(condition.right.name.text);
  return { ...ctx, narrowed: new Map(ctx.narrowed).set(condition.left.name.text, { is: 'instance', kind }) };
}
