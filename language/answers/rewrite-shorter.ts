// What is said at length, said shorter. Nothing here knows of any kind: which value can be said where else follows from the formula that it
// has where it is not said.
import { ownStatement } from '../compute/marks.ts';
import type { Absence, Call, Entry, Every, Expression, Item, List } from '../grammar/generated/ast.ts';
import { type AstNode, childrenOf, parsedOf, rangeOf, textOf } from '../grammar/syntax.ts';
import { writeValue } from '../judge/edit.ts';
import type { TextFile } from '../machine/text-file.ts';
import { blockName, type Instance, isBlock } from '../machine/tree.ts';
import type { TextEdit } from '../mistakes/mistake.ts';
import { kindOfRole, type Member } from '../names/kind.ts';
import { plainTree } from '../types/situation.ts';
import { meaningsAt } from './meanings-at.ts';
import { occurrencesIn } from './occurrences.ts';
import { withComments } from './rewrite-parts.ts';
import type { Rewriting } from './rewriting.ts';

/** A statement that points at a block, where its kind has a formula for what is not said. */
interface Pointer {
  readonly instance: Instance;
  readonly entry: Entry;
  /** The block that it stands in. */
  readonly block: Entry;
  readonly member: Member;
  readonly default: Expression;
  readonly to: Instance;
}

/**
 * What a file says at length, said shorter, in the order of the text; at an offset, what the statement there says. Each is to be tried: it
 * is offered for what its formula looks like.
 */
export function saidShorter(file: TextFile, offset?: number): Rewriting[] {
  return file.parsed.file.items.flatMap((item) => {
    const { start, end } = rangeOf(item);
    if (item.$type !== 'Entry' || (offset !== undefined && (offset < start || offset > end))) return [];
    const all = pointersIn(item, file);
    const asked = all.filter(({ entry }) => offset === undefined || isAt(entry, offset));
    const gathered = asked.filter((each) => asked.find((other) => isGatheredWith(other, each)) === each);
    return [
      ...asked.map(leftOut),
      ...gathered.flatMap((each) => intoList(all, each, item)),
      ...asked.flatMap((each) =>
        all.filter((o) => isGatheredWith(o, each)).length > 1 ? [] : movedInto(each, item, file),
      ),
    ];
  });
}

function isAt(node: AstNode, offset: number): boolean {
  const { start, end } = rangeOf(node);
  return start <= offset && offset <= end;
}

function pointersIn(item: Entry, { scope }: TextFile): Pointer[] {
  const all = plainTree(item, scope)?.all() ?? [];
  return all.flatMap((instance) => {
    const block = ownStatement(instance, item);
    if (block?.$type !== 'Entry') return [];
    return (block.body?.members ?? []).flatMap((entry): Pointer | [] => {
      if (entry.$type !== 'Entry' || !entry.equals || commentBehind(entry)) return [];
      const member = instance.member(entry.first.text);
      const formula = member?.node.$type === 'Entry' && member.node.defaults ? member.node.value : undefined;
      const to = entry.value && blockNamed(entry.value, instance);
      if (member?.type.is !== 'instance' || !formula || !to) return [];
      return { instance, entry, block, member, default: formula, to };
    });
  });
}

/** The block that a name, or names with dots between them, lead to from a block. */
function blockNamed(node: Expression, from: Instance): Instance | undefined {
  if (node.$type === 'Access') return blockNamed(node.object, from)?.children.get(node.member?.text ?? '');
  if (node.$type !== 'Reference') return undefined;
  for (let at: Instance | undefined = from; at; at = at.holder) {
    const found = at.children.get(node.name.text);
    if (found) return found;
  }
  return undefined;
}

// ---- what is computed so anyway ----

function leftOut({ instance, entry, block }: Pointer): Rewriting {
  const title = `Leave out ${textOf(entry)} of ${instance.label}: it comes to that by itself`;
  return { title, sort: 'rewrite', edits: [without(entry, block)] };
}

// ---- what a list says of several at once ----

function isGatheredWith(one: Pointer, other: Pointer): boolean {
  return one.to === other.to && one.member === other.member;
}

