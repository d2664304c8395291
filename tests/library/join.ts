// Joins a rule's two example files, NAME.breaks.gusset and NAME.keeps.gusset, into NAME.gusset: `npm run join`, or `npm run join -- RULE …`.
// `machine Keeps is Breaks { … }` then shows what differs. What it writes is proven: both machines are judged as they were. Prints what
// could not be turned.
import { globSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { argv, stdout } from 'node:process';
import { format } from '../../language/grammar/format.ts';
import type { Body, Entry, Member } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { rangeOf, textOf } from '../../language/grammar/syntax.ts';
import { blockName, type Instance, isBlock } from '../../language/machine/tree.ts';
import { saidOf } from '../silence/deletions.ts';
import { actual, open } from './fixtures.ts';

class CannotSay extends Error {}

interface Said {
  readonly key: string;
  readonly node: Member;
  /** Its text with the comments before it, from the beginning of its line. */
  readonly text: string;
}

const plain = (text: string) =>
  text
    .replace(/\/\/.*$/gm, '')
    .replace(/\s+/g, ' ')
    .trim();

/** The members of a body by what they speak of. */
function membersOf(body: Body | undefined, text: string): Map<string, Said> {
  const found = new Map<string, Said>();
  for (const node of body?.members ?? []) {
    const key = keyOf(node);
    if (found.has(key)) throw new CannotSay(`${key} twice`);
    found.set(key, { key, node, text: commented(node, text) });
  }
  return found;
}

function keyOf(node: Member): string {
  if (node.$type === 'Entry') return isBlock(node) ? blockName(node) : node.first.text;
  if (node.$type === 'Absence') return node.name.text;
  return `${node.$type} ${plain(textOf(node))}`;
}

function commented(node: Member, text: string): string {
  const { start, end } = rangeOf(node);
  const lines = text.slice(0, start).split('\n').slice(0, -1);
  let from = lines.length;
  while (from > 0 && /^\s*\/\/(?!\s*\^)/.test(lines[from - 1] as string)) from--;
  const lineEnd = text.slice(end).match(/^ *\/\/.*/)?.[0] ?? '';
  return [...lines.slice(from).map((line) => line.trim()), text.slice(start, end) + lineEnd].join('\n');
}

const head = (entry: Entry) =>
  plain(textOf(entry).slice(0, entry.body ? rangeOf(entry.body).start - rangeOf(entry).start : undefined));

/** What a body says that another does not, as a variant of that other says it; undefined for nothing. */
function difference(
  of: Body | undefined,
  from: Body | undefined,
  texts: readonly [string, string],
  at: Instance | undefined,
): string[] {
  const [now, before] = [membersOf(of, texts[0]), membersOf(from, texts[1])];
  const out: string[] = [];
  for (const [key, { node, text }] of now) {
    const old = before.get(key);
    if (!old) out.push(text);
    else if (plain(textOf(node)) !== plain(textOf(old.node))) out.push(...changed(node, old.node, text, texts, at));
  }
  for (const [key, { node }] of before) {
    if (now.has(key)) continue;
    if (node.$type !== 'Entry') throw new CannotSay(`without ${key}`);
    out.push(without(key, node, at));
  }
  return out;
}

/** What is not said of a value leaves it to the part or the kind; what is said once more says what that says. */
function without(key: string, node: Entry, at: Instance | undefined): string {
  if (isBlock(node)) return `no ${key}`;
  for (const { body, mode } of at?.layers.slice(1) ?? []) {
    const given = body?.members.find((m) => m.$type === 'Entry' && m.first.text === key && m.value);
    if (mode === 'block' && given?.$type === 'Entry' && given.value) return `${key} = ${textOf(given.value)}`;
  }
  const own = at?.member(key)?.node;
  if (own?.$type === 'Entry' && own.value) return `${key} = ${textOf(own.value)}`;
  return `no ${key}`;
}

function changed(
  node: Member,
  old: Member,
  text: string,
  texts: readonly [string, string],
  at: Instance | undefined,
): string[] {
  if (node.$type !== 'Entry' || old.$type !== 'Entry' || !isBlock(node) || !isBlock(old)) return [text];
  const inner = difference(node.body, old.body, texts, at?.blockOf(node));
  const isSame = head(node) === head(old);
  const opening = isSame ? [node.first.text, node.name?.text].filter(Boolean).join(' ') : head(node);
  if (!isSame && !node.base && old.base) throw new CannotSay(`${opening} starts from nothing`);
  if (inner.length === 0) return isSame ? [] : [opening];
  const [only = ''] = inner;
  const line = `${opening} { ${only} }`;
  return inner.length === 1 && !only.includes('\n') && line.length < 80
    ? [line]
    : [`${opening} {\n${inner.join('\n')}\n}`];
}

const machineIn = (text: string) => {
  const { file } = parse(text);
  const machine = file.items.find((item): item is Entry => item.$type === 'Entry');
  if (!machine || file.items.filter((item) => item.$type === 'Entry').length > 1) throw new CannotSay('machines');
  return machine;
};

/** What stands before the machine, and its text with another name. */
function renamed(text: string, name: string): { before: string; machine: string } {
  const machine = machineIn(text);
  const { start, end } = rangeOf(machine);
  const named = rangeOf(machine.name as NonNullable<Entry['name']>);
  return {
    before: text.slice(0, start),
    machine: `${text.slice(start, named.start)}${name}${text.slice(named.end, end)}`,
  };
}

export function joined(breaks: string, keeps: string): string {
  const [broken, kept] = [renamed(breaks, 'Breaks'), renamed(keeps, 'Keeps')];
  if (/^(?!\s*\/\/ )\s*\S/m.test(kept.before) && plain(kept.before) !== plain(broken.before))
    throw new CannotSay('declarations differ');
  const [own, other] = [machineIn(keeps), machineIn(breaks)];
  const { project, file } = open(keeps);
  const lines = difference(own.body, other.body, [keeps, breaks], project.machines(file)[0]?.tree);
  if (plain(kept.before)) kept.before = '';
  return format(
    `${broken.before}${broken.machine}\n\n${kept.before}machine Keeps is Breaks {\n${lines.join('\n')}\n}\n`,
  );
}

/** What is found and decided of each machine, by its name. */
function judged(text: string) {
  const { project, file } = open(text);
  const mistakes = project.mistakes(file).filter((m) => m.severity !== 'note');
  const lines = text.split('\n');
  const findings = actual(text).map(
    ({ rule, follows, line, from, to }) =>
      `${rule} ${follows} at ${lines[line]?.slice(from, to).replace(/^Breaks$/, 'Bench')}`,
  );
  const verdicts = new Map([...saidOf(project, [file]).verdicts].map(([key, { verdict }]) => [key, verdict]));
  return { mistakes, findings, verdicts };
}

/** What tells a joined file from the two that it is made of. */
export function otherwise(text: string, breaks: string, keeps: string): string[] {
  const now = judged(text);
  const told = now.mistakes.map(({ message }) => `mistake: ${message}`);
  const of = (name: string) =>
    new Map(
      [...now.verdicts].flatMap(([key, verdict]) => {
        const at = new RegExp(` of ${name}(?=\\.|$)`);
        return at.test(key) ? [[key.replace(at, ' of '), verdict] as const] : [];
      }),
    );
  for (const [name, old] of [
    ['Breaks', judged(breaks)],
    ['Keeps', judged(keeps)],
  ] as const) {
    const before = new Map([...old.verdicts].map(([key, v]) => [key.replace(/ of \w+/, ' of '), v]));
    const after = of(name);
    for (const key of new Set([...before.keys(), ...after.keys()])) {
      const [was, is] = [before.get(key) ?? 'not there', after.get(key) ?? 'not there'];
      if (was !== is) told.push(`${name}: ${key} was ${was}, is ${is}`);
    }
    if (name === 'Breaks' && now.findings.toSorted().join('\n') !== old.findings.toSorted().join('\n'))
      told.push(`findings: ${now.findings.join('; ')} not ${old.findings.join('; ')}`);
  }
  return told;
}

const asked = argv.slice(2);
const folder = new URL('../../language/library/', import.meta.url);
for (const path of globSync('*/examples/*.breaks.gusset', { cwd: folder })) {
  const url = new URL(path, folder);
  const [, rule = ''] = /(\w+)\.breaks\.gusset$/.exec(path) ?? [];
  const other = new URL(`${rule}.keeps.gusset`, url);
  if (asked.length > 0 && !asked.includes(rule)) continue;
  const [breaks, keeps] = [url, other].map((at) => readFileSync(at, 'utf8')) as [string, string];
  try {
    const text = joined(breaks, keeps);
    const differs = otherwise(text, breaks, keeps);
    if (differs.length > 0) {
      stdout.write(`${rule}\n  ${differs.slice(0, 8).join('\n  ')}\n`);
      continue;
    }
    writeFileSync(new URL(`${rule}.gusset`, url), text);
    rmSync(url);
    rmSync(other);
  } catch (error) {
    if (!(error instanceof CannotSay)) throw error;
    stdout.write(`${rule}: cannot say ${error.message}\n`);
  }
}
