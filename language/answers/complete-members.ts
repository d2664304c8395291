import type { Access, Expression } from '../grammar/generated/ast.ts';
import type { Member } from '../names/kind.ts';
import type { Type } from '../names/type.ts';
import { blockAt } from '../types/bind.ts';
import type { Context } from '../types/context.ts';
import { infer } from '../types/infer.ts';
import type { Situation } from '../types/situation.ts';
import { blockProposal } from './complete-blocks.ts';
import { closeness, distance } from './complete-closeness.ts';
import type { CursorPlace } from './complete-cursor.ts';
import { isCurrentMember } from './deprecated.ts';
import { memberDoc, typeWithUnits } from './docs.ts';
import type { Proposal } from './proposal.ts';

/** A value or a block of a kind; blocks and references lead on to what fits. */
export function memberProposal(
  member: Member,
  expected: Type | undefined,
  ctx: Context,
  rank: number,
  leads: boolean,
): Proposal[] {
  if ((member.role === 'child' && !leads) || !isCurrentMember(member)) return [];
  const fits = closeness(member.type, expected);
  if (fits === undefined && member.type.is !== 'instance') return [];
  const takes = member.parameters.map((p) => p.name).join(', ');
  const blanks = member.parameters.map((p, i) => `${p.name}: $${i + 1}`).join(', ');
  return [
    {
      label: member.name,
      ...(blanks && { blanks: `${member.name}(${blanks})$0` }),
      sort: member.role === 'child' ? 'block' : 'value',
      rank: rank + (fits ?? 4) + distance(member, ctx.kind),
      detail: (takes ? `(${takes}) ` : '') + typeWithUnits(member.type, ctx.scope, member.shown),
      documentation: memberDoc(member),
    },
  ];
}

/** Values and blocks of what stands before the dot. */
export function membersAfterDot({ path, situations }: CursorPlace): Proposal[] {
  const access = path.at(-2) as Access;
  const { ctx, expected } = situations.at(-2) as Situation;
  const type = infer(access.object, ctx);
  if (type.is === 'sides') return sides(type.count);
  const holder = blockAt(access.object as Expression, ctx);
  const kind = holder?.kind ?? (type.is === 'instance' ? type.kind : undefined);
  const blocksHere = [...(holder?.children.values() ?? [])];
  const names = new Set(blocksHere.map((b) => b.name));
  // What is required is mostly that a number is no more, or no less: whether something is so is seldom asked for.
  const isRequired = path[0]?.$type === 'Requirement' && path.at(-3) === path[0];
  const wanted = isRequired ? undefined : expected?.is === 'list' ? expected.of : expected;
  const members = [...(kind?.members.values() ?? [])].filter(
    (m) => !names.has(m.name) && (m.role !== 'child' || !holder),
  );
  return [
    ...members.flatMap((m) =>
      memberProposal(m, undefined, ctx, 0, true).map((proposal) => ({
        ...proposal,
        rank:
          (closeness(m.type, wanted) ?? 4) +
          (m.role === 'child' ? 1 : wanted?.is === 'instance' ? 0.5 : 0) +
          distance(m, kind),
      })),
    ),
    ...blocksHere.map((b) => blockProposal(b, b.name, closeness({ is: 'instance', kind: b.kind }, wanted) ?? 3)),
  ];
}

function sides(count: number): Proposal[] {
  const names = ['width', 'depth', 'height'].slice(0, count);
  return names.map((label, rank) => ({ label, sort: 'value', rank }));
}
