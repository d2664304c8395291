import type { Item, Quantity } from '../grammar/generated/ast.ts';
import { type AstNode, rangeOf, type TextRange } from '../grammar/syntax.ts';
import type { TextFile } from '../machine/text-file.ts';
import { innerNodes, inward, type Seen, seenIn, type TreeOf } from '../types/seen.ts';
import { type Found, readNode, unitRange } from './meaning.ts';

/** A name or a unit in a text, and the first of what it means. */
export interface Named {
  readonly node: AstNode;
  readonly range: TextRange;
  readonly found: Found | undefined;
}

/** Every name and unit of an item, in one walk over it. */
export function namesIn(item: Item, file: TextFile, treeOf?: TreeOf): Named[] {
  const names: Named[] = [];
  const path: AstNode[] = [item];
  const seen: Seen[] = [seenIn(item, file.scope, treeOf)];
  const visit = (node: AstNode) => {
    const range = nameRange(node);
    if (range) names.push({ node, range, found: readNode(node, path, seen, file).find((found) => found) });
    for (const child of innerNodes(node)) {
      path.push(child);
      seen.push(inward(seen.at(-1) as Seen, node, child));
      visit(child);
      path.pop();
      seen.pop();
    }
  };
  visit(item);
  return names;
}

function nameRange(node: AstNode): TextRange | undefined {
  if (node.$type === 'Name') return rangeOf(node);
  return node.$type === 'Quantity' && (node as Quantity).unit ? unitRange(node as Quantity) : undefined;
}
