import { spelling } from '../../mistakes/spelling.ts';
import type { Base, Expression, Quantity } from '../generated/ast.ts';
import type { Cursor } from './cursor.ts';
import { readExpression, readOpen } from './expressions.ts';
import { readQuantity } from './values.ts';

/** Takes a colon before a number or a list, which was meant to be an equals sign. */
export function takeColonForEquals(p: Cursor, name: string): boolean {
  const { kind, text } = p.after();
  if (kind !== 'number' && kind !== 'string' && kind !== 'date' && text !== '[' && text !== '?') return false;
  const { start, end } = p.next();
  const blank = p.text[start - 1] === ' ' ? '' : ' ';
  const fix = { title: 'Write =', start, end, text: `${blank}=` };
  p.report(spelling.colon_for_equals(name), { start, end }, fix);
  return true;
}

export function takeDoubleEquals(p: Cursor, name: string): boolean {
  if (!p.isMark('==')) return false;
  const { start, end } = p.next();
  const fix = { title: 'Write =', start, end, text: '=' };
  p.report(spelling.double_equals(name), { start, end }, fix);
  return true;
}

export function readValueOf(p: Cursor, name: string): Expression | undefined {
  if (p.token.kind !== 'line' && p.token.kind !== 'end' && !p.isMark('}')) return readExpression(p);
  const after = p.text.slice(p.lastStart, p.last);
  p.report(spelling.missing_value.of(name, after), p.here());
  return undefined;
}

export function startsValue(p: Cursor): boolean {
  const { kind, text } = p.token;
  return kind === 'number' || kind === 'string' || kind === 'date' || text === '[' || text === '?';
}

export function readValueWithoutEquals(p: Cursor): Expression | undefined {
  const { start } = p.token;
  const value = readExpression(p);
  const fix = { title: 'Write =', start, end: start, text: '= ' };
  p.report(spelling.missing_equals.between(), { start, end: p.last }, fix);
  return value;
}

export function readCount(p: Cursor): Quantity | undefined {
  if (p.token.kind === 'number') return readQuantity(p);
  p.report(spelling.missing_count(), p.here());
  return undefined;
}

export function readBase(p: Cursor): Base | undefined {
  if (p.isMark('?')) return readOpen(p);
  return p.name('the part or kind it starts from, or ? to let the tool propose one');
}
