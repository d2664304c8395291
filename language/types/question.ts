import type { Argument } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import { typing } from '../mistakes/typing.ts';
import { describeType, type Type } from '../names/type.ts';
import { type Context, report } from './context.ts';
import type { Inference } from './inference.ts';
import { tellUnknownKind } from './unknown.ts';

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
    if (!kind && domain.kind) tellUnknownKind(ctx.report, domain.kind, name, ctx.scope);
    return { is: 'instance', kind };
  }
  const type = types.infer(domain, ctx);
  if (type.is === 'list') return type.of;
  if (type.is === 'instance' || type.is === 'any' || !domain) return type;
  const actual = describeType(type, ctx.scope.system);
  return report(ctx, domain, typing.wrong_type.question(textOf(domain), actual));
}
