import type { Declaration, Item, Name, SpecFile } from './generated/ast.ts';
import { parseItem } from './parser/items.ts';
import { type AstNode, type ParsedFile, type ParsedItem, setParsed } from './syntax.ts';

/** A declaration's first line, as far as it tells what others ask of it without looking inside. */
const heading = /^([a-z]+) (\w+)(?: on (\w+))?(?: is (\w+))?/;
const inside = ['parameters', 'type', 'on', 'base', 'value', 'body'] as const;

/**
 * The library's own files, of which a machine needs a part: each declaration is read when something in it is first asked
 * for. The text must be laid out as the formatter does, with nothing but declarations in it; mistakes are not looked for.
 */
export function parseLazily(text: string): ParsedFile {
  const file = { $type: 'SpecFile', items: [] as Item[] } as unknown as SpecFile;
  const items = starts(text).map((start, i, all): ParsedItem => {
    const end = endBefore(text, all[i + 1] ?? text.length);
    return { node: lazy(text, start, end, file) as Item, start, end, mistakes: [], open: false };
  });
  for (const item of items) file.items.push(item.node);
  const parsed = { text, file, items, loose: [] };
  setParsed(parsed);
  return parsed;
}

/** The end of the last line before an offset that is neither empty nor a comment alone. */
function endBefore(text: string, offset: number): number {
  let end = offset;
  for (;;) {
    while (text.charCodeAt(end - 1) === 10) end--;
    const line = text.lastIndexOf('\n', end - 1) + 1;
    if (!text.startsWith('//', line)) return end;
    end = line;
  }
}

/** Where items start: lines that begin with a letter. */
function starts(text: string): number[] {
  return [...text.matchAll(/^[a-z]/gm)].map((match) => match.index);
}

function lazy(text: string, start: number, end: number, file: SpecFile): AstNode {
  const [, what = '', name = '', on, base] =
    heading.exec(text.slice(start, text.indexOf('\n', start) + 1 || undefined)) ?? [];
  const node = {
    $type: 'Declaration',
    $container: file,
    $at: start,
    $start: 0,
    $end: end - start,
    what,
  } as unknown as Declaration & Record<string, unknown>;
  const named = (word: string, from: number) => {
    const $start = text.indexOf(word, start + from) - start;
    return { $type: 'Name', $container: node, text: word, $start, $end: $start + word.length } as unknown as Name;
  };
  node.name = named(name, what.length);
  for (const key of inside)
    Object.defineProperty(node, key, { configurable: true, enumerable: true, get: () => read(node, text, start)[key] });
  // Kinds, parts and rules are sorted by these before any of them is looked into.
  if (['kind', 'part', 'rule'].includes(what)) {
    const after = what.length + 1 + name.length;
    set(node, 'on', on && named(` ${on}`, after), 1);
    set(node, 'base', base && named(` ${base}`, after + (on ? on.length + 4 : 0)), 1);
  }
  return node;
}

function set(node: object, key: string, name: Name | '' | undefined, skip: number): void {
  if (name)
    Object.assign(name, { text: name.text.slice(skip), $start: (name as unknown as { $start: number }).$start + skip });
  Object.defineProperty(node, key, { configurable: true, enumerable: true, writable: true, value: name || undefined });
}

/** Reads a declaration, and puts what is inside it into the node that stood for it. */
function read(node: Declaration & Record<string, unknown>, text: string, start: number): Record<string, unknown> {
  const whole = parseItem(text, start).node as unknown as Record<string, unknown>;
  for (const key of inside) {
    const getter = Object.getOwnPropertyDescriptor(node, key)?.get;
    if (!getter) continue;
    const value = whole[key];
    for (const child of Array.isArray(value) ? value : [value])
      if (child) (child as { $container: unknown }).$container = node;
    Object.defineProperty(node, key, { configurable: true, enumerable: true, writable: true, value });
  }
  return node;
}
