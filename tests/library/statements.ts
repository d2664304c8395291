import type { Cell } from '../../language/compute/cell.ts';
import type { Machine } from '../../language/compute/machine.ts';
import type { Declaration, Entry, Expression } from '../../language/grammar/generated/ast.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { ruleNamed, verdictCell } from '../../language/judge/rule.ts';
import type { Instance } from '../../language/machine/tree.ts';
import { type Kind, kindOfRole, type Member } from '../../language/names/kind.ts';

// What could be said otherwise of a machine, one thing at a time, that a rule rests on.

/** A line within blocks of a machine. */
export interface Line {
  /** Each as the machine's text calls it. */
  readonly blocks: readonly string[];
  readonly text: string;
}

/** What is said otherwise. */
export interface Statement {
  readonly lines: readonly Line[];
  /** Of a plain number: what it is, what it becomes, and how another is written. Points of temperature are halved by their difference. */
  readonly number?: {
    readonly from: number;
    readonly to: number;
    readonly isPoint: boolean;
    readonly line: (number: number) => Line;
  };
  /** How far it is from what a reader would think of. */
  readonly far: number;
}

const factors = [1.2, 0.8, 1.6, 0.6, 2.5, 0.4, 6, 0.2, 0.1, 0];
const kelvins = [10, -10, 30, -30, 100, -100];
const mostCounted = 12;
/** What a block is called that stands beside others of its kind. */
const spare = 'spare';
const mostOptions = 6;
const mostParts = 8;
const mostCells = 2000;

/** The text of a machine that starts from another and says something otherwise. */
export function variantWith(kind: string, called: string, base: string, lines: readonly Line[]): string {
  const inner = lines.map(({ blocks, text }) => [...blocks].reverse().reduce((said, at) => `${at} { ${said} }`, text));
  return `${kind} ${called} is ${base} {\n${inner.map((line) => `  ${line}\n`).join('')}}\n`;
}

/** How a block is called where more is said of it: as in the text that brings it. */
function headOf(instance: Instance): string {
  const entries = instance.layers.map(({ node }) => node).filter((node): node is Entry => node.$type === 'Entry');
  const entry = entries.findLast(({ name, first }) => (name ?? first).text === instance.name);
  return entry ? [entry.first.text, entry.name?.text].filter(Boolean).join(' ') : instance.name;
}

function blocksTo(instance: Instance): string[] {
  return instance.holder ? [...blocksTo(instance.holder), headOf(instance)] : [];
}

const pathTo = (instance: Instance): string =>
  instance.holder?.holder ? `${pathTo(instance.holder)}.${instance.name}` : instance.name;

const digits = (number: number) => String(Number(number.toPrecision(3)));

/** The parts of a kind, a few. */
function partsOf(kind: Kind, scope: Machine['scope']): string[] {
  const isOf = (node: Declaration, own: Machine['scope'], steps = 0): boolean => {
    const base = node.base?.text;
    if (!base || steps > 9) return false;
    const found = own.find(base);
    return (
      own.kindNamed(base)?.isA(kind) ??
      (found?.node.$type === 'Declaration' && isOf(found.node, found.scope, steps + 1))
    );
  };
  return scope
    .parts()
    .flatMap(({ node, scope: own }) =>
      node.$type === 'Declaration' && isOf(node, own) ? [node.name?.text ?? ''] : [],
    );
}

/** What else could stand in place of a value, as text. */
function otherTexts({ member, definition }: Cell, { tree, scope }: Machine): string[] {
  const now = definition.expression ? textOf(definition.expression) : '';
  const type = member?.type;
  switch (type?.is) {
    case 'truth':
      return ['yes', 'no'].filter((word) => word !== now);
    case 'choice':
      return type.options.filter((word) => word !== now).slice(0, mostOptions);
    case 'instance': {
      const { kind } = type;
      if (!kind) return [];
      const there = tree.all().filter((each) => each.kind.isA(kind) && each.holder);
      return [...there.map(pathTo), ...partsOf(kind, scope).slice(0, mostParts)].filter((text) => text !== now);
    }
    default:
      return [];
  }
}

/** A plain number, given anew. */
function otherNumbers({ member, definition }: Cell, blocks: readonly string[], far: number): Statement[] {
  const now = /^(-?[\d.]+)( \S+)?$/.exec(definition.expression ? textOf(definition.expression) : '');
  if (!now || member?.type.is !== 'quantity') return [];
  const [, number = '', unit = ''] = now;
  const from = Number(number);
  const isPoint = member.type.points === true;
  const line = (other: number) => ({ blocks, text: `${member.name} = ${other}${unit}` });
  return [...new Set(numbersAround(from, isPoint, unit === '' && Number.isInteger(from)).map(digits))]
    .map(Number)
    .map((to) => ({
      lines: [line(to)],
      far,
      ...(isPoint || (from > 0 && to > 0) ? { number: { from, to, isPoint, line } } : {}),
    }));
}

