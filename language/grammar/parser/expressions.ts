import { spelling } from '../../mistakes/spelling.ts';
import type * as ast from '../generated/ast.ts';
import { readBracketed } from './brackets.ts';
import { type Cursor, deepest } from './cursor.ts';
import { readPointedNumber, readQuantity, reportMissingValue } from './values.ts';

/** Expressions that join more operands than this, one upon the other, are refused, so that no text exhausts the stack. */
const tallest = 300;
const comparisons = new Set(['==', '!=', '<', '<=', '>', '>=', 'is', 'in']);

type Reader = (p: Cursor) => ast.Expression | undefined;

export function readExpression(p: Cursor): ast.Expression | undefined {
  if (p.depth > deepest * 2) return p.giveUp(spelling.too_deep.expression());
  p.depth++;
  const node = p.token.text === 'if' && p.token.kind === 'word' && !endsAfter(p) ? readConditional(p) : readFallback(p);
  p.depth--;
  return node;
}

export function readExpressions(p: Cursor): ast.Expression[] {
  const values: ast.Expression[] = [];
  do {
    const value = readExpression(p);
    if (value) values.push(value);
  } while (p.takeMark(','));
  return values;
}

/** An expression that says yes or no: a single = in it was meant to compare. */
export function readCondition(p: Cursor): ast.Expression | undefined {
  const { start } = p.token;
  const left = readExpression(p);
  if (!p.isMark('=')) return left;
  const mark = p.next();
  const fix = { title: 'Write ==', start: mark.start, end: mark.end, text: '==' };
  p.report(spelling.single_equals(), mark, fix);
  return p.node('Binary', start, { left, operator: '==', right: readExpression(p) });
}

function endsAfter(p: Cursor): boolean {
  const { kind, text } = p.after();
  return kind === 'line' || kind === 'end' || text === '}' || text === ',' || text === ')';
}

function readConditional(p: Cursor): ast.Expression {
  const start = p.next().start;
  const condition = readCondition(p);
  if (!p.takeWord('then')) p.report(spelling.missing_then(), p.here());
  const then = readExpression(p);
  if (!p.takeWord('else')) {
    p.report(spelling.missing_else(), p.here());
    return p.node('Conditional', start, { condition, then });
  }
  return p.node('Conditional', start, { condition, then, else: readExpression(p) });
}

const isFallback = (text: string) => text === 'otherwise';
const isOr = (text: string) => text === 'or';
const isAnd = (text: string) => text === 'and';
const isComparison = (text: string, p: Cursor) =>
  comparisons.has(text) && !(text === 'in' && p.after().text === 'place');
const isRange = (text: string) => text === '..';
const isSize = (text: string) => text === 'x';
const isSum = (text: string) => text === '+' || text === '-';
const isProduct = (text: string) => text === '*' || text === '/';

// From the loosest to the closest.
const readFallback: Reader = (p) => readChain(p, readOr, isFallback);
const readOr: Reader = (p) => readChain(p, readAnd, isOr);
const readAnd: Reader = (p) => readChain(p, readComparison, isAnd);
const readComparison: Reader = (p) => readChain(p, readRange, isComparison);
const readRange: Reader = (p) => {
  const { start } = p.token;
  const low = readChain(p, readSize, isRange);
  return readRangeInWords(p, start, low) ?? low;
};
const readSize: Reader = (p) => withCommonUnit(p, readChain(p, readSum, isSize));
const readSum: Reader = (p) => readChain(p, readProduct, isSum);
const readProduct: Reader = (p) => readChain(p, readUnary, isProduct);

/** Sides of a size that say their unit once, behind the last: `300 x 200 mm`. Each is given it. */
function withCommonUnit(p: Cursor, size: ast.Expression | undefined): ast.Expression | undefined {
  const sides = sidesOf(size);
  const { unit } = sides.pop() ?? {};
  if (!unit || sides.some((side) => side.unit)) return size;
  for (const side of sides) {
    side.unit = unit;
    const { start, end } = p.placeOf(side);
    const text = `${side.number} ${unit}`;
    // An x that stands close to its numbers would be read as part of the unit.
    const isClose = p.text[end] === 'x';
    const edit = isClose ? { start, end: end + 1, text: `${text} x ` } : { start, end, text };
    p.report(spelling.unit_once(text), { start, end }, { title: `Write ${text}`, ...edit });
  }
  return size;
}

