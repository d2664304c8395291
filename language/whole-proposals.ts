// Blocks that answer a question of a machine as a whole, such as what feeds a load: written as the machines to begin with have them, with
// this machine's own blocks in their lists, and what is chosen by size left open.

import type { WholeBlock } from './answers/proposal.ts';
import { cellOf, type Engine } from './compute/cell.ts';
import { IncrementalEngine } from './compute/engine.ts';
import { evaluate } from './compute/evaluate.ts';
import { evaluateCell } from './compute/evaluate-cells.ts';
import { blockFrame, type Machine } from './compute/machine.ts';
import type { Entry, Expression } from './grammar/generated/ast.ts';
import { type AstNode, contentOf, textOf } from './grammar/syntax.ts';
import { askedFor, type Expected, expectedIn } from './judge/not-said.ts';
import { Instance, isBlock } from './machine/tree.ts';
import { type Kind, type Member, namesIn } from './names/kind.ts';
import { treesIn } from './one-machine.ts';
import { type Assessed, Project } from './project.ts';
import { starts } from './starts.ts';

/** A block that answers a question, and the kind of block that it stands in. */
export interface WholeProposal extends WholeBlock {
  readonly holder: Kind;
}

/** A block of a machine to begin with that answers a question of another: what feeds it, say. */
interface Pattern {
  /** What is asked. */
  readonly member: AstNode;
  readonly asking: Instance;
  readonly answer: Instance;
  readonly engine: Engine;
}

/** What is proposed for the questions of a machine that no line of the block asked can answer, what most rules wait for first. */
export function wholeProposals(
  machine: Machine & Pick<Assessed, 'assessment'>,
  { library }: Pick<Project, 'library'>,
): WholeProposal[] {
  const found = expectedIn(machine)
    .filter(({ instance, cell }) => !instance.open && machine.engine.value(cell) === false)
    .flatMap((expected) => proposalFor(expected, machine, library) ?? [])
    .toSorted((a, b) => b.waiting - a.waiting);
  return found.filter(({ head }, i) => found.findIndex((each) => each.head === head) === i);
}

function proposalFor(
  { expectation, instance }: Expected,
  machine: Machine & Pick<Assessed, 'assessment'>,
  library: Project['library'],
): WholeProposal | undefined {
  const names = askedFor(expectation, instance);
  const member = names.map((name) => instance.member(name)).find((each) => each?.role === 'derived');
  if (!member || names.some((name) => instance.saysNo(name))) return undefined;
  const written = patternsOf(library)
    .filter(({ asking, ...pattern }) => pattern.member === member.node && asking.kind.isA(expectation.owner))
    .map((pattern) => ({ pattern, likeness: likeness(pattern, instance, machine) }))
    .toSorted((a, b) => b.likeness - a.likeness)
    .flatMap(({ pattern }) => new Writer(pattern, instance, machine).write() ?? []);
  const [best] = written;
  const asked = machine.assessment.notSaid.find((each) => each.instance === instance && each.name === member.name);
  const question = contentOf(expectation.question);
  return best && { ...best, of: instance.label, question, waiting: asked?.waiting ?? toldAlready };
}

/** What a finding tells of already is not asked again: it comes before what is. */
const toldAlready = 99;

const known = new WeakMap<Project['library'], readonly Pattern[]>();

/** All that answers a question in the machines to begin with; read once for a library. */
export function patternsOf(library: Project['library']): readonly Pattern[] {
  const found = known.get(library) ?? readPatterns(library);
  known.set(library, found);
  return found;
}

function readPatterns(library: Project['library']): Pattern[] {
  const texts = new Map(starts.map(({ name, text }) => [`file:///${name}.gusset`, text]));
  const project = new Project(library, { read: (uri) => texts.get(uri) });
  const files = [...texts.keys()].flatMap((uri) => project.file(uri) ?? []);
  return files.flatMap((file) =>
    treesIn({ project, file }).flatMap((tree) => {
      const engine = new IncrementalEngine(evaluateCell);
      return tree.all().flatMap((asking) => answersTo(asking, engine));
    }),
  );
}

/** The answers to what the kind of a block expects of others: a block of the kind that is asked for, one of whose lists leads to it. */
function answersTo(asking: Instance, engine: Engine): Pattern[] {
  return asking.kind.expectations.flatMap(({ condition }) =>
    namesIn(condition).flatMap((name) => {
      const member = asking.member(name);
      const kind = member?.role === 'derived' && member.type.is === 'instance' ? member.type.kind : undefined;
      if (!member || !kind) return [];
      return asking.root
        .all()
        .filter((block) => block.kind.isA(kind) && block.node.$type === 'Entry' && !isIn(asking, block))
        .filter((block) => endsOf(block, engine).includes(asking))
        .map((answer) => ({ member: member.node, asking, answer, engine }));
    }),
  );
}

