import { type Mistake, withEdits } from '../mistakes/mistake.ts';
import type { spelling } from '../mistakes/spelling.ts';
import { Lexer, type Token } from './lexer.ts';
import { parse } from './parser.ts';
import { Lines, misreadIn, type ParsedFile, type ParsedItem, spellingOf } from './syntax.ts';
import { clauseOf, operandWords } from './words.ts';

/** Words that an operand follows: a bracket after them begins a value, and is no call; a minus after them is a sign. */
const prefixWords = new Set(['not', 'if', 'every']);
/** Words that join what is before them to an operand; anywhere else they are names. */
const infixWords = new Set('and or then else in is of otherwise where for x default on at because with'.split(' '));
/** Mistakes after which nobody can say which line belongs to which block. */
const structural = new Set<string>([
  'unclosed_block',
  'unclosed_bracket',
  'missing_brace',
  'stray_close',
  'too_deep',
] satisfies (keyof typeof spelling)[]);
const tightInUnits = new Set(['*', '/', '^', '(', ')', '-']);

interface Line {
  /** The line as it is in the text, without its end. */
  readonly raw: string;
  readonly tokens: Token[];
  /** The comment that ends the line, from its slashes on. */
  comment: string;
  /** How many lines with open brackets this one stands in. */
  depth: number;
  /** What it says has a mistake in it: it is left alone. */
  broken: boolean;
  /** The tokens were read where line ends count as blanks. */
  free: boolean;
  /** The last token of the lines before, in the same item. */
  before: Token | undefined;
}

/**
 * The text with two blanks of indentation for each bracket, single blanks around operators, and at most one empty line in a
 * row; what is written otherwise than here, but with one meaning, as it is written here. Comments, texts, the order and the
 * lines stay as they are; a line with a mistake in it is left alone, and a file whose brackets do not match is left alone as a
 * whole: how it is indented then tells where they were meant to be.
 */
export function format(written: string, parsed: ParsedFile = parse(written)): string {
  if (isTorn(parsed)) return written;
  return laidOut(tidied(parsed));
}

/** The text with what was understood written as it is written here, but for lines with a mistake in them. */
function tidied(parsed: ParsedFile): ParsedFile {
  const at = new Lines(parsed.text);
  const misread = linesOf(misreadIn(parsed), at);
  const understood = spellingOf(parsed).filter((mistake) => [...linesOf([mistake], at)].every((n) => !misread.has(n)));
  if (understood.length === 0) return parsed;
  const tidy = parse(
    withEdits(
      understood.flatMap(({ fixes }) => fixes[0]?.edits ?? []),
      parsed.text,
    ),
  );
  // Of what stands side by side one mistake is told: nothing is gained by bringing out the next.
  return misreadIn(tidy).length === misreadIn(parsed).length ? tidy : parsed;
}

function laidOut(parsed: ParsedFile): string {
  const { text } = parsed;
  const lines = readLines(text, parsed);
  const out: string[] = [];
  for (const [index, line] of lines.entries()) {
    const printed = printLine(line);
    if (printed === '' && !line.broken && !keepsBlank(lines, index, out)) continue;
    out.push(printed);
  }
  while (out[out.length - 1] === '') out.pop();
  const newline = /\r?\n/.exec(text)?.[0] ?? '\n';
  return out.length > 0 ? out.join(newline) + newline : '';
}

/** Is this empty line a pause between two things, and the only one? */
function keepsBlank(lines: readonly Line[], index: number, out: readonly string[]): boolean {
  if (out.length === 0 || out[out.length - 1] === '') return false;
  let before = index - 1;
  while (before > 0 && !lines[before]?.broken && lines[before]?.raw.trim() === '') before--;
  if (opens(lines[before]?.tokens.at(-1)) && !lines[before]?.comment) return false;
  let next = index + 1;
  while (lines[next] && !lines[next]?.broken && lines[next]?.raw.trim() === '') next++;
  const closing = lines[next]?.tokens[0];
  return next < lines.length && !(closing && closes(closing));
}

// ---- what the lines say ----