/** Blocks that all point at one, which has a list of those that do: they are named there. */
function intoList(all: readonly Pointer[], { to, member, default: formula }: Pointer, item: Item): Rewriting[] {
  const { list, derived } = listOf(formula, member) ?? {};
  const holder = ownStatement(to, item);
  if (!list || !derived || holder?.$type !== 'Entry' || !to.member(list)) return [];
  const pointing = all.filter((each) => each.to === to && each.member === member);
  const there = (holder.body?.members ?? []).find(
    (each): each is Entry => each.$type === 'Entry' && each.equals && each.first.text === list,
  );
  const said = there?.value?.$type === 'List' ? there.value : undefined;
  // One alone stands as well where it is, and a list that another text gives is not to be said anew.
  if ((!said && pointing.length < 2) || (there && !said) || (!there && isGivenElsewhere(to, list))) return [];
  const edits = [
    ...pointing.map(({ entry, block }) => without(entry, block)),
    listed(
      to,
      list,
      pointing.map(({ instance }) => instance.label),
      said,
      item,
    ),
  ];
  const what = pointing.length === 1 ? (pointing[0] as Pointer).instance.label : `${pointing.length} blocks`;
  const title = `Name ${what} in ${to.label}.${list}, and not ${member.name} in each`;
  return [{ title, sort: 'rewrite', edits, otherwise: new Set([list, derived]) }];
}

function isGivenElsewhere(instance: Instance, name: string): boolean {
  return instance.layers.some((layer) =>
    (layer.body?.members ?? []).some((each) => each.$type === 'Entry' && each.equals && each.first.text === name),
  );
}

/** The list in which a block can be named in place of its saying so itself, where its formula asks for who names it: `first(p for p in every place where self in p.contents)`. */
function listOf(formula: Expression, { owner }: Member): { list: string; derived: string } | undefined {
  const first = formula.$type === 'Binary' && formula.operator === 'otherwise' ? formula.left : formula;
  const derived = first?.$type === 'Reference' ? owner.members.get(first.name.text) : undefined;
  const node = derived?.node.$type === 'Entry' ? derived.node : undefined;
  const call = node?.value?.$type === 'Call' ? (node.value as Call) : undefined;
  const question = call?.arguments[0]?.comprehension;
  if (!derived || !question) return undefined;
  const lists = everyNode(question).flatMap((each) => {
    if (each.$type !== 'Binary') return [];
    const { operator, left, right } = each as Extract<Expression, { $type: 'Binary' }>;
    const isSelf = operator === 'in' && left?.$type === 'Reference' && left.name.text === 'self';
    return isSelf && right?.$type === 'Access' && right.member ? [right.member.text] : [];
  });
  return lists.length === 1 ? { list: lists[0] as string, derived: derived.name } : undefined;
}

/** So many stand on one line. */
const mostOnALine = 4;

function listed(to: Instance, name: string, labels: readonly string[], said: List | undefined, item: Item): TextEdit {
  const indent = indentOf(ownStatement(to, item) as AstNode);
  const last = said?.elements.at(-1);
  if (last && textOf(said as AstNode).includes('\n')) {
    const { end } = rangeOf(last);
    return { start: end, end, text: labels.map((label) => `,\n${indent}    ${label}`).join('') };
  }
  const all = [...(said?.elements ?? []).map((each) => textOf(each)), ...labels];
  const text =
    all.length > mostOnALine
      ? `[\n${all.map((each) => `${indent}    ${each}`).join(',\n')}\n${indent}  ]`
      : `[${all.join(', ')}]`;
  return said ? { ...rangeOf(said), text } : writeValue(to, name, text, item);
}

// ---- what is found where it stands ----

/** A block that one other points at, which would find it within itself: it goes there. */
function movedInto(
  { instance, entry, block, member, default: formula, to }: Pointer,
  item: Entry,
  file: TextFile,
): Rewriting[] {
  const moved = ownStatement(to, item);
  if (!asksWithin(formula, to) || moved?.$type !== 'Entry' || !isBlock(moved) || to.holder?.holder) return [];
  if (isWithin(instance, to) || isWithin(to, instance)) return [];
  const role = [...instance.kind.members.values()].find(
    (each) => each.role === 'child' && !each.parameters.length && to.kind.isA(kindOfRole(each)),
  );
  if (!role) return [];
  // It goes by its role's name there, where that is its kind as well.
  const bare = moved.name && moved.first.text === role.name && !instance.children.get(role.name)?.holder?.open;
  const name = bare ? role.name : blockName(moved);
  const place = withComments(moved);
  const [from, into] = [to.label, `${instance.label}.${name}`];
  const meaning = meaningsAt(file, rangeOf(moved.name ?? moved.first).start)[0];
  const named = meaning ? occurrencesIn(file, meaning) : [];
  const { start, end } = rangeOf(entry);
  const others = named.filter(({ range }) => range.start < start || range.start >= end);
  if (!meaning || others.some(({ range, declares }) => !declares && isIn(range.start, place))) return [];
  const absent = (block.body?.members ?? []).find(
    (each): each is Absence => each.$type === 'Absence' && each.name.text === role.name,
  );
  const edits: TextEdit[] = [
    withoutBlankLine(place, moved),
    { ...rangeOf(entry), text: textAt(moved, bare ? role.name : undefined, indentOf(entry)) },
    ...(absent ? [without(absent, block)] : []),
    ...others.filter(({ declares }) => !declares).map(({ range }) => ({ ...range, text: into })),
  ];
  const title = `Put ${from} into ${instance.label}, which finds it there: ${member.name} need not be said`;
  return [{ title, sort: 'rewrite', edits, moves: [from, into] }];
}

