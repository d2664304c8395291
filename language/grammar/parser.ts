import type * as ast from './generated/ast.ts';
import { Lexer, type Token } from './lexer.ts';
import {
  type AstNode,
  contentOf,
  type ParsedFile,
  type ParsedItem,
  type Placed,
  type SyntaxProblem,
  setParsed,
} from './syntax.ts';

const declarationWords = new Set([
  'kind',
  'part',
  'rule',
  'function',
  'constant',
  'numeric',
  'table',
  'sizes',
  'dimension',
  'unit',
  'prefix',
]);
export const clauseWords: ReadonlySet<string> = new Set([
  'headline',
  'inside',
  'toplevel',
  'order',
  'symbol',
  'assumes',
  'shown',
  'sizes',
  'within',
  'between',
  'when',
  'holds',
  'caution',
  'at',
  'prefixes',
  'zero',
  'base',
]);
const bareClauses = new Set(['toplevel', 'zero', 'base']);
const standings = new Set(['defined', 'read', 'quoted', 'practice', 'recalled']);
const severities = new Set(['error', 'warning', 'advice']);
/** Marks after which a statement's first word is the name of a value or a block, whatever the word. */
const namingMarks = new Set(['=', ':', '{', '.', '*']);
const comparisons = new Set(['==', '!=', '<', '<=', '>', '>=', 'is', 'in']);
const operators = new Set([...comparisons, ...'+ - * / ^ x .. and or not otherwise then else if ->'.split(' ')]);
/** Blocks and expressions nested deeper than this are refused, so that no text exhausts the stack. */
const deepest = 100;

/** Expressions that join more operands than this, one upon the other, are refused for the same reason. */
const tallest = 300;

type Fields = Record<string, unknown>;

/**
 * Parses a file. Never throws: what cannot be read becomes a problem, one for each mistake, and everything else keeps its
 * nodes. With `previous`, top-level items that the change did not touch are taken over as they are.
 */
export function parse(written: string, previous?: ParsedFile): ParsedFile {
  const text = withLineEnds(written);
  const file = { $type: 'SpecFile', items: [] as ast.Item[] } as unknown as ast.SpecFile;
  const items: ParsedItem[] = [];
  const loose: SyntaxProblem[] = [];
  const reuse = previous && new Reuse(previous, text);
  let offset = reuse?.takeBefore(items) ?? 0;
  const lexer = new Lexer(text);
  const braces = new Braces(text);
  for (;;) {
    const token = lexer.read(offset, true);
    if (token.kind === 'end') break;
    if (reuse?.takeAfter(token.start, items)) {
      offset = items[items.length - 1]?.end ?? token.start;
      if (lexer.read(offset, true).kind === 'end') break;
      continue;
    }
    if (token.kind !== 'word') {
      offset = strayLine(lexer, token, loose);
      continue;
    }
    const item = parseItem(text, token.start, braces);
    items.push(item);
    offset = item.end;
  }
  for (const item of items) {
    file.items.push(item.node);
    Object.assign(item.node, { $container: file, $at: item.start });
  }
  const parsed = { text, file, items, loose };
  setParsed(parsed);
  return parsed;
}

/**
 * The text with a line feed for each carriage return that stands alone: editors and their protocol take both for the end of a
 * line. Nothing moves.
 */
export function withLineEnds(text: string): string {
  return text.includes('\r') ? text.replace(/\r(?!\n)/g, '\n') : text;
}

/** Reports a line that begins no statement. Returns where to go on. */
function strayLine(lexer: Lexer, token: Token, loose: SyntaxProblem[]): number {
  const { text, start, end } = token;
  const newline = lexer.text.indexOf('\n', start);
  const lineEnd = newline < 0 ? lexer.text.length : newline;
  const comment = otherComment(lexer.text, start);
  if (comment) {
    loose.push(comment);
    return comment.end;
  }
  if (text === '}' || text === ']' || text === ')') {
    const fix = { title: 'Remove it', start, end, text: '' };
    loose.push({ code: 'stray_close', message: strayClose(text), start, end, fix });
    return end;
  }
  const message =
    token.kind === 'bad'
      ? meaningless(text)
      : `${text} cannot begin a statement. Expected a declaration, such as "machine Heron {".`;
  loose.push({ code: 'stray_text', message, start, end });
  return lineEnd;
}

/** What is said of a comment as other languages write it, if one begins here. It ends with its line. */
function otherComment(text: string, start: number): SyntaxProblem | undefined {
  const block = text.startsWith('/*', start);
  if (!block && text[start] !== '#') return undefined;
  const newline = text.indexOf('\n', start);
  const lineEnd = newline < 0 ? text.length : newline;
  const close = block ? text.indexOf('*/', start) : -1;
  const end = close >= 0 && close < lineEnd ? close + 2 : lineEnd;
  const message = block ? 'A comment begins with //, and ends with its line.' : 'A comment begins with //.';
  const mark = /^#+/.exec(text.slice(start, end))?.[0];
  const fix = mark ? { title: 'Write //', start, end: start + mark.length, text: '//' } : undefined;
  return { code: 'other_comment', message, start, end, fix };
}

function meaningless(character: string): string {
  if (!/[\p{C}\p{Z}]/u.test(character)) return `${character} means nothing here.`;
  const code = character.codePointAt(0)?.toString(16).toUpperCase().padStart(4, '0');
  return `Here is an invisible character, U+${code}, that means nothing.`;
}

function strayClose(text: string): string {
  const opening = text === '}' ? '{' : text === ']' ? '[' : '(';
  return `This ${text} closes nothing: there is one too many, or a ${opening} is missing before it.`;
}

/**
 * The blocks of a text that no brace closes. Asked for only once an item has been found that is not closed: otherwise each such
 * item would be read to the end of the text.
 */
class Braces {
  readonly #text: string;
  #unclosed: readonly number[] | undefined;
  constructor(text: string) {
    this.#text = text;
  }

  expectMore(): void {
    this.#unclosed ??= unclosedBraces(this.#text);
  }