function numbersAround(from: number, isPoint: boolean, isCount: boolean): number[] {
  if (isPoint) return kelvins.map((by) => from + by);
  if (isCount) return [from + 1, from - 1, ...Array.from({ length: mostCounted }, (_, i) => i)].filter((to) => to >= 0);
  return from === 0 ? [1, 10] : factors.map((by) => by * from);
}

/** A size, of which one side is given anew. */
function otherSides({ member, definition }: Cell, blocks: readonly string[], far: number): Statement[] {
  const now = definition.expression ? textOf(definition.expression) : '';
  const sides = now.split(' x ').map((side) => /^(-?[\d.]+)(.*)$/.exec(side));
  if (member?.type.is !== 'sides' || sides.includes(null)) return [];
  return sides.flatMap((side, which) => {
    const from = Number(side?.[1]);
    const line = (number: number) => ({
      blocks,
      text: `${member.name} = ${sides.map((s, i) => `${i === which ? number : s?.[1]}${s?.[2]}`).join(' x ')}`,
    });
    return [1.2, 0.8, 2, 0.5]
      .map((by) => Number(digits(by * from)))
      .map((to) => ({ lines: [line(to)], far, number: { from, to, isPoint: false, line } }));
  });
}

/** A list, without one of those between its first and its last. */
function shorterLists({ member, definition }: Cell, blocks: readonly string[], far: number): Statement[] {
  const list = definition.expression;
  if (list?.$type !== 'List' || definition.origin !== 'given') return [];
  const items = itemsOf(list);
  return items.slice(1, -1).map((_, i) => ({
    lines: [{ blocks, text: `${member?.name} = [${items.filter((__, j) => j !== i + 1).join(', ')}]` }],
    far,
  }));
}

const itemsOf = (list: Expression) =>
  textOf(list)
    .replace(/^\[|\]$/g, '')
    .split(',')
    .map((item) => item.trim());

/** Each value that is given or could be, and that some verdicts are computed from, nearest first. */
function inputsOf(verdicts: readonly Cell[], { engine, tree }: Machine): Cell[] {
  const seen = new Set(verdicts);
  for (const cell of seen) {
    if (seen.size > mostCells) break;
    for (const input of engine.inputs(cell)) seen.add(input);
  }
  const isInput = ({ member, instance }: Cell) =>
    member && member.role !== 'derived' && member.role !== 'child' && instance.root === tree;
  return [...seen].filter(isInput);
}

function verdictsOf(name: string, { tree, scope }: Machine): Cell[] {
  const rule = ruleNamed(name, scope);
  if (!rule) return [];
  const on = tree.all().filter(({ kind }) => kind.isA(rule.kind));
  return on.map((instance) => verdictCell(rule, instance));
}

/** Values of a machine given otherwise that a rule rests on. */
function values(rule: string, machine: Machine): Statement[] {
  const verdicts = verdictsOf(rule, machine);
  const judged = new Set(verdicts.map(({ instance }) => instance));
  return inputsOf(verdicts, machine).flatMap((cell, i) => {
    const { member, instance, definition } = cell as Cell & { member: Member };
    const blocks = blocksTo(instance);
    const isGiven = definition.origin === 'given';
    const far = Math.sqrt(i) / 4 + blocks.length + (judged.has(instance) ? 0 : 1) + (isGiven ? 0 : 2);
    const texts = otherTexts(cell, machine).map((text) => `${member.name} = ${text}`);
    const gone = member.role === 'optional' && isGiven ? [`no ${member.name}`] : [];
    return [
      ...[...texts, ...gone].map((text) => ({ lines: [{ blocks, text }], far })),
      ...otherNumbers(cell, blocks, far),
      ...otherSides(cell, blocks, far),
      ...shorterLists(cell, blocks, far + 1),
    ];
  });
}

