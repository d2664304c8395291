import type { Argument } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import { describeType, type Type } from '../names/type.ts';
import { type Context, kindHint, report } from './context.ts';
import type { Inference } from './inference.ts';

/** What a question goes through. */
export function domainType(
  domain: NonNullable<Argument['comprehension']>['domain'] | undefined,
  ctx: Context,
  types: Inference,
): Type {
  if (domain?.$type === 'Every') {
    const name = domain.kind?.text ?? '';
    const kind = ctx.scope.kindNamed(name);
    if (domain.within) types.infer(domain.within, ctx);
    if (!kind && domain.kind)
      report(ctx, domain.kind, 'unknown_kind', `There is no kind called ${name}.${kindHint(name, ctx.scope)}`);
    return { is: 'instance', kind };
  }
  const type = types.infer(domain, ctx);
  if (type.is === 'list') return type.of;
  if (type.is === 'instance' || type.is === 'any' || !domain) return type;
  return report(
    ctx,
    domain,
    'wrong_type',
    `A question goes through every block of a kind, or through a list; ${textOf(domain)} is ${describeType(type, ctx.scope.system)}.`,
  );
}
