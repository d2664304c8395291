import type { Clause, Declaration, Member as MemberNode } from '../grammar/generated/ast.ts';
import { belongsIn, clauses } from '../grammar/words.ts';
import type { Scope } from '../names/scope.ts';
import { textType, truthType } from '../names/type.ts';
import { type Context, kindHint } from './context.ts';
import { expect, infer } from './infer.ts';
import { checkRemedy } from './remedy.ts';
import { checkRuleName, type Report, statementWord, tell } from './tell.ts';

export function checkRule(node: Declaration, scope: Scope, report: Report): void {
  const kind = node.on && scope.kindNamed(node.on.text);
  if (!node.on)
    return tell(report, node.name ?? node, 'missing_kind', 'A rule says what it is about: rule NAME on KIND { … }.');
  if (!kind)
    return tell(
      report,
      node.on,
      'unknown_kind',
      `There is no kind called ${node.on.text}.${kindHint(node.on.text, scope)}`,
    );
  const ctx: Context = { scope, mode: 'kind', kind, report };
  const members = node.body?.members ?? [];
  for (const member of members) checkRuleClause(member, ctx);
  if (!members.some((m) => m.$type === 'Clause' && m.keyword === 'holds'))
    tell(report, node.name ?? node, 'missing_holds', 'A rule says what must be so: holds current <= capacity.');
  if (!members.some((m) => m.$type === 'Message'))
    tell(report, node.name ?? node, 'missing_message', 'A rule has a message: error, warning or advice, and a text.');
}

function checkRuleClause(node: MemberNode, ctx: Context): void {
  if (node.$type === 'Message') infer(node.text, ctx);
  else if (node.$type === 'Remedy') checkRemedy(node, ctx);
  else if (node.$type === 'Follows') {
    if (node.rule) checkRuleName(node.rule, ctx);
    infer(node.of, ctx);
  } else if (node.$type === 'Clause') checkClause(node, ctx);
  else if (node.$type !== 'Source')
    tell(ctx.report, node, 'not_here', `${statementWord(node)} does not belong in a rule.`);
}

function checkClause(node: Clause, ctx: Context): void {
  if (!belongsIn(node, 'rule')) return tell(ctx.report, node, 'not_here', `${node.keyword} does not belong in a rule.`);
  const { contents } = clauses[node.keyword];
  for (const value of node.values) {
    if (contents === 'expressions') infer(value, ctx);
    else expect(value, ctx, contents === 'condition' ? truthType : textType);
  }
}