  /** Is the first block of the item that starts at an offset one that no brace closes? */
  isUnclosed(start: number): boolean {
    if (!this.#unclosed) return false;
    const newline = this.#text.indexOf('\n', start);
    const lineEnd = newline < 0 ? this.#text.length : newline;
    let [low, high] = [0, this.#unclosed.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((this.#unclosed[middle] as number) < start) low = middle + 1;
      else high = middle;
    }
    return (this.#unclosed[low] ?? lineEnd) < lineEnd;
  }
}

/** Where braces open that are never closed, in their order. */
function unclosedBraces(text: string): number[] {
  const lexer = new Lexer(text);
  const open: number[] = [];
  let offset = 0;
  let begins = true;
  for (;;) {
    const token = lexer.read(offset, false);
    if (token.kind === 'end') return open;
    offset = (begins && otherComment(text, token.start)?.end) || token.end;
    if (token.kind === 'mark' && token.text === '{') open.push(token.start);
    else if (token.kind === 'mark' && token.text === '}') open.pop();
    begins = token.kind === 'line' || token.text === '{' || token.text === '}';
  }
}

/** Reads the item that starts at an offset. `braces` spares reading the rest of the text for each block that is not closed. */
export function parseItem(text: string, start: number, braces?: Braces): ParsedItem {
  const read = (trust: Trust) => {
    const parser = new Parser(text, start, trust);
    return { item: parser.item(), unclosed: parser.isUnclosed };
  };
  const first = braces?.isUnclosed(start) ? undefined : read('braces');
  if (first?.unclosed) braces?.expectMore();
  if (first && !first.unclosed && !closesAskew(text, first.item) && !goesOnBelow(text, first.item)) return first.item;
  // An unclosed block runs to the end of the file, and a brace too many ends the item early. Then the indentation tells which
  // brace is missing or left over; where it does not, lines that look like declarations are taken to end a block.
  const indented = read('indentation');
  if (first && !first.unclosed) return indented.unclosed ? { ...first.item, open: true } : indented.item;
  // An item that is not closed has at least one mistake in it, however it is read.
  const declared = indented.item.problems.length > 1 ? read('declarations') : indented;
  const better = indented.item.problems.length <= declared.item.problems.length ? indented : declared;
  return { ...better.item, open: true };
}

/** Does an item end with a brace that stands further in than its first line? */
function closesAskew(text: string, item: ParsedItem): boolean {
  if (text[item.end - 1] !== '}') return false;
  const indent = indentOf(text, item.end - 1);
  return startsLine(text, item.end - 1) && indent > indentOf(text, item.start);
}

/** Does an item without a block have lines below that stand further in, as if its block had lost its brace? */
function goesOnBelow(text: string, item: ParsedItem): boolean {
  const below = new Lexer(text).read(item.end, true);
  return below.kind === 'word' && indentOf(text, below.start) > indentOf(text, item.start);
}

/** How many blanks the line of an offset begins with. */
function indentOf(text: string, offset: number): number {
  const start = text.lastIndexOf('\n', offset - 1) + 1;
  let at = start;
  while (text[at] === ' ' || text[at] === '\t') at++;
  return at - start;
}

/** Do only blanks stand before an offset in its line? */
function startsLine(text: string, offset: number): boolean {
  return text.lastIndexOf('\n', offset - 1) + 1 + indentOf(text, offset) === offset;
}

/** What stands before an offset in its line. */
function before(text: string, offset: number): string {
  return text.slice(text.lastIndexOf('\n', offset - 1) + 1, offset);
}

/** Finds the items of an older text that an edit left alone. */
class Reuse {
  readonly #same: number;
  readonly #tail: number;
  readonly #shift: number;
  #next = 0;
  readonly previous: ParsedFile;
  readonly text: string;
  constructor(previous: ParsedFile, text: string) {
    this.previous = previous;
    this.text = text;
    const old = previous.text;
    const most = Math.min(old.length, text.length);
    let same = 0;
    while (same < most && old.charCodeAt(same) === text.charCodeAt(same)) same++;
    let tail = 0;
    while (tail < most - same && old.charCodeAt(old.length - 1 - tail) === text.charCodeAt(text.length - 1 - tail))
      tail++;
    this.#same = same;
    this.#tail = old.length - tail;
    this.#shift = text.length - old.length;
  }

  /** Takes the items that end, with the line after them, before the change. Returns where to go on. */
  takeBefore(items: ParsedItem[]): number {
    const { previous } = this;
    if (previous.loose.some((problem) => problem.start < this.#same)) return 0;
    for (const item of previous.items) {
      const line = previous.text.indexOf('\n', item.end);
      if (item.open || line < 0 || line + 1 > this.#same || this.#leansOn(item)) break;
      items.push(item);
      this.#next++;
    }
    return items[items.length - 1]?.end ?? 0;
  }

  /** Does an item without a block end where it does because of what stands below, and was that changed? */
  #leansOn(item: ParsedItem): boolean {
    const { text } = this.previous;
    return text[item.end - 1] !== '}' && new Lexer(text).read(item.end, true).end >= this.#same;
  }

  /** Takes the rest of the older items, if one of them begins just here and behind the change. */
  takeAfter(start: number, items: ParsedItem[]): boolean {
    const { previous } = this;
    while (this.#next < previous.items.length && this.#startOf(this.#next) < start) this.#next++;
    const item = previous.items[this.#next];
    if (!item || item.start < this.#tail || this.#startOf(this.#next) !== start) return false;
    // How far the item stands in tells where its blocks end.
    if (before(previous.text, item.start) !== before(this.text, start)) return false;
    // Text between the items would have to be read again.
    if (previous.loose.some((problem) => problem.start >= item.start)) return false;
    for (const rest of previous.items.slice(this.#next)) {
      rest.start += this.#shift;
      rest.end += this.#shift;
      items.push(rest);
    }
    this.#next = previous.items.length;
    return true;
  }

  #startOf(index: number): number {
    return (this.previous.items[index] as ParsedItem).start + this.#shift;
  }
}

/** What is taken to end a block: its brace alone, or also a line's indentation, or also a declaration at a line's start. */
type Trust = 'braces' | 'indentation' | 'declarations';

class Parser {
  readonly #lexer: Lexer;
  readonly #problems: SyntaxProblem[] = [];
  #token: Token;
  /** Where the token that was taken last begins and ends. */
  #lastStart = 0;
  #last = 0;
  #free = 0;
  #depth = 0;
  #open = false;
  /** How many nodes stand one in the other, for each node that was read. */
  readonly #heights = new Map<object, number>();
  /** Where the furthest problem begins. */
  #furthest = -1;
  readonly text: string;
  readonly origin: number;
  readonly trust: Trust;
  constructor(text: string, origin: number, trust: Trust) {
    this.text = text;
    this.origin = origin;
    this.trust = trust;
    this.#lexer = new Lexer(text);
    this.#token = this.#lexer.read(origin, false);
  }

  // ---- items ----

  get isUnclosed(): boolean {
    return this.#open;
  }

  item(): ParsedItem {
    const node = this.#itemNode();
    this.#endOfStatement(node);
    const end = Math.max(this.#last, this.origin);
    return { node, start: this.origin, end, problems: this.#problems, open: this.#open };
  }

  #itemNode(): ast.Item {
    const word = this.#token.text;
    const after = this.#after();
    if (word === 'use' && (after.kind !== 'mark' || after.text === '.' || after.text === '/') && after.text !== 'is')
      return this.#use();
    if (word === 'rate' && after.kind === 'number') return this.#rate();
    if (declarationWords.has(word) && (after.kind === 'word' || after.kind === 'line' || after.kind === 'end')) {
      return this.#declaration();
    }
    return this.#entry() as ast.Item;
  }

  #use(): ast.Use {
    const start = this.#next().start;
    if (this.#token.kind === 'string') return this.#node('Use', start, { path: this.#string('a file') });
    const from = this.#token.start;
    const line = this.text.slice(from).split(/\s*(?:\n|\/\/ )/, 1)[0] as string;
    const at = line ? { start: from, end: from + line.length } : this.#here();
    const fix = line ? { title: 'Put it in quotes', ...at, text: `"${line.replaceAll('"', '')}"` } : undefined;
    this.#problem('missing_text', 'Expected a file in quotes, such as use "./stock.gusset".', at, fix);
    return this.#node('Use', start, {});
  }

  #rate(): ast.Rate {
    const start = this.#next().start;
    const from = this.#expression();
    this.#expectMark('=', 'between the two amounts: rate 1 EUR = 1.08 USD on 2026-03-02');
    const to = this.#expression();
    return this.#node('Rate', start, { from, to, date: this.#dated() });
  }

  #dated(): ast.DateValue | undefined {
    if (!this.#takeWord('on')) {
      this.#problem('missing_date', 'Expected the day it was taken: on 2026-03-02.', this.#here());
      return undefined;
    }
    if (this.#token.kind !== 'date') {
      this.#problem('missing_date', 'Expected a date, written as 2026-03-02.', this.#here());
      return undefined;
    }
    const token = this.#next();
    return this.#node('DateValue', token.start, { date: token.text });
  }

  #declaration(): ast.Declaration {
    const start = this.#token.start;
    const what = this.#next().text;
    const name = this.#declaredName(what);
    const parameters = this.#parameters();
    const type = this.#takeMark(':') ? this.#type() : undefined;
    const joint = this.#missingJoint(what, name?.text ?? 'NAME');
    const on = joint === 'on' || this.#takeWord('on') ? this.#name('the kind that the rule is about') : undefined;
    const base =
      joint === 'is' || this.#takeWord('is')
        ? this.#name(what === 'part' ? 'the kind or part it starts from' : 'the kind it starts from')
        : undefined;
    const value = this.#takeMark('=') ? this.#expression() : undefined;
    return this.#node('Declaration', start, { what, name, parameters, type, on, base, value, body: this.#bodyIf() });
  }

  #declaredName(what: string): ast.Name | undefined {
    const after = this.#after();
    const unnamed = this.#token.text === 'is' && after.kind === 'word' && after.text !== 'is';
    if (!unnamed) return this.#name(`the name of the ${what}`);
    this.#problem('missing_name', `Expected the name of the ${what} before "is".`, this.#token);
    return undefined;
  }

  /** Reports a name that is followed by a kind at once; returns the word that should stand between them. */
  #missingJoint(what: string, name: string): 'on' | 'is' | undefined {
    const { kind, text, start } = this.#token;
    if (kind !== 'word' || text === 'on' || text === 'is') return undefined;
    if (what !== 'rule' && what !== 'part' && what !== 'kind') return undefined;
    const joint = what === 'rule' ? 'on' : 'is';
    // Another name follows: this word stands where the joint should.
    const after = this.#after();
    if (after.kind === 'word') {
      const { end } = this.#token;
      const message = `Expected "${joint}", not ${text}: ${what} ${name} ${joint} ${after.text}.`;
      this.#problem('missing_joint', message, this.#token, { title: `Write ${joint}`, start, end, text: joint });
      this.#next();
      return joint;
    }
    const fix = { title: `Write ${joint}`, start, end: start, text: `${joint} ` };
    const message = `Expected "${joint}" between the two names: ${what} ${name} ${joint} ${text}.`;
    this.#problem('missing_joint', message, this.#token, fix);
    return joint;
  }

  #parameters(): ast.Parameter[] {
    const parameters: ast.Parameter[] = [];
    if (!this.#isMark('(')) return parameters;
    this.#bracketed('(', ')', () => {
      const start = this.#token.start;
      const name = this.#name('the name of an argument');
      const type = this.#takeMark(':') ? this.#type() : undefined;
      if (name) parameters.push(this.#node('Parameter', start, { name, type }));
    });
    return parameters;
  }

  // ---- bodies ----

  #bodyIf(): ast.Body | undefined {
    if (this.#isMark('{') || this.#missesBrace()) return this.#body();
    return undefined;
  }

  /** Do the lines below stand further in than this one, so that they belong to a block whose brace is missing? */
  #missesBrace(): boolean {
    if (this.trust !== 'indentation' || this.#free > 0 || this.#token.kind !== 'line') return false;
    const below = this.#lexer.read(this.#last, true);
    if (below.kind !== 'word' || indentOf(this.text, below.start) <= indentOf(this.text, this.#lastStart)) return false;
    const fix = { title: 'Write {', start: this.#last, end: this.#last, text: ' {' };
    this.#problem('missing_brace', 'Expected { at the end of this line, for what stands below it.', this.#here(), fix);
    return true;
  }

  #body(): ast.Body {
    const free = this.#free;
    this.#free = 0;
    const opening = this.#isMark('{') ? this.#next() : { ...this.#token, start: this.#lastStart, end: this.#last };
    const members: ast.Member[] = [];
    if (++this.#depth > deepest) this.#skipDeep();
    for (;;) {
      while (this.#token.kind === 'line') this.#next();
      if (this.#token.kind === 'end' || this.#endsUnclosed(opening)) {
        this.#unclosedBlock(opening);
        break;
      }
      if (this.#isMark('}')) {
        if (this.#isLeftOver(opening)) continue;
        this.#free = free;
        this.#next();
        break;
      }
      const member = this.#member();
      if (member) members.push(member);
      this.#endOfStatement(member);
    }
    this.#free = free;
    this.#depth--;
    return this.#node('Body', opening.start, { members });
  }

  /** Is this a line that must stand outside of the block that was opened, whose brace is missing? */
  #endsUnclosed(opening: Token): boolean {
    if (this.trust === 'declarations') return this.#looksTopLevel();
    const { start } = this.#token;
    if (this.trust === 'braces' || start < opening.end || !startsLine(this.text, start)) return false;
    const deeper = indentOf(this.text, start) - indentOf(this.text, opening.start);
    return deeper < 0 || (deeper === 0 && !this.#isMark('}'));
  }

  #unclosedBlock(opening: Token): void {
    this.#open = true;
    if (this.#problems.some((p) => p.code === 'unclosed_block')) return;
    const { start, end } = opening;
    const indent = ' '.repeat(indentOf(this.text, start));
    const newline = this.text.indexOf('\n', this.#last);
    const at = newline < 0 ? this.text.length : newline;
    const fix = { title: 'Close the block', start: at, end: at, text: `\n${indent}}` };
    this.#problem('unclosed_block', 'The block that begins here is not closed: its } is missing.', { start, end }, fix);
  }

  /** Reports and passes a brace that stands too far in to be the one of this block. */
  #isLeftOver(opening: Token): boolean {
    const { start, end } = this.#token;
    if (this.trust !== 'indentation' || !startsLine(this.text, start)) return false;
    if (indentOf(this.text, start) <= indentOf(this.text, opening.start)) return false;
    this.#problem('stray_close', strayClose('}'), { start, end }, { title: 'Remove it', start, end, text: '' });
    this.#next();
    return true;
  }

  #skipDeep(): void {
    this.#problem('too_deep', `Blocks are nested more than ${deepest} deep here.`, this.#token);
    for (let open = 0; this.#token.kind !== 'end'; this.#next()) {
      if (this.#isMark('{')) open++;
      else if (this.#isMark('}') && open-- === 0) return;
    }
  }

  /** Does an unindented line begin as a declaration or a machine does? */
  #looksTopLevel(): boolean {
    const { start, kind, text } = this.#token;
    if (kind !== 'word' || (start > 0 && this.text.charCodeAt(start - 1) !== 10) || start === this.origin) return false;
    const line = this.text.slice(start, start + 200).split('\n', 1)[0] as string;
    return (
      declarationWords.has(text) ||
      /^use\s+"/.test(line) ||
      /^rate\s+\d/.test(line) ||
      /^[\p{L}_]\w*\s+[\p{L}_]\w*\s*(\{|is\b)/u.test(line)
    );
  }

  #member(): ast.Member | undefined {
    const { kind, text: word } = this.#token;
    if (kind !== 'word') return this.#strayMember();
    const after = this.#after();
    const names = after.kind === 'mark' && namingMarks.has(after.text);
    const ends = after.kind === 'line' || after.kind === 'end' || after.text === '}';
    if (names || after.text === 'is' || after.text === 'default' || (ends && !bareClauses.has(word)))
      return this.#entry();
    const keyword = this.#keywordMember(word, after);
    return keyword ?? this.#entry();
  }

  #strayMember(): ast.Member | undefined {
    const { kind, text, start, end } = this.#token;
    if (otherComment(this.text, start)) {
      this.#token = this.#lexer.read(this.#otherComment(start), false);
      return this.#token.kind === 'word' ? this.#member() : undefined;
    }
    let message = `${text} cannot begin a statement. Expected a name, such as "power = 250 W" or "wire {".`;
    if (kind === 'bad') message = meaningless(text);
    else if (text === '=') message = 'Expected a name before the =, such as power = 250 W.';
    this.#problem('stray_text', message, { start, end });
    this.#skipLine();
    return undefined;
  }

  #keywordMember(word: string, after: Token): ast.Member | undefined {
    const start = this.#token.start;
    if (word === 'shared' && after.text === 'has') return this.#has();
    if (word === 'has' && after.kind === 'word') return this.#has();
    if (word === 'source' && (standings.has(after.text) || after.kind === 'string')) return this.#source();
    if (severities.has(word) && after.kind === 'string') {
      return this.#node('Message', this.#next().start, { severity: word, text: this.#string('the message') });
    }
    if (word === 'remedy' && (after.kind === 'word' || after.kind === 'string')) return this.#remedy();
    if (word === 'follows' && after.kind === 'word') return this.#follows();
    if (word === 'row') return this.#row();
    if (word === 'require') {
      this.#next();
      return this.#node('Requirement', start, { condition: this.#condition() });
    }
    if (word === 'accept' && after.kind === 'word') return this.#acceptance();
    if (word === 'measured') return this.#measurement();
    if (word === 'remove' && after.kind === 'word') {
      this.#next();
      return this.#node('Removal', start, { name: this.#name('the name of a block to remove') });
    }
    if (clauseWords.has(word)) return this.#clause();
    if (
      declarationWords.has(word) &&
      after.kind === 'word' &&
      (word !== 'part' || this.#lexer.read(after.end, false).text === 'is') &&
      word !== 'unit'
    ) {
      this.#problem(
        'declaration_inside',
        `A ${word} is declared at the top of a file, not inside a block.`,
        this.#token,
      );
    }
    return undefined;
  }

  #has(): ast.Has {
    const start = this.#token.start;
    const shared = this.#takeWord('shared');
    this.#next();
    const name = this.#name('the name of a block');
    const kind = this.#takeMark(':') ? this.#name('a kind') : undefined;
    const occurs = this.#takeMark('?') ? '?' : this.#takeMark('*') ? '*' : undefined;
    return this.#node('Has', start, { shared, name, kind, occurs, body: this.#bodyIf() });
  }

  #source(): ast.Source {
    const start = this.#next().start;
    let standing: string | undefined;
    if (this.#token.kind === 'word') standing = this.#next().text;
    else
      this.#problem('missing_standing', `Expected how good the source is: ${[...standings].join(', ')}.`, this.#here());
    return this.#node('Source', start, { standing, text: this.#string('the source in quotes') });
  }

  #remedy(): ast.Remedy {
    const start = this.#next().start;
    if (this.#token.kind === 'string') return this.#node('Remedy', start, { text: this.#string('a remedy') });
    const target = this.#name('what to change');
    return this.#node('Remedy', start, { target, value: this.#takeMark('=') ? this.#expression() : undefined });
  }

  #follows(): ast.Follows {
    const start = this.#next().start;
    const rule = this.#name('the rule that is the root');
    if (!this.#takeWord('of'))
      this.#problem('missing_of', 'Expected "of" and the block where that rule is broken.', this.#here());
    return this.#node('Follows', start, { rule, of: this.#expression() });
  }

  #row(): ast.Row {
    const start = this.#next().start;
    const keys = this.#expressions();
    this.#expectMark(':', "between a row's keys and its value: row 0.75 mm^2: 8.5 A");
    return this.#node('Row', start, { keys, value: this.#expression() });
  }

  #clause(): ast.Clause {
    const token = this.#next();
    const ends = this.#token.kind === 'line' || this.#token.kind === 'end' || this.#isMark('}');
    if (ends) return this.#node('Clause', token.start, { keyword: token.text, values: [] });
    const tests = token.text === 'when' || token.text === 'holds';
    const values = tests ? [this.#condition()].filter((value) => value !== undefined) : this.#expressions();
    return this.#node('Clause', token.start, { keyword: token.text, values });
  }

  #expressions(): ast.Expression[] {
    const values: ast.Expression[] = [];
    do {
      const value = this.#expression();
      if (value) values.push(value);
    } while (this.#takeMark(','));
    return values;
  }

  #acceptance(): ast.Acceptance {
    const start = this.#next().start;
    const rule = this.#name('the rule whose finding is accepted');
    const value = this.#takeWord('at') ? this.#expression() : undefined;
    if (this.#takeWord('because'))
      return this.#node('Acceptance', start, { rule, value, reason: this.#string('the reason, in quotes') });
    this.#problem('missing_reason', 'An acceptance says why: because "measured 55 degC after an hour".', this.#here());
    return this.#node('Acceptance', start, { rule, value });
  }

  #measurement(): ast.Measurement {
    const start = this.#next().start;
    const target = this.#postfix();
    this.#expectMark('=', 'between what was measured and its value');
    const value = this.#expression();
    const date = this.#dated();
    const inPlace = this.#token.text === 'in' && this.#after().text === 'place';
    if (inPlace) {
      this.#next();
      this.#next();
    }
    return this.#node('Measurement', start, { target, value, date, inPlace });
  }

  #entry(): ast.Entry {
    const start = this.#token.start;
    const shared = this.#token.text === 'shared' && this.#after().kind === 'word' && this.#takeWord('shared');
    const first = this.#name('a name');
    const named = this.#token.kind === 'word' && this.#token.text !== 'is' && this.#token.text !== 'default';
    const name = named ? this.#name('a name') : undefined;
    const parameters = this.#parameters();
    const colon = this.#isMark(':') && this.#valueAfterColon(first?.text ?? 'this');
    const type = !colon && this.#takeMark(':') ? this.#type() : undefined;
    const count = this.#takeMark('*') ? this.#count() : undefined;
    const base = this.#takeWord('is') ? this.#base() : undefined;
    const defaults = this.#takeWord('default');
    let equals = !defaults && (colon || this.#takeMark('=') || (!type && this.#doubleEquals(first?.text ?? 'this')));
    let value: ast.Expression | undefined;
    if (equals || defaults) value = this.#valueOf(first?.text ?? 'this');
    else if (this.#startsValue() && !type && !base) {
      equals = true;
      value = this.#valueWithoutEquals();
    }
    return this.#node('Entry', start, {
      shared,
      first,
      name,
      parameters,
      type,
      count,
      base,
      defaults,
      equals,
      value,
      body: this.#bodyIf(),
    });
  }

