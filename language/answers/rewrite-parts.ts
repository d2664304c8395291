import type { Declaration, Entry, Member, Name, Use } from '../grammar/generated/ast.ts';
import { type AstNode, childrenOf, fileOf, isWithin, parsedOf, rangeOf, textOf } from '../grammar/syntax.ts';
import type { TextFile } from '../machine/text-file.ts';
import { blockName, type Instance, isBlock } from '../machine/tree.ts';
import type { TextEdit } from '../mistakes/mistake.ts';
import { meaningsAt } from './meanings-at.ts';
import { before, blockHeadAt, freeName, startWithDoc } from './rewrite-values.ts';
import type { Rewriting } from './rewriting.ts';

/** What a block says of itself, made a part of the file that the block starts from. What is said of the machine around it stays. */
export function partFromBlock(file: TextFile, offset: number): Rewriting[] {
  const { block, entry, item } = blockHeadAt(file, offset) ?? {};
  if (!block || !entry?.body || !block.holder || item?.$type !== 'Entry' || entry.base?.$type === 'Open') return [];
  const moved = entry.body.members.filter((member) => standsAlone(member, block, file));
  if (moved.length === 0) return [];
  const name = freeName(`${block.holder.name.toLowerCase()}_${block.name}`, file.scope);
  const base = entry.base ? textOf(entry.base) : block.kind.name;
  const part = `part ${name} is ${base} {\n${moved.map((member) => linesOf(member)).join('\n')}\n}\n\n`;
  const edits = [before(item, part), ...startsFrom(name, entry, moved)];
  return [{ title: `Make ${block.label} a part of its own: ${name}`, sort: 'extract', edits }];
}

/** The block now starts from the part, and says no more than what stays. */
function startsFrom(name: string, entry: Entry, moved: readonly Member[]): TextEdit[] {
  const { base, count, name: own, first } = entry;
  const body = entry.body as NonNullable<Entry['body']>;
  const head = rangeOf(count ?? own ?? first).end;
  const start = base ? rangeOf(base) : { start: head, end: head };
  const text = base ? name : ` is ${name}`;
  if (moved.length < body.members.length) return [{ ...start, text }, ...moved.map(withoutLines)];
  return [{ start: start.start, end: rangeOf(body).end, text }];
}

/** Does it say something of the block alone: a value, a block or what is not there, and nothing in it lies outside or is open? */
function standsAlone(member: Member, block: Instance, file: TextFile): boolean {
  if (member.$type === 'Absence') return true;
  if (member.$type !== 'Entry') return false;
  return everyNode(member).every((node) => {
    if (node.$type === 'Open') return false;
    if (node !== member && isOfTheMachine(node)) return false;
    return node.$type !== 'Name' || meantInside(node as Name, block, file);
  });
}

/** What was decided, measured, checked or asked for of one machine. */
const ofTheMachine: ReadonlySet<string> = new Set(['Requirement', 'Acceptance', 'Measurement', 'Checked', 'Setting']);

function isOfTheMachine({ $type }: AstNode): boolean {
  return ofTheMachine.has($type);
}

/** Does a name mean a value or a block within a block, or what is declared for all? */
function meantInside(name: Name, block: Instance, file: TextFile): boolean {
  const meanings = meaningsAt(file, rangeOf(name).start);
  return meanings.every(({ sort, instance }) => {
    if (sort !== 'value' && sort !== 'block') return true;
    for (let at = instance; at; at = at.holder) if (at === block) return true;
    return false;
  });
}

function everyNode(node: AstNode): AstNode[] {
  return [node, ...childrenOf(node).flatMap(everyNode)];
}

/** The lines of a statement, with the comments right above it, as they stand in a body one level deep. */
function linesOf(member: AstNode): string {
  const text = parsedOf(member)?.text ?? '';
  const { start, end } = withComments(member);
  const indent = /^[ \t]*/.exec(text.slice(text.lastIndexOf('\n', rangeOf(member).start - 1) + 1))?.[0].length ?? 0;
  return text
    .slice(start, end)
    .split('\n')
    .map((line) => `  ${line.slice(Math.min(indent, /^[ \t]*/.exec(line)?.[0].length ?? 0))}`.trimEnd())
    .join('\n')
    .trim()
    .replace(/^/, '  ');
}

