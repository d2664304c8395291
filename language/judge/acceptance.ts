import { evaluate } from '../compute/evaluate.ts';
import type { Machine } from '../compute/machine.ts';
import type { Margin } from '../compute/margin.ts';
import { showExpression } from '../compute/message.ts';
import { contentOf } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import type { Accepted } from './finding.ts';
import { acceptancesOf, contextOf, frameOf, type Rule } from './rule.ts';

/** How a finding of a rule is accepted at its block, if it is: `margin` is what the value stated is held against. */
export function acceptanceOf(
  rule: Rule,
  instance: Instance,
  margin: Margin | undefined,
  machine: Machine,
): Accepted | undefined {
  const found = acceptancesOf(instance).find((a) => a.node.rule.text === rule.name);
  if (!found) return undefined;
  const { node, scope } = found;
  const reason = node.reason ? contentOf(node.reason) : '';
  if (!node.value) return { reason, node, valueless: margin !== undefined };
  if (!margin) return { reason, node, valueless: false };
  const accepted = evaluate(node.value, { engine: machine.engine, self: instance, scope, mode: 'block' });
  const [frame, ctx] = [frameOf(rule, instance, machine.engine), contextOf(rule)];
  const value = evaluate(margin.value, frame);
  const worse = typeof accepted === 'number' && typeof value === 'number' && isWorse(value, accepted, margin.operator);
  const lapsed = worse
    ? `accepted at ${showExpression(node.value, frame, ctx)}, now ${showExpression(margin.value, frame, ctx)}`
    : undefined;
  return { reason, node, lapsed, valueless: false };
}

/** What is written is rounded to three digits: a value that much worse is still the one accepted. */
function isWorse(value: number, accepted: number, operator: Margin['operator']): boolean {
  const rounding = Math.abs(accepted) * 0.005;
  return operator === '<' || operator === '<=' ? value > accepted + rounding : value < accepted - rounding;
}
