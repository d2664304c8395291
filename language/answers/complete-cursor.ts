// Where a completion is asked for: the block around it, and the statement it stands in, read as if a name stood there.
import type { Body, Declaration, Entry, Quantity, Text } from '../grammar/generated/ast.ts';
import { parse } from '../grammar/parser.ts';
import { type AstNode, rangeOf } from '../grammar/syntax.ts';
import type { TextFile } from '../machine/text-file.ts';
import {
  innerNodes,
  plainTree,
  type Situation,
  situationIn,
  situationInside,
  situationsAlong,
  type TreeOf,
} from '../types/situation.ts';
import { stepsOf, withSteps } from '../types/steps.ts';
import type { Hints } from './proposal.ts';

/** A name that nobody writes: it stands where the cursor is while a statement is read. */
const marker = 'zzhere';

export interface CursorPlace {
  readonly file: TextFile;
  /** What is typed of the name already: from here to `end` is replaced. */
  readonly start: number;
  readonly end: number;
  /** The body around, and what is seen in it; none at the top of a file. */
  readonly body: Body | undefined;
  readonly outer: Situation;
  /** From the statement to the marked node; empty where the statement cannot be read so far. */
  readonly path: readonly AstNode[];
  readonly situations: readonly Situation[];
  /** The statement's text before the name, and what follows it in its line. */
  readonly before: string;
  readonly after: string;
  readonly hints: Hints;
}

