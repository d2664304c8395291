import type { Ends } from '../compute/cell.ts';
import type { FailedPart } from '../compute/failed-parts.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import type { Severity } from '../mistakes/mistake.ts';
import type { Rule } from './rule.ts';

/** Something that does not hold, with its numbers and its places. */
export interface Finding {
  /** The name of a rule, or of an `OwnFinding`. */
  readonly rule: string;
  readonly severity: Severity;
  readonly message: string;
  /** People can be hurt: what to mind. Such a finding is never lowered. */
  readonly caution?: string;
  readonly instance: Instance;
  /** What to mark, the first of the places first. */
  readonly places: readonly AstNode[];
  /** Ways out, in words. */
  readonly waysOut: readonly string[];
  /** Of what is declared by no rule: the parts of its condition that fail. */
  readonly failed?: readonly FailedPart[];
  /** Where the rule is declared. */
  readonly declared?: Rule;
  /** Where the ranges are taken under which it is at its worst. */
  readonly scenario: Ends;
  /** The same in words, "at ambient 15 °C"; undefined where it rests on no range. */
  readonly worst: string | undefined;
  /** Said where that was searched for, and how far. */
  readonly searched?: string;
  readonly accepted?: Accepted;
  /** What follows from it, and is not listed by itself. */
  readonly consequences: Finding[];
}

export interface Accepted {
  readonly reason: string;
  readonly node: AstNode;
  /** Said where the value has grown worse than the one accepted, so that the acceptance no longer counts. */
  readonly lapsed?: string;
  /** True where no value was stated, so that it could never lapse. */
  readonly valueless: boolean;
}

/** Accepted, with nobody's safety at stake, and not lapsed. */
export function isLaidAside(finding: Finding): boolean {
  return finding.accepted !== undefined && !finding.accepted.lapsed && !finding.caution;
}
