import type { Cell, Ends, Engine } from '../compute/cell.ts';
import type { FailedPart } from '../compute/failed-parts.ts';
import type { Frame } from '../compute/frame.ts';
import { blockContext, blockFrame, type Target } from '../compute/machine.ts';
import type { Expression } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import type { Severity } from '../mistakes/mistake.ts';
import type { Context } from '../types/context.ts';
import { contextOf, frameOf, type Rule, verdictCell } from './rule.ts';

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
  /** What could be written in place of an open choice that nothing fits of what is listed for it. */
  readonly instead?: { readonly node: AstNode; readonly text: string };
  /** Of what is declared by no rule: the parts of its condition that fail. */
  readonly failed?: readonly FailedPart[];
  /** Where the rule is declared. */
  readonly declared?: Rule;
  /** The requirement that is not met, where it is one. */
  readonly target?: Target;
  /** Where the ranges are taken under which it is at its worst. */
  readonly scenario: Ends;
  /** The same in words, "at ambient 15 °C"; undefined where it rests on no range. */
  readonly worst: string | undefined;
  /** Said where that was searched for, and how far. */
  readonly searched?: string;
  readonly accepted?: Accepted;
  /** Where its project has it count otherwise than its rule does. */
  readonly weighed?: Weighed;
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

/** What a project says of a finding, beside what its rule says. */
export interface Weighed {
  readonly severity: Severity;
  readonly byRule: Severity;
  readonly because: string;
}

/** Accepted, with nobody's safety at stake, and not lapsed. */
export function isLaidAside(finding: Finding): boolean {
  return finding.accepted !== undefined && !finding.accepted.lapsed && !finding.caution;
}

/** What is to hold, as a rule or a requirement says it of a block, and what that is computed in. */
export interface Asked {
  readonly holds: readonly Expression[];
  readonly frame: Frame;
  readonly ctx: Context;
  readonly cell: Cell;
}

export function askedByRule(rule: Rule, instance: Instance, engine: Engine): Asked {
  return {
    holds: rule.holds,
    frame: frameOf(rule, instance, engine),
    ctx: contextOf(rule),
    cell: verdictCell(rule, instance),
  };
}

export function askedByTarget({ node, instance, layer, cell }: Target, engine: Engine): Asked {
  return {
    holds: [node.condition],
    frame: blockFrame(instance, layer, engine),
    ctx: blockContext(instance, layer),
    cell,
  };
}

/** What does not hold where something was found; undefined where neither a rule nor a requirement found it. */
export function askedBy({ declared, target, instance }: Finding, engine: Engine): Asked | undefined {
  if (declared) return askedByRule(declared, instance, engine);
  return target && askedByTarget(target, engine);
}

/** What is found, in a word: of the requirements of a block each by its text. */
export function wordOf({ rule, target }: Pick<Finding, 'rule' | 'target'>): string {
  return target?.text ?? rule;
}
