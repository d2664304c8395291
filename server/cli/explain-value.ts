import { blockTableOf } from '../../language/answers/block-table.ts';
import { type Derivation, explainCell } from '../../language/answers/derivation.ts';
import { type Cell, cellOf, cellsOf } from '../../language/compute/cell.ts';
import { targetsOf } from '../../language/compute/machine.ts';
import { pathOfCell, showCell } from '../../language/compute/show-cell.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { answerTo, candidatesInWords } from '../../language/judge/choices.ts';
import {
  type CheckState,
  type DueCheck,
  dueChecksOf,
  openChecks,
  shownRead,
} from '../../language/judge/commissioning.ts';
import { whyNotKnown, whyUnknown } from '../../language/judge/verdict-words.ts';
import { Instance } from '../../language/machine/tree.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import type { Member } from '../../language/names/kind.ts';
import type { Assessed } from '../../language/project.ts';
import { inPrint } from '../../language/values/show.ts';
import { Unknown } from '../../language/values/value.ts';
import { CallError, columns, columnsWithin, count, wrap } from './io.ts';
import { blockOrValue } from './named-value.ts';
import { onOneLine, type Page, sourceInWords } from './page.ts';

/** Does a path begin with the name of one of these machines? */
export function hasMachine(path: string, machines: readonly Assessed[]): boolean {
  return machines.some((machine) => startsWith(path, machine));
}

function startsWith(path: string, machine: Assessed): boolean {
  return path === machine.tree.name || path.startsWith(`${machine.tree.name}.`);
}

/** How a value of a machine came about, or what a block of it holds. Throws a `CallError` where the path leads nowhere. */
export function explainValue(path: string, machines: readonly Assessed[], depth: number, page: Page): Page {
  const named = machines.find((machine) => startsWith(path, machine));
  const machine = named ?? (machines.length === 1 ? machines[0] : undefined);
  if (!machine) {
    const names = machines.map((m) => m.tree.name);
    throw new CallError(
      `There is nothing called ${path}. A value begins with the name of its machine: ${listed(names)}.`,
    );
  }
  const below = named ? path.slice(named.tree.name.length + 1) : path;
  if (below === commissioningPage && !machine.tree.member(below) && !machine.tree.called(below))
    return checksPage(machine, page);
  const found = below === '' ? machine.tree : blockOrValue(below, machine);
  if (found instanceof Instance) return blockPage(found, machine, page);
  return found.member?.parameters.length
    ? formulaPage(found, found.member, machine, depth, page)
    : new ValuePage(machine, page).explain(found, depth);
}

// ---- what is to be checked ----

/** What is to be checked of a machine goes by this name, where the machine has nothing of its own that does. */
const commissioningPage = 'commissioning';

const states: Readonly<Record<CheckState, string>> = {
  open: 'to be made',
  made: 'made',
  lapsed: 'to be made again',
  outside: 'read what it must not',
};

/** All that is to be checked once a machine is built, stage by stage, with how, what is expected, and what was recorded. */
function checksPage(machine: Assessed, page: Page): Page {
  const due = dueChecksOf(machine);
  const open = openChecks(due);
  page
    .title(`${machine.tree.name} has ${count(due.length, 'check')} of commissioning, ${open} of them to be made`)
    .prose(
      'In the order in which they are made. What was done is recorded by `checked NAME of BLOCK on DAY`. No list makes a machine safe: local codes decide, and a licensed electrician does all that is on mains.',
    );
  const stages = [...new Set(due.map(({ stage }) => stage.name))];
  for (const name of stages) {
    const own = due.filter(({ stage }) => stage.name === name);
    page.list(
      own[0]?.stage.title ?? name,
      own.flatMap((each) => checkLines(each, machine, page)),
    );
  }
  return page;
}