function readLines(text: string, parsed: ParsedFile): Line[] {
  const lines: Line[] = text.split('\n').map((raw) => ({
    raw: raw.endsWith('\r') ? raw.slice(0, -1) : raw,
    tokens: [],
    comment: '',
    depth: 0,
    broken: false,
    free: false,
    before: undefined,
  }));
  const at = new Lines(text);
  for (const n of linesOf(spellingOf(parsed), at)) (lines[n] as Line).broken = true;
  for (const item of parsed.items) readItem(text, item, lines, at.position(item.start).line);
  for (const line of lines) if (!line.broken) line.comment = commentOf(line);
  return lines;
}

/** The numbers of the lines that these stand in. */
function linesOf(mistakes: readonly Mistake[], at: Lines): Set<number> {
  const found = new Set<number>();
  for (const { start, end } of mistakes) {
    const last = at.position(Math.max(start, end - 1)).line;
    for (let n = at.position(start).line; n <= last; n++) found.add(n);
  }
  return found;
}

/** Do brackets in the file not match, or stand where nothing could be read? Such a file cannot be laid out. */
export function isTorn(parsed: ParsedFile): boolean {
  return firstTear(parsed) !== undefined;
}

/** The first mistake after which nobody can say which line belongs to which block, if there is one. */
export function firstTear(parsed: ParsedFile): Mistake | undefined {
  const { text } = parsed;
  return spellingOf(parsed).find(({ code, start }) => {
    const line = text.slice(text.lastIndexOf('\n', start - 1) + 1, endOfLine(text, start));
    return structural.has(code) || (code === 'stray_text' && /[{}[\]()]/.test(line));
  });
}

/** Reads an item's tokens into their lines, and counts the brackets around each line. */
function readItem(text: string, item: ParsedItem, lines: Line[], first: number): void {
  const lexer = new Lexer(text);
  const open: { text: string; line: number }[] = [];
  let before: Token | undefined;
  let number = first - 1;
  let start = text.lastIndexOf('\n', item.start - 1) + 1;
  let lineEnd = start - 1;
  const isFree = () => open.length > 0 && open[open.length - 1]?.text !== '{';
  for (let offset = item.start; ; ) {
    const token = lexer.read(offset, isFree());
    if (token.kind === 'end' || token.start >= item.end) break;
    offset = token.end;
    while (token.start > lineEnd) {
      number++;
      const line = lines[number] as Line;
      line.depth = depthOf(open);
      line.free = isFree();
      line.before = before;
      start = lineEnd + 1;
      lineEnd = endOfLine(text, start);
    }
    if (token.kind === 'line') continue;
    const line = lines[number] as Line;
    if (closes(token)) {
      open.pop();
      if (line.tokens.every(closes)) line.depth = depthOf(open);
    }
    line.tokens.push({ ...token, start: token.start - start, end: token.end - start });
    if (opens(token)) open.push({ text: token.text, line: number });
    before = token;
  }
}

function opens(token: Token | undefined): boolean {
  return token?.text === '{' || token?.text === '[' || token?.text === '(';
}

function closes(token: Token): boolean {
  return token.text === '}' || token.text === ']' || token.text === ')';
}

function endOfLine(text: string, start: number): number {
  const newline = text.indexOf('\n', start);
  return newline < 0 ? text.length : newline;
}

/** Brackets opened on one line count once. */
function depthOf(open: readonly { line: number }[]): number {
  return open.reduce((sum, { line }, index) => sum + (open[index - 1]?.line === line ? 0 : 1), 0);
}

function commentOf(line: Line): string {
  const rest = line.raw.slice(line.tokens.at(-1)?.end ?? 0).trim();
  return rest.startsWith('//') ? rest : '';
}

// ---- how a line is written ----

function printLine(line: Line): string {
  if (line.broken) return line.raw;
  // A comment that points at the line above keeps its carets where they are.
  if (line.tokens.length === 0 && /^\/\/ *\^/.test(line.comment)) return line.raw.trimEnd();
  const code = printTokens(line);
  const written = code && line.comment ? `${code} ${line.comment}` : code || line.comment;
  return written && ' '.repeat(2 * line.depth) + written;
}

