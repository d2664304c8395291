import type { Access, Expression, Name, Remedy } from '../grammar/generated/ast.ts';
import { naming } from '../mistakes/naming.ts';
import { typing } from '../mistakes/typing.ts';
import type { Kind, Member } from '../names/kind.ts';
import { anyType, describeType, textType } from '../names/type.ts';
import { partKind } from './bind.ts';
import { type Context, report } from './context.ts';
import { expect, infer, typeIn } from './infer.ts';
import { kindInWords } from './tell.ts';
import { tellUnknownBase, tellUnknownKind } from './unknown.ts';

/** The kind of the blocks whose value a way out changes: of one block, or of each in a list; undefined where that is not known. */
function holderKind(node: Access, ctx: Context): Kind | undefined {
  const type = typeIn(node.object, ctx);
  const each = type.is === 'list' ? type.of : type;
  return each.is === 'instance' ? each.kind : undefined;
}

/** A value or a role of a kind, or else of one that starts from it. (To a block that has none of that name the way out is not offered.) */
function memberOf(name: string, kind: Kind | undefined, { scope }: Context): Member | undefined {
  const own = kind?.members.get(name);
  if (own || !kind) return own;
  return scope
    .kinds()
    .find((each) => each.isA(kind) && each.members.has(name))
    ?.members.get(name);
}

/** The value or the role for a block that a way out changes; undefined where it is the block itself, or not known. */
export function remedyMember(node: Expression | undefined, ctx: Context): Member | undefined {
  if (node?.$type === 'Reference') return ctx.kind?.members.get(node.name?.text ?? '');
  return node?.$type === 'Access' ? memberOf(node.member?.text ?? '', holderKind(node, ctx), ctx) : undefined;
}

/** Checks that what a way out changes exists, and that what it puts there is of the right type. */
export function checkRemedy(node: Remedy, ctx: Context): void {
  if (node.text) infer(node.text, ctx);
  if (node.target) checkTarget(node.target, ctx);
  const member = remedyMember(node.target, ctx);
  if (node.value) expect(node.value, ctx, member?.type ?? anyType);
  if (node.base && !ctx.scope.kindNamed(node.base.text) && !partKind(node.base.text, ctx.scope))
    tellUnknownBase(ctx.report, node.base, ctx.scope);
  for (const name of [node.added, node.after])
    if (name && !ctx.scope.kindNamed(name.text)) tellUnknownKind(ctx.report, name, name.text, ctx.scope);
  if (node.added && member && member.type.is !== 'list')
    report(ctx, node.target ?? node, typing.wrong_type.put(describeType(member.type, ctx.scope.system)));
  if (node.once) expect(node.once, ctx, textType);
}

function checkTarget(node: Expression, ctx: Context): void {
  if (node.$type === 'Access') {
    infer(node.object, ctx);
    const kind = holderKind(node, ctx);
    if (kind && node.member && node.member.text !== 'count' && !memberOf(node.member.text, kind, ctx))
      noSuchValue(node.member, kind, ctx);
  } else if (node.$type !== 'Reference') expect(node, ctx, { is: 'instance', kind: undefined });
  else if (ctx.kind && node.name.text !== 'self' && !ctx.kind.members.has(node.name.text))
    noSuchValue(node.name, ctx.kind, ctx);
}

function noSuchValue(name: Name, kind: Kind, ctx: Context): void {
  report(ctx, name, naming.unknown_value.in(kindInWords(kind), name.text));
}
