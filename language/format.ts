import { Lexer, type Token } from './grammar/lexer.ts';
import { parse } from './grammar/parser.ts';
import { Lines, problemsOf } from './grammar/syntax.ts';

const indentation = '  ';
/** Words after which a bracket opens an expression of its own, and a minus is a sign. */
const joining = new Set(['and', 'or', 'not', 'if', 'then', 'else', 'in', 'is', 'otherwise', 'where', 'default']);
/** Words that do so only at the beginning of a statement; elsewhere they can be names. */
const beginning = new Set(['when', 'holds', 'require', 'at', 'row', 'within', 'headline']);
const openers = '{[(';
const closers = '}])';

/**
 * The text with one layout: two blanks for each block, one blank around operators, at most one empty line. Nothing is
 * aligned, moved or rewritten; a line with a mistake in it stays as it is.
 */
export function format(text: string): string {
  const end = text.includes('\r\n') ? '\r\n' : '\n';
  const mark = text.startsWith('\ufeff') ? '\ufeff' : '';
  const lines = new Formatter(text.slice(mark.length)).lines();
  return mark + lines.map((line) => line + end).join('');
}

interface Line {
  readonly tokens: readonly Token[];
  readonly comment: string;
  /** As written, without blanks at its ends. */
  readonly raw: string;
  readonly isBroken: boolean;
}

class Formatter {
  readonly #text: string;
  readonly #lexer: Lexer;
  /** The line on which each open bracket stands: brackets of one line indent once. */
  readonly #open: { mark: string; line: number }[] = [];
  constructor(text: string) {
    this.#text = text;
    this.#lexer = new Lexer(text);
  }

  lines(): string[] {
    const broken = brokenLines(this.#text);
    const out: string[] = [];
    let afterOpening = true;
    for (const [number, start, end] of lineSpans(this.#text)) {
      const line = this.#line(start, end, broken.has(number));
      const closing = this.#close(line.tokens);
      if (line.raw === '') {
        if (!afterOpening && out.at(-1) !== '') out.push('');
        continue;
      }
      if (closing && out.at(-1) === '') out.pop();
      out.push(indentation.repeat(this.#depth()) + (line.isBroken ? line.raw : layout(line)));
      this.#openRest(line.tokens, number);
      afterOpening = endsOpen(line.tokens);
    }
    while (out.at(-1) === '') out.pop();
    return out;
  }

  #line(start: number, end: number, isBroken: boolean): Line {
    const tokens: Token[] = [];
    const depth = [...this.#open.map((o) => o.mark)];
    let at = start;
    while (at < end) {
      const inner = depth.at(-1);
      const token = this.#lexer.read(at, inner === '(' || inner === '[');
      if (token.kind === 'end' || token.kind === 'line' || token.start >= end) break;
      tokens.push(token);
      if (openers.includes(token.text)) depth.push(token.text);
      else if (closers.includes(token.text)) depth.pop();
      at = token.end;
    }
    const rest = this.#text.slice(at, end);
    const comment = rest.trim().startsWith('//') ? rest.trim() : '';
    return { tokens, comment, raw: this.#text.slice(start, end).trim(), isBroken };
  }

  /** Closes what the line's first brackets close; those are indented like the line that opened them. */
  #close(tokens: readonly Token[]): boolean {
    let closed = false;
    for (const token of tokens) {
      if (token.kind !== 'mark' || !closers.includes(token.text)) break;
      this.#open.pop();
      closed = true;
    }
    return closed;
  }

  #openRest(tokens: readonly Token[], line: number): void {
    let leading = true;
    for (const token of tokens) {
      const closes = token.kind === 'mark' && closers.includes(token.text);
      if (!closes) leading = false;
      if (token.kind === 'mark' && openers.includes(token.text)) this.#open.push({ mark: token.text, line });
      else if (closes && !leading) this.#open.pop();
    }
  }

  #depth(): number {
    return new Set(this.#open.map((o) => o.line)).size;
  }
}

function* lineSpans(text: string): Generator<[number: number, start: number, end: number]> {
  let number = 0;
  for (let start = 0; start < text.length; number++) {
    const next = text.indexOf('\n', start);
    const end = next < 0 ? text.length : next;
    yield [number, start, end];
    start = end + 1;
  }
}

function brokenLines(text: string): Set<number> {
  const lines = new Lines(text);
  const broken = new Set<number>();
  for (const { start, end } of problemsOf(parse(text))) {
    for (let n = lines.position(start).line; n <= lines.position(end).line; n++) broken.add(n);
  }
  return broken;
}

function endsOpen(tokens: readonly Token[]): boolean {
  const last = tokens.at(-1);
  return last?.kind === 'mark' && openers.includes(last.text);
}

function layout({ tokens, comment }: Line): string {
  const isUnits = tokens[0]?.text === 'shown';
  let out = '';
  for (const [i, token] of tokens.entries()) {
    if (i > 0 && isApart(tokens, i, isUnits)) out += ' ';
    out +=
      token.kind === 'number' && token.unit
        ? `${token.text.slice(0, -token.unit.length).trimEnd()} ${token.unit}`
        : token.text;
  }
  return comment ? `${out}${out ? ' ' : ''}${comment}` : out;
}

/** Does a blank stand before a token? */
function isApart(tokens: readonly Token[], at: number, isUnits: boolean): boolean {
  const [a, b] = [tokens[at - 1] as Token, tokens[at] as Token];
  if (isUnits && (isOperator(a) || isOperator(b))) return false;
  if (a.text === '(' || a.text === '[' || a.text === '.' || b.text === '.') return false;
  if (b.text === ')' || b.text === ']' || b.text === ',' || b.text === ':') return false;
  if (b.text === '?' || (b.text === '*' && tokens.some((t) => t.text === 'has'))) return a.end < b.start;
  if (a.text === '-' && isSign(tokens, at - 1)) return false;
  if (b.text === '(' || b.text === '[') return !(isName(tokens, at - 1) || a.text === ')' || a.text === ']');
  return true;
}

function isOperator(token: Token): boolean {
  return token.text === '*' || token.text === '/' || token.text === '^';
}

function isName(tokens: readonly Token[], at: number): boolean {
  const token = tokens[at];
  if (token?.kind !== 'word' || joining.has(token.text)) return false;
  return !(at === 0 && beginning.has(token.text));
}

/** Is the minus at this place a sign, and not a difference? */
function isSign(tokens: readonly Token[], at: number): boolean {
  const before = tokens[at - 1];
  if (!before) return true;
  if (before.kind === 'word') return !isName(tokens, at - 1);
  return before.kind === 'mark' && before.text !== ')' && before.text !== ']' && before.text !== '?';
}