/** A statement from the comments above it to the comment behind it, without the end of its line. */
export function withComments(member: AstNode): { start: number; end: number } {
  const text = parsedOf(member)?.text ?? '';
  let { start, end } = rangeOf(member);
  const line = (from: number) => text.lastIndexOf('\n', from - 1) + 1;
  if (text.slice(line(start), start).trim() === '') {
    start = line(start);
    while (start > 0 && /^\s*\/\/[^\n]*\n$/.test(text.slice(line(start - 1), start))) start = line(start - 1);
  }
  const behind = /^[ \t]*(\/\/[^\n]*)?(?=\n|$)/.exec(text.slice(end));
  end += behind?.[0].length ?? 0;
  return { start, end };
}

function withoutLines(member: AstNode): TextEdit {
  const { start, end } = withComments(member);
  const text = parsedOf(member)?.text ?? '';
  return { start, end: end + (text[end] === '\n' ? 1 : 0), text: '' };
}

/** What the part says that a block starts from, said by the block itself. */
export function partInBlock(file: TextFile, offset: number): Rewriting[] {
  const { block, entry } = blockHeadAt(file, offset) ?? {};
  if (!block || entry?.base?.$type !== 'Name') return [];
  const part = file.scope.find(entry.base.text)?.node as Declaration | undefined;
  if (part?.$type !== 'Declaration' || part.what !== 'part') return [];
  const own = new Set((entry.body?.members ?? []).flatMap(saidBy));
  const said = part.body?.members ?? [];
  // What both say of one block would have to be woven together.
  if (said.some((member) => member.$type === 'Entry' && isBlock(member) && own.has(blockName(member)))) return [];
  const lines = said.flatMap((member) => {
    if (member.$type !== 'Entry' && member.$type !== 'Absence') return [];
    return saidBy(member).some((name) => own.has(name)) ? [] : [statementText(member)];
  });
  const edits = [...inPlaceOf(entry, block, part, file), ...(lines.length > 0 ? [intoBody(entry, lines)] : [])];
  return [{ title: `Write what ${entry.base.text} says here, in place of its name`, sort: 'inline', edits }];
}

function saidBy(member: Member): string[] {
  if (member.$type === 'Absence') return [member.name.text];
  return member.$type === 'Entry' ? [isBlock(member) ? blockName(member) : member.first.text] : [];
}

/** A statement as it may stand in a machine: of a value without where it comes from. */
function statementText(member: Member): string {
  if (member.$type !== 'Entry' || !member.equals || !member.value) return linesOf(member).replace(/^ {2}/gm, '');
  const { start } = rangeOf(member);
  return (parsedOf(member)?.text ?? '').slice(start, rangeOf(member.value).end);
}

/** What the part itself starts from, in place of its name; its kind, where the block would be of another one without. */
function inPlaceOf(entry: Entry, block: Instance, part: Declaration, file: TextFile): TextEdit[] {
  const base = entry.base as AstNode;
  const from = part.base?.text ?? '';
  if (!file.scope.kindNamed(from)) return [{ ...rangeOf(base), text: from }];
  const { start } = rangeOf(entry.count ?? entry.name ?? entry.first);
  const head = entry.count ? rangeOf(entry.count).end : rangeOf(entry.name ?? entry.first).end;
  const bare: TextEdit = { start: Math.max(head, start), end: rangeOf(base).end, text: '' };
  const isKind = file.scope.kindNamed(entry.first.text)?.name === from;
  // A role is filled by a block of its own kind, or of one that is named.
  const role = block.fills?.type;
  const fills = role?.is === 'instance' && role.kind?.name === from;
  if (isKind || (fills && !entry.name)) return [bare];
  return [{ ...rangeOf(entry.first), text: entry.name ? from : `${from} ${entry.first.text}` }, bare];
}

