import type { Expression } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import { isUnit } from '../units/units.ts';
import type { Context } from './context.ts';

/** A quantity as written. */
export function quantityText(node: AstNode | undefined): string {
  const q = node as { $type: string; number?: string; unit?: string; operand?: AstNode } | undefined;
  if (q?.$type === 'Unary') return `-${quantityText(q.operand)}`;
  return `${q?.number ?? ''} ${q?.unit ?? ''}`.trim();
}

/** The number that a quantity stands for, in SI units, where it is written out with a unit of its dimension. */
export function literal(node: Expression | undefined, ctx: Context): number | undefined {
  if (node?.$type === 'Unary' && node.operand?.$type === 'Quantity')
    return literal({ ...node.operand, number: `-${node.operand.number}` } as typeof node.operand, ctx);
  if (node?.$type !== 'Quantity') return undefined;
  const unit = node.unit ? ctx.scope.system.unit(node.unit) : undefined;
  if (!unit) return Number(node.number);
  return isUnit(unit) ? Number(node.number) * unit.factor + (unit.zero ?? 0) : undefined;
}