function asksWithin(formula: Expression, block: Instance): boolean {
  return everyNode(formula).some((node) => {
    if (node.$type !== 'Every') return false;
    const { kind, within } = node as Every;
    const asked = block.kind.scope.kindNamed(kind?.text ?? '');
    return within?.$type === 'Reference' && within.name.text === 'self' && asked !== undefined && block.kind.isA(asked);
  });
}

function isWithin(block: Instance, around: Instance): boolean {
  for (let at: Instance | undefined = block; at; at = at.holder) if (at === around) return true;
  return false;
}

function isIn(offset: number, { start, end }: { start: number; end: number }): boolean {
  return offset >= start && offset < end;
}

function everyNode(node: AstNode): AstNode[] {
  return [node, ...childrenOf(node).flatMap(everyNode)];
}

// ---- texts ----

function wholeText(node: AstNode): string {
  return parsedOf(node)?.text ?? '';
}

function indentOf(node: AstNode): string {
  const text = wholeText(node);
  const line = text.lastIndexOf('\n', rangeOf(node).start - 1) + 1;
  return /^[ \t]*/.exec(text.slice(line))?.[0] ?? '';
}

/** What is said of a statement behind it would be lost with it. */
function commentBehind(node: AstNode): boolean {
  return /^[ \t]*\/\//.test(wholeText(node).slice(rangeOf(node).end));
}

/** Takes a statement away with its line, and the braces around it where nothing else stands between them. Comments above it stay. */
function without(member: AstNode, block: Entry): TextEdit {
  const text = wholeText(member);
  const body = block.body as NonNullable<Entry['body']>;
  if (body.members.length === 1 && !textOf(body).includes('//')) {
    const { start, end } = rangeOf(body);
    return { start: start - (text[start - 1] === ' ' ? 1 : 0), end, text: '' };
  }
  const { start, end } = rangeOf(member);
  const line = text.lastIndexOf('\n', start - 1) + 1;
  const next = text.indexOf('\n', end);
  const isAlone = text.slice(line, start).trim() === '' && text.slice(end, next < 0 ? undefined : next).trim() === '';
  return isAlone ? { start: line, end: next < 0 ? text.length : next + 1, text: '' } : { start, end, text: '' };
}

/** Takes lines away, and one of the blank lines around them where there are two. */
function withoutBlankLine({ start, end }: { start: number; end: number }, node: AstNode): TextEdit {
  const text = wholeText(node);
  const after = text[end] === '\n' ? end + 1 : end;
  const both = /\n[ \t]*\n$/.test(text.slice(0, start)) && /^[ \t]*\n/.test(text.slice(after));
  return { start, end: both ? text.indexOf('\n', after) + 1 : after, text: '' };
}

/** A block with the comments above it as it stands at another depth, with another name if it is given one. */
function textAt(block: Entry, name: string | undefined, indent: string): string {
  const text = wholeText(block);
  const { start, end } = withComments(block);
  const own = indentOf(block).length;
  const [head, from] = [rangeOf(block).start, rangeOf(block.name ?? block.first).end];
  const renamed = name === undefined ? text.slice(head, end) : name + text.slice(from, end);
  return `${text.slice(start, head)}${renamed}`
    .split('\n')
    .map((line, i) =>
      i === 0 ? line.trimStart() : indent + line.slice(Math.min(own, line.length - line.trimStart().length)),
    )
    .join('\n');
}
