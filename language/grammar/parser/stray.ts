import type { Token } from '../lexer.ts';
import type { AstNode, SyntaxProblem } from '../syntax.ts';
import type { Cursor } from './cursor.ts';
import { indentOf } from './lines.ts';

/** Marks after which a statement's first word is the name of a value or a block, whatever the word. */
export const namingMarks = new Set(['=', ':', '{', '.', '*']);

/** What is said of a comment as other languages write it, if one begins here. It ends with its line. */
export function otherComment(text: string, start: number): SyntaxProblem | undefined {
  const block = text.startsWith('/*', start);
  if (!block && text[start] !== '#') return undefined;
  const newline = text.indexOf('\n', start);
  const lineEnd = newline < 0 ? text.length : newline;
  const close = block ? text.indexOf('*/', start) : -1;
  const end = close >= 0 && close < lineEnd ? close + 2 : lineEnd;
  const message = block ? 'A comment begins with //, and ends with its line.' : 'A comment begins with //.';
  const mark = /^#+/.exec(text.slice(start, end))?.[0];
  const fix = mark ? { title: 'Write //', start, end: start + mark.length, text: '//' } : undefined;
  return { code: 'other_comment', message, start, end, fix };
}

export function meaningless(character: string): string {
  if (!/[\p{C}\p{Z}]/u.test(character)) return `${character} means nothing here.`;
  const code = character.codePointAt(0)?.toString(16).toUpperCase().padStart(4, '0');
  return `Here is an invisible character, U+${code}, that means nothing.`;
}

export function strayClose(text: string): string {
  const opening = text === '}' ? '{' : text === ']' ? '[' : '(';
  return `This ${text} closes nothing: there is one too many, or a ${opening} is missing before it.`;
}

/** A statement ends with its line or with its block; what else stands there is one problem. */
export function endStatement(p: Cursor, node: AstNode | undefined): void {
  // What follows an unclosed block stands outside of it.
  if (p.open) return;
  const { kind, text, start } = p.token;
  if (kind === 'line' || kind === 'end' || (text === '}' && p.depth > 0)) return;
  const lastProblem = p.problems[p.problems.length - 1];
  const lineStart = p.text.lastIndexOf('\n', start - 1) + 1;
  const told = lastProblem && lastProblem.end + p.origin >= lineStart;
  const after = p.after();
  if (kind === 'word' && node && (namingMarks.has(after.text) || after.text === 'is') && after.text !== '.') {
    const indent = ' '.repeat(indentOf(p.text, start));
    const fix = { title: 'Begin a new line', start: p.last, end: start, text: `\n${indent}` };
    if (!told) p.problem('unexpected', `Each statement has its own line: ${text} begins another.`, p.token, fix);
    return;
  }
  if (!told && node) reportUnexpected(p, p.token);
  p.skipLine();
}

export function reportUnexpected(p: Cursor, { kind, text, start, end }: Token): void {
  const at = { start, end };
  if (kind === 'mark' && ['}', ']', ')'].includes(text)) {
    p.problem('stray_close', strayClose(text), at, { title: 'Remove it', start, end, text: '' });
  } else if (text === '#' || p.text.startsWith('/*', start)) reportOtherComment(p, start);
  else if (kind === 'bad') p.problem('unexpected', meaningless(text), at);
  else p.problem('unexpected', `${text} was not expected here: a statement ends with its line.`, at);
}

/** Reports a comment as other languages write it, to its end or the end of its line. Returns where it ends. */
export function reportOtherComment(p: Cursor, start: number): number {
  const problem = otherComment(p.text, start) as SyntaxProblem;
  p.problem(problem.code, problem.message, problem, problem.fix);
  return problem.end;
}
