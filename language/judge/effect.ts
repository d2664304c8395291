import { evaluate } from '../compute/evaluate.ts';
import { type Machine, targetsOf } from '../compute/machine.ts';
import { leastMargin, type Margin, marginOf, rankOf } from '../compute/margin.ts';
import { showExpression } from '../compute/message.ts';
import type { Expression } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import type { Value } from '../values/value.ts';
import { type Asked, askedBy, askedByRule, askedByTarget, type Finding } from './finding.ts';
import { notApplicable, rulesOn } from './rule.ts';

/**
 * What a change did to the numbers that a finding is about: `drop share 4.1 % → 1.6 %`. Where what is compared stayed as it was,
 * its limit. Undefined where nothing is compared, or the rule no longer applies.
 */
export function effectOn(finding: Finding, before: Machine, after: Machine): string | undefined {
  const asked = askedBy(finding, before.engine);
  const then = sameAskedIn(after, finding);
  if (!asked || !then) return undefined;
  const was = before.engine.under(finding.scenario, () => sidesOf(asked, before));
  const now = was && worstOf(then, was, after);
  if (!was || !now || now.amount < 0) return undefined;
  const changed = [0, 1].toSorted((a, b) => change(was, now, b) - change(was, now, a))[0] as 0 | 1;
  const name = nameOf(changed === 0 ? was.margin.value : was.margin.limit);
  return name && was.texts[changed] !== now.texts[changed]
    ? `${name} ${was.texts[changed]} → ${now.texts[changed]}`
    : undefined;
}

/**
 * By how much a finding's numbers are beyond their limit: as a share of the limit, or in kelvin. Undefined where nothing is compared
 * that is known.
 */
export function beyondLimit(finding: Finding, machine: Machine): Pick<Margin, 'amount' | 'inKelvin'> | undefined {
  const asked = askedBy(finding, machine.engine);
  const margin = asked && machine.engine.under(finding.scenario, () => sidesOf(asked, machine)?.margin);
  return margin && { amount: -margin.amount, inKelvin: margin.inKelvin };
}

/** The same rule or requirement of the same block, in a machine after a change. */
function sameAskedIn(machine: Machine, { declared, target, instance: { path } }: Finding): Asked | undefined {
  if (target) {
    const same = targetsOf(machine).find(({ text, instance }) => text === target.text && instance.path === path);
    return same && askedByTarget(same, machine.engine);
  }
  const same = machine.tree.all().find((each) => each.path === path);
  const rule = declared && same && rulesOn(same.kind, machine.scope).find(({ name }) => name === declared.name);
  return rule && askedByRule(rule, same, machine.engine);
}

/** Both sides of a comparison, and how far it is from failing. */
interface Sides {
  readonly margin: Margin;
  readonly amount: number;
  readonly texts: readonly string[];
  readonly values: readonly Value[];
}

/** By what share one of the sides has changed. */
function change(was: Sides, now: Sides, side: number): number {
  const [a, b] = [was.values[side], now.values[side]];
  return typeof a === 'number' && typeof b === 'number' ? Math.abs(a - b) / (Math.abs(a) + Math.abs(b) || 1) : 0;
}

/** The comparison that is nearest to failing, as it is now; or, where `same` is given, that one. */
function sidesOf({ holds, frame, ctx }: Asked, { engine }: Machine, same?: Sides): Sides | undefined {
  return engine.aside(() => {
    const margins = holds.map((part) => marginOf(part, frame, ctx, same && textOf(same.margin.value)));
    const margin = leastMargin(margins);
    if (!margin) return undefined;
    const sides = [margin.value, margin.limit];
    return {
      margin,
      amount: margin.amount,
      texts: sides.map((node) => showExpression(node, frame, ctx)),
      values: sides.map((node) => evaluate(node, frame)),
    };
  });
}

/** The same comparison where it comes nearest to failing. */
function worstOf(asked: Asked, same: Sides, machine: Machine): Sides | undefined {
  const { engine } = machine;
  const { tried, values } = engine.corners(asked.cell);
  const all = tried.flatMap((scenario, i) => {
    if (values[i] === notApplicable) return [];
    return engine.under(scenario, () => sidesOf(asked, machine, same)) ?? [];
  });
  return all.toSorted((a, b) => rankOf(a.margin) - rankOf(b.margin))[0];
}

/** The name of what is compared, in words; undefined where it is more than a name. */
function nameOf(node: Expression): string | undefined {
  if (node.$type === 'Call') return node.callee.$type === 'Access' ? nameOf(node.callee) : undefined;
  const name = node.$type === 'Access' ? node.member?.text : node.$type === 'Reference' ? node.name.text : undefined;
  return name?.replaceAll('_', ' ');
}