/** What stands last in the lists that are given for a block. */
function endsOf(block: Instance, engine: Engine): Instance[] {
  return [...block.kind.members.values()].flatMap((member) => blocksOf(block, member, engine)?.at(-1) ?? []);
}

/** The blocks in a list that is given, whether or not their parts are chosen by now; undefined for what is none. */
function blocksOf(block: Instance, member: Member, engine: Engine): Instance[] | undefined {
  if (member.type.is !== 'list' || member.role === 'derived') return undefined;
  const { expression, node } = cellOf(block, member.name)?.definition ?? {};
  if (expression?.$type !== 'List') return undefined;
  const layer = block.layers.find(({ body }) => body?.members.some((each) => each === node));
  if (!layer) return undefined;
  const frame = blockFrame(block, layer, engine);
  const values = expression.elements.map(({ value }) => {
    // A block whose part is open is there all the same.
    const own = value?.$type === 'Reference' ? block.called(value.name.text) : undefined;
    return own ?? (value && evaluate(value, frame));
  });
  return values.every((each) => each instanceof Instance) ? values : undefined;
}

/** How much the block that is asked is like the one of a pattern: by its kind first, then by what is said of both. */
function likeness({ asking, engine }: Pattern, asked: Instance, machine: Machine): number {
  if (asking.kind !== asked.kind) return asked.kind.isA(asking.kind) ? 50 : 0;
  const alike = [...asked.kind.members.values()].filter(({ name, role }) => {
    if (role === 'child' || role === 'derived') return false;
    const [a, b] = [cellOf(asking, name), cellOf(asked, name)];
    const value = a && engine.value(a);
    return b && (typeof value === 'number' || typeof value === 'string') && machine.engine.value(b) === value;
  });
  return 100 + alike.length;
}

/** Writes the answer of a pattern for a block of another machine. */
class Writer {
  readonly #pattern: Pattern;
  readonly #asked: Instance;
  readonly #machine: Machine;

  constructor(pattern: Pattern, asked: Instance, machine: Machine) {
    this.#pattern = pattern;
    this.#asked = asked;
    this.#machine = machine;
  }

  /** Undefined where the machine lacks what the block is to speak of. */
  write(): Pick<WholeProposal, 'head' | 'text' | 'blanks' | 'holder'> | undefined {
    const { answer } = this.#pattern;
    const holder = answer.holder;
    const values = this.#values(answer);
    if (!holder || !values) return undefined;
    const head = `${wordFor(answer)} ${this.#name()}`;
    const lines = [...[...answer.children.values()].flatMap((child) => this.#block(child)), ...values];
    const body = lines.map((line) => `\n  ${line}`).join('');
    const text = `${head} {${body}\n}`;
    let blank = 0;
    const blanks = text.replace(/[$\\}]/g, '\\$&').replace(marked, (_, value: string) => `\${${++blank}:${value}}`);
    return { head, text: text.replace(marked, '$1'), blanks: `${blanks}$0`, holder: holder.kind };
  }

  /** As in the pattern, where that is free. */
  #name(): string {
    const { answer, asking } = this.#pattern;
    const taken = this.#machine.tree.children;
    if (asking.kind === this.#asked.kind && !taken.has(answer.name)) return answer.name;
    const name = `${this.#asked.name}_${answer.name.split('_').at(-1)}`;
    return taken.has(name) ? `${name}_2` : name;
  }

  /** A block in it: a part is left open, and of what starts from none what is said of it. */
  #block(child: Instance): string[] {
    if (child.node.$type !== 'Entry') return [];
    const values = this.#values(child) ?? [];
    const word = wordFor(child);
    const head = child.fills?.name === child.name || word === child.name ? child.name : `${word} ${child.name}`;
    const begin = child.part || child.open ? `${head} is ?` : head;
    return values.length > 0 ? [`${begin} {`, ...values.map((line) => `  ${line}`), '}'] : [begin];
  }

  /** The lines that give values; undefined where one speaks of what this machine has not. */
  #values(block: Instance): string[] | undefined {
    const { engine } = this.#pattern;
    const lines: string[] = [];
    for (const member of block.kind.members.values()) {
      const cell = cellOf(block, member.name);
      const { origin, expression } = cell?.definition ?? {};
      if (!cell || !expression || (origin !== 'given' && origin !== 'open')) continue;
      const value = this.#spoken(blocksOf(block, member, engine) ?? engine.value(cell), member, expression, block);
      if (value === undefined && block === this.#pattern.answer) return undefined;
      if (value) lines.push(`${member.name} = ${value}`);
    }
    return lines;
  }

