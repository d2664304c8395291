import {
  type Range,
  type SemanticTokens,
  SemanticTokensBuilder,
  type SemanticTokensDelta,
  type SemanticTokensEdit,
  type SemanticTokensOptions,
} from 'vscode-languageserver';
import type { FoundMeaning, MeaningSort } from '../../language/answers/meaning.ts';
import { type Named, namesIn } from '../../language/answers/names.ts';
import { Lexer, type Token } from '../../language/grammar/lexer.ts';
import { type AstNode, fileOf } from '../../language/grammar/syntax.ts';
import type { SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';

export const tokenTypes = [
  'keyword',
  'number',
  'type',
  'property',
  'function',
  'variable',
  'parameter',
  'class',
  'enumMember',
  'string',
  'comment',
  'operator',
] as const;
export const tokenModifiers = ['declaration', 'defaultLibrary', 'readonly', 'documentation'] as const;
type Type = (typeof tokenTypes)[number];
type Modifier = (typeof tokenModifiers)[number];

export const semanticTokensOptions: SemanticTokensOptions = {
  legend: { tokenTypes: [...tokenTypes], tokenModifiers: [...tokenModifiers] },
  full: { delta: true },
  range: true,
};

/** A stretch of text in one line that is coloured as one. */
interface Coloured {
  readonly start: number;
  readonly end: number;
  readonly type: Type;
  readonly modifiers: readonly Modifier[];
}

/** The colours of a file, or of a range of it, as LSP writes them. */
export function semanticTokens(file: SourceFile, range: Range | undefined, workspace: Workspace): SemanticTokens {
  const builder = new SemanticTokensBuilder();
  for (const { start, end, type, modifiers } of colours(file, range, workspace)) {
    const { line, character } = file.lines.position(start);
    const bits = modifiers.reduce((sum, modifier) => sum | (1 << tokenModifiers.indexOf(modifier)), 0);
    builder.push(line, character, end - start, tokenTypes.indexOf(type), bits);
  }
  return builder.build();
}

/** What is to be coloured, in the order of the text; nothing overlaps, and nothing reaches over a line's end. */
function colours(file: SourceFile, range: Range | undefined, workspace: Workspace): Coloured[] {
  const { text, items } = file.parsed;
  const from = range ? file.lines.offset({ line: range.start.line, character: 0 }) : 0;
  const lineEnd = range ? text.indexOf('\n', file.lines.offset(range.end)) : -1;
  const to = lineEnd < 0 ? text.length : lineEnd;
  const names = items
    .filter((item) => item.start <= to && item.end >= from)
    .flatMap((item) => namesIn(item.node, file))
    .filter((named) => named.range.start < to && named.range.end > from)
    .sort((a, b) => a.range.start - b.range.start);
  const named = names.map((name) => colourOf(name, workspace));
  return weave(text, from, to, names, named);
}

/** Goes over the text's tokens: those that are names get the name's colour, the rest that of their sort. */
function weave(
  text: string,
  from: number,
  to: number,
  names: readonly Named[],
  named: readonly (Coloured | undefined)[],
): Coloured[] {
  const lexer = new Lexer(text);
  const found: Coloured[] = [];
  let next = 0;
  for (let offset = from; offset < to; ) {
    const token = lexer.read(offset, true);
    found.push(...commentsBetween(text, offset, Math.min(token.start, to)));
    if (token.kind === 'end' || token.start >= to) break;
    offset = token.end;
    const first = next;
    while ((names[next]?.range.start ?? Number.POSITIVE_INFINITY) < token.end) next++;
    const own = named.slice(first, next).filter((colour) => colour !== undefined);
    const isName = names.slice(first, next).some(({ range }) => range.start === token.start);
    if (token.kind === 'word' && isName) found.push(...own);
    else found.push(...around(tokenColour(token), own));
  }
  return found;
}

/** A token and the names inside it (a number's unit, expressions in a text): they in their colours, what is left of the token in its own. */
function around(token: Coloured | undefined, inner: readonly Coloured[]): Coloured[] {
  if (!token) return [...inner];
  const pieces: Coloured[] = [];
  let start = token.start;
  for (const piece of inner) {
    if (piece.start > start) pieces.push({ ...token, start, end: Math.min(piece.start, token.end) });
    pieces.push(piece);
    start = piece.end;
  }
  if (start < token.end) pieces.push({ ...token, start });
  return pieces;
}

const tokenSorts: Partial<Record<Token['kind'], Type>> = {
  // Whatever is no name is a word of the language, wherever it stands in its line.
  word: 'keyword',
  number: 'number',
  date: 'number',
  string: 'string',
};

function tokenColour(token: Token): Coloured | undefined {
  // Of a number with its unit, the number alone: the unit is a name.
  const isMark = token.kind === 'mark' && /^([-+*/^<>?]|[=!<>]=|\.\.|->)$/.test(token.text);
  const type = isMark ? 'operator' : tokenSorts[token.kind];
  if (!type) return undefined;
  const end = token.number === undefined ? token.end : token.start + token.number.length;
  return { start: token.start, end, type, modifiers: [] };
}

function commentsBetween(text: string, from: number, to: number): Coloured[] {
  const gap = text.slice(from, to);
  return [...gap.matchAll(/\/\/[^\n]*/g)].map((match) => ({
    start: from + match.index,
    end: from + match.index + match[0].replace(/\r$/, '').length,
    type: 'comment',
    modifiers: match[0].startsWith('///') ? ['documentation'] : [],
  }));
}

const sorts: Record<MeaningSort, Type | undefined> = {
  value: 'property',
  block: 'variable',
  declaration: 'variable',
  kind: 'class',
  part: 'variable',
  rule: 'function',
  check: 'function',
  // In the colour of numbers, so that a number and its unit look like one thing in every theme.
  unit: 'number',
  argument: 'parameter',
  local: 'parameter',
  builtin: 'function',
  choice: 'enumMember',
  size: 'enumMember',
  use: undefined,
  keyword: 'keyword',
};

function colourOf({ node, range, found }: Named, workspace: Workspace): Coloured | undefined {
  const type = found && typeOf(found);
  if (!type) return undefined;
  const modifiers: Modifier[] = [];
  if (found.declarations.includes(node)) modifiers.push('declaration');
  if (isLibrarys(found, workspace)) modifiers.push('defaultLibrary');
  if (isFixed(found)) modifiers.push('readonly');
  return { ...range, type, modifiers };
}

function typeOf(found: FoundMeaning): Type | undefined {
  const { sort, identity, member } = found;
  if (sort === 'value') return (member?.parameters.length ?? 0) > 0 ? 'function' : 'property';
  if (sort !== 'declaration' || typeof identity === 'string' || identity.$type !== 'Declaration') return sorts[sort];
  const { what } = identity as AstNode & { what: string };
  if (what === 'dimension') return 'type';
  return (identity as AstNode & { parameters: unknown[] }).parameters.length > 0 ? 'function' : 'variable';
}

/** What is computed, or declared once and for all. */
function isFixed({ sort, member }: FoundMeaning): boolean {
  return (
    sort === 'part' || sort === 'size' || sort === 'declaration' || (sort === 'value' && member?.role === 'derived')
  );
}

function isLibrarys({ identity, sort }: FoundMeaning, { project }: Workspace): boolean {
  if (typeof identity === 'string') return sort === 'builtin';
  // A block is the machine's own, whoever declares that there is one.
  if (sort === 'block') return false;
  return project.library.scope.own.files.includes(fileOf(identity));
}

/** What clients have of the colours of files, so that of an edit only what it changed is sent. */
export class SentTokens {
  readonly #sent = new Map<string, { readonly id: string; readonly data: readonly number[] }>();
  #ids = 0;

  /** All colours of a file, by a name under which they are remembered. */
  whole(uri: string, { data }: SemanticTokens): Required<SemanticTokens> {
    const id = `${++this.#ids}`;
    this.#sent.set(uri, { id, data });
    return { resultId: id, data };
  }

  /** What has changed since those of that name; all of them where these are not the last that were sent. */
  since(before: string, uri: string, now: SemanticTokens): SemanticTokens | SemanticTokensDelta {
    const sent = this.#sent.get(uri);
    const { resultId, data } = this.whole(uri, now);
    return sent?.id === before ? { resultId, edits: editsBetween(sent.data, data) } : { resultId, data };
  }

  forget(uri: string): void {
    this.#sent.delete(uri);
  }
}

/** The one stretch of numbers that is another; none where all are the same. */
function editsBetween(before: readonly number[], now: readonly number[]): SemanticTokensEdit[] {
  const shorter = Math.min(before.length, now.length);
  let start = 0;
  while (start < shorter && before[start] === now[start]) start++;
  let end = 0;
  while (end < shorter - start && before.at(-1 - end) === now.at(-1 - end)) end++;
  const [deleteCount, data] = [before.length - start - end, now.slice(start, now.length - end)];
  return deleteCount > 0 || data.length > 0 ? [{ start, deleteCount, data }] : [];
}
