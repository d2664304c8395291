import type { BlockTable } from '../../../language/answers/block-table.ts';
import { assumptionsOf, limitsKnownOf, sourcesOf } from '../../../language/answers/derivation.ts';
import type { Declaration, Entry, Has, Item } from '../../../language/grammar/generated/ast.ts';
import { type AstNode, itemOf } from '../../../language/grammar/syntax.ts';

/** Paragraphs of a text, those that are there. */
export function paragraphs(...texts: (string | undefined | false)[]): string {
  return texts.filter(Boolean).join('\n\n');
}

/** A row for each block that a value lists, and what is not given of them. */
export function markdownTable(table: BlockTable | undefined): string | undefined {
  if (!table?.rows.length) return undefined;
  const line = (texts: readonly string[]) => `| ${texts.map((text) => text.replaceAll('|', '\\|')).join(' | ')} |`;
  const lines = [line(table.heading), line(table.heading.map(() => '---')), ...table.rows.map(line)];
  return paragraphs(lines.join('\n'), table.missing.length > 0 && `Not given: ${table.missing.map(code).join(', ')}`);
}

/** A formula on one line, not too long to be read at a glance. */
export function inShort(formula: string, most = 140): string {
  const line = formula.replace(/\s+/g, ' ');
  return line.length > most ? `${line.slice(0, most).trimEnd()} …` : line;
}

export function code(text: string): string {
  return `\`${text}\``;
}

/** Where a formula, a rule or a table comes from, and how good that is; what it assumes, and where it is known to be blind. */
export function origins(node: AstNode | undefined): string | undefined {
  const holder = node as Declaration | Entry | undefined;
  const sources = sourcesOf(holder).map((s) => `Source (${s.standing}): ${s.text}`);
  const assumed = assumptionsOf(holder).map((text) => `Assumes: ${text}`);
  const known = limitsKnownOf(holder).map((text) => `Known: ${text}`);
  const lines = [...sources, ...assumed, ...known];
  return lines.length > 0 ? lines.join('  \n') : undefined;
}

/** The name of what a node's text belongs to: a part, a machine, a kind. */
export function itemName(node: AstNode | Has): string {
  const item: Item | undefined = itemOf(node);
  if (item?.$type === 'Declaration') return item.name?.text ?? '';
  return item?.$type === 'Entry' ? ((item.name ?? item.first)?.text ?? '') : '';
}

/** The first sentence of a documentation. */
export function firstSentence(doc: string): string {
  return /^[^\n]*?[.!?](?=\s|$)/.exec(doc.replace(/\n(?!\n)/g, ' '))?.[0] ?? doc.split('\n')[0] ?? '';
}
