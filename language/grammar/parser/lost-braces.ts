import { spelling } from '../../mistakes/spelling.ts';
import { Lexer, type Token } from '../lexer.ts';
import type { ParsedItem } from '../syntax.ts';
import { declarationWords } from '../words.ts';
import { type Cursor, deepest } from './cursor.ts';
import { indentOf, startsLine } from './lines.ts';
import { otherComment, strayClose } from './stray.ts';

/** Do the lines below stand further in than this one, so that they belong to a block whose brace is missing? */
export function missesBrace(p: Cursor): boolean {
  if (p.trust !== 'indentation' || p.free > 0 || !endsLine(p)) return false;
  const below = p.lexer.read(p.last, true);
  if (below.kind !== 'word' || indentOf(p.text, below.start) <= indentOf(p.text, p.lastStart)) return false;
  const fix = { title: 'Write {', start: p.last, end: p.last, text: ' {' };
  p.report(spelling.missing_brace(), p.here(), fix);
  return true;
}

/** Does the block of this line begin with a brace on a line of its own? Reports that, and goes on at the brace. */
export function hasBraceBelow(p: Cursor): boolean {
  if (p.free > 0 || !endsLine(p)) return false;
  const brace = p.lexer.read(p.last, true);
  if (brace.text !== '{' || brace.kind !== 'mark') return false;
  const from = p.text.lastIndexOf('\n', p.last - 1) + 1;
  const between = p.text.slice(p.last, brace.start).trimEnd();
  const fix = { title: 'Put it there', start: p.last, end: brace.end, text: ` {${between}` };
  p.report(spelling.stray_text.brace(p.text.slice(from, p.last).trim()), brace, fix);
  while (p.token.kind === 'line') p.next();
  return true;
}

/** Words up to a brace that ends their line. */
const wordsToBrace = /\w+(?:[ \t]+\w+)+(?=[ \t]*\{[ \t]*(?:\/\/.*)?$)/my;

/** Do words that mean nothing here part a block's name from its brace? Reports them, and goes on at the brace: what stands in the block is read. */
export function passesToBrace(p: Cursor): boolean {
  const { kind, start } = p.token;
  wordsToBrace.lastIndex = start;
  const words = kind === 'word' ? wordsToBrace.exec(p.text)?.[0] : undefined;
  if (words === undefined) return false;
  const at = { start, end: start + words.length };
  p.report(spelling.unexpected.beforeBrace(words), at, {
    title: `Remove ${words}`,
    start: p.last,
    end: at.end,
    text: '',
  });
  while (!p.isMark('{')) p.next();
  return true;
}

/** Does the line end here? Behind an open bracket what was read may reach over lines that are read once more: of those nothing is told. */
function endsLine({ token, last }: Cursor): boolean {
  return token.kind === 'line' && token.start >= last;
}

/** Is this a line that must stand outside of the block that was opened, whose brace is missing? */
export function endsUnclosed(p: Cursor, opening: Token): boolean {
  if (p.trust === 'declarations') return looksTopLevel(p);
  const { start } = p.token;
  if (p.trust === 'braces' || start < opening.end || !startsLine(p.text, start)) return false;
  const deeper = indentOf(p.text, start) - indentOf(p.text, opening.start);
  return deeper < 0 || (deeper === 0 && !p.isMark('}'));
}

export function reportUnclosedBlock(p: Cursor, opening: Token): void {
  p.open = true;
  if (p.mistakes.some(({ code }) => code === 'unclosed_block')) return;
  const { start, end } = opening;
  const indent = ' '.repeat(indentOf(p.text, start));
  const newline = p.text.indexOf('\n', p.last);
  const at = newline < 0 ? p.text.length : newline;
  const fix = { title: 'Close the block', start: at, end: at, text: `\n${indent}}` };
  p.report(spelling.unclosed_block(), { start, end }, fix);
}

/** Reports and passes a brace that stands too far in to be the one of this block. */
export function passLeftOver(p: Cursor, opening: Token): boolean {
  const { start, end } = p.token;
  if (p.trust !== 'indentation' || !startsLine(p.text, start)) return false;
  if (indentOf(p.text, start) <= indentOf(p.text, opening.start)) return false;
  p.report(strayClose('}'), { start, end }, { title: 'Remove it', start, end, text: '' });
  p.next();
  return true;
}

export function skipDeep(p: Cursor): void {
  p.report(spelling.too_deep.blocks(deepest), p.token);
  for (let open = 0; p.token.kind !== 'end'; p.next()) {
    if (p.isMark('{')) open++;
    else if (p.isMark('}') && open-- === 0) return;
  }
}

/** Does an unindented line begin as a declaration or a machine does? */
function looksTopLevel(p: Cursor): boolean {
  const { start, kind, text } = p.token;
  if (kind !== 'word' || (start > 0 && p.text.charCodeAt(start - 1) !== 10) || start === p.origin) return false;
  const line = p.text.slice(start, start + 200).split('\n', 1)[0] as string;
  return (
    declarationWords.has(text) ||
    /^use\s+"/.test(line) ||
    /^rate\s+\d/.test(line) ||
    /^[\p{L}_]\w*\s+[\p{L}_]\w*\s*(\{|is\b)/u.test(line)
  );
}

/**
 * The blocks of a text that no brace closes. Asked for only once an item has been found that is not closed: otherwise each such
 * item would be read to the end of the text.
 */
export class Braces {
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

/** Does an item end with a brace that stands further in than its first line? */
export function closesAskew(text: string, item: ParsedItem): boolean {
  if (text[item.end - 1] !== '}') return false;
  const indent = indentOf(text, item.end - 1);
  return startsLine(text, item.end - 1) && indent > indentOf(text, item.start);
}

/** Does an item without a block have lines below that stand further in, as if its block had lost its brace? */
export function goesOnBelow(text: string, item: ParsedItem): boolean {
  const below = new Lexer(text).read(item.end, true);
  return below.kind === 'word' && indentOf(text, below.start) > indentOf(text, item.start);
}