  /** Takes a colon before a number or a list, which was meant to be an equals sign. */
  #valueAfterColon(name: string): boolean {
    const { kind, text } = this.#after();
    if (kind !== 'number' && kind !== 'string' && kind !== 'date' && text !== '[' && text !== '?') return false;
    const { start, end } = this.#next();
    const blank = this.text[start - 1] === ' ' ? '' : ' ';
    const fix = { title: 'Write =', start, end, text: `${blank}=` };
    this.#problem('colon_for_equals', `The value of ${name} is given with =, not with a colon.`, { start, end }, fix);
    return true;
  }

  #doubleEquals(name: string): boolean {
    if (!this.#isMark('==')) return false;
    const { start, end } = this.#next();
    const fix = { title: 'Write =', start, end, text: '=' };
    this.#problem('double_equals', `The value of ${name} is given with a single =.`, { start, end }, fix);
    return true;
  }

  #valueOf(name: string): ast.Expression | undefined {
    if (this.#token.kind !== 'line' && this.#token.kind !== 'end' && !this.#isMark('}')) return this.#expression();
    const after = this.text.slice(this.#lastStart, this.#last);
    this.#problem('missing_value', `The value of ${name} is missing after the ${after}.`, this.#here());
    return undefined;
  }

  #startsValue(): boolean {
    const { kind, text } = this.#token;
    return kind === 'number' || kind === 'string' || kind === 'date' || text === '[' || text === '?';
  }

  #valueWithoutEquals(): ast.Expression | undefined {
    const { start } = this.#token;
    const value = this.#expression();
    const fix = { title: 'Write =', start, end: start, text: '= ' };
    this.#problem('missing_equals', 'Expected = between the name and its value.', { start, end: this.#last }, fix);
    return value;
  }

  #count(): ast.Quantity | undefined {
    if (this.#token.kind === 'number') return this.#quantity();
    this.#problem('missing_count', 'Expected how many, such as motor * 2.', this.#here());
    return undefined;
  }

  #base(): ast.Base | undefined {
    if (this.#isMark('?')) return this.#node('Open', this.#next().start, {});
    return this.#name('the part or kind it starts from, or ? to let the tool propose one');
  }

  /** A statement ends with its line or with its block; what else stands there is one problem. */
  #endOfStatement(node: AstNode | undefined): void {
    // What follows an unclosed block stands outside of it.
    if (this.#open) return;
    const { kind, text, start } = this.#token;
    if (kind === 'line' || kind === 'end' || (text === '}' && this.#depth > 0)) return;
    const lastProblem = this.#problems[this.#problems.length - 1];
    const lineStart = this.text.lastIndexOf('\n', start - 1) + 1;
    const told = lastProblem && lastProblem.end + this.origin >= lineStart;
    const after = this.#after();
    if (kind === 'word' && node && (namingMarks.has(after.text) || after.text === 'is') && after.text !== '.') {
      const indent = ' '.repeat(indentOf(this.text, start));
      const fix = { title: 'Begin a new line', start: this.#last, end: start, text: `\n${indent}` };
      if (!told)
        this.#problem('unexpected', `Each statement has its own line: ${text} begins another.`, this.#token, fix);
      return;
    }
    if (!told && node) this.#unexpected(this.#token);
    this.#skipLine();
  }

  #unexpected({ kind, text, start, end }: Token): void {
    const at = { start, end };
    if (kind === 'mark' && ['}', ']', ')'].includes(text)) {
      this.#problem('stray_close', strayClose(text), at, { title: 'Remove it', start, end, text: '' });
    } else if (text === '#' || this.text.startsWith('/*', start)) this.#otherComment(start);
    else if (kind === 'bad') this.#problem('unexpected', meaningless(text), at);
    else this.#problem('unexpected', `${text} was not expected here: a statement ends with its line.`, at);
  }

  /** Reports a comment as other languages write it, to its end or the end of its line. Returns where it ends. */
  #otherComment(start: number): number {
    const problem = otherComment(this.text, start) as SyntaxProblem;
    this.#problem(problem.code, problem.message, problem, problem.fix);
    return problem.end;
  }

  /** To the end of the line or the block, over whole blocks that begin on the way. */
  #skipLine(): void {
    this.#free = 0;
    let open = 0;
    for (; this.#token.kind !== 'end'; this.#next()) {
      if (open === 0 && (this.#token.kind === 'line' || (this.#isMark('}') && this.#depth > 0))) return;
      if (this.#isMark('{')) open++;
      else if (this.#isMark('}') && open > 0) open--;
    }
  }

  // ---- types ----

  #type(): ast.Type {
    const start = this.#token.start;
    const terms = [this.#typeTerm()];
    while (this.#token.text === 'x') {
      this.#next();
      terms.push(this.#typeTerm());
    }
    const optional = this.#takeMark('?');
    return this.#node('Type', start, { terms: terms.filter(Boolean), optional });
  }

  #typeTerm(): ast.TypeTerm | undefined {
    if (this.#depth > deepest * 2) return this.#tooDeep('This type is nested too deep.');
    this.#depth++;
    const term = this.#termOf(this.#token);
    this.#depth--;
    return term;
  }

  #termOf({ start, text }: Token): ast.TypeTerm | undefined {
    const of = this.#after().text === 'of';
    if (of && (text === 'list' || text === 'curve' || text === 'one')) {
      this.#next();
      this.#next();
      if (text === 'list') return this.#node('ListType', start, { of: this.#typeTerm() });
      if (text === 'one') return this.#node('ChoiceType', start, { options: this.#options() });
      const x = this.#typeTerm();
      this.#expectMark(',', 'between the two quantities of a curve: curve of Time, Temperature');
      return this.#node('CurveType', start, { x, y: this.#typeTerm() });
    }
    if (this.#isMark('(')) {
      const parameters: (ast.TypeTerm | undefined)[] = [];
      this.#bracketed('(', ')', () => parameters.push(this.#typeTerm()));
      this.#expectMark('->', 'between what a formula takes and what it gives');
      return this.#node('FormulaType', start, { parameters, result: this.#typeTerm() });
    }
    if (text === 'any' && this.#after().kind === 'word') {
      this.#next();
      return this.#node('AnyType', start, { name: this.#name('a name for any quantity, such as any X') });
    }
    const name = this.#name('a quantity or a kind, such as Power or wire');
    return name && this.#node('NamedType', start, { name });
  }

  #options(): ast.Name[] {
    const options: ast.Name[] = [];
    do {
      const name = this.#name('one of the choices');
      if (name) options.push(name);
    } while (!this.#anotherParameter() && this.#takeMark(','));
    return options;
  }

  /** Does a comma end the choices of one argument, and a name and its colon begin the next? */
  #anotherParameter(): boolean {
    if (this.#free === 0 || !this.#isMark(',')) return false;
    const name = this.#after();
    return this.#lexer.read(name.end, true).text === ':';
  }

  // ---- expressions ----

  /** An expression for `parseExpression`: all of the text must be used. */
  whole(): ast.Expression | undefined {
    this.#free = 1;
    return this.#expression();
  }
  get problems(): readonly SyntaxProblem[] {
    return this.#problems;
  }

  #expression(): ast.Expression | undefined {
    if (this.#depth > deepest * 2) return this.#tooDeep('This expression is nested too deep.');
    this.#depth++;
    const node =
      this.#token.text === 'if' && this.#token.kind === 'word' && !this.#endsAfter()
        ? this.#conditional()
        : this.#fallback();
    this.#depth--;
    return node;
  }

  /** An expression that says yes or no: a single = in it was meant to compare. */
  #condition(): ast.Expression | undefined {
    const { start } = this.#token;
    const left = this.#expression();
    if (!this.#isMark('=')) return left;
    const mark = this.#next();
    const fix = { title: 'Write ==', start: mark.start, end: mark.end, text: '==' };
    this.#problem('single_equals', 'Two values are compared with ==; a single = gives a value.', mark, fix);
    return this.#node('Binary', start, { left, operator: '==', right: this.#expression() });
  }

  #heightOf(node: object | undefined): number {
    return (node && this.#heights.get(node)) ?? 0;
  }

  #tooLong(): undefined {
    const message = `This expression joins more than ${tallest} operands: give parts of it names of their own.`;
    this.#problem('too_long', message, this.#token);
    this.#skipLine();
  }

  #tooDeep(message: string): undefined {
    this.#problem('too_deep', message, this.#token);
    this.#skipLine();
  }

  #endsAfter(): boolean {
    const { kind, text } = this.#after();
    return kind === 'line' || kind === 'end' || text === '}' || text === ',' || text === ')';
  }

  #conditional(): ast.Expression {
    const start = this.#next().start;
    const condition = this.#condition();
    if (!this.#takeWord('then'))
      this.#problem('missing_then', 'Expected "then" after the condition: if C then A else B.', this.#here());
    const then = this.#expression();
    if (!this.#takeWord('else')) {
      this.#problem('missing_else', 'Expected "else" and what holds otherwise: if C then A else B.', this.#here());
      return this.#node('Conditional', start, { condition, then });
    }
    return this.#node('Conditional', start, { condition, then, else: this.#expression() });
  }

  #fallback(): ast.Expression | undefined {
    return this.#chain(
      () => this.#or(),
      (t) => t === 'otherwise',
    );
  }
  #or(): ast.Expression | undefined {
    return this.#chain(
      () => this.#and(),
      (t) => t === 'or',
    );
  }
  #and(): ast.Expression | undefined {
    return this.#chain(
      () => this.#comparison(),
      (t) => t === 'and',
    );
  }
  #comparison(): ast.Expression | undefined {
    return this.#chain(
      () => this.#range(),
      (t) => comparisons.has(t) && !(t === 'in' && this.#after().text === 'place'),
    );
  }
  #range(): ast.Expression | undefined {
    return this.#chain(
      () => this.#size(),
      (t) => t === '..',
    );
  }
  #size(): ast.Expression | undefined {
    return this.#chain(
      () => this.#sum(),
      (t) => t === 'x',
    );
  }
  #sum(): ast.Expression | undefined {
    return this.#chain(
      () => this.#product(),
      (t) => t === '+' || t === '-',
    );
  }
  #product(): ast.Expression | undefined {
    return this.#chain(
      () => this.#unary(),
      (t) => t === '*' || t === '/',
    );
  }

  /** Operands joined from the left by operators of one rank. */
  #chain(operand: () => ast.Expression | undefined, joins: (text: string) => boolean): ast.Expression | undefined {
    const start = this.#token.start;
    let left = operand();
    while ((this.#token.kind === 'mark' || this.#token.kind === 'word') && joins(this.#token.text)) {
      if (this.#heightOf(left) > tallest) return this.#tooLong();
      const operator = this.#next().text;
      left = this.#node('Binary', start, { left, operator, right: operand() });
    }
    return left;
  }

  #unary(): ast.Expression | undefined {
    const { kind, start, text } = this.#token;
    if (!this.#isMark('-') && !(text === 'not' && kind === 'word')) return this.#power();
    if (this.#depth > deepest * 2) return this.#tooDeep('This expression is nested too deep.');
    this.#next();
    this.#depth++;
    // "not" takes in a whole comparison; a minus takes in a power.
    const operand = text === 'not' ? this.#comparison() : this.#unary();
    this.#depth--;
    return this.#node('Unary', start, { operator: text, operand });
  }

  #power(): ast.Expression | undefined {
    const start = this.#token.start;
    const left = this.#postfix();
    if (!this.#takeMark('^')) return left;
    if (this.#depth > deepest * 2) return this.#tooDeep('This expression is nested too deep.');
    this.#depth++;
    const right = this.#unary();
    this.#depth--;
    return this.#node('Binary', start, { left, operator: '^', right });
  }

  #postfix(): ast.Expression | undefined {
    const start = this.#token.start;
    let node = this.#primary();
    while (node) {
      if (this.#heightOf(node) > tallest) return this.#tooLong();
      if (this.#takeMark('.')) {
        const member = this.#token.kind === 'word' ? this.#name('') : undefined;
        if (!member)
          this.#problem('missing_member', 'Expected the name of a value or a block after the dot.', {
            start: this.#last - 1,
            end: this.#last,
          });
        node = this.#node('Access', start, { object: node, member });
        if (!member) return node;
      } else if (this.#isMark('(')) {
        const args: ast.Argument[] = [];
        this.#bracketed('(', ')', () => args.push(this.#argument()));
        node = this.#node('Call', start, { callee: node, arguments: args });
      } else if (this.#isMark('[')) {
        let index: ast.Expression | undefined;
        this.#bracketed('[', ']', () => {
          index = this.#expression();
        });
        node = this.#node('Index', start, { object: node, index });
      } else break;
    }
    return node;
  }

  #argument(): ast.Argument {
    const start = this.#token.start;
    const follows = this.#token.kind === 'word' ? this.#after() : undefined;
    const named = follows?.text === ':';
    const begins = this.#token.text === 'if' || this.#token.text === 'not';
    const unmarked = !begins && (follows?.kind === 'number' || follows?.kind === 'string');
    const name = named || unmarked ? this.#name('') : undefined;
    if (named) this.#next();
    else if (unmarked) {
      const fix = { title: 'Write a colon', start: this.#last, end: this.#last, text: ':' };
      this.#problem('missing_mark', `Expected a colon between ${name?.text} and its value.`, this.#token, fix);
    }
    const value = this.#expression();
    return this.#node('Argument', start, {
      name,
      value,
      comprehension: this.#token.text === 'for' ? this.#comprehension() : undefined,
    });
  }

  #comprehension(): ast.Comprehension {
    const start = this.#next().start;
    const variable = this.#name('a name for each of them');
    if (!this.#takeWord('in'))
      this.#problem('missing_in', 'Expected "in" and what is gone through: for m in every motor.', this.#here());
    const domain = this.#token.text === 'every' && this.#after().kind === 'word' ? this.#every() : this.#expression();
    const condition = this.#takeWord('where') ? this.#condition() : undefined;
    return this.#node('Comprehension', start, { variable, domain, condition });
  }

  #every(): ast.Every {
    const start = this.#next().start;
    const kind = this.#name('a kind');
    return this.#node('Every', start, { kind, within: this.#takeWord('of') ? this.#postfix() : undefined });
  }

  #primary(): ast.Expression | undefined {
    const { kind, text, start } = this.#token;
    if (kind === 'number') return this.#quantity();
    if (kind === 'string') return this.#string('a text');
    if (kind === 'date') return this.#node('DateValue', this.#next().start, { date: text });
    if (kind === 'word') {
      if (text === 'yes' || text === 'no') return this.#node('Truth', this.#next().start, { value: text });
      return this.#node('Reference', start, { name: this.#name('') });
    }
    if (text === '?') return this.#node('Open', this.#next().start, {});
    if (text === '.' && this.#after().start === this.#token.end && this.#after().kind === 'number') {
      return this.#pointedNumber();
    }
    if (text === '[') return this.#list();
    if (text === '(') {
      let inner: ast.Expression | undefined;
      this.#bracketed('(', ')', () => {
        inner = this.#expression();
      });
      return this.#node('Group', start, { inner });
    }
    const { message, fix } = this.#missingValue();
    this.#problem('missing_value', message, this.#here(), fix);
    return undefined;
  }

  /** What is said where a value should begin and none does. */
  #missingValue(): { message: string; fix?: SyntaxProblem['fix'] } {
    const { kind, text, start, end } = this.#token;
    const last = this.text.slice(this.#lastStart, this.#last);
    if (kind === 'bad') return { message: `${meaningless(text)} Expected a value, such as 24 V or a name.` };
    if (this.#free > 0 && (text === ',' || text === ')' || text === ']')) {
      const fix = text === ',' ? { title: 'Remove it', start, end, text: '' } : undefined;
      return { message: `A value is missing before this ${text === ',' ? 'comma' : text}.`, fix };
    }
    if (operators.has(last)) return { message: `A value is missing after "${last}", such as 24 V or a name.` };
    return { message: 'Expected a value here: a number with its unit, a name, or ? to let the tool propose one.' };
  }

  /** Where something is missing: what was last, if there is nothing more in the line or the block. */
  #here(): { start: number; end: number } {
    const { kind, text, start, end } = this.#token;
    const nothing = kind === 'line' || kind === 'end' || text === '}';
    return nothing ? { start: Math.max(this.#lastStart, this.origin), end: this.#last } : { start, end };
  }

  #quantity(): ast.Quantity {
    const token = this.#next();
    const { number, unit, start, end } = token;
    const text = unit ? `${number} ${unit}` : (number ?? '');
    const fix = { title: `Write ${text}`, start, end, text };
    if (token.comma) this.#problem('decimal_comma', `Decimals are written with a point: ${text}.`, { start, end }, fix);
    else if (token.tight && this.#isStray())
      this.#problem('tight_unit', `A number and its unit stand alone: ${number} ${this.#token.text}.`, { start, end });
    else if (token.tight)
      this.#problem('tight_unit', `Write a blank between the number and its unit: ${text}.`, { start, end }, fix);
    return this.#node('Quantity', start, { number, unit });
  }

  /** Does a word follow that nothing comes after: what stood before it was no unit? */
  #isStray(): boolean {
    if (this.#token.kind !== 'word') return false;
    const { kind, text } = this.#after();
    return kind === 'line' || kind === 'end' || text === '}';
  }

  /** A number that begins with its point. */
  #pointedNumber(): ast.Quantity {
    const { start } = this.#next();
    const { number, unit, end } = this.#next();
    const text = unit ? `0.${number} ${unit}` : `0.${number}`;
    const fix = { title: `Write ${text}`, start, end, text };
    this.#problem('leading_point', `A number begins with a digit: ${text}.`, { start, end }, fix);
    return this.#node('Quantity', start, { number: `0.${number}`, unit });
  }

  #list(): ast.List {
    const start = this.#token.start;
    const elements: ast.ListElement[] = [];
    this.#bracketed('[', ']', () => {
      const at = this.#token.start;
      const named = this.#token.kind === 'word' && this.#after().text === '=';
      const name = named ? this.#name('') : undefined;
      if (named) this.#next();
      const value = this.#expression();
      if (value) elements.push(this.#node('ListElement', at, { name, value }));
    });
    return this.#node('List', start, { elements });
  }

  /** Comma-separated things in brackets, over as many lines as one likes. */
  #bracketed(open: string, close: string, element: () => void): void {
    const opening = this.#token;
    this.#free++;
    this.#next();
    while (!this.#isMark(close) && this.#token.kind !== 'end') {
      const before = this.#token.start;
      element();
      this.#skipBad();
      if (this.#takeMark(',')) continue;
      if (this.#isMark(close)) break;
      if (this.#token.start > before && this.#missingComma(open, close)) continue;
      this.#unclosed(open, close, opening);
      return;
    }
    this.#free--;
    if (this.#isMark(close)) this.#next();
    else this.#unclosed(open, close, opening, true);
  }

  /** Passes characters that mean nothing, so that a list goes on behind them. */
  #skipBad(): void {
    const { kind, start } = this.#token;
    if (kind !== 'bad') return;
    const told = this.#problems.at(-1);
    if (!told || told.start + this.origin !== start) this.#unexpected(this.#token);
    while (this.#token.kind === 'bad') this.#next();
  }

  /** Reports that a comma is missing where the next element follows at once; false where it does not. */
  #missingComma(open: string, close: string): boolean {
    const { kind, text, start } = this.#token;
    if (kind !== 'word' && kind !== 'number' && kind !== 'string' && kind !== 'date') return false;
    const after = this.#after().text;
    const sameLine = !this.text.slice(this.#last, start).includes('\n');
    const another = sameLine ? after !== '=' || open === '[' : [',', close, '.', '('].includes(after);
    if (!another) return false;
    const fix = { title: 'Write a comma', start: this.#last, end: this.#last, text: ',' };
    this.#problem('missing_comma', `Expected a comma before ${text}.`, this.#token, fix);
    return true;
  }

  #unclosed(open: string, close: string, opening: Token, left = false): void {
    if (!left) this.#free--;
    const lineStart = this.text.lastIndexOf('\n', opening.start) + 1;
    if (this.#furthest < lineStart)
      this.#problem('unclosed_bracket', `This ${open} is not closed: its ${close} is missing.`, {
        start: opening.start,
        end: opening.end,
      });
    // Go on at the end of the opening's own line: the lines below are statements of their own.
    const newline = this.text.indexOf('\n', opening.start);
    if (this.#free === 0 && newline >= 0 && this.#last > newline) this.#token = this.#lexer.read(newline, false);
    else if (this.#free === 0) this.#token = this.#lexer.read(this.#last, false);
  }

  // ---- small steps ----

  #string(what: string): ast.Text | undefined {
    if (this.#token.kind !== 'string') {
      this.#problem('missing_text', `Expected ${what}.`, this.#here());
      return undefined;
    }
    const token = this.#next();
    if (token.text.length < 2 || !token.text.endsWith('"')) {
      const fix = { title: 'Close the quotes', start: token.end, end: token.end, text: '"' };
      this.#problem(
        'unclosed_text',
        'This text is not closed: a " is missing at its end.',
        { start: token.start, end: token.end },
        fix,
      );
    }
    return this.#node('Text', token.start, { text: token.text });
  }

  #name(what: string): ast.Name | undefined {
    if (this.#token.kind !== 'word') {
      this.#problem('missing_name', `Expected ${what}.`, this.#here());
      return undefined;
    }
    const token = this.#next();
    return this.#node('Name', token.start, { text: token.text });
  }

  #expectMark(text: string, where: string): void {
    if (!this.#takeMark(text)) this.#problem('missing_mark', `Expected ${text} ${where}.`, this.#here());
  }

  #isMark(text: string): boolean {
    return this.#token.kind === 'mark' && this.#token.text === text;
  }
  #takeMark(text: string): boolean {
    if (!this.#isMark(text)) return false;
    this.#next();
    return true;
  }
  #takeWord(text: string): boolean {
    if (this.#token.kind !== 'word' || this.#token.text !== text) return false;
    this.#next();
    return true;
  }
  #after(): Token {
    return this.#lexer.read(this.#token.end, this.#free > 0);
  }
  #next(): Token {
    const token = this.#token;
    if (token.kind !== 'line' && token.kind !== 'end') {
      this.#last = token.end;
      this.#lastStart = token.start;
    }
    if (token.instead !== undefined) this.#foreign(token, token.instead);
    this.#token = this.#lexer.read(token.end, this.#free > 0);
    return token;
  }

  /** A `;` at the end of a line is left out; where a statement follows, that goes onto a line of its own. */
  #semicolon(start: number, end: number): void {
    const [, spaces = '', next = ''] = /^([^\S\n]*)(\S?)/.exec(this.text.slice(end)) ?? [];
    const ends = next === '' || next === '}' || this.text.startsWith('//', end + spaces.length);
    const message = ends
      ? 'A statement ends with its line: no ; is needed.'
      : 'One statement stands on one line: a new line is needed here, not a ;.';
    const fix = ends
      ? { title: 'Remove it', start, end, text: '' }
      : { title: 'Begin a new line', start, end: end + spaces.length, text: '\n' };
    this.#problem('spelling', message, { start, end }, fix);
  }

  /** Reports a spelling of other places whose meaning is plain. */
  #foreign(token: Token, instead: string): void {
    const { start, end } = token;
    const found = this.text.slice(start, end);
    if (token.kind === 'line') {
      this.#semicolon(start, end);
      return;
    }
    const message =
      token.kind === 'string' ? `Texts stand in straight double quotes: ${instead}.` : `Write ${instead} for ${found}.`;
    this.#problem('spelling', message, { start, end }, { title: `Write ${instead}`, start, end, text: instead });
  }

  #problem(code: string, message: string, at: { start: number; end: number }, fix?: SyntaxProblem['fix']): void {
    const by = this.origin;
    const before = this.#problems[this.#problems.length - 1];
    // What is left of a line that was given up is not complained about.
    if (
      (before?.code === 'too_deep' || before?.code === 'too_long') &&
      !this.text.slice(before.end + by, at.start).includes('\n')
    )
      return;
    const end = Math.max(at.end, Math.min(at.start + 1, this.text.length));
    this.#furthest = Math.max(this.#furthest, at.start);
    this.#problems.push({
      code,
      message,
      start: at.start - by,
      end: end - by,
      fix: fix && { ...fix, start: fix.start - by, end: fix.end - by },
    });
  }

  #node<T extends AstNode>(type: T['$type'], start: number, fields: Fields): T {
    const end = Math.max(this.#last, this.origin);
    const node = {
      $type: type,
      ...fields,
      // A node for something missing has no width, and stands right behind what was last.
      $start: Math.min(start, end) - this.origin,
      $end: end - this.origin,
    } as Fields;
    let height = 0;
    for (const key in fields) {
      const value = fields[key];
      for (const child of Array.isArray(value) ? value : [value]) {
        if (!isNode(child)) continue;
        child.$container = node;
        height = Math.max(height, this.#heightOf(child));
      }
    }
    this.#heights.set(node, height + 1);
    return node as unknown as T;
  }
}

