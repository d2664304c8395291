import type { Expression } from '../grammar/generated/ast.ts';
import { typing } from '../mistakes/typing.ts';
import { describeType, type Type } from '../names/type.ts';
import { type Context, report, silently } from './context.ts';
import { common, misfit } from './fit.ts';

/** Finds the type of an expression; each mistake is reported once. */
type Infer = (node: Expression | undefined, ctx: Context, expected?: Type) => Type;

/** What is asked of the types of the expressions in an expression. It is handed on, so that no construct's file leads back to `infer.ts`. */
export class Inference {
  readonly infer: Infer;
  constructor(infer: Infer) {
    this.infer = infer;
  }

  /** Infers, and reports where the result does not fit what is expected. */
  expect(node: Expression | undefined, ctx: Context, expected: Type): Type {
    if (!node) return expected;
    const actual = this.infer(node, ctx, expected);
    const wrong = misfit(actual, expected, node, ctx.scope);
    return wrong ? report(ctx, node, wrong.wording, ...wrong.fixes) : actual;
  }

  /** The type without a word of what is wrong: that was told where it stands. */
  typeIn(node: Expression | undefined, ctx: Context, expected?: Type): Type {
    return this.infer(node, silently(ctx), expected);
  }

  /** The type that an expression has in common with what stands before it; reported where they have none. */
  joined(what: string, first: Type, other: Expression | undefined, ctx: Context, expected: Type | undefined): Type {
    const second = this.infer(other, ctx, expected ?? (first.is === 'quantity' ? undefined : first));
    const type = common(first, second);
    if (type || !other) return type ?? first;
    const plain = first.is === 'quantity' ? { ...first, named: undefined } : first;
    const wrong = second.is === 'quantity' ? misfit(second, plain, other, ctx.scope) : undefined;
    if (wrong && first.is === 'quantity') return report(ctx, other, wrong.wording, ...wrong.fixes);
    const { system } = ctx.scope;
    return report(ctx, other, typing.unlike(what, describeType(second, system), describeType(first, system)));
  }
}