/** A block taken away, and out of the paths that it stands in. */
function without(block: Instance, { tree }: Machine): Statement {
  const path = pathTo(block);
  const isIn = (item: string) => item === path || item.startsWith(`${path}.`);
  const paths = tree.all().flatMap((instance) => {
    const given = instance.layers
      .flatMap(({ body }) => body?.members ?? [])
      .find((m) => m.$type === 'Entry' && m.equals && m.value?.$type === 'List');
    if (given?.$type !== 'Entry' || !given.value) return [];
    const items = itemsOf(given.value);
    const within = items.map((item) => (isIn(item) || isIn(`${pathTo(instance)}.${item}`) ? '' : item));
    if (!within.includes('')) return [];
    if (within[0] === '' || within.at(-1) === '')
      return [{ blocks: blocksTo(instance).slice(0, -1), text: `no ${instance.name}` }];
    const left = within.filter(Boolean).join(', ');
    return [{ blocks: blocksTo(instance), text: `${given.first.text} = [${left}]` }];
  });
  const blocks = blocksTo(block).slice(0, -1);
  return { lines: [{ blocks, text: `no ${block.name}` }, ...paths], far: 1 + blocks.length + 2 * paths.length };
}

/** Blocks of a machine taken away, or made of other parts. */
function blocksOtherwise(machine: Machine): Statement[] {
  const { tree, scope } = machine;
  return tree.all().flatMap((block) => {
    if (!block.holder || block.fills?.occurs === 'always') return [];
    const blocks = blocksTo(block).slice(0, -1);
    const part = block.part?.name?.text;
    const others = part ? partsOf(block.kind, scope).filter((name) => name !== part) : [];
    return [
      without(block, machine),
      ...others.slice(0, mostParts).map((name) => ({
        lines: [{ blocks, text: `${headOf(block)} is ${name}` }],
        far: blocks.length + 2,
      })),
    ];
  });
}

/** Blocks that could stand in a machine besides: of any kind, or of one alone. */
function blocksBesides({ tree, scope }: Machine, only?: Kind): Statement[] {
  return tree.all().flatMap((place) =>
    [...place.kind.members.values()].flatMap((role) => {
      const kind = role.role === 'child' ? kindOfRole(role) : undefined;
      const isFull = role.occurs === 'always' || (role.occurs !== 'many' && place.filling(role).length > 0);
      if (!kind || isFull || (only && !only.isA(kind) && !kind.isA(only))) return [];
      const blocks = blocksTo(place);
      const far = blocks.length + 3;
      const parts = partsOf(only?.isA(kind) ? only : kind, scope).slice(0, mostParts);
      const called = role.occurs === 'many' ? `${only?.isA(kind) ? only.name : role.name} ${spare}` : role.name;
      return [called, ...parts.map((part) => `${called} is ${part}`)].map((text) => ({
        lines: [{ blocks, text }],
        far,
      }));
    }),
  );
}

const nearest = (statements: readonly Statement[], most: number) =>
  statements.toSorted((a, b) => a.far - b.far).slice(0, most);

/** What could be said otherwise of a machine that a rule rests on, the nearest first. */
export function statementsFor(rule: string, machine: Machine, most: number): Statement[] {
  const own = blocksBesides(machine, ruleNamed(rule, machine.scope)?.kind).slice(0, mostParts);
  const others = [...values(rule, machine), ...blocksOtherwise(machine), ...blocksBesides(machine)];
  return [...own, ...nearest(others, most)];
}

/** Two of them at once: the first few with each other. */
export function pairsOf(first: readonly Statement[], second: readonly Statement[]): Statement[] {
  return first.flatMap((a) =>
    second
      .filter((b) => a !== b && keyOf(a) < keyOf(b) && !takesAway(a, b) && !takesAway(b, a))
      .map((b) => ({ lines: [...a.lines, ...b.lines], far: a.far + b.far + 2 })),
  );
}

/** Does one take away a block that the other says something of? */
const takesAway = (one: Statement, other: Statement) =>
  one.lines.some(({ blocks, text }) => {
    const gone = /^no (\w+)$/.exec(text)?.[1];
    const at = gone && new RegExp(`(^|\\s)${gone}$`);
    return at && other.lines.some((line) => at.test(line.blocks[blocks.length] ?? ''));
  });

/** What a statement is of: two of the same say otherwise of one thing. */
const keyOf = ({ lines }: Statement) =>
  lines.map(({ blocks, text }) => `${blocks.join('.')}.${text.replace(/^no |[ =].*$/g, '')}`).join();

/** What could be said otherwise of a machine so that a rule is broken which it keeps, or is not asked of. */
export function statementsBreaking(rule: string, machine: Machine, most: number): Statement[] {
  const kind = ruleNamed(rule, machine.scope)?.kind;
  const besides = machine.tree.all().some((each) => kind && each.kind.isA(kind)) ? [] : blocksBesides(machine, kind);
  return nearest([...values(rule, machine), ...besides], most);
}
