import { cellOf } from '../compute/cell.ts';
import type { Machine } from '../compute/machine.ts';
import { type Margin, rankOf, showMargin } from '../compute/margin.ts';
import { showCell, typeOfCell, valueOver } from '../compute/show-cell.ts';
import type { Finding } from '../judge/finding.ts';
import { isLaidAside } from '../judge/finding.ts';
import { type Assessment, toldIn } from '../judge/findings.ts';
import { requirementOutcome } from '../judge/requirements.ts';
import { ruleNamed, verdictCell } from '../judge/rule.ts';
import { whyNotKnown } from '../judge/verdict-words.ts';
import { marginsOf } from '../judge/weakest.ts';
import type { Instance } from '../machine/tree.ts';
import type { Severity } from '../mistakes/mistake.ts';
import { kindOfListedBlocks, type Type } from '../names/type.ts';
import { Bounds, isMissing, Money, Range, type Value } from '../values/value.ts';
import { tableOfBlocks } from './block-table.ts';
import { requirementKey, withNames } from './statement-edits.ts';

/** A machine with what is said of it. */
export type Judged = Machine & { readonly assessment: Assessment };

/** How a rule or a requirement stands: `absent` where there is no such block or requirement, `unasked` where it does not apply. */
export type State = 'fails' | 'accepted' | 'undecided' | 'holds' | 'unasked' | 'absent';

/** A rule or a requirement of a machine as it stands: what fails, and what is undecided. */
export interface Standing {
  readonly code: string;
  /** The block below the machine, as it is called there; empty for the machine itself. */
  readonly path: string;
  readonly state: State;
  readonly severity: Severity;
  readonly message: string;
  readonly caution?: string;
  /** The key of the finding that it follows from. */
  readonly root?: string;
}

/** A rule or a requirement that stands otherwise in the second machine. */
export interface Turn {
  readonly key: string;
  readonly code: string;
  readonly path: string;
  readonly before: State;
  readonly after: State;
  /** How grave it is, or was. */
  readonly severity: Severity;
  /** What is said of it now or, where it no longer fails, what was. */
  readonly message: string;
  readonly caution?: string;
  /** Does it only follow from another that has turned the same way? */
  readonly follows: boolean;
}

/** A margin of something that holds before and after. */
export interface MarginMove {
  readonly code: string;
  readonly path: string;
  readonly before: string;
  readonly after: string;
  /** By how much it has moved: a share of the limit, a kelvin counted as a hundredth; below zero where less is to spare. */
  readonly change: number;
}

/** A value worth showing that has moved. */
export interface ValueMove {
  readonly path: string;
  /** Undefined where there is no such value. */
  readonly before?: string;
  readonly after?: string;
  /** By which share of the larger; undefined where that cannot be said. */
  readonly change?: number;
  /** Is it one of the machine's own, and not of a block in it? */
  readonly own: boolean;
}

/** A row of a list of what is to be bought. */
export interface PartMove {
  readonly name: string;
  readonly is: 'comes' | 'goes' | 'changes';
  /** What differs of it, as `quantity 4 → 6`. */
  readonly what?: string;
}

/** What differs between two machines. */
export interface Differences {
  readonly turns: readonly Turn[];
  /** Those that moved most first. */
  readonly margins: readonly MarginMove[];
  /** The machine's own first, then those that moved most. */
  readonly values: readonly ValueMove[];
  readonly parts: readonly PartMove[];
}

/**
 * What differs between two machines, both judged: what turned, which margins and values moved by more than the share `least`, which parts come
 * and go. `names` leads from names of the second to those that the same is called by in the first.
 */
export function differences(
  before: Judged,
  after: Judged,
  names: ReadonlyMap<string, string>,
  least: number,
): Differences {
  const was = standings(before, noNames);
  const is = standings(after, names);
  return {
    turns: turns(was, is, before, after, names),
    margins: margins(before, after, names, least),
    values: values(before, after, names, least),
    parts: parts(before, after, names),
  };
}

const noNames: ReadonlyMap<string, string> = new Map();

function pathOf(instance: Instance): string {
  return instance.holder ? instance.label : '';
}

// ---- rules and requirements ----

