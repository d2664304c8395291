import type { AstNode as LangiumNode } from 'langium';
import type { Mistake, Wording } from '../mistakes/mistake.ts';
import type { Clause, Item, SpecFile, Text } from './generated/ast.ts';

/** Any node of the syntax tree. */
export type AstNode = Pick<LangiumNode, '$type'> & { readonly $container?: AstNode };

/** Absolute offsets in the file's text, the end not included. */
export interface TextRange {
  start: number;
  end: number;
}

/** Where nodes stand: relative to their top-level item, so that an item that did not change is kept as it is. */
export interface Placed extends AstNode {
  $start: number;
  $end: number;
  /** For a top-level item: its offset in the file. */
  $at?: number;
}

/** A change of text. */
export interface Change extends TextRange {
  readonly title: string;
  readonly text: string;
}

/** A mistake with the one change that mends it, if one does. */
export function mistakeAt({ kind, message }: Wording, at: TextRange, change?: Change): Mistake {
  const { code, severity } = kind;
  const fixes = change
    ? [{ title: change.title, edits: [{ start: change.start, end: change.end, text: change.text }] }]
    : [];
  return { code, severity, message, start: at.start, end: at.end, fixes };
}

export interface ParsedItem {
  readonly node: Item;
  start: number;
  end: number;
  /** Offsets are relative to the item, as its nodes' are. */
  readonly mistakes: readonly Mistake[];
  /** True where text behind its end was needed to read it: an unclosed block or bracket. */
  readonly open: boolean;
}

export interface ParsedFile {
  readonly text: string;
  readonly file: SpecFile;
  readonly items: readonly ParsedItem[];
  /** Mistakes between items, in absolute offsets. */
  readonly loose: readonly Mistake[];
}

const files = new WeakMap<AstNode, ParsedFile>();

export function setParsed(parsed: ParsedFile): void {
  files.set(parsed.file, parsed);
}

/** The top-level item a node stands in; the node itself if it is one. */
export function itemOf(node: AstNode): Item | undefined {
  let at: AstNode = node;
  while (at.$container && at.$container.$type !== 'SpecFile') at = at.$container;
  return at.$container ? (at as Item) : undefined;
}

/** Does a node stand in another, or is it that? */
export function isWithin(node: AstNode, around: AstNode): boolean {
  for (let at: AstNode | undefined = node; at; at = at.$container) if (at === around) return true;
  return false;
}

/** The file a node stands in. */
export function fileOf(node: AstNode): SpecFile {
  let at: AstNode = node;
  while (at.$container) at = at.$container;
  return at as SpecFile;
}

/** The text and items a file was parsed to. */
export function parsedOf(node: AstNode): ParsedFile | undefined {
  return files.get(fileOf(node));
}

/** Where a node stands now, in absolute offsets. */
export function rangeOf(node: AstNode): TextRange {
  if (node.$type === 'SpecFile') return { start: 0, end: parsedOf(node)?.text.length ?? 0 };
  const at = (itemOf(node) as unknown as Placed | undefined)?.$at ?? 0;
  const { $start, $end } = node as Placed;
  return { start: at + $start, end: at + $end };
}

/** The text of a node, as written. */
export function textOf(node: AstNode): string {
  const { start, end } = rangeOf(node);
  return parsedOf(node)?.text.slice(start, end) ?? '';
}

const documentation = new WeakMap<AstNode, { readonly of: ParsedFile | undefined; readonly doc: string }>();

/** The `///` lines right above a node, without their slashes. */
export function docOf(node: AstNode): string {
  // A node can outlive an edit of the lines above it.
  const of = parsedOf(node);
  let known = documentation.get(node);
  if (!known || known.of !== of) {
    known = { of, doc: readDoc(node) };
    documentation.set(node, known);
  }
  return known.doc;
}

function readDoc(node: AstNode): string {
  const text = parsedOf(node)?.text ?? '';
  const lines: string[] = [];
  let end = text.lastIndexOf('\n', rangeOf(node).start - 1);
  while (end > 0) {
    const start = text.lastIndexOf('\n', end - 1) + 1;
    const match = /^\s*\/\/\/ ?(.*)$/.exec(text.slice(start, end).replace(/\r$/, ''));
    if (!match) break;
    lines.unshift(match[1] as string);
    end = start - 1;
  }
  return lines.join('\n').trim();
}

/** What cannot be read of a file, in absolute offsets and in their order. */
export function spellingOf(parsed: ParsedFile): Mistake[] {
  const found = parsed.items.flatMap((item) => item.mistakes.map((mistake) => shifted(mistake, item.start)));
  return [...found, ...parsed.loose].sort((a, b) => a.start - b.start);
}

/** Of what cannot be read, that whose meaning is not known either: where it is, it was only told how it is written here. */
export function misreadIn(parsed: ParsedFile): Mistake[] {
  return spellingOf(parsed).filter(({ severity }) => severity === 'error');
}

/** Does a clause stand below a value, and not in what is declared? */
export function isOfValue(clause: Clause): boolean {
  return clause.$container.$container?.$type === 'Entry';
}

/** A mistake where its text has moved. */
export function shifted(mistake: Mistake, by: number): Mistake {
  const moved = <R extends TextRange>(range: R): R => ({ ...range, start: range.start + by, end: range.end + by });
  const fixes = mistake.fixes.map(({ title, edits }) => ({ title, edits: edits.map(moved) }));
  return { ...moved(mistake), fixes };
}

/** The nodes directly in a node, in their order. */
export function childrenOf(node: AstNode): AstNode[] {
  const found: AstNode[] = [];
  const fields = node as unknown as Readonly<Record<string, unknown>>;
  for (const key in fields) {
    if (key.startsWith('$')) continue;
    const value = fields[key];
    if (Array.isArray(value)) found.push(...value.filter(isNode));
    else if (isNode(value)) found.push(value);
  }
  return found.length > 1 ? found.sort((a, b) => (a as Placed).$start - (b as Placed).$start) : found;
}

function isNode(value: unknown): value is AstNode {
  return typeof value === 'object' && value !== null && '$type' in value;
}

/** The nodes around an offset, from the file to the innermost; an offset at a node's end still counts. */
export function nodesAt(file: SpecFile, offset: number): AstNode[] {
  const path: AstNode[] = [file];
  for (let node: AstNode | undefined = file; node; ) {
    const children: AstNode[] = node === file ? file.items : childrenOf(node);
    const inside = children.filter((child) => {
      const { start, end } = rangeOf(child);
      return start <= offset && offset <= end;
    });
    node = inside.find((child) => rangeOf(child).end > offset) ?? inside[inside.length - 1];
    if (node) path.push(node);
  }
  return path;
}

/** The inside of a text in quotes, escapes resolved. */
export function contentOf(text: Text): string {
  return text.text.replace(/^"|"$/g, '').replace(/\\(.)/g, '$1');
}

/** Lines of a text: offsets to line and character (both from 0) and back. */
export class Lines {
  readonly #starts: number[] = [0];
  readonly text: string;
  constructor(text: string) {
    this.text = text;
    for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) this.#starts.push(at + 1);
  }
  position(offset: number): { line: number; character: number } {
    let [low, high] = [0, this.#starts.length - 1];
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if ((this.#starts[middle] as number) <= offset) low = middle;
      else high = middle - 1;
    }
    return { line: low, character: offset - (this.#starts[low] as number) };
  }
  offset(position: { line: number; character: number }): number {
    const start = this.#starts[position.line];
    if (start === undefined) return this.text.length;
    return Math.min(start + position.character, this.#starts[position.line + 1] ?? this.text.length);
  }
}
