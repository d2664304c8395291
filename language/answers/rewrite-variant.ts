import { type AstNode, type ParsedFile, rangeOf, textOf } from '../grammar/syntax.ts';
import type { TextFile } from '../machine/text-file.ts';
import { blockName } from '../machine/tree.ts';
import { freeName } from './rewrite-values.ts';
import type { Rewriting } from './rewriting.ts';
import { bareHead, Overlay, type Statement, type StatementEdit, statementsIn } from './statement-edits.ts';

/**
 * What was changed of the machine at an offset since an earlier text, made a variant: the machine is as it was, and the variant below it says
 * what differs. None where it cannot be said so: a value that is not given any more, or a machine that starts otherwise.
 */
export function variantOfEdit(file: TextFile, offset: number, earlier: ParsedFile): Rewriting[] {
  const item = file.parsed.items.find(({ start, end }) => start <= offset && offset <= end)?.node;
  if (item?.$type !== 'Entry') return [];
  const machine = blockName(item);
  const was = earlier.file.items.find((each) => each.$type === 'Entry' && blockName(each) === machine);
  if (!was) return [];
  const edits = new Overlay(statementsIn(earlier), statementsIn(file.parsed), 0).edits.filter(
    ({ path: [name] }) => name === machine,
  );
  const lines = edits.map(variantLine);
  if (edits.length === 0 || !lines.every((line) => line !== undefined)) return [];
  const name = freeName(`${machine}_changed`, file.scope);
  const own = statementsIn(file.parsed).find(({ key }) => key === machine)?.body ?? [];
  const variant = `\n\n${item.first.text} ${name} is ${machine} {\n${nested(lines, own)}\n}`;
  const title = `Make a variant of what was changed since the file was saved: ${name}`;
  return [{ title, sort: 'rewrite', edits: [{ ...rangeOf(item as AstNode), text: textOf(was) + variant }] }];
}

/** What a variant says in a block, by the names down to that: a statement, or how the block itself begins. */
interface Line {
  readonly path: readonly string[];
  readonly text?: string;
  readonly head?: string;
}

/** What a variant says to bring one edit about; undefined where it cannot. */
function variantLine({ is, path, before, after }: StatementEdit): Line | undefined {
  const [, ...inside] = path;
  const around = inside.slice(0, -1);
  // The machine's own first line is that of what it starts from.
  if (inside.length === 0 || is === 'moved') return undefined;
  if (is === 'removed') return before?.isBlock ? { path: around, text: `no ${inside.at(-1)}` } : undefined;
  if (is === 'changed' && after?.isBlock) return { path: inside, head: after.written };
  return after && { path: around, text: dedented(inFull(after)) };
}

function inFull({ written, body }: Statement): string {
  if (body.length === 0) return written;
  return `${written} {\n${body.map((each) => indented(inFull(each))).join('\n')}\n}`;
}

function indented(text: string): string {
  return text.replace(/^(?=.)/gm, '  ');
}

/** Lines in the blocks that they stand in, each block once, called as the statements there call it. */
function nested(lines: readonly Line[], statements: readonly Statement[]): string {
  const own = lines.flatMap(({ path, text }) => (path.length === 0 && text !== undefined ? [indented(text)] : []));
  const names = new Set(lines.flatMap(({ path: [name] }) => name ?? []));
  const blocks = [...names].map((name) => {
    const statement = statements.find(({ key }) => key === name);
    const inner = lines.flatMap(({ path: [first, ...path], ...line }) => (first === name ? [{ ...line, path }] : []));
    const head = inner.find((line) => line.path.length === 0 && line.head)?.head ?? (statement && bareHead(statement));
    const body = nested(inner, statement?.body ?? []);
    return indented(body ? `${head ?? name} {\n${body}\n}` : `${head ?? name}`);
  });
  return [...own, ...blocks].join('\n');
}

/** A statement that stood deep in a text, its lines below the first as deep as they belong. */
function dedented(text: string): string {
  const [first = '', ...rest] = text.split('\n');
  const depths = rest.filter((line) => line.trim()).map((line) => /^[ \t]*/.exec(line)?.[0].length ?? 0);
  const depth = depths.length > 0 ? Math.min(...depths) : 0;
  return [first, ...rest.map((line) => line.slice(Math.min(depth, line.length)))].join('\n');
}