/** What fails, is accepted or undecided in a machine, and all its requirements, by keys that are the same in another version of it. */
export function standings(machine: Judged, names: ReadonlyMap<string, string>): Map<string, Standing> {
  const { assessment } = machine;
  const all = new Map<string, Standing>();
  const add = (finding: Finding, root: string | undefined): void => {
    const { rule, severity, message, caution, instance, consequences } = finding;
    const key = freeKey(keyOf(rule, pathOf(instance), names), all);
    const state = isLaidAside(finding) ? 'accepted' : 'fails';
    if (!isOfRequirement(finding, assessment))
      all.set(key, {
        code: rule,
        path: pathOf(instance),
        state,
        severity,
        message,
        ...(caution && { caution }),
        ...(root && { root }),
      });
    for (const each of consequences) add(each, key);
  };
  for (const finding of toldIn(assessment)) add(finding, undefined);
  for (const { rule, instance, ...why } of assessment.undecided)
    all.set(keyOf(rule, pathOf(instance), names), {
      code: rule,
      path: pathOf(instance),
      state: 'undecided',
      severity: 'note',
      message: whyNotKnown(why),
    });
  for (const requirement of assessment.requirements) {
    const { holds, target, text } = requirement;
    const path = pathOf(target.instance);
    all.set(keyOf(requirementKey(target.node.condition), path, names), {
      code: text,
      path,
      state: holds === undefined ? 'undecided' : holds ? 'holds' : 'fails',
      severity: holds === false ? 'warning' : 'note',
      message: requirementOutcome(requirement),
    });
  }
  return all;
}

/** Is a finding what a requirement says itself? */
function isOfRequirement({ declared, message }: Finding, { requirements }: Assessment): boolean {
  return !declared && requirements.some(({ text, holds }) => holds === false && message.startsWith(`${text} does not`));
}

/** Of what no rule declares a block can have several: the second is told apart from the first. */
function freeKey(key: string, taken: ReadonlyMap<string, unknown>): string {
  for (let n = 1; ; n++) {
    const free = n === 1 ? key : `${key} ${n}`;
    if (!taken.has(free)) return free;
  }
}

function keyOf(code: string, path: string, names: ReadonlyMap<string, string>): string {
  return `${withNames(code, names)} @${withNames(path, names)}`;
}

/** The blocks of a machine by their paths, as the first machine calls them. */
function blocksByPath({ tree }: Machine, names: ReadonlyMap<string, string>): Map<string, Instance> {
  return new Map(tree.all().map((each) => [withNames(pathOf(each), names), each]));
}

const graveness: readonly Severity[] = ['note', 'advice', 'warning', 'error'];

function turns(
  was: ReadonlyMap<string, Standing>,
  is: ReadonlyMap<string, Standing>,
  before: Judged,
  after: Judged,
  names: ReadonlyMap<string, string>,
): Turn[] {
  const found: Turn[] = [];
  const [old, fresh] = [blocksByPath(before, noNames), blocksByPath(after, names)];
  for (const key of new Set([...is.keys(), ...was.keys()])) {
    const [a, b] = [was.get(key), is.get(key)];
    const told = (b ?? a) as Standing;
    const path = withNames(told.path, b ? names : noNames);
    const states: [State, State] = [
      a?.state ?? stateOf(told.code, old.get(path), before),
      b?.state ?? stateOf(told.code, fresh.get(path), after),
    ];
    const isGraver = graveness.indexOf(b?.severity ?? 'note') !== graveness.indexOf(a?.severity ?? 'note');
    if (states[0] === states[1] && !(states[1] === 'fails' && isGraver)) continue;
    // A requirement that only came, or is gone, and holds is a change of the text and no more.
    if (!states.some((state) => state === 'fails' || state === 'undecided' || state === 'accepted')) continue;
    const cause = b?.state === 'fails' ? [b.root, was, 'fails'] : [a?.root, is, undefined];
    found.push({
      key,
      code: told.code,
      path: told.path,
      before: states[0],
      after: states[1],
      severity: (states[1] === 'fails' ? b : (a ?? b))?.severity ?? 'note',
      message: told.message,
      ...(told.caution && { caution: told.caution }),
      follows: cause[0] !== undefined && (cause[1] as typeof was).get(cause[0] as string)?.state !== 'fails',
    });
  }
  return found.sort((a, b) => graveness.indexOf(b.severity) - graveness.indexOf(a.severity));
}