/** The sides of a size, all of them numbers; none of anything else. */
function sidesOf(size: ast.Expression | undefined): ast.Quantity[] {
  const sides: ast.Quantity[] = [];
  let rest = size;
  for (; rest?.$type === 'Binary' && isSize(rest.operator); rest = rest.left) {
    if (rest.right?.$type !== 'Quantity') return [];
    sides.unshift(rest.right);
  }
  return rest?.$type === 'Quantity' ? [rest, ...sides] : [];
}

/** A range with a word between its ends: `15 degC to 30 degC`, or `15 to 30 degC`, where the word was read as a unit. */
function readRangeInWords(p: Cursor, start: number, low: ast.Expression | undefined): ast.Expression | undefined {
  if (low?.$type !== 'Quantity') return undefined;
  const inUnit = low.unit === 'to' && p.token.kind === 'number';
  if (!inUnit && !(p.token.kind === 'word' && p.token.text === 'to' && p.after().kind === 'number')) return undefined;
  if (!inUnit) p.next();
  const highStart = p.token.start;
  const high = readSize(p);
  const unit = inUnit && high?.$type === 'Quantity' ? high.unit : inUnit ? undefined : low.unit;
  const from = [low.number, unit].filter(Boolean).join(' ');
  const range = `${from} .. ${p.text.slice(highStart, p.last)}`;
  p.report(
    spelling.range_in_words(range),
    { start, end: p.last },
    { title: `Write ${range}`, start, end: p.last, text: range },
  );
  const left = inUnit ? p.node<ast.Quantity>('Quantity', start, { number: low.number, unit }) : low;
  return p.node('Binary', start, { left, operator: '..', right: high });
}

/** Operands joined from the left by operators of one rank. */
function readChain(
  p: Cursor,
  operand: Reader,
  joins: (text: string, p: Cursor) => boolean,
): ast.Expression | undefined {
  const start = p.token.start;
  let left = operand(p);
  while ((p.token.kind === 'mark' || p.token.kind === 'word') && joins(p.token.text, p)) {
    if (p.heightOf(left) > tallest) return p.giveUp(spelling.too_long(tallest));
    const operator = p.next().text;
    left = p.node('Binary', start, { left, operator, right: operand(p) });
  }
  return left;
}

function readUnary(p: Cursor): ast.Expression | undefined {
  const { kind, start, text } = p.token;
  if (!p.isMark('-') && !(text === 'not' && kind === 'word')) return readPower(p);
  if (p.depth > deepest * 2) return p.giveUp(spelling.too_deep.expression());
  p.next();
  p.depth++;
  // "not" takes in a whole comparison; a minus takes in a power.
  const operand = text === 'not' ? readComparison(p) : readUnary(p);
  p.depth--;
  return p.node('Unary', start, { operator: text, operand });
}

function readPower(p: Cursor): ast.Expression | undefined {
  const start = p.token.start;
  const left = readPostfix(p);
  if (!p.takeMark('^')) return left;
  if (p.depth > deepest * 2) return p.giveUp(spelling.too_deep.expression());
  p.depth++;
  const right = readUnary(p);
  p.depth--;
  return p.node('Binary', start, { left, operator: '^', right });
}

export function readPostfix(p: Cursor): ast.Expression | undefined {
  const start = p.token.start;
  let node = readPrimary(p);
  while (node) {
    if (p.heightOf(node) > tallest) return p.giveUp(spelling.too_long(tallest));
    if (p.takeMark('.')) {
      const member = p.token.kind === 'word' ? p.name('') : undefined;
      if (!member) p.report(spelling.missing_member(), { start: p.last - 1, end: p.last });
      node = p.node('Access', start, { object: node, member });
      if (!member) return node;
    } else if (p.isMark('(')) {
      const args: ast.Argument[] = [];
      readBracketed(p, '(', ')', () => args.push(readArgument(p)));
      node = p.node('Call', start, { callee: node, arguments: args });
    } else if (p.isMark('[')) {
      let index: ast.Expression | undefined;
      readBracketed(p, '[', ']', () => {
        index = readExpression(p);
      });
      node = p.node('Index', start, { object: node, index });
    } else break;
  }
  return node;
}

