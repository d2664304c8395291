// How grave a project has the findings of some rules. What people's safety rests on is never touched by it, nor is what is computed or proposed.
import type { Severity } from '../mistakes/mistake.ts';
import { withArticle } from '../units/display.ts';
import type { Finding, Weighed } from './finding.ts';
import type { Rule } from './rule.ts';

/** How grave the findings of one rule are in a project. */
export interface Weight {
  readonly severity: Rule['severity'];
  readonly because: string;
}

/** By the names of rules. */
export type Weights = ReadonlyMap<string, Weight>;

const graveness: readonly Severity[] = ['note', 'advice', 'warning', 'error'];

/** Is a rule about people's safety? Nothing lowers or raises what it finds. */
function isAboutSafety({ caution }: Rule): boolean {
  return caution !== undefined;
}

/** Findings as grave as their project has them. One that something about people's safety follows from is not lowered. */
export function weighed(findings: readonly Finding[], weights: Weights | undefined): Finding[] {
  return findings.map((finding) => (weights && weights.size > 0 ? weigh(finding, weights) : finding));
}

function weigh(finding: Finding, weights: Weights): Finding {
  const consequences = weighed(finding.consequences, weights);
  const { declared, severity: byRule } = finding;
  const weight = declared && !isAboutSafety(declared) ? weights.get(declared.name) : undefined;
  if (!weight || weight.severity === byRule) return { ...finding, consequences };
  const isLower = graveness.indexOf(weight.severity) < graveness.indexOf(byRule);
  const stays = isLower && consequences.some(endangers);
  return { ...finding, consequences, severity: stays ? byRule : weight.severity, weighed: { ...weight, byRule } };
}

function endangers({ caution, consequences }: Finding): boolean {
  return caution !== undefined || consequences.some(endangers);
}

/** What is said of a finding that its project has otherwise than its rule; undefined of all others. */
export function weighedWords({ severity, weighed }: WithWeight): string | undefined {
  if (!weighed) return undefined;
  const { byRule, because } = weighed;
  const [now, before] = [weighed.severity, byRule].map((word) => (word === 'advice' ? word : withArticle(word)));
  if (severity !== weighed.severity)
    return `The project has it count as ${now}. It stays ${before}: what follows from it is about people’s safety`;
  return `In this project it counts as ${now}, by its rule as ${before}: ${because}`;
}

type WithWeight = { readonly severity: Severity; readonly weighed?: Weighed | undefined };
