import type { Body, Entry, Member } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { blockName, isBlock } from '../../language/machine/tree.ts';

/** A rule's example as its page shows it. */
export interface ShownExample {
  /** Of the machine that breaks the rule what is found, and what the other says otherwise; `…` for the rest. */
  readonly breaks: string;
  /** What is said otherwise in one that keeps it. */
  readonly keeps: string;
}

/** A line of comment that underlines what is found. */
const underline = /^\s*\/\/\s*\^/;

/**
 * What a rule's example shows of its rule: its first machine breaks it, its second is a variant of that and keeps it. Declarations before
 * them are left out.
 */
export function shownExample(text: string): ShownExample {
  const machines = parse(text).file.items.filter((item): item is Entry => item.$type === 'Entry' && isBlock(item));
  const keeps = machines.find(
    ({ base }) => base?.$type === 'Name' && machines.some(({ name }) => name?.text === base.text),
  );
  const breaks = machines.find(({ name }) => keeps?.base?.$type === 'Name' && name?.text === keeps.base.text);
  const whole = (entry: Entry | undefined) => (entry ? textBetween(text, entry) : '');
  return { breaks: breaks ? excerpt(breaks, keeps?.body, text).join('\n') : '', keeps: whole(keeps) };
}

const textBetween = (text: string, node: Member | Entry) => text.slice(rangeOf(node).start, rangeOf(node).end);

function nameOf(member: Member): string | undefined {
  if (member.$type === 'Entry') return isBlock(member) ? blockName(member) : member.first.text;
  return member.$type === 'Absence' ? member.name.text : undefined;
}

/** A block's lines with those of its members that are underlined, or that another text says otherwise. */
function excerpt(block: Entry, other: Body | undefined, text: string): string[] {
  const { start, end } = rangeOf(block);
  const { body } = block;
  if (!body || !text.slice(start, end).includes('\n')) return linesOf(text, start, end);
  const out = linesOf(text, start, rangeOf(body).start + 1);
  const first = body.members[0];
  out.push(...underlinesIn(text, rangeOf(body).start + 1, first ? rangeOf(first).start : end));
  const closing = linesOf(text, end - 1, end);
  let elided = false;
  body.members.forEach((member, i) => {
    const from = rangeOf(member);
    const next = body.members[i + 1];
    const comments = underlinesIn(text, from.end, next ? rangeOf(next).start : end);
    const said = other?.members.find((m) => nameOf(m) !== undefined && nameOf(m) === nameOf(member));
    const inner = said?.$type === 'Entry' ? said.body : undefined;
    const isFound = textBetween(text, member)
      .split('\n')
      .some((line) => underline.test(line));
    if (!said && !isFound && comments.length === 0) {
      if (!elided) out.push(`${' '.repeat(indentOf(text, from.start))}…`);
      elided = true;
      return;
    }
    elided = false;
    out.push(
      ...(member.$type === 'Entry' && isBlock(member)
        ? excerpt(member, inner, text)
        : linesOf(text, from.start, from.end)),
    );
    out.push(...comments);
  });
  return [...out, ...closing];
}

const underlinesIn = (text: string, from: number, to: number) =>
  linesOf(text, from, to).filter((line) => underline.test(line));

const indentOf = (text: string, at: number) => at - (text.lastIndexOf('\n', at - 1) + 1);

/** The lines of a text from one place to another, with what stands before the first on its line if that is blank. */
function linesOf(text: string, from: number, to: number): string[] {
  const lineStart = text.lastIndexOf('\n', from - 1) + 1;
  return text.slice(text.slice(lineStart, from).trim() ? from : lineStart, to).split('\n');
}
