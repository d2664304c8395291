import type * as ast from './generated/ast.ts';
import { Lexer, type Token } from './lexer.ts';
import {
  type AstNode,
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
/** Blocks and expressions nested deeper than this are refused, so that no text exhausts the stack. */
const deepest = 100;

type Fields = Record<string, unknown>;

/**
 * Parses a file. Never throws: what cannot be read becomes a problem, one for each mistake, and everything else keeps its
 * nodes. With `previous`, top-level items that the change did not touch are taken over as they are.
 */
export function parse(text: string, previous?: ParsedFile): ParsedFile {
  const file = { $type: 'SpecFile', items: [] as ast.Item[] } as unknown as ast.SpecFile;
  const items: ParsedItem[] = [];
  const loose: SyntaxProblem[] = [];
  const reuse = previous && new Reuse(previous, text);
  let offset = reuse?.takeBefore(items) ?? 0;
  const lexer = new Lexer(text);
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
    const item = parseItem(text, token.start);
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

function strayLine(lexer: Lexer, token: Token, loose: SyntaxProblem[]): number {
  const newline = lexer.text.indexOf('\n', token.start);
  const end = newline < 0 ? lexer.text.length : newline;
  const closes = token.text === '}' || token.text === ']' || token.text === ')';
  const message = closes
    ? `This ${token.text} closes nothing: it was closed before, or its opening is missing.`
    : `${token.text} cannot begin a statement. Expected a declaration, such as "machine Heron {".`;
  loose.push({ code: closes ? 'stray_close' : 'stray_text', message, start: token.start, end: token.end });
  return closes ? token.end : end;
}

function parseItem(text: string, start: number): ParsedItem {
  const first = new Parser(text, start, false).item();
  // An unclosed block runs to the end of the file; then lines that look like declarations are taken to end it.
  return first.open ? { ...new Parser(text, start, true).item(), open: true } : first;
}

/** Finds the items of an older text that an edit left alone. */
class Reuse {
  readonly #same: number;
  readonly #tail: number;
  readonly #shift: number;
  #next = 0;
  constructor(
    readonly previous: ParsedFile,
    text: string,
  ) {
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
      if (item.open || line < 0 || line + 1 > this.#same) break;
      items.push(item);
      this.#next++;
    }
    return items[items.length - 1]?.end ?? 0;
  }

  /** Takes the rest of the older items, if one of them begins just here and behind the change. */
  takeAfter(start: number, items: ParsedItem[]): boolean {
    const { previous } = this;
    while (this.#next < previous.items.length && this.#startOf(this.#next) < start) this.#next++;
    const item = previous.items[this.#next];
    if (!item || item.start < this.#tail || this.#startOf(this.#next) !== start) return false;
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

class Parser {
  readonly #lexer: Lexer;
  readonly #problems: SyntaxProblem[] = [];
  #token: Token;
  #last = 0;
  #free = 0;
  #depth = 0;
  #open = false;
  constructor(
    readonly text: string,
    readonly origin: number,
    /** Column-0 declarations end an unclosed block. */
    readonly recovering: boolean,
  ) {
    this.#lexer = new Lexer(text);
    this.#token = this.#lexer.read(origin, false);
  }

  // ---- items ----

  item(): ParsedItem {
    const node = this.#itemNode();
    this.#endOfStatement(node);
    const end = Math.max(this.#last, this.origin);
    return { node, start: this.origin, end, problems: this.#problems, open: this.#open };
  }

  #itemNode(): ast.Item {
    const word = this.#token.text;
    const after = this.#after();
    if (word === 'use' && (after.kind === 'string' || after.kind === 'line' || after.kind === 'end'))
      return this.#use();
    if (word === 'rate' && after.kind === 'number') return this.#rate();
    if (
      declarationWords.has(word) &&
      (after.kind === 'word' || after.kind === 'line' || after.kind === 'end') &&
      after.text !== 'is'
    ) {
      return this.#declaration();
    }
    return this.#entry() as ast.Item;
  }

  #use(): ast.Use {
    const start = this.#next().start;
    const path = this.#string('a file in quotes, such as use "./stock.gusset"');
    return this.#node('Use', start, { path });
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
      this.#problem('missing_date', 'Expected the day it was taken: on 2026-03-02.', this.#token);
      return undefined;
    }
    if (this.#token.kind !== 'date') {
      this.#problem('missing_date', 'Expected a date, written as 2026-03-02.', this.#token);
      return undefined;
    }
    const token = this.#next();
    return this.#node('DateValue', token.start, { date: token.text });
  }

  #declaration(): ast.Declaration {
    const start = this.#token.start;
    const what = this.#next().text;
    const name = this.#name(`the name of the ${what}`);
    const parameters = this.#parameters();
    const type = this.#takeMark(':') ? this.#type() : undefined;
    const on = this.#takeWord('on') ? this.#name('the kind that the rule is about') : undefined;
    const base = this.#takeWord('is')
      ? this.#name(what === 'part' ? 'the kind or part it starts from' : 'the kind it starts from')
      : undefined;
    const value = this.#takeMark('=') ? this.#expression() : undefined;
    return this.#node('Declaration', start, { what, name, parameters, type, on, base, value, body: this.#bodyIf() });
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
    return this.#isMark('{') ? this.#body() : undefined;
  }

  #body(): ast.Body {
    const free = this.#free;
    this.#free = 0;
    const opening = this.#next();
    const members: ast.Member[] = [];
    if (++this.#depth > deepest) this.#skipDeep();
    for (;;) {
      while (this.#token.kind === 'line') this.#next();
      if (this.#isMark('}')) {
        this.#free = free;
        this.#next();
        break;
      }
      if (this.#token.kind === 'end' || (this.recovering && this.#looksTopLevel())) {
        this.#open = true;
        if (!this.#problems.some((p) => p.code === 'unclosed_block')) {
          const range = { start: opening.start, end: opening.end };
          this.#problem('unclosed_block', 'This block is not closed: a } is missing.', range);
        }
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
    if (kind !== 'word') {
      const { text, start, end } = this.#token;
      this.#problem(
        'stray_text',
        `${text} cannot begin a statement. Expected a name, such as "power = 250 W" or "wire {".`,
        { start, end },
      );
      this.#skipLine();
      return undefined;
    }
    const after = this.#after();
    const names = after.kind === 'mark' && namingMarks.has(after.text);
    const ends = after.kind === 'line' || after.kind === 'end' || after.text === '}';
    if (names || after.text === 'is' || after.text === 'default' || (ends && !bareClauses.has(word)))
      return this.#entry();
    const keyword = this.#keywordMember(word, after);
    return keyword ?? this.#entry();
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
      return this.#node('Requirement', start, { condition: this.#expression() });
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
      this.#token.text !== 'part' &&
      this.#token.text !== 'unit'
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
      this.#problem('missing_standing', `Expected how good the source is: ${[...standings].join(', ')}.`, this.#token);
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
      this.#problem('missing_of', 'Expected "of" and the block where that rule is broken.', this.#token);
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
    return this.#node('Clause', token.start, { keyword: token.text, values: ends ? [] : this.#expressions() });
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
    this.#problem('missing_reason', 'An acceptance says why: because "measured 55 degC after an hour".', this.#token);
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
    const type = this.#takeMark(':') ? this.#type() : undefined;
    const count = this.#takeMark('*') ? this.#count() : undefined;
    const base = this.#takeWord('is') ? this.#base() : undefined;
    const defaults = this.#takeWord('default');
    let equals = !defaults && this.#takeMark('=');
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

  #valueOf(name: string): ast.Expression | undefined {
    if (this.#token.kind !== 'line' && this.#token.kind !== 'end' && !this.#isMark('}')) return this.#expression();
    this.#problem('missing_value', `The value of ${name} is missing after the =.`, {
      start: this.#last - 1,
      end: this.#last,
    });
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
    this.#problem('missing_count', 'Expected how many, such as motor * 2.', this.#token);
    return undefined;
  }

  #base(): ast.Base | undefined {
    if (this.#isMark('?')) return this.#node('Open', this.#next().start, {});
    return this.#name('the part or kind it starts from, or ? to let the tool propose one');
  }

  /** A statement ends with its line or with its block; what else stands there is one problem. */
  #endOfStatement(node: AstNode | undefined): void {
    const { kind, text, start, end } = this.#token;
    if (kind === 'line' || kind === 'end' || (text === '}' && this.#depth > 0)) return;
    const lastProblem = this.#problems[this.#problems.length - 1];
    const lineStart = this.text.lastIndexOf('\n', start - 1) + 1;
    const told = lastProblem && lastProblem.end + this.origin >= lineStart;
    if (!told && node && text === '}')
      this.#problem('stray_close', 'This } closes nothing: it was closed before, or its opening is missing.', {
        start,
        end,
      });
    else if (!told && node) {
      const found = kind === 'bad' ? `${text} means nothing here` : `${text} was not expected here`;
      this.#problem('unexpected', `${found}: a statement ends with its line.`, { start, end });
    }
    this.#skipLine();
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
    const { start, text } = this.#token;
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
    const name = this.#name('a quantity or a kind, such as Power or wire');
    return name && this.#node('NamedType', start, { name });
  }

  #options(): ast.Name[] {
    const options: ast.Name[] = [];
    do {
      const name = this.#name('one of the choices');
      if (name) options.push(name);
    } while (this.#takeMark(','));
    return options;
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
    if (this.#depth > deepest * 2) {
      this.#problem('too_deep', 'This expression is nested too deep.', this.#token);
      this.#skipLine();
      return undefined;
    }
    this.#depth++;
    const node =
      this.#token.text === 'if' && this.#token.kind === 'word' && !this.#endsAfter()
        ? this.#conditional()
        : this.#fallback();
    this.#depth--;
    return node;
  }

  #endsAfter(): boolean {
    const { kind, text } = this.#after();
    return kind === 'line' || kind === 'end' || text === '}' || text === ',' || text === ')';
  }

  #conditional(): ast.Expression {
    const start = this.#next().start;
    const condition = this.#expression();
    if (!this.#takeWord('then'))
      this.#problem('missing_then', 'Expected "then" after the condition: if C then A else B.', this.#token);
    const then = this.#expression();
    if (!this.#takeWord('else')) {
      this.#problem('missing_else', 'Expected "else" and what holds otherwise: if C then A else B.', this.#token);
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
      () => this.#power(),
      (t) => t === '*' || t === '/',
    );
  }

  /** Operands joined from the left by operators of one rank. */
  #chain(operand: () => ast.Expression | undefined, joins: (text: string) => boolean): ast.Expression | undefined {
    const start = this.#token.start;
    let left = operand();
    while ((this.#token.kind === 'mark' || this.#token.kind === 'word') && joins(this.#token.text)) {
      const operator = this.#next().text;
      left = this.#node('Binary', start, { left, operator, right: operand() });
    }
    return left;
  }

  #power(): ast.Expression | undefined {
    const start = this.#token.start;
    const left = this.#unary();
    if (!this.#takeMark('^')) return left;
    this.#depth++;
    const right = this.#depth > deepest * 2 ? undefined : this.#power();
    this.#depth--;
    return this.#node('Binary', start, { left, operator: '^', right });
  }

  #unary(): ast.Expression | undefined {
    const { start, text } = this.#token;
    if (!this.#isMark('-') && !(text === 'not' && this.#token.kind === 'word')) return this.#postfix();
    this.#next();
    if (++this.#depth > deepest * 2) {
      this.#problem('too_deep', 'This expression is nested too deep.', this.#token);
      this.#skipLine();
    }
    // "not" takes in a whole comparison; a minus binds to what follows it.
    const operand = text === 'not' ? this.#comparison() : this.#unary();
    this.#depth--;
    return this.#node('Unary', start, { operator: text, operand });
  }

  #postfix(): ast.Expression | undefined {
    const start = this.#token.start;
    let node = this.#primary();
    while (node) {
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
    const named = this.#token.kind === 'word' && this.#after().text === ':';
    const name = named ? this.#name('') : undefined;
    if (named) this.#next();
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
      this.#problem('missing_in', 'Expected "in" and what is gone through: for m in every motor.', this.#token);
    const domain = this.#token.text === 'every' && this.#after().kind === 'word' ? this.#every() : this.#expression();
    const condition = this.#takeWord('where') ? this.#expression() : undefined;
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
    if (text === '[') return this.#list();
    if (text === '(') {
      let inner: ast.Expression | undefined;
      this.#bracketed('(', ')', () => {
        inner = this.#expression();
      });
      return this.#node('Group', start, { inner });
    }
    this.#problem(
      'missing_value',
      'Expected a value here: a number with its unit, a name, or ? to let the tool propose one.',
      this.#here(),
    );
    return undefined;
  }

  /** Where something is missing: the last character before, if there is nothing at the place itself. */
  #here(): { start: number; end: number } {
    const { kind, start, end } = this.#token;
    return kind === 'line' || kind === 'end'
      ? { start: Math.max(this.#last - 1, this.origin), end: this.#last }
      : { start, end };
  }

  #quantity(): ast.Quantity {
    const token = this.#next();
    const { number, unit, start, end } = token;
    const text = unit ? `${number} ${unit}` : (number ?? '');
    const fix = { title: `Write ${text}`, start, end, text };
    if (token.comma) this.#problem('decimal_comma', `Decimals are written with a point: ${text}.`, { start, end }, fix);
    else if (token.tight)
      this.#problem('tight_unit', `Write a blank between the number and its unit: ${text}.`, { start, end }, fix);
    return this.#node('Quantity', start, { number, unit });
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
      if (this.#takeMark(',')) continue;
      if (this.#isMark(close)) break;
      this.#unclosed(open, close, opening, before);
      return;
    }
    this.#free--;
    if (this.#isMark(close)) this.#next();
    else this.#unclosed(open, close, opening, opening.start, true);
  }

  #unclosed(open: string, close: string, opening: Token, _before: number, left = false): void {
    if (!left) this.#free--;
    const lineStart = this.text.lastIndexOf('\n', opening.start) + 1;
    const told = this.#problems.some((p) => p.start + this.origin >= lineStart);
    if (!told)
      this.#problem(
        'unclosed_bracket',
        `This ${open} is not closed: a ${close} is missing, or a comma before what follows.`,
        { start: opening.start, end: opening.end },
      );
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
    if (token.kind !== 'line' && token.kind !== 'end') this.#last = token.end;
    this.#token = this.#lexer.read(token.end, this.#free > 0);
    return token;
  }

  #problem(code: string, message: string, at: { start: number; end: number }, fix?: SyntaxProblem['fix']): void {
    const by = this.origin;
    const end = Math.max(at.end, Math.min(at.start + 1, this.text.length));
    this.#problems.push({
      code,
      message,
      start: at.start - by,
      end: end - by,
      fix: fix && { ...fix, start: fix.start - by, end: fix.end - by },
    });
  }

  #node<T extends AstNode>(type: T['$type'], start: number, fields: Fields): T {
    const node = {
      $type: type,
      ...fields,
      $start: start - this.origin,
      $end: Math.max(this.#last, start) - this.origin,
    } as Fields;
    for (const key in fields) {
      const value = fields[key];
      if (Array.isArray(value)) for (const child of value) hold(child, node);
      else hold(value, node);
    }
    return node as unknown as T;
  }
}

function hold(child: unknown, container: Fields): void {
  if (typeof child === 'object' && child !== null && '$type' in child) (child as Fields).$container = container;
}

const messages = new WeakMap<ast.Text, readonly (string | ast.Expression)[]>();

/** A message's text and the expressions in its braces, in order. `\{` writes a brace. */
export function interpolations(node: ast.Text): readonly (string | ast.Expression)[] {
  let parts = messages.get(node);
  if (!parts) {
    parts = readMessage(node);
    messages.set(node, parts);
  }
  return parts;
}

function readMessage(node: ast.Text): (string | ast.Expression)[] {
  const parts: (string | ast.Expression)[] = [];
  const raw = node.text.replace(/^"/, '').replace(/"$/, '');
  let plain = '';
  for (let at = 0; at < raw.length; at++) {
    const close = raw.indexOf('}', at);
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
  const parser = new Parser(text, 0, false);
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
