import type { Expression } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Scope } from '../names/scope.ts';
import { anyType, type Type } from '../names/type.ts';
import type { Place } from './bind.ts';
import { nearest, type Problem, sentence, type TextFix } from './problem.ts';

/** What an expression's names can mean, and where its problems go. */
export interface Context extends Place {
  /** Names that a condition says are of some kind, in what depends on it. */
  readonly narrowed?: ReadonlyMap<string, Type>;
  report(problem: Problem): void;
}

/** Reports a mistake; what it spoils is of any type. */
export function report(ctx: Context, node: AstNode, code: string, message: string, ...fixes: TextFix[]): Type {
  ctx.report({ code, severity: 'error', message: sentence(message), node, fixes });
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

/** ` Did you mean wire?`, for a kind that there is not. */
export function kindHint(name: string, scope: Scope): string {
  const near = nearest(
    name,
    scope.kinds().map((kind) => kind.name),
  );
  return near ? ` Did you mean ${near}?` : '';
}
