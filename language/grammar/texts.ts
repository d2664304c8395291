import type * as ast from './generated/ast.ts';
import { Cursor, type Fields } from './parser/cursor.ts';
import { readExpression } from './parser/expressions.ts';
import { contentOf, type Placed } from './syntax.ts';
import { clauseOf } from './words.ts';

const messages = new WeakMap<ast.Text, readonly (string | ast.Expression)[]>();

/** Texts that are read as they stand: of a source, an assumption, a reason, the path of a file. */
const plainTexts: ReadonlySet<string> = new Set<ast.Member['$type'] | 'Use'>(['Source', 'Clause', 'Acceptance', 'Use']);

function isPlain({ $container: container }: ast.Text): boolean {
  if (container?.$type === 'Clause' && clauseOf(container.keyword)?.contents === 'message') return false;
  return plainTexts.has(container?.$type ?? '');
}

/** A text and the expressions in its braces, in order. `\{` writes a brace. */
export function interpolations(node: ast.Text): readonly (string | ast.Expression)[] {
  let parts = messages.get(node);
  if (!parts) {
    parts = isPlain(node) ? [contentOf(node)] : readMessage(node);
    messages.set(node, parts);
  }
  return parts;
}

function readMessage(node: ast.Text): (string | ast.Expression)[] {
  const parts: (string | ast.Expression)[] = [];
  const raw = node.text.replace(/^"/, '').replace(/"$/, '');
  let plain = '';
  let close = raw.indexOf('}');
  for (let at = 0; at < raw.length; at++) {
    if (close >= 0 && close < at) close = raw.indexOf('}', at);
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
  const p = new Cursor(text, 0, 'braces');
  // Line ends are blanks in it: it stands in brackets.
  p.free = 1;
  const node = readExpression(p);
  if (!node || p.mistakes.length > 0 || p.token.kind !== 'end') return undefined;
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
