import { evaluate } from '../compute/evaluate.ts';
import type { Machine } from '../compute/machine.ts';
import { leastMargin, type Margin, marginOf, rankOf } from '../compute/margin.ts';
import { showExpression } from '../compute/message.ts';
import type { Expression } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import type { Value } from '../values/value.ts';
import type { Finding } from './finding.ts';
import { contextOf, frameOf, notApplicable, type Rule, rulesOn, verdictCell } from './rule.ts';

/**
 * What a change did to the numbers that a finding is about: `drop share 4.1 % → 1.6 %`. Where what is compared stayed as it was,
 * its limit. Undefined where the rule compares nothing, or no longer applies.
 */
export function effectOn(finding: Finding, before: Machine, after: Machine): string | undefined {
  const { declared, instance, scenario } = finding;
  const same = after.tree.all().find((each) => each.path === instance.path);
  const rule = declared && same && rulesOn(same.kind, after.scope).find(({ name }) => name === declared.name);
  if (!rule) return undefined;
  const was = before.engine.under(scenario, () => sidesOf(declared, instance, before));
  const now = was && worstOf(rule, same, was, after);
  if (!was || !now || now.amount < 0) return undefined;
  const changed = [0, 1].toSorted((a, b) => change(was, now, b) - change(was, now, a))[0] as 0 | 1;
  const name = nameOf(changed === 0 ? was.margin.value : was.margin.limit);
  return name && was.texts[changed] !== now.texts[changed]
    ? `${name} ${was.texts[changed]} → ${now.texts[changed]}`
    : undefined;
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
function sidesOf(rule: Rule, instance: Instance, { engine }: Machine, same?: Sides): Sides | undefined {
  const [frame, ctx] = [frameOf(rule, instance, engine), contextOf(rule)];
  return engine.aside(() => {
    const margins = rule.holds.map((part) => marginOf(part, frame, ctx, same && textOf(same.margin.value)));
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
function worstOf(rule: Rule, instance: Instance, same: Sides, machine: Machine): Sides | undefined {
  const { engine } = machine;
  const { tried, values } = engine.corners(verdictCell(rule, instance));
  const all = tried.flatMap((scenario, i) => {
    if (values[i] === notApplicable) return [];
    return engine.under(scenario, () => sidesOf(rule, instance, machine, same)) ?? [];
  });
  return all.toSorted((a, b) => rankOf(a.margin) - rankOf(b.margin))[0];
}

/** The name of what is compared, in words; undefined where it is more than a name. */
function nameOf(node: Expression): string | undefined {
  const name = node.$type === 'Access' ? node.member?.text : node.$type === 'Reference' ? node.name.text : undefined;
  return name?.replaceAll('_', ' ');
}