/** Statements at the beginning of a block's body. */
function intoBody(entry: Entry, lines: readonly string[]): TextEdit {
  const text = parsedOf(entry)?.text ?? '';
  const { start } = rangeOf(entry);
  const indent = /^[ \t]*/.exec(text.slice(text.lastIndexOf('\n', start - 1) + 1))?.[0] ?? '';
  const written = lines.flatMap((each) => each.split('\n')).map((line) => `\n${indent}  ${line}`);
  const { body } = entry;
  if (!body) return { start: rangeOf(entry).end, end: rangeOf(entry).end, text: ` {${written.join('')}\n${indent}}` };
  const at = rangeOf(body).start + 1;
  const isOneLine = !textOf(body).includes('\n');
  const rest = isOneLine ? body.members.map((member) => `\n${indent}  ${textOf(member)}`) : [];
  const tail = isOneLine ? `\n${indent}}` : '';
  return { start: at, end: isOneLine ? rangeOf(body).end : at, text: [...written, ...rest].join('') + tail };
}

/** A part of the file moved to one of these, with the lines that say what it is. */
export function partToFile(
  file: TextFile,
  offset: number,
  targets: readonly { uri: string; name: string }[],
): Rewriting[] {
  const item = partHead(file, offset);
  if (!item?.name) return [];
  const { text } = file.parsed;
  const start = startWithDoc(item);
  const { end } = rangeOf(item);
  const blank = /^[ \t]*\n(\n)?/.exec(text.slice(end))?.[0].length ?? 0;
  const own = item.name.text;
  return targets.map(({ uri, name }) => ({
    title: `Move ${own} to ${name}`,
    sort: 'move' as const,
    edits: [{ start, end: end + blank, text: '' }],
    elsewhere: { uri, text: `${text.slice(start, end)}\n` },
  }));
}

/**
 * A part of the file moved to a new file beside it, which the file uses from then on. `neededUses` are the statements of the file that say
 * where what the part rests on stands: the new file says so too.
 */
export function partToNewFile(file: TextFile, offset: number, uri: string, neededUses: readonly Use[]): Rewriting[] {
  const name = decodeURIComponent(uri.slice(uri.lastIndexOf('/') + 1));
  const [move] = partToFile(file, offset, [{ uri, name: `a new file: ${name}` }]);
  const [taken] = move?.edits ?? [];
  if (!move?.elsewhere || !taken) return [];
  const use = useEdit(file, `./${name}`);
  // The part may be what the file begins with: its place is taken by the line that says where it is.
  const edits = use.start === taken.start ? [{ ...taken, text: use.text }] : [use, taken];
  const uses = neededUses.map((use) => `${textOf(use)}\n`).join('');
  const elsewhere = { uri, text: `${uses}${uses && '\n'}${move.elsewhere.text}`, isNew: true };
  return [{ ...move, edits, elsewhere }];
}

/** A file is used from a file, by its path: behind what that uses already, or before all that it says. */
export function useEdit(file: TextFile, path: string): TextEdit {
  const written = `use "${path}"`;
  const { items } = file.parsed.file;
  const lastUse = items.findLast((item) => item.$type === 'Use');
  const first = items.find((item) => item.$type !== 'Version');
  const at = lastUse ? rangeOf(lastUse).end : first ? startWithDoc(first) : file.parsed.text.length;
  return { start: at, end: at, text: lastUse ? `\n${written}` : `${written}\n\n` };
}

/** The names in the part that stands at an offset: what it may rest on. */
export function namesInPart(file: TextFile, offset: number): string[] {
  const part = partHead(file, offset);
  if (!part) return [];
  return everyNode(part).flatMap((node) => (node.$type === 'Name' ? [(node as Name).text] : []));
}

/** The part whose head stands at an offset. */
function partHead(file: TextFile, offset: number): Declaration | undefined {
  const item = file.parsed.items.find(({ start, end }) => start <= offset && offset <= end)?.node;
  if (item?.$type !== 'Declaration' || item.what !== 'part' || !item.name) return undefined;
  const isHead = !item.body || offset <= rangeOf(item.body).start;
  return isHead && fileOf(item) === file.parsed.file && isWithin(item.name, item) ? item : undefined;
}