/** How a rule stands on a block that nothing is said of it for. */
function stateOf(code: string, instance: Instance | undefined, machine: Judged): State {
  const rule = instance && ruleNamed(code, machine.scope);
  if (!rule || !instance.kind.isA(rule.kind)) return 'absent';
  return machine.engine.corners(verdictCell(rule, instance)).values.includes(true) ? 'holds' : 'unasked';
}

// ---- margins ----

function margins(before: Judged, after: Judged, names: ReadonlyMap<string, string>, least: number): MarginMove[] {
  const was = marginsIn(before, noNames);
  const found: { move: MarginMove; by: number }[] = [];
  for (const [key, { code, path, margin }] of marginsIn(after, names)) {
    const other = was.get(key)?.margin;
    if (!other || other.inKelvin !== margin.inKelvin) continue;
    const [from, to] = [rankOf(other), rankOf(margin)];
    const by = Math.abs(squeezed(to) - squeezed(from));
    if (by < least || showMargin(other) === showMargin(margin)) continue;
    found.push({ by, move: { code, path, before: showMargin(other), after: showMargin(margin), change: to - from } });
  }
  return found.sort((a, b) => b.by - a.by).map(({ move }) => move);
}

interface OwnMargin {
  readonly code: string;
  readonly path: string;
  readonly margin: Margin;
}

/** The margins of rules and requirements that hold, by the same keys. */
function marginsIn(machine: Judged, names: ReadonlyMap<string, string>): Map<string, OwnMargin> {
  const all = new Map<string, OwnMargin>();
  for (const { rule, instance, margin } of marginsOf(machine)) {
    const path = pathOf(instance);
    all.set(keyOf(rule.name, path, names), { code: rule.name, path, margin });
  }
  for (const { target, text, holds, margin } of machine.assessment.requirements) {
    const path = pathOf(target.instance);
    if (holds && margin)
      all.set(keyOf(requirementKey(target.node.condition), path, names), { code: text, path, margin });
  }
  return all;
}

/** A margin of many times its limit is told from one of more times by little: it is nowhere near failing. */
function squeezed(share: number): number {
  return share / (1 + Math.abs(share));
}

// ---- values ----

/** The values of a machine that are worth showing, by block and name, in plain data. */
export type ShownValues = ReadonlyMap<string, ShownValue>;

interface ShownValue extends Shown {
  readonly path: string;
  readonly own: boolean;
}

/** The values of a machine that are worth showing, by what the first of two machines calls their blocks. */
export function shownValues(machine: Judged, names: ReadonlyMap<string, string>): ShownValues {
  const found = new Map<string, ShownValue>();
  for (const [path, block] of blocksByPath(machine, names))
    for (const name of block.kind.headlines) {
      const shown = valueAt(block, name, machine);
      const own = path === '';
      if (shown) found.set(`${path} ${name}`, { ...shown, own, path: [pathOf(block), name].filter(Boolean).join('.') });
    }
  return found;
}

function values(before: Judged, after: Judged, names: ReadonlyMap<string, string>, least: number): ValueMove[] {
  return movedBetween(shownValues(before, noNames), shownValues(after, names), least);
}

/** Which of these values have moved by more than a share, the machine's own first, then those that moved most. */
export function movedBetween(before: ShownValues, after: ShownValues, least: number): ValueMove[] {
  const found: ValueMove[] = [];
  for (const key of new Set([...after.keys(), ...before.keys()])) {
    const [a, b] = [before.get(key), after.get(key)];
    const move = valueMove(a, b);
    if (!move || (move.change !== undefined && move.change < least)) continue;
    const { own, path } = (b ?? a) as ShownValue;
    // What came or went with its block is told with that; words that a block tells of itself follow from its numbers.
    if (!own && move.change === undefined) continue;
    found.push({ path, own, ...move });
  }
  const size = ({ change }: ValueMove) => change ?? 1;
  return found.sort((a, b) => Number(b.own) - Number(a.own) || size(b) - size(a));
}

