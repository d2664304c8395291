import type { Mistake, Wording } from '../../mistakes/mistake.ts';
import { spelling } from '../../mistakes/spelling.ts';
import type { Token } from '../lexer.ts';
import { type AstNode, mistakeAt } from '../syntax.ts';
import type { Cursor } from './cursor.ts';
import { indentOf } from './lines.ts';

/** Marks after which a statement's first word is the name of a value or a block, whatever the word. */
export const namingMarks = new Set(['=', ':', '{', '.', '*']);

/** What is said of a comment as other languages write it, if one begins here. It ends with its line. */
export function otherComment(text: string, start: number): Mistake | undefined {
  const block = text.startsWith('/*', start);
  if (!block && text[start] !== '#') return undefined;
  const newline = text.indexOf('\n', start);
  const lineEnd = newline < 0 ? text.length : newline;
  const close = block ? text.indexOf('*/', start) : -1;
  const end = close >= 0 && close < lineEnd ? close + 2 : lineEnd;
  const mark = /^#+/.exec(text.slice(start, end))?.[0];
  const change = mark ? { title: 'Write //', start, end: start + mark.length, text: '//' } : undefined;
  return mistakeAt(block ? spelling.other_comment.block() : spelling.other_comment.line(), { start, end }, change);
}

/** What is said of a bracket that closes nothing. */
export function strayClose(text: string): Wording {
  return spelling.stray_close(text, text === '}' ? '{' : text === ']' ? '[' : '(');
}

/** A statement ends with its line or with its block; what else stands there is one mistake. */
export function endStatement(p: Cursor, node: AstNode | undefined): void {
  // What follows an unclosed block stands outside of it.
  if (p.open) return;
  const { kind, text, start } = p.token;
  if (kind === 'line' || kind === 'end' || (text === '}' && p.depth > 0)) return;
  const lastProblem = p.mistakes[p.mistakes.length - 1];
  const lineStart = p.text.lastIndexOf('\n', start - 1) + 1;
  const told = lastProblem && lastProblem.end + p.origin >= lineStart;
  const after = p.after();
  if (kind === 'word' && node && (namingMarks.has(after.text) || after.text === 'is') && after.text !== '.') {
    const indent = ' '.repeat(indentOf(p.text, start));
    const fix = { title: 'Begin a new line', start: p.last, end: start, text: `\n${indent}` };
    if (!told) p.report(spelling.unexpected.another(text), p.token, fix);
    return;
  }
  if (!told && node) reportUnexpected(p, p.token);
  p.skipLine();
}

export function reportUnexpected(p: Cursor, { kind, text, start, end }: Token): void {
  const at = { start, end };
  if (kind === 'mark' && ['}', ']', ')'].includes(text)) {
    p.report(strayClose(text), at, { title: 'Remove it', start, end, text: '' });
  } else if (text === '#' || p.text.startsWith('/*', start)) reportOtherComment(p, start);
  else if (kind === 'bad') p.report(spelling.unexpected.meaningless(text), at);
  else p.report(text === ',' ? spelling.unexpected.list() : spelling.unexpected.rest(text), at);
}

/** Reports a comment as other languages write it, to its end or the end of its line. Returns where it ends. */
export function reportOtherComment(p: Cursor, start: number): number {
  const mistake = otherComment(p.text, start) as Mistake;
  p.add(mistake);
  return mistake.end;
}
