import { cellOf } from '../compute/cell.ts';
import { ownBlock, standsIn } from '../compute/place.ts';
import type { Item } from '../grammar/generated/ast.ts';
import { type AstNode, parsedOf, rangeOf } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';

/** A change of one file's text; offsets from its start. */
export interface TextEdit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** Writes a value of an instance into an item's text: where it is given already, or as a new line of its block. */
export function writeValue(instance: Instance, name: string, text: string, item: Item): TextEdit {
  const definition = cellOf(instance, name)?.definition;
  if (
    definition?.expression &&
    definition.origin !== 'derived' &&
    definition.origin !== 'default' &&
    standsIn(definition.expression, item)
  ) {
    return { ...rangeOf(definition.expression), text };
  }
  return writeLines(instance, [`${name} = ${text}`], item);
}

/** Writes lines into an instance's own block, making the blocks around them where the item has none. */
function writeLines(instance: Instance, lines: readonly string[], item: Item): TextEdit {
  const block = ownBlock(instance, item);
  if (block) return intoBlock(block, lines);
  if (!instance.holder) return intoBlock(item, lines);
  return writeLines(instance.holder, [`${instance.name} {`, ...lines.map((line) => `  ${line}`), '}'], item);
}

function intoBlock(block: AstNode, lines: readonly string[]): TextEdit {
  const text = parsedOf(block)?.text ?? '';
  const body = (block as { body?: { members: readonly AstNode[] } & AstNode }).body;
  const indent = `${indentAt(text, rangeOf(block).start)}  `;
  const written = lines.map((line) => `\n${indent}${line}`).join('');
  if (!body) {
    const { end } = rangeOf(block);
    return { start: end, end, text: ` {${written}\n${indent.slice(2)}}` };
  }
  const last = body.members[body.members.length - 1];
  const at = last ? lineEnd(text, rangeOf(last).end) : rangeOf(body).start + 1;
  const closes = !last && text[at] === '}' ? `\n${indent.slice(2)}` : '';
  return { start: at, end: at, text: written + closes };
}

function lineEnd(text: string, from: number): number {
  const end = text.indexOf('\n', from);
  const rest = text.slice(from, end < 0 ? undefined : end);
  // A comment behind the last statement stays with it; a brace that closes on the same line does not.
  return /^\s*(\/\/.*)?$/.test(rest) ? from + rest.trimEnd().length : from;
}

function indentAt(text: string, offset: number): string {
  const start = text.lastIndexOf('\n', offset - 1) + 1;
  return /^[ \t]*/.exec(text.slice(start))?.[0] ?? '';
}
