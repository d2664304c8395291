import type { Mistake, Wording } from '../../mistakes/mistake.ts';
import { spelling } from '../../mistakes/spelling.ts';
import type { Name, Text } from '../generated/ast.ts';
import { Lexer, type Token } from '../lexer.ts';
import { type AstNode, type Change, mistakeAt, shifted } from '../syntax.ts';

/** Blocks nested deeper than this are refused, and expressions twice as deep, so that no text exhausts the stack. */
export const deepest = 100;

/** What is taken to end a block: its brace alone, or also a line's indentation, or also a declaration at a line's start. */
export type Trust = 'braces' | 'indentation' | 'declarations';

/** Mistakes after which the rest of their line is passed over. */
const tooDeep: keyof typeof spelling = 'too_deep';
const tooLong: keyof typeof spelling = 'too_long';

export type Fields = Record<string, unknown>;

/** Where in the text a reader stands, what it has found wrong so far, and the steps that all constructs are read by. */
export class Cursor {
  readonly lexer: Lexer;
  readonly mistakes: Mistake[] = [];
  /** The token that is looked at. */
  token: Token;
  /** Where the token that was taken last begins and ends. */
  lastStart = 0;
  last = 0;
  /** In how many brackets it stands, in which line ends are blanks. */
  free = 0;
  /** In how many blocks, expressions and types. */
  depth = 0;
  /** A block was not closed. */
  open = false;
  /** Where the furthest mistake begins. */
  furthest = -1;
  /** How many nodes stand one in the other, for each node that was read and holds others. */
  readonly #heights = new Map<object, number>();
  readonly text: string;
  /** Where the item begins that is read; nodes and mistakes count from there. */
  readonly origin: number;
  readonly trust: Trust;
  constructor(text: string, origin: number, trust: Trust) {
    this.text = text;
    this.origin = origin;
    this.trust = trust;
    this.lexer = new Lexer(text);
    this.token = this.lexer.read(origin, false);
  }

  /** Where something is missing: what was last, if there is nothing more in the line or the block. */
  here(): { start: number; end: number } {
    const { kind, text, start, end } = this.token;
    const nothing = kind === 'line' || kind === 'end' || text === '}';
    return nothing ? { start: Math.max(this.lastStart, this.origin), end: this.last } : { start, end };
  }

  /** To the end of the line or the block, over whole blocks that begin on the way. */
  skipLine(): void {
    this.free = 0;
    let open = 0;
    for (; this.token.kind !== 'end'; this.next()) {
      if (open === 0 && (this.token.kind === 'line' || (this.isMark('}') && this.depth > 0))) return;
      if (this.isMark('{')) open++;
      else if (this.isMark('}') && open > 0) open--;
    }
  }

  heightOf(node: object | undefined): number {
    return node ? (this.#heights.get(node) ?? 1) : 0;
  }

  /** Where in the text a node stands that was read. */
  placeOf(node: AstNode): { start: number; end: number } {
    const { $start, $end } = node as unknown as { $start: number; $end: number };
    return { start: $start + this.origin, end: $end + this.origin };
  }

  /** Reports that something is too deep or too long, and passes the rest of the line. */
  giveUp(wording: Wording): undefined {
    this.report(wording, this.token);
    this.skipLine();
  }

  string(what: string): Text | undefined {
    if (this.token.kind !== 'string') {
      this.report(spelling.missing_text.of(what), this.here());
      return undefined;
    }
    const token = this.next();
    if (token.text.length < 2 || !token.text.endsWith('"')) {
      const fix = { title: 'Close the quotes', start: token.end, end: token.end, text: '"' };
      this.report(spelling.unclosed_text(), token, fix);
    }
    return this.node('Text', token.start, { text: token.text });
  }

  name(what: string): Name | undefined {
    if (this.token.kind !== 'word') {
      this.report(spelling.missing_name.of(what), this.here());
      return undefined;
    }
    const token = this.next();
    return this.node('Name', token.start, { text: token.text });
  }

  expectMark(text: string, where: string): void {
    if (!this.takeMark(text)) this.report(spelling.missing_mark.of(text, where), this.here());
  }

  isMark(text: string): boolean {
    return this.token.kind === 'mark' && this.token.text === text;
  }

  takeMark(text: string): boolean {
    if (!this.isMark(text)) return false;
    this.next();
    return true;
  }

  takeWord(text: string): boolean {
    if (this.token.kind !== 'word' || this.token.text !== text) return false;
    this.next();
    return true;
  }

  after(): Token {
    return this.lexer.read(this.token.end, this.free > 0);
  }

  next(): Token {
    const token = this.token;
    if (token.kind !== 'line' && token.kind !== 'end') {
      this.last = token.end;
      this.lastStart = token.start;
    }
    if (token.instead !== undefined) this.#foreign(token, token.instead);
    this.token = this.lexer.read(token.end, this.free > 0);
    return token;
  }

  /** A `;` at the end of a line is left out; where a statement follows, that goes onto a line of its own. */
  #semicolon(start: number, end: number): void {
    const [, spaces = '', next = ''] = /^([^\S\n]*)(\S?)/.exec(this.text.slice(end)) ?? [];
    const ends = next === '' || next === '}' || this.text.startsWith('//', end + spaces.length);
    const fix = ends
      ? { title: 'Remove it', start, end, text: '' }
      : { title: 'Begin a new line', start, end: end + spaces.length, text: '\n' };
    this.report(ends ? spelling.spelling.lineEnd() : spelling.spelling.twoOnOneLine(), { start, end }, fix);
  }

