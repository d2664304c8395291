import type { Item } from '../grammar/generated/ast.ts';
import { type AstNode, itemOf } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import type { Cell } from './cell.ts';

/** Is this text part of the item, and not of a part or machine that it starts from? */
export function standsIn(node: AstNode | undefined, item: Item): boolean {
  return node !== undefined && itemOf(node) === item;
}

/** The statement of an item that puts an instance there, if the item has one. */
export function ownStatement(instance: Instance, item: Item): Instance['node'] | undefined {
  return instance.layers.find((layer) => standsIn(layer.node, item))?.node;
}

/** The name to mark for an instance: its own block's, or that of the nearest block around it which the item writes. */
export function markForBlock(instance: Instance, item: Item): AstNode {
  for (let at: Instance | undefined = instance; at; at = at.holder) {
    const node = ownStatement(at, item);
    if (node?.$type === 'Entry') return node.name ?? node.first;
    if (node) return node.name ?? node;
  }
  return item;
}

/** What to mark for a value: what the item says it is, or the block that it belongs to. */
export function markForValue(cell: Cell, item: Item): AstNode {
  const { expression, node } = cell.definition;
  if (expression && standsIn(expression, item)) return expression;
  if (node && standsIn(node, item)) return node;
  return markForBlock(cell.instance, item);
}