function isNode(child: unknown): child is Fields {
  return typeof child === 'object' && child !== null && '$type' in child;
}

const messages = new WeakMap<ast.Text, readonly (string | ast.Expression)[]>();

/** Texts that are read as they stand: of a source, an assumption, a reason, the path of a file. */
const plainTexts: ReadonlySet<string> = new Set<ast.Member['$type'] | 'Use'>(['Source', 'Clause', 'Acceptance', 'Use']);

function isPlain({ $container: container }: ast.Text): boolean {
  if (container?.$type === 'Clause' && container.keyword === 'caution') return false;
  return plainTexts.has(container?.$type ?? '');
}

/** A text and the expressions in its braces, in order. `\{` writes a brace. */
export function interpolations(node: ast.Text): readonly (string | ast.Expression)[] {
  let parts = messages.get(node);
  if (!parts) {
    parts = isPlain(node) ? [contentOf(node)] : readMessage(node);
    messages.set(node, parts);
  }
  return parts;
}

function readMessage(node: ast.Text): (string | ast.Expression)[] {
  const parts: (string | ast.Expression)[] = [];
  const raw = node.text.replace(/^"/, '').replace(/"$/, '');
  let plain = '';
  let close = raw.indexOf('}');
  for (let at = 0; at < raw.length; at++) {
    if (close >= 0 && close < at) close = raw.indexOf('}', at);
    if (raw[at] === '\\') plain += raw[++at] ?? '';
    else if (raw[at] === '{' && close > 0) {
      if (plain) parts.push(plain);
      plain = '';
      const expression = placedExpression(raw.slice(at + 1, close), node, at + 2);
      parts.push(expression ?? raw.slice(at, close + 1));
      at = close;
    } else plain += raw[at];
  }
  if (plain) parts.push(plain);
  return parts;
}

/** Parses an expression that stands inside a text, and gives its nodes their places there. */
function placedExpression(text: string, holder: ast.Text, offset: number): ast.Expression | undefined {
  const parser = new Parser(text, 0, 'braces');
  const node = parser.whole();
  if (!node || parser.problems.length > 0) return undefined;
  move(node as unknown as Placed, (holder as unknown as Placed).$start + offset);
  (node as unknown as Fields).$container = holder;
  return node;
}

function move(node: Placed, by: number): void {
  node.$start += by;
  node.$end += by;
  for (const [key, value] of Object.entries(node)) {
    if (key.startsWith('$')) continue;
    for (const child of Array.isArray(value) ? value : [value])
      if (typeof child === 'object' && child && '$type' in child) move(child, by);
  }
}