  /** Reports a spelling of other places whose meaning is plain. */
  #foreign(token: Token, instead: string): void {
    const { start, end } = token;
    const found = this.text.slice(start, end);
    if (token.kind === 'line') {
      this.#semicolon(start, end);
      return;
    }
    const { quotes, instead: other } = spelling.spelling;
    this.report(token.kind === 'string' ? quotes(instead) : other(instead, found), token, {
      title: `Write ${instead}`,
      start,
      end,
      text: token.kind === 'word' ? this.#apart(instead, start, end) : instead,
    });
  }

  /** A word in place of a sign: with blanks around it where the sign had none. */
  #apart(word: string, start: number, end: number): string {
    const blankAt = (at: number) => !/\S/.test(this.text[at] ?? ' ');
    return `${blankAt(start - 1) ? '' : ' '}${word}${blankAt(end) ? '' : ' '}`;
  }

  /** Reports a mistake; `change` mends it. */
  report(wording: Wording, at: { start: number; end: number }, change?: Change): void {
    this.add(mistakeAt(wording, at, change));
  }

  /** Adds a mistake that counts from the beginning of the text. */
  add(mistake: Mistake): void {
    const { text, origin } = this;
    const before = this.mistakes[this.mistakes.length - 1];
    // What is left of a line that was given up is not complained about.
    const givenUp = before?.code === tooDeep || before?.code === tooLong;
    if (givenUp && !text.slice(before.end + origin, mistake.start).includes('\n')) return;
    const end = Math.max(mistake.end, Math.min(mistake.start + 1, text.length));
    this.furthest = Math.max(this.furthest, mistake.start);
    this.mistakes.push(shifted({ ...mistake, end }, -origin));
  }

  /** Makes a node of fields that nobody else has: a copy would take a slow way, and this is done for every word of the library. */
  node<T extends AstNode>(type: T['$type'], start: number, node: Fields): T {
    let height = 0;
    for (const key in node) {
      const value = node[key];
      if (Array.isArray(value)) for (const child of value) height = Math.max(height, this.#putInto(node, child));
      else height = Math.max(height, this.#putInto(node, value));
    }
    // Of a bracket that is not closed what was read as its own is read once more, and whatever holds it ends behind that.
    const end = Math.max(this.last, this.origin, height > 0 ? this.#endOf(node) : 0);
    node.$type = type;
    // A node for something missing has no width, and stands right behind what was last.
    node.$start = Math.min(start, end) - this.origin;
    node.$end = end - this.origin;
    // Most nodes hold no other: those are one high, and need not be kept.
    if (height > 0) this.#heights.set(node, height + 1);
    return node as unknown as T;
  }

  /** Where the last of what a node holds ends. */
  #endOf(node: Fields): number {
    let end = 0;
    for (const key in node) {
      const value = node[key];
      if (Array.isArray(value)) for (const child of value) end = Math.max(end, this.#endOfOne(child));
      else if (key !== '$container') end = Math.max(end, this.#endOfOne(value));
    }
    return end;
  }

  #endOfOne(child: unknown): number {
    return isNode(child) ? Number(child.$end) + this.origin : 0;
  }

  /** Tells a node what holds it. Returns how many nodes stand in it, one in the other; 0 for what is no node. */
  #putInto(node: Fields, child: unknown): number {
    if (!isNode(child)) return 0;
    child.$container = node;
    return this.heightOf(child as object);
  }
}

function isNode(child: unknown): child is Fields {
  return typeof child === 'object' && child !== null && '$type' in child;
}
