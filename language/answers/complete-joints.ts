// Words that join two parts of a statement, such as the `on` after `rule NAME`: proposed where the part before them has just ended.
import type { Declaration, GussetKeywordNames } from '../grammar/generated/ast.ts';
import { Lexer, type Token } from '../grammar/lexer.ts';
import type { CursorPlace } from './complete-cursor.ts';
import type { Proposal } from './proposal.ts';

type Keyword = GussetKeywordNames;
/** What is proposed: a word, or two that stand together. */
type Joint = Keyword | 'in place';
const set = (...words: Keyword[]): ReadonlySet<string> => new Set(words);

/** Words that an operand follows, in the middle of a statement. */
const leading = set('and', 'or', 'not', 'otherwise', 'if', 'then', 'else', 'is', 'in', 'of', 'for', 'where', 'every');
const leadingInStatements = set('on', 'at', 'because', 'default', 'has', 'with');
const declaring: Readonly<Partial<Record<Declaration['what'], Keyword>>> = { kind: 'is', part: 'is', rule: 'on' };
const conditions = set('require', 'when', 'holds');
const typeWords = set('one', 'list', 'curve');

/** What joins what is typed to what comes next; undefined where no operand has just ended. */
export function joints(cursor: CursorPlace): Proposal[] | undefined {
  const tokens = tokensOf(cursor.before);
  const last = tokens.at(-1);
  if (!last || tokens.length < 2 || !/\s$/.test(cursor.before) || !endsOperand(tokens)) return undefined;
  const words: readonly Joint[] = cursor.body ? inBody(tokens, cursor) : atTop(tokens);
  return words.map((label, rank) => ({ label, sort: 'keyword', rank }));
}

function tokensOf(text: string): Token[] {
  const lexer = new Lexer(text);
  const tokens: Token[] = [];
  for (let at = 0; ; ) {
    const token = lexer.read(at, true);
    if (token.kind === 'end') return tokens;
    tokens.push(token);
    at = token.end;
  }
}

function endsOperand(tokens: readonly Token[]): boolean {
  const last = tokens.at(-1) as Token;
  if (last.kind === 'number') return last.unit !== undefined;
  if (last.kind === 'mark') return last.text === ')' || last.text === ']' || last.text === '?';
  return last.kind !== 'word' || !(leading.has(last.text) || leadingInStatements.has(last.text));
}

function atTop(tokens: readonly Token[]): Joint[] {
  const [what = '', , joint] = tokens.map((token) => token.text);
  if (what === ('rate' satisfies Keyword)) return joinDate(tokens);
  if (joint !== undefined) return expressionJoints(tokens, undefined);
  const word = Object.hasOwn(declaring, what) ? declaring[what as Declaration['what']] : undefined;
  if (word) return [word];
  return tokens[1]?.kind === 'word' && !isDeclaration(what) ? ['is'] : [];
}

function isDeclaration(word: string): boolean {
  const others: readonly Declaration['what'][] = ['function', 'constant', 'numeric', 'table', 'sizes'];
  return (others as readonly string[]).includes(word);
}

function inBody(tokens: readonly Token[], cursor: CursorPlace): Joint[] {
  const texts = tokens.map((token) => token.text);
  const has = (word: Keyword) => texts.includes(word);
  switch (texts[0] as Keyword) {
    case 'accept':
      return has('because') ? [] : tokens.length === 2 ? ['at', 'because'] : has('at') ? ['because'] : [];
    case 'measured':
    case 'set':
      return joinDate(tokens);
    case 'checked':
      return joinRecord(tokens, texts);
    case 'follows':
      return has('of') ? [] : ['of'];
    default:
      return entryJoints(tokens, texts, cursor);
  }
}

/** `checked X of Y at V on DAY with [ … ]`, of which the block, what was read and the values may be left out. */
function joinRecord(tokens: readonly Token[], texts: readonly string[]): Joint[] {
  const order: readonly Joint[] = ['of', 'at', 'on', 'with'];
  if (tokens.at(-1)?.kind === 'date') return ['with'];
  const last = order.findLastIndex((word) => texts.includes(word));
  return last < 2 ? order.slice(last + 1, 3) : [];
}

/** `measured X = V` and `rate A = B` are followed by the day. */
function joinDate(tokens: readonly Token[]): Joint[] {
  if (tokens.at(-1)?.kind === 'date') return tokens[0]?.text === ('measured' satisfies Keyword) ? ['in place'] : [];
  const given = tokens.findIndex((token) => token.text === '=');
  return given > 0 && given < tokens.length - 1 ? ['on'] : [];
}

function entryJoints(tokens: readonly Token[], texts: readonly string[], cursor: CursorPlace): Keyword[] {
  const { mode } = cursor.outer.ctx;
  const [first, second] = tokens;
  const plain = second?.kind === 'word' && !leading.has(second.text);
  if (mode === 'block' && tokens.length === 2 && plain && !conditions.has(first?.text ?? '')) return ['is'];
  const colon = texts.indexOf(':');
  const inType = mode === 'kind' && colon > 0 && !texts.includes('=') && !texts.includes('default');
  if (inType && typeWords.has(texts.at(-1) ?? '')) return ['of'];
  if (inType && texts[0] !== ('has' satisfies Keyword)) return ['default'];
  return expressionJoints(tokens, cursor);
}

/** What can go on after an operand in an expression: in a question, in a condition, elsewhere. */
function expressionJoints(tokens: readonly Token[], cursor: CursorPlace | undefined): Keyword[] {
  const inner = innermost(tokens).map((token) => token.text);
  const [asks, domain] = [inner.indexOf('for'), inner.lastIndexOf('in')];
  if (asks >= 0 && domain < asks) return ['in'];
  const every = inner.at(-2) === ('every' satisfies Keyword);
  const filters = inner.includes('where');
  if (asks >= 0 && !filters) return every ? ['where', 'of'] : ['where'];
  const branch = openBranch(inner);
  const truth: Keyword[] = ['and', 'or', 'is', 'in'];
  const condition = filters || branch === 'then' || conditions.has(tokens[0]?.text ?? '');
  const questions: Keyword[] = inner.length < tokens.length && asks < 0 && tokens.some(isOpening) ? ['for'] : [];
  if (branch) return [branch, ...(condition ? truth : [])];
  if (condition) return [...questions, ...truth];
  return cursor?.outer.ctx.mode === 'kind' && tokens.some((token) => token.text === '=')
    ? [...questions, 'otherwise']
    : questions;
}

function isOpening({ text }: Token): boolean {
  return text === '(';
}

/** The tokens within the brackets that are still open at the end. */
function innermost(tokens: readonly Token[]): readonly Token[] {
  const open: number[] = [];
  for (const [i, { text }] of tokens.entries()) {
    if (text === '(' || text === '[') open.push(i);
    else if (text === ')' || text === ']') open.pop();
  }
  return tokens.slice((open.at(-1) ?? -1) + 1);
}

/** The word that an `if` still waits for. */
function openBranch(texts: readonly string[]): Keyword | undefined {
  const waiting: Keyword[] = [];
  for (const text of texts) {
    if (text === 'if') waiting.push('then');
    else if (text === 'then' && waiting.length > 0) waiting.splice(-1, 1, 'else');
    else if (text === 'else') waiting.pop();
  }
  return waiting.at(-1);
}
