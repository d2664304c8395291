import type { Clause, Declaration, Member as MemberNode } from '../grammar/generated/ast.ts';
import { belongsIn, clauses } from '../grammar/words.ts';
import { placing } from '../mistakes/placing.ts';
import type { Scope } from '../names/scope.ts';
import { textType, truthType } from '../names/type.ts';
import type { Context } from './context.ts';
import { expect, infer } from './infer.ts';
import { checkRemedy } from './remedy.ts';
import { type Report, statementWord, tell } from './tell.ts';
import { checkRuleName, tellUnknownKind } from './unknown.ts';

export function checkRule(node: Declaration, scope: Scope, report: Report): void {
  const kind = node.on && scope.kindNamed(node.on.text);
  if (!node.on) return tell(report, node.name ?? node, placing.missing_kind());
  if (!kind) return tellUnknownKind(report, node.on, node.on.text, scope);
  const ctx: Context = { scope, mode: 'kind', kind, report };
  const members = node.body?.members ?? [];
  for (const member of members) checkRuleClause(member, ctx);
  if (!members.some((m) => m.$type === 'Clause' && m.keyword === 'holds'))
    tell(report, node.name ?? node, placing.missing_holds());
  if (!members.some((m) => m.$type === 'Message')) tell(report, node.name ?? node, placing.missing_message());
}

function checkRuleClause(node: MemberNode, ctx: Context): void {
  if (node.$type === 'Message') infer(node.text, ctx);
  else if (node.$type === 'Remedy') checkRemedy(node, ctx);
  else if (node.$type === 'Follows') {
    if (node.rule) checkRuleName(node.rule, ctx.scope, ctx.report);
    infer(node.of, ctx);
  } else if (node.$type === 'Clause') checkClause(node, ctx);
  else if (node.$type !== 'Source') tell(ctx.report, node, placing.not_here.rule(statementWord(node)));
}

function checkClause(node: Clause, ctx: Context): void {
  if (!belongsIn(node, 'rule')) return tell(ctx.report, node, placing.not_here.rule(node.keyword));
  const { contents } = clauses[node.keyword];
  for (const value of node.values) {
    if (contents === 'expressions') infer(value, ctx);
    else expect(value, ctx, contents === 'condition' ? truthType : textType);
  }
}
