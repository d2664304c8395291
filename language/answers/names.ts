import type { Item, Quantity } from '../grammar/generated/ast.ts';
import { type AstNode, rangeOf, type TextRange } from '../grammar/syntax.ts';
import type { TextFile } from '../machine/text-file.ts';
import { innerNodes, type Situation, situationIn, situationInside, type TreeOf } from '../types/situation.ts';
import type { FoundMeaning } from './meaning.ts';
import { readNode, unitRange } from './meanings-at.ts';

/** A name or a unit in a text, and the first of what it means. */
export interface Named {
  readonly node: AstNode;
  readonly range: TextRange;
  readonly found: FoundMeaning | undefined;
}

/** Every name and unit of an item, in one walk over it. */
export function namesIn(item: Item, file: TextFile, treeOf?: TreeOf): Named[] {
  const names: Named[] = [];
  const path: AstNode[] = [item];
  const situations: Situation[] = [situationIn(item, file.scope, treeOf)];
  const visit = (node: AstNode) => {
    const range = nameRange(node);
    if (range) names.push({ node, range, found: readNode(node, path, situations, file).find((found) => found) });
    for (const child of innerNodes(node)) {
      path.push(child);
      situations.push(situationInside(situations.at(-1) as Situation, node, child));
      visit(child);
      path.pop();
      situations.pop();
    }
  };
  visit(item);
  return names;
}

function nameRange(node: AstNode): TextRange | undefined {
  if (node.$type === 'Name') return rangeOf(node);
  return node.$type === 'Quantity' && (node as Quantity).unit ? unitRange(node as Quantity) : undefined;
}
