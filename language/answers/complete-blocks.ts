import { docOf } from '../grammar/syntax.ts';
import { type Instance, isBlock } from '../machine/tree.ts';
import type { Type } from '../names/type.ts';
import { bind } from '../types/bind.ts';
import type { Context } from '../types/context.ts';
import type { Proposal } from './proposal.ts';

/** What holds a block, the nearest first. */
export function holders(instance: Instance): Instance[] {
  const list: Instance[] = [];
  for (let at = instance.around; at; at = at.around) list.push(at);
  return list;
}

/** How many levels of blocks are searched, from a block that can be named by its name alone downward. */
const deepestPath = 4;

/** Blocks of the expected kind by the paths that lead to them, and all others that can be named by their name alone. */
export function blocks(ctx: Context, expected: Type | undefined): Proposal[] {
  const found: Proposal[] = [];
  const met = new Set<Instance>();
  const wanted = expected?.is === 'list' ? expected.of : expected;
  for (const [distance, holder] of [ctx.instance, ...(ctx.instance ? holders(ctx.instance) : [])].entries()) {
    for (const child of holder?.children.values() ?? []) {
      const binding = bind(child.name, ctx, { expected });
      if (binding?.is !== 'block' || binding.instance !== child) continue;
      found.push(...pathsFrom(child, child.name, wanted, { rank: Math.min(distance, 1), depth: 1, met }));
    }
  }
  return found;
}

interface Walk {
  readonly rank: number;
  readonly depth: number;
  /** Blocks that were met already, and so by a shorter path. */
  readonly met: Set<Instance>;
}

function pathsFrom(block: Instance, path: string, wanted: Type | undefined, { rank, depth, met }: Walk): Proposal[] {
  if (met.has(block)) return [];
  met.add(block);
  const kind = wanted?.is === 'instance' ? wanted.kind : undefined;
  const fits = kind !== undefined && block.kind.isA(kind);
  const own = fits || depth === 1 ? [blockProposal(block, path, fits ? rank : 5 + rank)] : [];
  if (!kind || depth >= deepestPath) return own;
  const inner = { rank: rank + 0.5, depth: depth + 1, met };
  return [...own, ...[...block.children.values()].flatMap((c) => pathsFrom(c, `${path}.${c.name}`, wanted, inner))];
}

/** A block by the path that leads to it. */
export function blockProposal(block: Instance, label: string, rank: number): Proposal {
  const { node } = block;
  const written = node.$type === 'Entry' && isBlock(node) ? docOf(node) : '';
  return { label, sort: 'block', rank, detail: block.kind.name, documentation: written || block.kind.documentation };
}
