import { type Cell, cellOf } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Machine } from '../compute/machine.ts';
import { markForBlock, markForValue, ownStatement, standsIn } from '../compute/marks.ts';
import type { Body, Expression } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import { Instance } from '../machine/tree.ts';
import { frameOf, type Rule, verdictCell } from './rule.ts';

/** What to mark for a rule that fails: what its `at` names, or the block; in a variant, the change that it rests on. */
export function marksOf(rule: Rule, instance: Instance, machine: Machine): AstNode[] {
  const places = rule.at.map((node) => placeOf(node, instance, rule, machine));
  const marked = places.length ? [...new Set(places)] : [markForBlock(instance, machine.entry)];
  const isVariant = machine.entry.base !== undefined && !ownStatement(instance, machine.entry);
  const change = isVariant ? changeBehind(verdictCell(rule, instance), machine) : undefined;
  return change ? [change] : marked;
}

/** The statement of a variant that a verdict rests on, the nearest to it: a value that it gives, or a block that it adds or is without. */
function changeBehind(verdict: Cell, { entry, engine, tree }: Machine): AstNode | undefined {
  const cells = new Set([verdict]);
  let block: AstNode | undefined;
  for (const at of cells) {
    const { instance, member } = at;
    const { node, expression, origin } = member ? at.definition : {};
    if (node && origin !== 'derived' && standsIn(node, entry)) return expression ?? node;
    const own = instance === tree ? undefined : ownStatement(instance, entry);
    if (own?.$type === 'Entry') block ??= absenceIn(own) ?? own.name ?? own.first;
    for (const input of engine.inputs(at)) cells.add(input);
  }
  return block ?? absenceIn(entry);
}

function absenceIn({ body }: { readonly body?: Body }): AstNode | undefined {
  return body?.members.find((member) => member.$type === 'Absence');
}

/** What to mark for an expression such as `area` or `circuit.wire.area`. */
function placeOf(node: Expression, instance: Instance, rule: Rule, machine: Machine): AstNode {
  const { engine, entry } = machine;
  const object = node.$type === 'Access' ? evaluate(node.object, frameOf(rule, instance, engine)) : instance;
  const name = node.$type === 'Access' ? node.member?.text : node.$type === 'Reference' ? node.name.text : undefined;
  if (!(object instanceof Instance) || !name) return markForBlock(instance, entry);
  for (let at: Instance | undefined = object; at; at = node.$type === 'Reference' ? at.holder : undefined) {
    const child = at.inRole(name);
    if (child) return markForBlock(child, entry);
    const cell = cellOf(at, name);
    if (cell) return markForValue(cell, entry);
  }
  return markForBlock(object, entry);
}
