import type { Member as MemberNode, Name } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Kind } from '../names/kind.ts';
import { withArticle } from '../units/display.ts';
import type { Context } from './context.ts';
import { nearest, type Problem, replace, type Severity, sentence } from './problem.ts';

export type Report = (problem: Problem) => void;

/** Reports something wrong with the text of a node, under a code, with what would mend it. */
export function tell(
  report: Report,
  node: AstNode,
  code: string,
  message: string,
  severity: Severity = 'error',
  ...fixes: Problem['fixes'][number][]
): void {
  report({ code, severity, message: sentence(message), node, fixes });
}

export const words = (kind: Kind) => withArticle(kind.name.replaceAll('_', ' '));

/** The rule that an acceptance or a consequence names. */
export function checkRuleName(rule: Name, { scope, report }: Context): void {
  const names = scope.rules().map(({ node }) => node.name?.text ?? '');
  if (names.includes(rule.text)) return;
  const near = nearest(rule.text, names);
  tell(
    report,
    rule,
    'unknown_rule',
    `There is no rule called ${rule.text}.${near ? ` Did you mean ${near}?` : ''}`,
    'error',
    ...(near ? [replace(rule, near, `Write ${near}`)] : []),
  );
}

export function statementWord(node: MemberNode): string {
  return node.$type === 'Clause' ? node.keyword : node.$type.toLowerCase();
}
