import type { Wording } from '../../mistakes/mistake.ts';
import { spelling } from '../../mistakes/spelling.ts';
import type { DateValue, Quantity } from '../generated/ast.ts';
import type { Cursor } from './cursor.ts';

const operators = new Set('== != < <= > >= is in + - * / ^ x .. and or not otherwise then else if ->'.split(' '));

export function readQuantity(p: Cursor): Quantity {
  const token = p.next();
  const { number, unit, start, end } = token;
  const text = unit ? `${number} ${unit}` : (number ?? '');
  const fix = { title: `Write ${text}`, start, end, text };
  if (token.comma) p.report(spelling.decimal_comma(text), token, fix);
  else if (token.tight && isStrayWord(p)) p.report(spelling.word_before_unit(`${number} ${p.token.text}`), token);
  else if (token.tight) p.report(spelling.tight_unit(text), token, fix);
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
  p.report(spelling.leading_point(text), { start, end }, fix);
  return p.node('Quantity', start, { number: `0.${number}`, unit });
}

/** Reports that no value begins where one should. */
export function reportMissingValue(p: Cursor): void {
  const { kind, text, start, end } = p.token;
  const { missing_value: missing } = spelling;
  const last = p.text.slice(p.lastStart, p.last);
  if (kind === 'bad') p.report(missing.meaningless(text), p.here());
  else if (p.free > 0 && (text === ',' || text === ')' || text === ']')) {
    const change = text === ',' ? { title: 'Remove it', start, end, text: '' } : undefined;
    p.report(missing.before(text === ',' ? 'comma' : text), p.here(), change);
  } else p.report(operators.has(last) ? missing.after(last) : missing.here(), p.here());
}

export function readDay(p: Cursor): DateValue | undefined {
  if (!p.takeWord('on')) {
    p.report(spelling.missing_date.day(), p.here());
    return undefined;
  }
  if (p.token.kind !== 'date') {
    p.report(spelling.missing_date.form(), p.here());
    return undefined;
  }
  const token = p.next();
  const wrong = noSuchDay(token.text);
  if (wrong) p.report(wrong, token);
  return p.node('DateValue', token.start, { date: token.text });
}

/** What is said of a date that the calendar does not have. */
function noSuchDay(date: string): Wording | undefined {
  const [year = 0, month = 0, day = 0] = date.split('-').map(Number);
  if (month < 1 || month > 12) return spelling.no_such_day.month(date, date.slice(5, 7));
  const isLeap = year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);
  const days = month === 2 ? (isLeap ? 29 : 28) : [4, 6, 9, 11].includes(month) ? 30 : 31;
  return day < 1 || day > days ? spelling.no_such_day.day(date, days) : undefined;
}
