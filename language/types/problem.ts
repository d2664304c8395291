import { closest, distance } from 'fastest-levenshtein';
import { type AstNode, rangeOf } from '../grammar/syntax.ts';

export type Severity = 'error' | 'warning' | 'advice' | 'note';

/** A change of text that mends something. Positions are read when it is asked for, never stored. */
export interface TextFix {
  readonly title: string;
  readonly range: () => { start: number; end: number };
  readonly text: string;
}

/** Something wrong with the text itself: a name, a unit, a type. Rules have findings of their own. */
export interface Problem {
  readonly code: string;
  readonly severity: Severity;
  readonly message: string;
  readonly node: AstNode;
  readonly fixes: readonly TextFix[];
}

/** A message as a sentence: its article with a capital, and no point after a question mark. */
export function sentence(text: string): string {
  return text.replace(/^(an?) /, (_, article: string) => `${article === 'a' ? 'A' : 'An'} `).replace(/\?\.$/, '?');
}

/** The outermost expression around a mistake: it cannot be computed as it stands, and what depends on it is not known. */
export function expressionAround(node: AstNode): AstNode | undefined {
  let outermost: AstNode | undefined;
  for (let at: AstNode | undefined = node; at; at = at.$container) {
    if (isStatement(at)) break;
    outermost = at;
  }
  return outermost;
}

const statements = new Set([
  'Entry',
  'Requirement',
  'Acceptance',
  'Measurement',
  'Clause',
  'Message',
  'Remedy',
  'Follows',
  'Row',
  'Has',
  'Declaration',
  'Body',
  'SpecFile',
]);
function isStatement(node: AstNode): boolean {
  return statements.has(node.$type);
}

/** Replaces the text of a node. */
export function replace(node: AstNode, text: string, title: string): TextFix {
  return { title, range: () => rangeOf(node), text };
}

/** The candidate that was probably meant, if one is near enough. */
export function nearest(name: string, candidates: Iterable<string>): string | undefined {
  const list = [...candidates].filter((c) => c !== name);
  if (list.length === 0) return undefined;
  const found = closest(
    name.toLowerCase(),
    list.map((c) => c.toLowerCase()),
  );
  const best = list.find((c) => c.toLowerCase() === found);
  return best && distance(name.toLowerCase(), found) <= Math.max(1, Math.floor(name.length / 3)) ? best : undefined;
}

/** `a, b and c` */
export function listed(names: readonly string[], most = 8): string {
  const shown = names.length > most ? [...names.slice(0, most), `${names.length - most} more`] : names;
  return shown.length < 2 ? (shown[0] ?? '') : `${shown.slice(0, -1).join(', ')} and ${shown[shown.length - 1]}`;
}