function readArgument(p: Cursor): ast.Argument {
  const start = p.token.start;
  const follows = p.token.kind === 'word' ? p.after() : undefined;
  const named = follows?.text === ':';
  const begins = p.token.text === 'if' || p.token.text === 'not';
  const unmarked = !begins && (follows?.kind === 'number' || follows?.kind === 'string');
  const equals = follows?.text === '=';
  const name = named || equals || unmarked ? p.name('') : undefined;
  if (named) p.next();
  else if (equals) {
    const { start: from, end } = p.next();
    const change = { title: 'Write a colon', start: p.text[from - 1] === ' ' ? from - 1 : from, end, text: ':' };
    p.report(spelling.missing_mark.argument(name?.text ?? ''), { start: from, end }, change);
  } else if (unmarked) {
    const fix = { title: 'Write a colon', start: p.last, end: p.last, text: ':' };
    p.report(spelling.missing_mark.afterName(name?.text ?? ''), p.token, fix);
  }
  const value = readExpression(p);
  return p.node('Argument', start, {
    name,
    value,
    comprehension: p.token.text === 'for' ? readComprehension(p) : undefined,
  });
}

function readComprehension(p: Cursor): ast.Comprehension {
  const start = p.next().start;
  const variable = p.name('a name for each of them');
  if (!p.takeWord('in')) p.report(spelling.missing_in(), p.here());
  const domain = p.token.text === 'every' && p.after().kind === 'word' ? readEvery(p) : readExpression(p);
  const condition = p.takeWord('where') ? readCondition(p) : undefined;
  return p.node('Comprehension', start, { variable, domain, condition });
}

function readEvery(p: Cursor): ast.Every {
  const start = p.next().start;
  const kind = p.name('a kind');
  return p.node('Every', start, { kind, within: p.takeWord('of') ? readPostfix(p) : undefined });
}

function readPrimary(p: Cursor): ast.Expression | undefined {
  const { kind, text, start } = p.token;
  if (kind === 'number') return readQuantity(p);
  if (kind === 'string') return p.string('a text');
  if (kind === 'date') return p.node('DateValue', p.next().start, { date: text });
  if (kind === 'word') {
    if (text === 'yes' || text === 'no') return p.node('Truth', p.next().start, { value: text });
    if (isFurthest(text) && p.after().text === '?') return readOpen(p);
    return p.node('Reference', start, { name: p.name('') });
  }
  if (text === '?') return readOpen(p);
  if (text === '.' && p.after().start === p.token.end && p.after().kind === 'number') {
    return readPointedNumber(p);
  }
  if (text === '[') return readList(p);
  if (text === '(') {
    let inner: ast.Expression | undefined;
    readBracketed(p, '(', ')', () => {
      inner = readExpression(p);
    });
    return p.node('Group', start, { inner });
  }
  reportMissingValue(p);
  return undefined;
}

function isFurthest(text: string): text is NonNullable<ast.Open['furthest']> {
  return text === 'greatest' || text === 'least';
}

/** An open choice: `?`, `? of [a, b]`, `least ?`. */
export function readOpen(p: Cursor): ast.Open {
  const { start, text } = p.token;
  const furthest = isFurthest(text) ? text : undefined;
  if (furthest) p.next();
  p.next();
  if (!p.takeWord('of')) return p.node('Open', start, { furthest });
  if (p.isMark('[')) return p.node('Open', start, { furthest, among: readList(p) });
  p.report(spelling.missing_list.choice(), p.here());
  return p.node('Open', start, { furthest });
}

export function readList(p: Cursor): ast.List {
  const start = p.token.start;
  const elements: ast.ListElement[] = [];
  readBracketed(p, '[', ']', () => {
    const at = p.token.start;
    const named = p.token.kind === 'word' && p.after().text === '=';
    const name = named ? p.name('') : undefined;
    if (named) p.next();
    const value = readExpression(p);
    if (value) elements.push(p.node('ListElement', at, { name, value }));
  });
  return p.node('List', start, { elements });
}
