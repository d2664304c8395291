import type { AstNode } from '../grammar/syntax.ts';
import { naming } from '../mistakes/naming.ts';
import { nearest } from '../mistakes/sentence.ts';
import { declaredName, type Scope } from '../names/scope.ts';
import { type Report, replaceWithNearest, tell } from './tell.ts';

type Named = AstNode & { readonly text: string };

/** Reports that there is no kind of that name, and proposes the nearest one other than `but`, in whose text the name stands. */
export function tellUnknownKind(report: Report, node: AstNode, name: string, scope: Scope, but?: string): void {
  const kinds = scope.kinds().map((kind) => kind.name);
  const near = nearest(
    name,
    kinds.filter((kind) => kind !== but),
  );
  tell(report, node, naming.unknown_kind.named(name, near), ...replaceWithNearest(node, near));
}

/** Reports that there is no part of that name. */
export function tellUnknownPart(report: Report, node: Named, scope: Scope): void {
  const near = nearest(node.text, partNames(scope));
  tell(report, node, naming.unknown_part.part(node.text, near), ...replaceWithNearest(node, near));
}

/** Reports that what a part starts from does not exist. */
export function tellUnknownBase(report: Report, node: Named, scope: Scope): void {
  const near = nearest(node.text, [...scope.kinds().map((kind) => kind.name), ...partNames(scope)]);
  tell(report, node, naming.unknown_part.kindOrPart(node.text, near), ...replaceWithNearest(node, near));
}

function partNames(scope: Scope): string[] {
  return scope.parts().map(({ node }) => declaredName(node) ?? '');
}

/** The rule that an acceptance or a consequence names. */
export function checkRuleName(rule: Named, scope: Scope, report: Report): void {
  const names = scope.rules().map(({ node }) => node.name?.text ?? '');
  if (names.includes(rule.text)) return;
  const near = nearest(rule.text, names);
  tell(report, rule, naming.unknown_rule(rule.text, near), ...replaceWithNearest(rule, near));
}