  /** What is written for a value: the empty text for what only who builds the machine can say, and undefined for what it has not. */
  #spoken(value: unknown, member: Member, expression: Expression, block: Instance): string | undefined {
    if (value instanceof Instance) {
      // A part that stands for itself, such as a material, goes by its name.
      const { root } = this.#pattern.answer;
      return value.root === root ? this.#pathTo(value) : block.part ? '' : textOf(expression);
    }
    if (Array.isArray(value) && value.every((each) => each instanceof Instance)) return this.#list(value);
    // What a part brings is its own.
    if (member.type.is === 'truth' || ((block.part || block.open) && block !== this.#pattern.answer)) return '';
    if (expression.$type === 'Open' || member.sizes.length > 0) return '?';
    if (expression.$type === 'Quantity') return `⟨${textOf(expression)}⟩`;
    return member.type.is === 'choice' ? textOf(expression) : '';
  }

  /** A list whose first block has to be there; others that are not are left out. */
  #list(blocks: readonly Instance[]): string | undefined {
    const [first] = blocks;
    if (!first || !this.#agrees(first)) return undefined;
    const paths = blocks.map((block) => this.#pathTo(block));
    return `[${paths.filter((path) => path !== undefined).join(', ')}]`;
  }

  /** Is there something in a block's place, and in which quantities it is alike to the one that asks there, so is this one here? */
  #agrees(block: Instance): boolean {
    const { answer, asking, engine } = this.#pattern;
    if (isIn(block, answer)) return true;
    const found = this.#standsFor(block);
    if (!found) return false;
    const own = this.#machine.engine;
    return [...block.kind.members.values()].every(({ name, type }) => {
      if (type.is !== 'quantity' || type.bare) return true;
      const before = [block, asking].map((each) => numberIn(each, name, engine));
      const now = [found, this.#asked].map((each) => numberIn(each, name, own));
      // That there is nothing says nothing.
      return !before[0] || before[0] !== before[1] || now.includes(undefined) || now[0] === now[1];
    });
  }

  /** The path of what stands for a block of the pattern in this machine. */
  #pathTo(block: Instance): string | undefined {
    const { answer, asking } = this.#pattern;
    if (block === asking) return this.#asked.label;
    if (isIn(block, answer)) return block.label.slice(answer.label.length + 1);
    const found = this.#standsFor(block);
    const first = found?.label.split('.')[0] ?? '';
    return answer.children.has(first) ? undefined : found?.label;
  }

  #standsFor(block: Instance): Instance | undefined {
    const { asking } = this.#pattern;
    const isBeside = block.holder?.holder !== undefined && block.holder === asking.holder;
    return isBeside ? this.#beside(block) : this.#alike(block);
  }

  /** What stands beside the block that is asked, as another stands beside that of the pattern. */
  #beside(block: Instance): Instance | undefined {
    const { holder } = this.#asked;
    const role = block.fills;
    return holder && role ? holder.inRole(role.name) : this.#alike(block);
  }

  /** A block of the kind, of several one that nothing speaks of yet, and of these the one of the same name. */
  #alike(block: Instance): Instance | undefined {
    const text = textOf(this.#machine.entry);
    const isUsed = ({ holder, label }: Instance) =>
      holder?.holder !== undefined && new RegExp(`\\b${label.replace('.', '\\.')}\\b`).test(text);
    const isAlone = (each: Instance) => each.holder === this.#machine.tree;
    return this.#machine.tree
      .all()
      .filter(
        (each) =>
          each.kind === block.kind &&
          !isIn(each, this.#asked) &&
          isAlone(each) === (block.holder?.holder === undefined),
      )
      .map((each) => ({ each, rank: Number(isUsed(each)) * 2 + Number(each.name !== block.name) }))
      .toSorted((a, b) => a.rank - b.rank)[0]?.each;
  }
}

function numberIn(block: Instance, name: string, engine: Engine): number | undefined {
  const cell = cellOf(block, name);
  const value = cell && engine.value(cell);
  return typeof value === 'number' ? value : undefined;
}

/** Is a block the other, or within it? */
function isIn(block: Instance, other: Instance): boolean {
  for (let at: Instance | undefined = block; at; at = at.holder) if (at === other) return true;
  return false;
}

/** A number that is to be looked at. */
const marked = /⟨([^⟩]*)⟩/g;

/** The word that a block was written with: its kind, or its role. */
function wordFor(block: Instance): string {
  for (const { node } of block.layers)
    if (node.$type === 'Entry' && isBlock(node as Entry) && node.name?.text === block.name && node.first)
      return node.first.text;
  return block.kind.name;
}
