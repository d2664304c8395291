import { type Cell, cellOf, type Ends } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Frame } from '../compute/frame.ts';
import type { Machine } from '../compute/machine.ts';
import { leastMargin, type Margin, marginOf, rankOf } from '../compute/margin.ts';
import { markForBlock } from '../compute/marks.ts';
import { showExpression, unitsTogether } from '../compute/message.ts';
import { alongsideOf, whereOf } from '../compute/show-cell.ts';
import type { Expression } from '../grammar/generated/ast.ts';
import { type AstNode, textOf } from '../grammar/syntax.ts';
import { Instance } from '../machine/tree.ts';
import { infer } from '../types/infer.ts';
import { literal } from '../types/literal.ts';
import { contextOf, frameOf, type Rule, rulesOn, verdictCell } from './rule.ts';

/** How far a rule that holds is from failing, where it is the nearest to it. */
export interface Weak {
  readonly rule: Rule;
  readonly instance: Instance;
  readonly margin: Margin;
  /** What is compared, as it is written and what it comes to, with the units that are told besides, and the same of its limit. */
  readonly value: { readonly text: string; readonly shown: string };
  readonly limit: { readonly text: string; readonly shown: string };
  /** Where the ranges are taken there: "at ambient 15 °C"; undefined where it rests on none. */
  readonly worst: string | undefined;
  readonly place: AstNode;
}

/**
 * Of margins the rules that hold with the least to spare, the nearest to failing first; of one rule on several blocks the weakest, and of what
 * compares the same two numbers only one. Counts, which are met exactly as often as not, are left out, and what is its limit because nobody has
 * said it otherwise, or fits exactly where that is meant to be so.
 */
export function weakest(margins: readonly Found[], machine: Machine, most: number): Weak[] {
  const all = margins.toSorted((a, b) => rankOf(a.margin) - rankOf(b.margin));
  const found: typeof all = [];
  const seen = new Set<string>();
  for (const each of all) {
    if (found.length === most) break;
    const key = `${rankOf(each.margin)}`;
    if (seen.has(each.rule.name) || seen.has(key) || isItsLimit(each, machine)) continue;
    seen.add(each.rule.name).add(key);
    found.push(each);
  }
  return found.map((each) => told(each, machine));
}

/**
 * Is what is compared at its limit in any case? Where nobody has said it, what stands in for it is that limit; what is added to a limit
 * for rounding alone leaves nothing to spare; and of what there may be nothing of, there is nothing.
 */
function isItsLimit({ rule, instance, margin, scenario }: Found, { engine }: Machine): boolean {
  const [frame, ctx] = [frameOf(rule, instance, engine), contextOf(rule)];
  const { value, limit } = margin;
  const isWidened = limit.$type === 'Binary' && literal(limit.right, ctx) !== undefined && isSum(limit.operator);
  return engine.under(scenario, () =>
    engine.aside(() => {
      if (isWidened) return evaluate(value, frame) === evaluate(limit.left, frame);
      return margin.amount === 0 && (evaluate(limit, frame) === 0 || cellNamed(value, frame)?.origin === 'default');
    }),
  );
}

function isSum(operator: string): boolean {
  return operator === '+' || operator === '-';
}

/** The value that an expression names, or names a part of, such as `size.width`. */
function cellNamed(node: Expression | undefined, frame: Frame): Cell | undefined {
  if (node?.$type === 'Group') return cellNamed(node.inner, frame);
  if (node?.$type === 'Reference') return cellOf(frame.self, node.name.text);
  if (node?.$type !== 'Access' || !node.member) return undefined;
  const holder = evaluate(node.object, frame);
  return holder instanceof Instance ? cellOf(holder, node.member.text) : cellNamed(node.object, frame);
}

/** A rule that leaves more than this to spare has not decided a choice. */
const mostDecisive = 0.5;

/**
 * Of each block the rule that leaves it the least to spare, in the order of its margins: what its choice was decided by, where anything was.
 * What is its limit in any case decided nothing.
 */
export function decisive(margins: readonly Found[], machine: Machine): Weak[] {
  const nearest = new Map<Instance, Found>();
  for (const each of margins) {
    const known = nearest.get(each.instance);
    const isNearer = !known || rankOf(each.margin) < rankOf(known.margin);
    if (isNearer && rankOf(each.margin) <= mostDecisive && !isItsLimit(each, machine)) nearest.set(each.instance, each);
  }
  return [...nearest.values()].map((each) => told(each, machine));
}

/** How far a rule that holds on a block is from failing, over all that was tried. */
export interface Found {
  readonly rule: Rule;
  readonly instance: Instance;
  readonly margin: Margin;
  readonly scenario: Ends;
}

/** The margins of all rules that hold and compare quantities, in the order of the tree. */
export function marginsOf(machine: Machine): Found[] {
  return machine.tree.all().flatMap((instance) => marginsOn(instance, machine));
}

/** Those on one block. */
export function marginsOn(instance: Instance, machine: Machine): Found[] {
  return rulesOn(instance.kind, machine.scope).flatMap((rule) => marginNow(rule, instance, machine) ?? []);
}

/** The least margin of a rule that holds, over all that was tried; undefined where it does not apply, fails, or compares nothing. */
function marginNow(rule: Rule, instance: Instance, machine: Machine): Found | undefined {
  const { engine } = machine;
  const { tried, values } = engine.corners(verdictCell(rule, instance));
  if (!values.includes(true) || values.some((value) => value !== true && typeof value !== 'string')) return undefined;
  const [frame, ctx] = [frameOf(rule, instance, engine), contextOf(rule)];
  const margins = tried.flatMap((scenario, i) => {
    const margin =
      values[i] === true &&
      engine.under(scenario, () =>
        engine.aside(() => leastMargin(rule.holds.map((part) => marginOf(part, frame, ctx)))),
      );
    // Where it holds by another way than what is compared, that says nothing of how near it is.
    return margin && Number.isFinite(margin.amount) && isKept(margin) ? [{ margin, scenario }] : [];
  });
  const worst = margins.reduce<(typeof margins)[number] | undefined>(
    (a, b) => (a && rankOf(a.margin) <= rankOf(b.margin) ? a : b),
    undefined,
  );
  const type = worst && infer(worst.margin.limit, ctx);
  const hasUnit =
    type?.is === 'quantity' &&
    (type.dimension.powers.size > 0 || (type.named?.shown.some((unit) => unit !== '1') ?? false));
  return worst && hasUnit ? { rule, instance, ...worst } : undefined;
}

/** Does what is compared hold? At its very limit it does not where that is to be more, or less. */
function isKept({ amount, operator }: Margin): boolean {
  return amount > 0 || (amount === 0 && (operator === '<=' || operator === '>='));
}

function told({ rule, instance, margin, scenario }: Found, machine: Machine): Weak {
  const { engine, entry } = machine;
  const [frame, ctx] = [frameOf(rule, instance, engine), contextOf(rule)];
  const at = <T>(work: () => T) => engine.under(scenario, () => engine.aside(work));
  const units = at(() => unitsTogether(margin, frame, ctx));
  const side = (node: Margin['value']) => ({
    text: textOf(node).replace(/\s+/g, ' '),
    shown: at(
      () => showExpression(node, frame, ctx, { units }) + alongsideOf(evaluate(node, frame), infer(node, ctx), machine),
    ),
  });
  return {
    rule,
    instance,
    margin,
    value: side(margin.value),
    limit: side(margin.limit),
    worst: whereOf(scenario, verdictCell(rule, instance), machine),
    place: markForBlock(instance, entry),
  };
}
