import { type Cell, cellOf } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Machine } from '../compute/machine.ts';
import type { Expression, Remedy } from '../grammar/generated/ast.ts';
import { itemOf } from '../grammar/syntax.ts';
import { Instance } from '../machine/tree.ts';
import { type Member, namesIn } from '../names/kind.ts';
import type { Value } from '../values/value.ts';
import type { Finding } from './finding.ts';
import { frameOf, type Rule } from './rule.ts';
import { isGivenByPart } from './unmet.ts';

/** What a way out takes hold of: a value, the part that a block starts from, how many it stands for, or a role that no block fills yet. */
export type Lever =
  | { readonly is: 'value'; readonly cell: Cell }
  | { readonly is: 'block'; readonly instance: Instance }
  | { readonly is: 'count'; readonly instance: Instance }
  | { readonly is: 'role'; readonly holder: Instance; readonly role: Member };

/** A rule that fails on a block, and where its ranges are taken for that. */
type Failing = Pick<Finding, 'declared' | 'instance' | 'scenario'>;

/** Computes an expression of a finding's rule as it is where the rule fails. */
export function valueWhereFound(node: Expression | undefined, finding: Failing, { engine }: Machine): Value {
  const { declared, instance, scenario } = finding;
  const frame = frameOf(declared as Rule, instance, engine);
  return engine.under(scenario, () => engine.aside(() => evaluate(node, frame)));
}

/** All that a way out may take hold of; a list of blocks stands for the same value of each. None of what does not stand in the machine. */
export function leversOf({ target }: Remedy, finding: Failing, machine: Machine): Lever[] {
  if (target?.$type === 'Reference') return leverIn(finding.instance, target.name.text, finding, machine);
  if (target?.$type !== 'Access')
    return blocksAt(target, finding, machine).map((instance) => ({ is: 'block', instance }));
  const name = target.member?.text;
  if (!name) return [];
  return blocksAt(target.object, finding, machine).flatMap((object) => leverIn(object, name, finding, machine));
}

/** The block of the machine that an expression leads to, or those in a list. */
function blocksAt(node: Expression | undefined, finding: Failing, machine: Machine): Instance[] {
  const value = node && valueWhereFound(node, finding, machine);
  const all = (Array.isArray(value) ? value : [value]).filter((each) => each instanceof Instance);
  return [...new Set(all)].filter((each) => each.root === machine.tree);
}

function leverIn(object: Instance, name: string, finding: Failing, machine: Machine): Lever[] {
  if (name === 'self') return [{ is: 'block', instance: object }];
  if (name === 'count') return [{ is: 'count', instance: object }];
  const role = object.member(name);
  if (role?.role === 'child') {
    const filled = object.filling(role);
    if (filled.length > 0 && role.occurs !== 'many') return filled.map((instance) => ({ is: 'block', instance }));
    return [{ is: 'role', holder: object, role }];
  }
  const cell = cellOf(object, name);
  if (!cell) return [];
  if (role?.role !== 'derived') return namedBy(cell, machine);
  // A formula may pick a block of the machine: the change is made in the text of that block.
  const { engine } = machine;
  const value = engine.under(finding.scenario, () => engine.aside(() => engine.value(cell)));
  return value instanceof Instance && value.holder && value.root === machine.tree
    ? [{ is: 'block', instance: value }]
    : [];
}

/**
 * The value itself; or, where a kind says that it is another block's, such as the face of a joint, that one: or the part which says
 * that. What a kind computes of others is none of the builder's to set.
 */
function namedBy(cell: Cell, { engine, tree }: Machine): Lever[] {
  const { expression, node, scope, mode } = cell.definition;
  const item = node && itemOf(node);
  const isSaidByKind = item?.$type === 'Declaration' && item.what === 'kind';
  if (!expression || !isSaidByKind || cell.definition.origin === 'default' || namesIn(expression).length === 0)
    return [{ is: 'value', cell }];
  if (expression.$type !== 'Access' || !expression.member) return [];
  const frame = { engine, self: cell.instance, scope, mode };
  const of = engine.aside(() => evaluate(expression.object, frame));
  const named = of instanceof Instance && of.root === tree ? cellOf(of, expression.member.text) : undefined;
  if (!named || named.member?.role === 'derived') return [];
  return isGivenByPart(named) ? [{ is: 'block', instance: named.instance }] : [{ is: 'value', cell: named }];
}