/** Reads the place at an offset; undefined in comments and in texts that hold no expressions. */
export function cursorAt(file: TextFile, offset: number, hints: Hints = {}): CursorPlace | undefined {
  const { text } = file.parsed;
  const { body, path: around, items } = enclosing(file, offset);
  const from = statementStart(file, body, items, offset);
  const typed = text.slice(from, offset);
  const inText = openText(typed);
  if (inText === 'comment') return undefined;
  const start = offset - ((inUnit(typed) ?? /[\p{L}_][\p{L}\p{N}_]*$/u.exec(typed)?.[0])?.length ?? 0);
  const end = offset + (/^[\p{L}\p{N}_]*/u.exec(text.slice(offset, offset + 100))?.[0].length ?? 0);
  const before = text.slice(from, start);
  const after = (/^[^\n{]*/.exec(text.slice(end, end + 1000))?.[0] ?? '').replace(/\s+$/, '');
  const outer = withStepsAround(situationAround(file, around), around, offset);
  const cursor = { file, start, end, body, outer, before, after, hints };
  if (typeof inText === 'number') return inMessage(cursor, before, before.length - (start - from) + inText);
  const path = statementPath(before, after, body !== undefined) ?? statementPath(before, '', body !== undefined) ?? [];
  const first = path[0]?.$type === 'Declaration' && !body ? situationIn(path[0] as Declaration, file.scope) : outer;
  return { ...cursor, path, situations: situationsInStatement(path, first) };
}

/** The unit that is being typed after a number and a blank, if one is. */
function inUnit(typed: string): string | undefined {
  const match = /(?:^|[^\p{L}\p{N}_.])\d+(?:\.\d+)?(?:[eE][-+]?\d+)? +([A-Za-z%µΩ°][A-Za-z0-9%µΩ°*/^()-]*)?$/u.exec(
    typed,
  );
  return match ? (match[1] ?? '') : undefined;
}

/** Whether text is a comment, or where the expression in a text begins that it ends in; `undefined` elsewhere. */
function openText(typed: string): 'comment' | number | undefined {
  const line = typed.slice(typed.lastIndexOf('\n') + 1);
  const base = typed.length - line.length;
  let quote = -1;
  for (let at = 0; at < line.length; at++) {
    if (quote < 0 && line.startsWith('//', at)) return 'comment';
    if (line[at] === '\\' && quote >= 0) at++;
    else if (line[at] === '"') quote = quote < 0 ? at : -1;
  }
  if (quote < 0) return undefined;
  if (/^\s*use\s*"/.test(line)) return undefined;
  const brace = line.lastIndexOf('{');
  return brace > quote && line.indexOf('}', brace) < 0 ? base + brace + 1 : 'comment';
}

/** Trees that the checks have built of this very text are taken as they are: to build one of a long machine takes a while. */
function builtTrees(file: TextFile): TreeOf {
  return (item, scope) => file.builtTree?.(item) ?? plainTree(item, scope);
}

function situationAround(file: TextFile, around: readonly AstNode[]): Situation {
  const situation = situationsAlong(around, file.scope, builtTrees(file));
  return situation.at(-1) ?? { ctx: { scope: file.scope, mode: 'kind', kind: undefined, report: () => {} } };
}

/** With the steps of the formula that is being written, which its statement alone does not show. */
function withStepsAround(outer: Situation, around: readonly AstNode[], offset: number): Situation {
  const [holder, body] = around.slice(-2);
  const written = (body as Body | undefined)?.members.find((member) => {
    const { start, end } = rangeOf(member);
    return member.$type === 'Entry' && start < offset && offset <= end;
  });
  const formula = written ?? holder;
  if (outer.ctx.mode !== 'kind' || (formula?.$type !== 'Entry' && formula?.$type !== 'Declaration')) return outer;
  const node = formula as Entry | Declaration;
  const below = written ? undefined : stepsOf(node).findLast((step) => rangeOf(step).start < offset);
  return { ...outer, ctx: withSteps(node, outer.ctx, below) };
}

type WithBody = AstNode & { body?: Body };

/** The body an offset stands in, with the nodes that lead there; blocks that are not closed reach on. */
function enclosing(file: TextFile, offset: number): { body: Body | undefined; path: AstNode[]; items: AstNode[] } {
  const { items, text } = file.parsed;
  const item = items.findLast((each) => each.start < offset);
  if (!item || (offset > item.end && !item.open)) return { body: undefined, path: [], items: items.map((i) => i.node) };
  const path: AstNode[] = [];
  let body: Body | undefined;
  for (let node: WithBody | undefined = item.node; node; ) {
    const inner: Body | undefined = node.body;
    if (!inner || !isInside(inner, offset, text)) break;
    path.push(node, inner);
    body = inner;
    node = (inner.members as WithBody[]).findLast((m) => rangeOf(m).start < offset);
  }
  return { body, path, items: items.map((i) => i.node) };
}

function isInside(body: Body, offset: number, text: string): boolean {
  const { start, end } = rangeOf(body);
  if (offset <= start) return false;
  const last = body.members.at(-1);
  const closed = text[end - 1] === '}' && (!last || rangeOf(last).end < end);
  return closed ? offset < end : true;
}

/** Where the statement at an offset begins: with its line, or before it where its brackets reach over several lines. */
function statementStart(file: TextFile, body: Body | undefined, items: readonly AstNode[], offset: number): number {
  const { text } = file.parsed;
  const lineStart = text.lastIndexOf('\n', offset - 1) + 1;
  const opening = body ? rangeOf(body).start + 1 : 0;
  const statements: readonly AstNode[] = body?.members ?? items;
  const around = statements.findLast((node) => {
    const { start, end } = rangeOf(node);
    return start < lineStart && offset <= end;
  });
  if (around && !(around as Entry).body) return rangeOf(around).start;
  return Math.max(lineStart, opening, closedBefore(statements, lineStart, offset));
}

/** The end of a block that closes earlier in the same line. */
function closedBefore(statements: readonly AstNode[], lineStart: number, offset: number): number {
  const node = statements.findLast((each) => rangeOf(each).end <= offset && rangeOf(each).end > lineStart);
  return node && (node as WithBody).body ? rangeOf(node).end : 0;
}

/** Reads a statement with the marker in it, and gives the nodes that lead to the marker. */
function statementPath(before: string, after: string, inBody: boolean): AstNode[] | undefined {
  const text = `${before}${marker}${after}`;
  const item = parse(inBody ? `zz {\n${text}\n}` : text).file.items.at(0);
  const roots: readonly AstNode[] = inBody ? ((item as Entry | undefined)?.body?.members ?? []) : item ? [item] : [];
  for (const root of roots) {
    const path = pathToMarker(root);
    if (path) return path;
  }
  return undefined;
}

function isMarked(node: AstNode): boolean {
  if (node.$type === 'Name') return (node as AstNode & { text: string }).text === marker;
  if (node.$type === 'Quantity') return (node as Quantity).unit?.startsWith(marker) ?? false;
  return node.$type === 'Text' && (node as Text).text.includes(marker) && node.$container?.$type === 'Use';
}

function pathToMarker(node: AstNode): AstNode[] | undefined {
  if (isMarked(node)) return [node];
  for (const child of innerNodes(node)) {
    const rest = pathToMarker(child);
    if (rest) return [node, ...rest];
  }
  return undefined;
}

function situationsInStatement(path: readonly AstNode[], outer: Situation): Situation[] {
  const list: Situation[] = [];
  for (const [i, node] of path.entries()) {
    const around = path[i - 1];
    list.push(around ? situationInside(list[i - 1] as Situation, around, node) : outer);
  }
  return list;
}

/** An expression that is being typed inside a message, in braces. */
function inMessage(cursor: Omit<CursorPlace, 'path' | 'situations'>, before: string, from: number): CursorPlace {
  const text = `zz = ${before.slice(from)}${marker}`;
  const item = parse(text).file.items.at(0) as Entry | undefined;
  const path = item?.value ? (pathToMarker(item.value) ?? []) : [];
  const { ctx } = cursor.outer;
  return { ...cursor, before: before.slice(from), after: '', path, situations: situationsInStatement(path, { ctx }) };
}
