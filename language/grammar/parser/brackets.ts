import { spelling } from '../../mistakes/spelling.ts';
import type { Token } from '../lexer.ts';
import type { Cursor } from './cursor.ts';
import { reportUnexpected } from './stray.ts';

/** Comma-separated things in brackets, over as many lines as one likes. */
export function readBracketed(p: Cursor, open: string, close: string, element: () => void): void {
  const opening = p.token;
  p.free++;
  p.next();
  while (!p.isMark(close) && p.token.kind !== 'end') {
    const before = p.token.start;
    element();
    skipBad(p);
    if (p.takeMark(',')) continue;
    if (p.isMark(close)) break;
    if (p.token.start > before && missingComma(p, open, close)) continue;
    reportUnclosed(p, open, close, opening);
    return;
  }
  p.free--;
  if (p.isMark(close)) p.next();
  else reportUnclosed(p, open, close, opening, true);
}

/** Passes characters that mean nothing, so that a list goes on behind them. */
function skipBad(p: Cursor): void {
  const { kind, start } = p.token;
  if (kind !== 'bad') return;
  const told = p.mistakes.at(-1);
  if (!told || told.start + p.origin !== start) reportUnexpected(p, p.token);
  while (p.token.kind === 'bad') p.next();
}

/** Reports that a comma is missing where the next element follows at once; false where it does not. */
function missingComma(p: Cursor, open: string, close: string): boolean {
  const { kind, text, start } = p.token;
  if (kind !== 'word' && kind !== 'number' && kind !== 'string' && kind !== 'date') return false;
  const after = p.after().text;
  const sameLine = !p.text.slice(p.last, start).includes('\n');
  const another = sameLine ? after !== '=' || open === '[' : [',', close, '.', '('].includes(after);
  if (!another) return false;
  const fix = { title: 'Write a comma', start: p.last, end: p.last, text: ',' };
  p.report(spelling.missing_comma(text), p.token, fix);
  return true;
}

function reportUnclosed(p: Cursor, open: string, close: string, opening: Token, left = false): void {
  if (!left) p.free--;
  const lineStart = p.text.lastIndexOf('\n', opening.start) + 1;
  if (p.furthest < lineStart) p.report(spelling.unclosed_bracket(open, close), opening);
  // Go on at the end of the opening's own line: the lines below are statements of their own.
  const newline = p.text.indexOf('\n', opening.start);
  if (p.free === 0 && newline >= 0 && p.last > newline) p.token = p.lexer.read(newline, false);
  else if (p.free === 0) p.token = p.lexer.read(p.last, false);
}