function checkLines(due: DueCheck, machine: Assessed, { io, style }: Page): string[] {
  const { check, instance, title, how, expected, caution, state, record } = due;
  const prose = (text: string) => wrap(/[.!?]$/.test(text) ? text : `${text}.`, io.width, '    ');
  const of = instance.holder ? ` of ${instance.label}` : '';
  const times = instance.count > 1 ? `, ${instance.count} times` : '';
  const read = record?.read === undefined ? '' : `, read ${shownRead(record.read, check, machine)}`;
  const done = record ? `${states[state]}, recorded on ${record.date}${read}` : states[state];
  return [
    `  ${check.name}${of}${times}  ${style.quiet(done)}`,
    prose(onOneLine(title)),
    prose(how),
    ...(expected ? [prose(`Expected: ${expected}`)] : []),
    ...(record?.changed ?? []).map((change) => prose(`Changed since: ${change}`)),
    ...(caution ? [style.caution(prose(`Caution: ${caution}`))] : []),
  ];
}

// ---- a block ----

function blockPage(instance: Instance, machine: Assessed, page: Page): Page {
  page.title(`${instance.path}, ${instance.kind.name}`, instance.node).documentation(instance.node);
  const cells = [...instance.kind.members.values()].flatMap((member) => {
    const cell = member.parameters.length ? undefined : cellOf(instance, member.name);
    return cell ? [cell] : [];
  });
  const tables = cells.filter(
    (cell) => cell.member?.shown.length && tableLines(cell, machine, page.io.width - 2).length,
  );
  const rows = cells.map((cell) => [
    cell.name,
    tables.includes(cell) ? 'below' : shownOrMissing(cell, machine),
    originWords[originOf(cell)],
  ]);
  const calls = [...instance.kind.members.values()].filter((m) => m.parameters.length > 0);
  page
    .list('What could stand here', candidateLines(instance, '', machine))
    .list(
      'Values',
      columns(rows).map((line) => `  ${line}`),
    )
    .list(
      'Values with arguments',
      calls.map((m) => `  ${m.name}(${m.parameters.map((p) => p.name).join(', ')})`),
    )
    .list('Blocks', blockLines(instance));
  for (const cell of tables) page.list(cell.name, tableLines(cell, machine, page.io.width - 2));
  return page;
}

/** All that could stand in place of an open choice, with what speaks against each; none where it is no open choice. */
function candidateLines(instance: Instance, name: string, { choices }: Assessed): string[] {
  const choice = choices.find((each) => each.instance === instance && each.name === name);
  return choice ? [answerTo(choice), ...candidatesInWords(choice.tryAll())].map((line) => `  ${line}`) : [];
}

function blockLines(instance: Instance): string[] {
  return columns([...instance.children.values()].map((child) => [child.name, child.kind.name])).map((l) => `  ${l}`);
}

const originWords = {
  given: 'given',
  default: 'default',
  derived: 'computed',
  measured: 'measured',
  open: 'open',
  proposed: 'proposed',
  absent: 'not there, as it is said',
  missing: 'not given',
} as const;

function originOf(cell: Cell): Derivation['origin'] {
  return (cell.called?.cell ?? cell).origin;
}

/** A step of a formula: its name, what it comes to, and how. */
const stepInWords = ({ name, shown, formula }: Derivation['steps'][number]) =>
  `${name} = ${shown} = ${onOneLine(formula)}`;

function shownOrMissing(cell: Cell, machine: Assessed): string {
  const shown = showCell(cell, machine);
  return ['missing', 'absent'].includes(originOf(cell)) ? '' : shown;
}

// ---- a value with arguments ----

