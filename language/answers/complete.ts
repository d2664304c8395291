import type { Checked } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { TextFile } from '../machine/text-file.ts';
import { clauseValues } from './complete-clauses.ts';
import { type CursorPlace, cursorAt } from './complete-cursor.ts';
import { expressions } from './complete-expressions.ts';
import { joints } from './complete-joints.ts';
import { blockKeys, standingWords, statementKeys, topKeys } from './complete-keys.ts';
import { membersAfterDot } from './complete-members.ts';
import { checkNames, kindNames, mayBeAbsent, partNames, partsOf, ruleNames, typeNames } from './complete-names.ts';
import { units } from './complete-units.ts';
import type { Hints, Proposal, ProposalSort } from './proposal.ts';

interface Completion {
  /** What is replaced, in absolute offsets. */
  readonly start: number;
  readonly end: number;
  readonly proposals: readonly Proposal[];
}

/** What can be written at an offset of a file, the best first. Works on half-typed text; computes no values. */
export function complete(file: TextFile, offset: number, hints: Hints = {}): Completion | undefined {
  const path = usePath(file, offset, hints.listFiles ?? (() => []));
  if (path) return path;
  const cursor = cursorAt(file, offset, hints);
  if (!cursor) return undefined;
  const found = joints(cursor) ?? proposalsAt(cursor);
  const proposals = [...new Map(found.toReversed().map((p) => [`${p.sort} ${p.label}`, p])).values()].reverse();
  // An equals sign, and a number before its unit, are followed by a blank.
  const tight = (sort: ProposalSort) => cursor.before.endsWith('=') || (sort === 'unit' && /\d$/.test(cursor.before));
  const spaced = proposals.map((p) => (tight(p.sort) ? { ...p, text: ` ${p.text ?? p.label}` } : p));
  return { start: cursor.start, end: cursor.end, proposals: spaced.toSorted((a, b) => a.rank - b.rank) };
}

/** A path inside the quotes of a `use`; with them, where they are not there yet. */
function usePath(file: TextFile, offset: number, listFiles: NonNullable<Hints['listFiles']>): Completion | undefined {
  const { text } = file.parsed;
  const line = text.slice(text.lastIndexOf('\n', offset - 1) + 1, offset);
  const [, quote, path] = /^\s*use\s+("|(?!"))([^"={]*)$/.exec(line) ?? [];
  if (path === undefined) return undefined;
  const folder = path.slice(0, path.lastIndexOf('/') + 1);
  const names = listFiles(folder || './');
  const prefix = folder || './';
  const proposals = names.map((name): Proposal => {
    const isFolder = name.endsWith('/');
    const quoted = `"${prefix}${name}${isFolder ? '' : '"'}`;
    return { label: prefix + name, sort: 'file', rank: isFolder ? 1 : 0, ...(!quote && { text: quoted }) };
  });
  return { start: offset - path.length, end: offset, proposals };
}

function proposalsAt(cursor: CursorPlace): Proposal[] {
  const { path, situations } = cursor;
  const node = path.at(-1);
  const parent = path.at(-2) as (AstNode & Record<string, unknown>) | undefined;
  const at = situations.at(-2) ?? cursor.outer;
  const { ctx } = at;
  if (!node) return afterName(cursor);
  if (parent?.$type === 'Entry' && node === parent.count) return afterFirst('', cursor);
  if (node.$type === 'Quantity') return units(situations.at(-1) ?? at);
  switch (parent?.$type) {
    case 'Entry':
      return entryPart(cursor, parent, node);
    case 'Declaration':
      return declarationPart(cursor, parent, node);
    case 'Reference':
      return clauseValues(cursor) ?? expressions(cursor);
    case 'Access':
      return membersAfterDot(cursor);
    case 'NamedType':
      return typeNames(ctx.scope);
    case 'Has':
    case 'Every':
      return kindNames(ctx.scope);
    case 'Acceptance':
    case 'Follows':
      return ruleNames(ctx, parent.$type === 'Acceptance');
    case 'Absence':
      return mayBeAbsent(ctx);
    case 'Checked':
      return checkNames(parent as unknown as Checked, ctx);
    case 'Remedy':
      return [...kindNames(ctx.scope), ...(node === parent.base ? partNames(ctx.scope, undefined) : [])];
    default:
      return [];
  }
}

/** The name in a statement such as `KIND NAME is PART` or `NAME = VALUE`. */
function entryPart(cursor: CursorPlace, entry: AstNode & Record<string, unknown>, node: AstNode): Proposal[] {
  const { ctx } = cursor.outer;
  if (node === entry.base) return partsOf(entry, ctx, cursor);
  if (node === entry.first) return cursor.body ? statementKeys(cursor) : topKeys(cursor);
  if (node !== entry.name) return [];
  const first = (entry.first as { text?: string } | undefined)?.text ?? '';
  return standingWords(first, cursor) ?? afterFirst(first, cursor);
}

/** What follows the first word of a statement: an equals sign, or `is` with what a block can start from, or the block's own text. */
function afterFirst(first: string, cursor: CursorPlace): Proposal[] {
  const { outer, path } = cursor;
  const { ctx } = outer;
  const member = ctx.kind?.members.get(first);
  if (ctx.mode === 'block' && member && member.role !== 'child') return [{ label: '=', sort: 'keyword', rank: 0 }];
  const is: Proposal = { label: 'is', sort: 'keyword', rank: 0 };
  const entry = path[0];
  if (!first || ctx.mode !== 'block' || entry?.$type !== 'Entry') return [is];
  const starts = partsOf(entry as AstNode & Record<string, unknown>, ctx, cursor);
  return [
    is,
    { label: '{', sort: 'keyword', rank: 0.5 },
    ...starts.map((p) => ({ ...p, label: `is ${p.label}`, rank: 1 + p.rank })),
  ];
}

/** A place that cannot be read yet, such as the one after `machine Heron `. */
function afterName({ before }: CursorPlace): Proposal[] {
  const words = /^\s*(\p{L}[\p{L}\p{N}_]*)\s+\p{L}[\p{L}\p{N}_]*\s+$/u.exec(before);
  return words && words[1] !== 'kind' ? [{ label: 'is', sort: 'keyword', rank: 0 }] : [];
}

function declarationPart(
  cursor: CursorPlace,
  declaration: AstNode & Record<string, unknown>,
  node: AstNode,
): Proposal[] {
  const { scope } = cursor.file;
  if (node === declaration.on) return kindNames(scope);
  if (node !== declaration.base) return [];
  const own = (declaration.name as { text?: string } | undefined)?.text;
  return (declaration.what === 'kind' ? kindNames(scope) : blockKeys(scope)).filter((p) => p.label !== own);
}