interface Shown {
  readonly value: Value;
  readonly type: Type;
  readonly shown: string;
}

function valueAt(instance: Instance | undefined, name: string, machine: Judged): Shown | undefined {
  const cell = cellOf(instance, name);
  if (!cell || kindOfListedBlocks(typeOfCell(cell))) return undefined;
  const value = valueOver(cell, machine);
  return { value, type: typeOfCell(cell), shown: showCell(cell, machine, value) };
}

function valueMove(
  a: Shown | undefined,
  b: Shown | undefined,
): Pick<ValueMove, 'before' | 'after' | 'change'> | undefined {
  const [known, now] = [a && !isMissing(a.value), b && !isMissing(b.value)];
  if ((!known && !now) || a?.shown === b?.shown) return undefined;
  const change = a && b && known && now ? changeBetween(a.value, b.value, a.type) : undefined;
  return {
    ...(a && { before: a.shown }),
    ...(b && { after: b.shown }),
    ...(change !== undefined && { change }),
  };
}

/** By which share of the larger a value has moved, at the end where it moved most; of temperatures a kelvin is a hundredth. Undefined of no numbers. */
export function changeBetween(a: Value, b: Value, type: Type): number | undefined {
  const [one, other] = [endsOf(a), endsOf(b)];
  if (!one || !other) return undefined;
  const isPoint = type.is === 'quantity' && type.points;
  const moved = (x: number, y: number) =>
    isPoint ? Math.abs(x - y) / 100 : Math.abs(x - y) / (Math.max(Math.abs(x), Math.abs(y)) || 1);
  return Math.max(moved(one[0], other[0]), moved(one[1], other[1]));
}

function endsOf(value: Value): [number, number] | undefined {
  if (typeof value === 'number') return [value, value];
  if (value instanceof Money) return [value.amount, value.amount];
  if (value instanceof Range) return [value.low, value.high];
  if (!(value instanceof Bounds)) return undefined;
  const { low, high } = value;
  return low === undefined || high === undefined ? undefined : [low, high];
}

// ---- parts ----

/** What comes, goes, or changes in the lists that report what is to be bought: those of blocks with a price. */
function parts(before: Judged, after: Judged, names: ReadonlyMap<string, string>): PartMove[] {
  const [was, is] = [bought(before, noNames), bought(after, names)];
  const found: PartMove[] = [];
  for (const [name, cells] of is) {
    const other = was.get(name);
    if (!other) found.push({ name, is: 'comes' });
    const what = other && [...cells].find(([column, text]) => (other.get(column) ?? '') !== text);
    if (what)
      found.push({ name, is: 'changes', what: `${what[0]} ${other.get(what[0]) || 'none'} → ${what[1] || 'none'}` });
  }
  for (const name of was.keys()) if (!is.has(name)) found.push({ name, is: 'goes' });
  return found;
}

/** The rows of such lists, by the part, or by the block where it starts from none: what each column says. */
function bought(machine: Judged, names: ReadonlyMap<string, string>): Map<string, Map<string, string>> {
  const rows = new Map<string, Map<string, string>>();
  for (const holder of machine.tree.all()) {
    for (const name of new Set(holder.kind.reported.flatMap(({ names }) => names))) {
      const cell = cellOf(holder, name);
      const kind = cell && kindOfListedBlocks(typeOfCell(cell));
      const columns = cell?.member?.shown ?? [];
      const isPriced = columns.some((each) => isMoney(kind?.members.get(each)?.type));
      const list = cell && kind && isPriced ? valueOver(cell, machine) : [];
      if (!kind || !Array.isArray(list)) continue;
      const { heading, rows: texts, blocks } = tableOfBlocks(list as Instance[], kind.name, columns, machine);
      for (const [i, block] of blocks.entries()) {
        const own = block.part?.name?.text ?? withNames(block.label, names);
        const cells = heading.map((column, at): [string, string] => [
          column.replaceAll('_', ' '),
          texts[i]?.[at] ?? '',
        ]);
        rows.set(own, new Map(cells.filter(([column]) => column !== '' && column !== 'is')));
      }
    }
  }
  return rows;
}

function isMoney(type: Type | undefined): boolean {
  return type?.is === 'quantity' && type.money === true;
}