/** A value that takes arguments, what it comes to with those that the machine uses, and how the first came about. */
function formulaPage(cell: Cell, member: Member, machine: Assessed, depth: number, page: Page): Page {
  const { sources, assumptions, formula, documentation } = explainCell(cell, machine);
  const calls = callsOf(cell, machine);
  const names = member.parameters.map((p) => `${p.name}: …`).join(', ');
  const [first] = calls;
  // What is derived below says the same of the formula.
  const own: [string, string | undefined][] = first
    ? []
    : [
        ['formula', formula && onOneLine(formula)],
        ...sources.map((source): [string, string] => ['source', sourceInWords(source)]),
        ...assumptions.map((text): [string, string] => ['assumes', text]),
      ];
  page
    .title(`${cell.instance.path}.${headOf(member.node)}`, member.node)
    .prose(first ? '' : documentation)
    .rows([...own, ['for others', `give its arguments, in quotes: "${cell.instance.path}.${cell.name}(${names})"`]])
    .list(
      'In this machine',
      calls.slice(0, 8).map((call) => `  ${pathOfCell(call, machine)} = ${showCell(call, machine)}`),
    );
  return first ? new ValuePage(machine, page).explain(first, depth) : page;
}

/** The calls of a value that the machine makes, those that a requirement makes first. */
function callsOf(cell: Cell, machine: Assessed): Cell[] {
  const calls = [...cellsOf(cell.instance).values.values()].filter(
    (other) => other.called?.cell === cell && isWhole(other),
  );
  const required = new Set(targetsOf(machine).flatMap((target) => machine.engine.inputs(target.cell)));
  return calls.toSorted((a, b) => Number(required.has(b)) - Number(required.has(a)));
}

/** A call whose arguments are plain values, not formulas handed over. */
function isWhole(cell: Cell): boolean {
  return cell.called?.args.every((arg) => typeof arg === 'number') ?? false;
}

