import { globSync, readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { format } from '../../language/grammar/format.ts';
import type { Body, Entry, Item, Member } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { rangeOf, textOf } from '../../language/grammar/syntax.ts';
import { blockName, isBlock } from '../../language/machine/tree.ts';

/** The machines of a rule's example that are whole designs: `Breaks` breaks it, `Keeps is Breaks` says what keeps it, `Barely` is at its limit. */
export const roles = ['Breaks', 'Keeps', 'Barely'] as const;
export type Role = (typeof roles)[number];

/**
 * The machines that hold each part of a rule, a line each: `Barely` keeps it at its limit, `Spared` is not asked, `Follows` breaks it because
 * it breaks what its comment names, `Breaks_2` breaks it otherwise. Further ones of a sort are numbered.
 */
const further = /^(?:(?:(?:Above_|Below_)?Barely|Spared|Follows)(?:_\d+)?|Breaks_\d+)$/;

/** Does a machine of an example only hold a part of its rule? */
export const isFurther = (name: string) => further.test(name);

const library = new URL('../../language/library/', import.meta.url);

/** The file of each rule's example, by the rule's name. */
export const ruleExampleFiles: ReadonlyMap<string, URL> = new Map(
  globSync('*/examples/*.gusset', { cwd: library })
    .sort()
    .map((path) => [basename(path, '.gusset'), new URL(path, library)]),
);

/** The text of a rule's example; undefined if it has none. */
export function ruleExample(rule: string): string | undefined {
  const url = ruleExampleFiles.get(rule);
  return url && readFileSync(url, 'utf8');
}

/** One machine of a rule's example, written as a whole, with all that it starts from; undefined if there is none. */
export function fixture(rule: string, role: Role): string | undefined {
  const text = ruleExample(rule);
  return text === undefined ? undefined : wholeText(text, role);
}

const roleOf = (item: Item) =>
  item.$type === 'Entry' && isBlock(item) ? roles.find((role) => role === item.name?.text) : undefined;

const isFurtherItem = (item: Item) => item.$type === 'Entry' && isBlock(item) && isFurther(item.name?.text ?? '');

/** The text of an example with one of its machines alone, written as a whole. */
export function wholeText(text: string, role: Role): string | undefined {
  const { items } = parse(text).file;
  const machines = roles.map((name) => items.find((item): item is Entry => roleOf(item) === name));
  const machine = machines[roles.indexOf(role)];
  if (!machine) return undefined;
  const others = items.filter((item) => item !== machine && (roleOf(item) || isFurtherItem(item)));
  const kept = without(text, others);
  if (machine.base?.$type !== 'Name') return kept;
  const { start, end } = rangeOf(parse(kept).file.items.find((item) => roleOf(item) === role) as Item);
  return format(`${kept.slice(0, start)}${whole(machine, machines)}${kept.slice(end)}`);
}

/** A text without some of its items, and without the comments before them. */
function without(text: string, items: readonly Item[]): string {
  return items.reduceRight((now, item) => {
    const { start, end } = rangeOf(item);
    return now.slice(0, start).replace(/(?:^\/\/ .*\n)+$/m, '') + now.slice(end).replace(/^\n+/, '');
  }, text);
}

/** A variant with what it starts from, as one machine of its own name. */
function whole(machine: Entry, machines: readonly (Entry | undefined)[]): string {
  const chain: Entry[] = [];
  for (let at: Entry | undefined = machine; at; at = baseOf(at, machines)) chain.unshift(at);
  const members = chain.map(({ body }) => saidIn(body)).reduce(over);
  const { first, base } = chain[0] as Entry;
  return `${[first.text, machine.name?.text, base && `is ${textOf(base)}`].filter(Boolean).join(' ')} {\n${printed(members)}\n}`;
}

function baseOf({ base }: Entry, machines: readonly (Entry | undefined)[]): Entry | undefined {
  return base?.$type === 'Name' ? machines.find((machine) => machine?.name?.text === base.text) : undefined;
}

/** Of a block: its kind or role and its name, how often it is there, and what it starts from. */
interface Head {
  readonly named: string;
  readonly count: string;
  readonly base: string;
}

/** What a member of a body says: a block with what is in it, or a statement by its text. */
interface Said {
  readonly key: string;
  readonly node: Member;
  readonly head?: Head;
  readonly members?: readonly Said[];
}

function saidIn(body: Body | undefined): Said[] {
  return (body?.members ?? []).map((node) => {
    if (node.$type === 'Absence') return { key: node.name.text, node };
    if (node.$type !== 'Entry') return { key: textOf(node), node };
    if (!isBlock(node)) return { key: node.first.text, node };
    const named = [node.first.text, node.name?.text].filter(Boolean).join(' ');
    const head = {
      named,
      count: node.count ? ` * ${textOf(node.count)}` : '',
      base: node.base ? ` is ${textOf(node.base)}` : '',
    };
    return { key: blockName(node), node, head, members: saidIn(node.body) };
  });
}

/** What `Keeps` says that `Breaks` says already, in the same words; `Barely` may name what is at its limit in `Keeps`. */
export function saidTwice(text: string): string[] {
  const machines = parse(text).file.items.filter((item): item is Entry => roleOf(item) !== undefined);
  const keeps = machines.filter((machine) => roleOf(machine) === 'Keeps');
  return keeps.flatMap((machine) => repeated(saidIn(baseOf(machine, machines)?.body), saidIn(machine.body)));
}

function repeated(below: readonly Said[], above: readonly Said[]): string[] {
  return above.flatMap((said) => {
    const old = below.find(({ key }) => key === said.key);
    if (!old) return [];
    const same = said.head ? !isNew(said.head, old.head) : textOf(said.node) === textOf(old.node);
    return [...(same ? [textOf(said.node)] : []), ...repeated(old.members ?? [], said.members ?? [])];
  });
}

/** Does it say nothing of what a block is, or something else than another does? */
const isNew = (head: Head, old: Head | undefined) =>
  (!head.base && !head.count) || head.base !== old?.base || head.count !== old?.count;

/** What is said with another text over it. */
function over(below: readonly Said[], above: readonly Said[]): Said[] {
  const out = [...below];
  for (const said of above) {
    const at = out.findIndex(({ key }) => key === said.key);
    const old = out[at];
    if (!old) out.push(said);
    else if (said.node.$type === 'Absence') out.splice(at, 1);
    else out[at] = both(old, said);
  }
  return out;
}

function both(old: Said, said: Said): Said {
  if (!old.head || !said.head) return said;
  const head = {
    named: old.head.named,
    count: said.head.count || old.head.count,
    base: said.head.base || old.head.base,
  };
  return { ...old, head, members: over(old.members ?? [], said.members ?? []) };
}

function printed(members: readonly Said[]): string {
  return members
    .map(({ node, head, members: inner = [] }) => {
      if (!head) return textOf(node);
      const opening = `${head.named}${head.count}${head.base}`;
      return inner.length > 0 || !head.base ? `${opening} {\n${printed(inner)}\n}` : opening;
    })
    .join('\n');
}
