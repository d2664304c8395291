import { type Cell, cellOf } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Machine } from '../compute/machine.ts';
import type { Expression, Remedy } from '../grammar/generated/ast.ts';
import { Instance } from '../machine/tree.ts';
import type { Member } from '../names/kind.ts';
import type { Value } from '../values/value.ts';
import type { Finding } from './finding.ts';
import { frameOf, type Rule } from './rule.ts';

/** What a way out takes hold of: a value, the part that a block starts from, or a role that no block fills yet. */
export type Lever =
  | { readonly is: 'value'; readonly cell: Cell }
  | { readonly is: 'block'; readonly instance: Instance }
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
  const role = object.member(name);
  if (role?.role === 'child') {
    const filled = object.filling(role);
    if (filled.length > 0 && role.occurs !== 'many') return filled.map((instance) => ({ is: 'block', instance }));
    return [{ is: 'role', holder: object, role }];
  }
  const cell = cellOf(object, name);
  if (!cell) return [];
  if (role?.role !== 'derived') return [{ is: 'value', cell }];
  // A formula may pick a block of the machine: the change is made in the text of that block.
  const { engine } = machine;
  const value = engine.under(finding.scenario, () => engine.aside(() => engine.value(cell)));
  return value instanceof Instance && value.holder && value.root === machine.tree
    ? [{ is: 'block', instance: value }]
    : [];
}
