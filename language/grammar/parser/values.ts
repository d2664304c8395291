import type { DateValue, Quantity } from '../generated/ast.ts';
import type { SyntaxProblem } from '../syntax.ts';
import type { Cursor } from './cursor.ts';
import { meaningless } from './stray.ts';

const operators = new Set('== != < <= > >= is in + - * / ^ x .. and or not otherwise then else if ->'.split(' '));

export function readQuantity(p: Cursor): Quantity {
  const token = p.next();
  const { number, unit, start, end } = token;
  const text = unit ? `${number} ${unit}` : (number ?? '');
  const fix = { title: `Write ${text}`, start, end, text };
  if (token.comma) p.problem('decimal_comma', `Decimals are written with a point: ${text}.`, { start, end }, fix);
  else if (token.tight && isStrayWord(p))
    p.problem('tight_unit', `A number and its unit stand alone: ${number} ${p.token.text}.`, { start, end });
  else if (token.tight)
    p.problem('tight_unit', `Write a blank between the number and its unit: ${text}.`, { start, end }, fix);
  return p.node('Quantity', start, { number, unit });
}

/** Does a word follow that nothing comes after: what stood before it was no unit? */
function isStrayWord(p: Cursor): boolean {
  if (p.token.kind !== 'word') return false;
  const { kind, text } = p.after();
  return kind === 'line' || kind === 'end' || text === '}';
}

/** A number that begins with its point. */
export function readPointedNumber(p: Cursor): Quantity {
  const { start } = p.next();
  const { number, unit, end } = p.next();
  const text = unit ? `0.${number} ${unit}` : `0.${number}`;
  const fix = { title: `Write ${text}`, start, end, text };
  p.problem('leading_point', `A number begins with a digit: ${text}.`, { start, end }, fix);
  return p.node('Quantity', start, { number: `0.${number}`, unit });
}

/** What is said where a value should begin and none does. */
export function missingValue(p: Cursor): { message: string; fix?: SyntaxProblem['fix'] } {
  const { kind, text, start, end } = p.token;
  const last = p.text.slice(p.lastStart, p.last);
  if (kind === 'bad') return { message: `${meaningless(text)} Expected a value, such as 24 V or a name.` };
  if (p.free > 0 && (text === ',' || text === ')' || text === ']')) {
    const fix = text === ',' ? { title: 'Remove it', start, end, text: '' } : undefined;
    return { message: `A value is missing before this ${text === ',' ? 'comma' : text}.`, fix };
  }
  if (operators.has(last)) return { message: `A value is missing after "${last}", such as 24 V or a name.` };
  return { message: 'Expected a value here: a number with its unit, a name, or ? to let the tool propose one.' };
}

export function readDay(p: Cursor): DateValue | undefined {
  if (!p.takeWord('on')) {
    p.problem('missing_date', 'Expected the day it was taken: on 2026-03-02.', p.here());
    return undefined;
  }
  if (p.token.kind !== 'date') {
    p.problem('missing_date', 'Expected a date, written as 2026-03-02.', p.here());
    return undefined;
  }
  const token = p.next();
  return p.node('DateValue', token.start, { date: token.text });
}
