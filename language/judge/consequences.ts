import type { Engine } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import { type AstNode, rangeOf } from '../grammar/syntax.ts';
import { type Finding, isLaidAside } from './finding.ts';
import { frameOf, type Rule } from './rule.ts';

/** Puts each finding that follows from another under it, and orders the rest by their place in the text. */
export function underTheirRoots(findings: readonly Finding[], engine: Engine): Finding[] {
  const roots: Finding[] = [];
  const all = findings.flatMap((finding) => [finding, ...finding.consequences]);
  for (const finding of findings) {
    const cause = finding.declared ? causeOf(finding, all, engine) : causeBehind(finding, all, engine);
    if (cause && cause !== finding) cause.consequences.push(finding);
    else roots.push(finding);
  }
  return roots.sort((a, b) => rangeOf(a.places[0] as AstNode).start - rangeOf(b.places[0] as AstNode).start);
}

function causeOf(finding: Finding, findings: readonly Finding[], engine: Engine): Finding | undefined {
  const { declared, instance, scenario } = finding;
  for (const follows of declared?.follows ?? []) {
    const of = engine.under(scenario, () =>
      engine.aside(() => evaluate(follows.of, frameOf(declared as Rule, instance, engine))),
    );
    const at = Array.isArray(of) ? of : [of];
    const cause = findings.find((f) => f.rule === follows.rule.text && at.includes(f.instance));
    // What follows from something accepted was not accepted with it.
    if (cause && !isLaidAside(cause)) return cause;
  }
  return undefined;
}

/** Where all that stands under something which no rule says follows from something else, so does that itself. */
function causeBehind({ consequences }: Finding, findings: readonly Finding[], engine: Engine): Finding | undefined {
  const causes = consequences.map((each) => causeOf(each, findings, engine));
  return causes.some((cause) => !cause || consequences.includes(cause)) ? undefined : causes[0];
}