/** A declaration without its formula: `warm_up(to: Temperature): Time`. */
function headOf(node: Member['node']): string {
  return textOf(node)
    .replace(/\s+/g, ' ')
    .replace(/ (=|\{) .*$/, '');
}

// ---- a list of blocks ----

/** A row for each block that a value lists; in a wide table the rows stand under the block that holds theirs. */
function tableLines(cell: Cell, machine: Assessed, width: number): string[] {
  const table = blockTableOf(cell, machine);
  if (!table?.rows.length) return [];
  const { heading, rows, blocks, missing } = table;
  const narrow = columns([heading, ...rows]);
  const fits = Math.max(...narrow.map((line) => line.length)) <= width;
  const lines = fits ? narrow : underHolders(heading, rows, blocks, width);
  return [
    ...lines.map((line) => `  ${line}`.trimEnd()),
    ...(missing.length ? ['', `  Not given: ${listed(missing)}`] : []),
  ];
}

function underHolders(
  heading: readonly string[],
  rows: readonly (readonly string[])[],
  blocks: readonly Instance[],
  width: number,
): string[] {
  const named = rows.map(([, ...cells], i) => [blocks[i]?.name ?? '', ...cells]);
  const [head = [], ...wrapped] = columnsWithin([heading, ...named], width);
  const holders = [...new Set(blocks.map((block) => block.holder))];
  const within = (holder: Instance | undefined) => wrapped.filter((_, i) => blocks[i]?.holder === holder).flat();
  return [...head, ...holders.flatMap((holder) => ['', holder?.path ?? '', ...within(holder)])];
}

// ---- a value and what it came from ----

function whyItIsNot({ value }: Derivation): string | undefined {
  return value instanceof Unknown && value.missing.length > 0 ? whyNotKnown(whyUnknown(value)) : undefined;
}

class ValuePage {
  readonly #told = new Set<Cell>();
  readonly machine: Assessed;
  readonly page: Page;
  constructor(machine: Assessed, page: Page) {
    this.machine = machine;
    this.page = page;
  }

  explain(cell: Cell, depth: number): Page {
    for (const _ of this.machine.engine.searchDeeper(cell));
    const derivation = explainCell(cell, this.machine);
    const { path, type, shown, extremes, documentation, formula, steps, sources, assumptions } = derivation;
    const word = originWords[derivation.origin];
    this.#told.add(cell);
    const full = path.startsWith(this.machine.tree.name) ? path : `${this.machine.tree.name}.${path}`;
    const table = blockTableOf(cell, this.machine);
    const lines = tableLines(cell, this.machine, this.page.io.width - 2);
    const isTable = lines.length > 0 && (cell.member?.shown.length ?? 0) > 0;
    this.page
      .title(isTable ? `${full} has ${count(table?.rows.length ?? 0, 'block')}` : `${full} = ${shown}`)
      .prose(documentation)
      .rows([
        ['is', `${type}, ${word}`],
        ['least', extremes?.least],
        ['greatest', extremes?.greatest],
        ['because', whyItIsNot(derivation)],
        [derivation.origin === 'derived' ? 'formula' : 'text', formula && onOneLine(formula)],
        ...steps.map((step): [string, string] => ['where', stepInWords(step)]),
        ['at', derivation.writtenAt && this.page.placeOf(derivation.writtenAt)],
        ...sources.map((source): [string, string] => ['source', sourceInWords(source)]),
        ...assumptions.map((text): [string, string] => ['assumes', text]),
      ])
      .list('Each of them', lines)
      .list('What could stand here', candidateLines(cell.instance, cell.name, this.machine));
    // What a table's values come from is told where one of them is explained.
    if (isTable) return this.page;
    this.page.list('It comes from', this.#inputs(derivation, depth, '  '));
    return this.page.list('Defaults it rests on', this.#defaults(cell));
  }

  #inputs({ inputs }: Derivation, depth: number, indent: string): string[] {
    return inputs.flatMap((input) => this.#input(input, depth, indent));
  }

  /** An input, how it came about, and what it came from in turn; each is told once. */
  #input(cell: Cell, depth: number, indent: string): string[] {
    const { page } = this;
    const derivation = explainCell(cell, this.machine);
    const { path, shown, origin, formula, steps, writtenAt, sources, assumptions, inputs } = derivation;
    const line = `${indent}${path} = ${shown}`;
    if (this.#told.has(cell) && inputs.length > 0) return [`${line}${page.style.quiet('  (told above)')}`];
    this.#told.add(cell);
    const at = writtenAt ? page.placeOf(writtenAt) : '';
    const word = origin === 'default' ? page.style.advice('default') : originWords[origin];
    const inner = `${indent}  `;
    const how = origin === 'derived' || origin === 'default' ? [onOneLine(formula ?? '')] : [];
    const notes = [
      ...how.filter((text) => text && inPrint(text) !== shown).map((text) => `= ${text}`),
      ...steps.map((step) => `where ${stepInWords(step)}`),
      ...sources.map((source) => `source: ${sourceInWords(source)}`),
      ...assumptions.map((text) => `assumes: ${text}`),
    ];
    return [
      `${line}  ${page.style.quiet('·')} ${word}${at ? page.style.quiet(` ${at}`) : ''}`,
      ...notes.map((text) => page.style.quiet(wrap(text, page.io.width, inner, `${inner}  `))),
      ...(depth > 1
        ? this.#inputs(derivation, depth - 1, `${indent}    `)
        : inputs.length
          ? [page.style.quiet(`${inner}from ${count(inputs.length, 'value')} more: ${this.#names(inputs)}`)]
          : []),
    ];
  }

  #names(cells: readonly Cell[]): string {
    return listed(
      cells.map((cell) => pathOfCell(cell, this.machine)),
      5,
    );
  }

  /** Every default that the value was computed from, however far. */
  #defaults(cell: Cell): string[] {
    const seen = new Set<Cell>([cell]);
    for (const at of seen) for (const input of explainCell(at, this.machine).inputs) seen.add(input);
    const defaults = [...seen].filter((input) => input !== cell && originOf(input) === 'default');
    const rows = defaults.map((input) => [pathOfCell(input, this.machine), showCell(input, this.machine)]);
    return columns(rows).map((line) => `  ${line}`);
  }
}