function printTokens(line: Line): string {
  const { tokens } = line;
  let out = '';
  let start = 0;
  for (const [index, token] of tokens.entries()) {
    const previous = tokens[index - 1];
    if (!line.free && (previous?.text === '{' || previous?.text === '}')) start = index;
    if (previous && blankBetween(line, index, start)) out += ' ';
    out += token.kind === 'number' && token.unit ? `${digitsOf(token)} ${token.unit}` : token.text;
  }
  const written = line.raw.slice(tokens[0]?.start ?? 0, tokens.at(-1)?.end ?? 0);
  return out === written || sameTokens(out, line) ? out : written;
}

function digitsOf(token: Token): string {
  return token.text.slice(0, token.text.length - (token.unit?.length ?? 0)).trimEnd();
}

/** Whether a blank belongs between the token at `index` and the one before it. `start` is where its statement begins. */
function blankBetween(line: Line, index: number, start: number): boolean {
  const { tokens } = line;
  const token = tokens[index] as Token;
  const previous = tokens[index - 1] as Token;
  const [left, right] = [previous.text, token.text];
  if (right === '{' || left === '{' || right === '}' || left === '}') return !(left === '{' && right === '}');
  if (right === ',' || right === ':' || right === '.' || left === '.') return false;
  if (right === ')' || right === ']' || left === '(' || left === '[') return false;
  if (inUnits(line, start, index) && (tightInUnits.has(left) || tightInUnits.has(right)) && left !== ',') return false;
  if (left === '-' && isSign(line, index - 1, start)) return false;
  if (right === '(' || right === '[') return beginsValue(line, index, start);
  if (right === '?') return beginsValue(line, index, start);
  if (right === '*') return tokens[index + 1] !== undefined && tokens[index + 1]?.text !== '{';
  return true;
}

/** Units in `shown W/(m*K)` are written as everywhere else: without blanks. */
function inUnits(line: Line, start: number, index: number): boolean {
  const word = line.tokens[start]?.text ?? '';
  return !line.free && index > start + 1 && clauseOf(word)?.contents === 'units';
}

/** Does a bracket or `?` begin a value here, rather than belong to what is before it? */
function beginsValue(line: Line, index: number, start: number): boolean {
  const previous = line.tokens[index - 1] as Token;
  return previous.kind === 'word' ? joins(line, index - 1, start) : previous.text !== ')' && previous.text !== ']';
}

/** Is the minus at `index` a sign, and not a subtraction? */
function isSign(line: Line, index: number, start: number): boolean {
  const previous = line.tokens[index - 1] ?? line.before;
  if (!previous || (index === 0 && !line.free)) return true;
  return previous.kind === 'word' ? joins(line, index - 1, start) : !endsOperand(previous);
}

/** Is the word at `index` one that an operand follows? */
function joins(line: Line, index: number, start: number): boolean {
  const word = line.tokens[index]?.text ?? line.before?.text ?? '';
  if (prefixWords.has(word)) return true;
  if (index === start && !line.free) return operandWords.has(word);
  const before = line.tokens[index - 1] ?? (index === 0 && line.free ? line.before : undefined);
  return infixWords.has(word) && before !== undefined && endsOperand(before);
}

function endsOperand(token: Token): boolean {
  return token.kind !== 'mark' || token.text === ')' || token.text === ']' || token.text === '?';
}

/** A line is only ever written in a way that is read as before. */
function sameTokens(out: string, line: Line): boolean {
  const lexer = new Lexer(out);
  let offset = 0;
  for (const token of line.tokens) {
    const read = lexer.read(offset, line.free || inBrackets(line, token));
    const same = token.number === undefined ? read.text === token.text : read.number === token.number;
    if (!same || read.kind !== token.kind || read.unit !== token.unit) return false;
    offset = read.end;
  }
  return offset === out.length;
}

function inBrackets(line: Line, until: Token): boolean {
  let open = 0;
  for (const token of line.tokens) {
    if (token === until) break;
    if (token.text === '(' || token.text === '[') open++;
    else if (token.text === ')' || token.text === ']') open--;
  }
  return open > 0;
}
