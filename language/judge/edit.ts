import { type Cell, cellOf } from '../compute/cell.ts';
import { ownStatement, standsIn } from '../compute/marks.ts';
import type { Entry, Expression, Item } from '../grammar/generated/ast.ts';
import { type AstNode, parsedOf, rangeOf, textOf } from '../grammar/syntax.ts';
import { statementsOf } from '../machine/statements.ts';
import type { Instance } from '../machine/tree.ts';
import type { TextEdit } from '../mistakes/mistake.ts';

/** Writes a value of an instance into an item's text: where it is given already, or as a new line of its block. */
export function writeValue(instance: Instance, name: string, text: string, item: Item): TextEdit {
  return rewritten(instance, name, text, item) ?? writeLines(instance, [`${name} = ${text}`], item);
}

/** A value where an item's text gives it already, or says that there is none; undefined where it does neither. */
function rewritten(instance: Instance, name: string, text: string, item: Item): TextEdit | undefined {
  const definition = cellOf(instance, name)?.definition;
  if (
    definition?.expression &&
    definition.origin !== 'derived' &&
    definition.origin !== 'default' &&
    standsIn(definition.expression, item)
  ) {
    return { ...rangeOf(definition.expression), text };
  }
  const block = ownStatement(instance, item);
  const members = block?.$type === 'Entry' ? (block.body?.members ?? []) : [];
  const none = members.find((member) => member.$type === 'Absence' && member.name.text === name);
  return none && { ...rangeOf(none), text: `${name} = ${text}` };
}

/** Writes values into an item's text; those that are new to a block as lines below each other. */
export function writeValues(values: readonly { cell: Cell; text: string }[], item: Item): TextEdit[] {
  const edits: TextEdit[] = [];
  const lines = new Map<Instance, string[]>();
  for (const { cell, text } of values) {
    const there = rewritten(cell.instance, cell.name, text, item);
    if (there) edits.push(there);
    else lines.set(cell.instance, [...(lines.get(cell.instance) ?? []), `${cell.name} = ${text}`]);
  }
  return [...edits, ...[...lines].map(([instance, all]) => writeLines(instance, all, item))];
}

/**
 * Lets a block start from a part, in an item's text. What its own text says of values that the part gives, or that only the kind it
 * had knows, goes; `anew` lets every number go, and what is said not to be there, where these describe what stood there before.
 */
export function writePart(instance: Instance, name: string, part: Instance, item: Item, anew: boolean): TextEdit[] {
  const block = ownStatement(instance, item);
  if (block?.$type !== 'Entry') {
    const { holder } = instance;
    const written = instance.name === instance.kind.name ? instance.name : `${part.kind.name} ${instance.name}`;
    return holder ? [writeLines(holder, [`${written} is ${name}`], item)] : [];
  }
  const { base, count, first } = block;
  const at = rangeOf(count ?? block.name ?? first).end;
  const start = base ? { ...rangeOf(base), text: name } : { start: at, end: at, text: ` is ${name}` };
  const [foremost, ...gone] = takenOver(instance, part, item, anew).map((entry) => withoutLine(entry, block));
  if (foremost?.start === start.end)
    return [...kindFor(instance, block, part), { ...start, end: foremost.end }, ...gone];
  return [...kindFor(instance, block, part), start, ...(foremost ? [foremost] : []), ...gone];
}

/** Lets a block stand for so many; undefined where an item's text does not make it. */
export function writeCount(instance: Instance, count: number, item: Item): TextEdit | undefined {
  const block = ownStatement(instance, item);
  if (block?.$type !== 'Entry') return undefined;
  if (block.count) return { ...rangeOf(block.count), text: `${count}` };
  const { end } = rangeOf(block.name ?? block.first);
  return { start: end, end, text: ` * ${count}` };
}

/** What of a block's own text goes where it starts from a part, as `writePart` says. */
export function takenOver(instance: Instance, part: Instance, item: Item, anew: boolean): AstNode[] {
  const block = ownStatement(instance, item);
  if (block?.$type !== 'Entry') return [];
  return (block.body?.members ?? []).filter((entry) => {
    if (entry.$type === 'Absence') return anew && isTakenOver(entry.name.text, part, anew);
    return entry.$type === 'Entry' && entry.equals && entry.first && isTakenOver(entry.first.text, part, anew);
  });
}

/** Is a value the part's to say: does it give it, or does its kind know no such value? */
function isTakenOver(name: string, part: Instance, anew: boolean): boolean {
  const member = part.member(name);
  if (!member || (anew && member.type.is === 'quantity')) return true;
  return part.layers.some((layer) => statementsOf(layer.body).values.get(name)?.given);
}

/** The kind before a block's name, where the part is of another one. */
function kindFor(instance: Instance, { first, name }: Entry, part: Instance): TextEdit[] {
  const written = part.kind.scope.kindNamed(first.text);
  if (!written || part.kind.isA(written)) return [];
  return [{ ...rangeOf(first), text: name ? part.kind.name : `${part.kind.name} ${instance.name}` }];
}

/** Takes a statement away: with its line, with the whole body where nothing else stands in that, or by itself between what shares its line. */
function withoutLine(entry: AstNode, block: Entry): TextEdit {
  const text = parsedOf(entry)?.text ?? '';
  const { start, end } = rangeOf(entry);
  const lineStart = text.lastIndexOf('\n', start - 1) + 1;
  const after = text.indexOf('\n', end);
  const isFirst = text.slice(lineStart, start).trim() === '';
  if (isFirst && /^\s*(\/\/[^\n]*)?$/.test(text.slice(end, after < 0 ? undefined : after)))
    return { start: lineStart, end: after < 0 ? text.length : after + 1, text: '' };
  const body = rangeOf(block.body as AstNode);
  if ((text.slice(body.start + 1, start) + text.slice(end, body.end - 1)).trim() === '')
    return { start: body.start - (text[body.start - 1] === ' ' ? 1 : 0), end: body.end, text: '' };
  const blanks = /^[ \t]*/.exec(text.slice(end))?.[0].length ?? 0;
  if (isFirst) return { start, end: end + blanks, text: '' };
  return { start: text.slice(0, start).trimEnd().length, end, text: '' };
}

/** Puts a block into another one, with what stands in it on lines below. */
export function writeBlock(holder: Instance, text: string, item: Item): TextEdit {
  return writeLines(holder, text.split('\n'), item);
}

/** Puts something into a list that a value is given as, before the element at `index`; undefined where it is no list in words. */
export function writeElement(
  instance: Instance,
  name: string,
  element: string,
  index: number,
  item: Item,
): TextEdit | undefined {
  const list = cellOf(instance, name)?.definition.expression;
  if (list?.$type !== 'List') return undefined;
  const next = list.elements[index];
  if (next && standsIn(list, item)) {
    const { start } = rangeOf(next);
    return { start, end: start, text: `${element}, ` };
  }
  const elements = list.elements.map((each) => textOf(each as unknown as Expression));
  return writeValue(instance, name, `[${elements.toSpliced(index, 0, element).join(', ')}]`, item);
}

/** Writes lines into an instance's own block, making the blocks around them where the item has none. */
function writeLines(instance: Instance, lines: readonly string[], item: Item): TextEdit {
  const block = ownStatement(instance, item);
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
  return /^\s*(\/\/[^\n]*)?$/.test(rest) ? from + rest.trimEnd().length : from;
}

function indentAt(text: string, offset: number): string {
  const start = text.lastIndexOf('\n', offset - 1) + 1;
  return /^[ \t]*/.exec(text.slice(start))?.[0] ?? '';
}
