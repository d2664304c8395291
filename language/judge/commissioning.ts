// What is to be checked once a machine is built, in the order in which that is safe, and what was recorded of it.
import { type Cell, cellOf, cellsOf, computedCell, type Engine } from '../compute/cell.ts';
import { evaluate } from '../compute/evaluate.ts';
import type { Frame } from '../compute/frame.ts';
import type { Machine } from '../compute/machine.ts';
import { markForBlock, standsIn } from '../compute/marks.ts';
import { renderMessage } from '../compute/message.ts';
import { type CheckRecord, checkRecordsOf, type SetRecord, setRecordsOf, writtenNow } from '../compute/records.ts';
import { alongsideOf, showCell } from '../compute/show-cell.ts';
import type { Expression, Text } from '../grammar/generated/ast.ts';
import { type AstNode, docOf, rangeOf } from '../grammar/syntax.ts';
import { Instance } from '../machine/tree.ts';
import type { TextEdit } from '../mistakes/mistake.ts';
import { listed } from '../mistakes/sentence.ts';
import type { Checking } from '../names/kind.ts';
import type { Type } from '../names/type.ts';
import type { Context } from '../types/context.ts';
import { boundsOf, typeRead } from '../types/records.ts';
import { clausesOf } from '../units/units.ts';
import { junction } from '../values/operators.ts';
import { showValue } from '../values/show.ts';
import { Range, type Value } from '../values/value.ts';
import type { OwnFinding } from './own-findings.ts';

/** How a check stands: not made yet; made; made with other values than there are now; or it read what it must not. */
export type CheckState = 'open' | 'made' | 'lapsed' | 'outside';

/** Something to be checked on a block of a machine once it is built. */
export interface DueCheck {
  readonly check: Checking;
  readonly instance: Instance;
  readonly stage: Stage;
  /** What is checked, in words. */
  readonly title: string;
  /** What has to come off before it can be done; undefined where nothing is said to be in the way. */
  readonly uncover: string | undefined;
  /** How it is done, with the values of the design in it. */
  readonly how: string;
  /** What is expected to be read, in words: `at most 0.1 ohm`; undefined where it is only done. */
  readonly expected: string | undefined;
  readonly least: number | undefined;
  readonly most: number | undefined;
  /** People can be hurt: what to mind. */
  readonly caution: string | undefined;
  readonly record: CheckRecord | undefined;
  readonly state: CheckState;
}

/** When a check is made: one of the steps in which a machine is put together or to use, or how often. */
export interface Stage {
  readonly name: string;
  /** What the stage is, in words. */
  readonly title: string;
  /** By which it comes before others or behind them, least first. */
  readonly order: readonly Value[];
}

/** The checks that put a machine to use, stage by stage, those of a stage in the order of its text. Those that are known not to apply are left out. */
export function dueChecksOf(machine: Machine): DueCheck[] {
  return checksOf(machine, 'stage');
}

/** What is done while a machine is put together, step by step. */
export function assemblyOf(machine: Machine): DueCheck[] {
  return checksOf(machine, 'step');
}

/** What is checked again and again while a machine is used, by how often. */
export function upkeepOf(machine: Machine): DueCheck[] {
  return checksOf(machine, 'repeat');
}

/** The word by which a check says when it is made. */
type When = 'stage' | 'step' | 'repeat';

function checksOf(machine: Machine, when: When): DueCheck[] {
  const { engine } = machine;
  const records = checkRecordsOf(machine);
  const due = applying(machine).map(({ check, instance }) => {
    const record = records.find((each) => each.check === check && each.instance === instance);
    return dueCheck(check, instance, record, machine, when);
  });
  return due
    .map((each, i) => ({ each, i }))
    .sort((a, b) => earlier(a.each.stage, b.each.stage) || a.i - b.i)
    .map(({ each }) => each);

  function applying({ tree }: Machine): { check: Checking; instance: Instance }[] {
    return tree
      .all()
      .flatMap((instance) => [...instance.kind.checks.values()].map((check) => ({ check, instance })))
      .filter(({ check }) => clausesOf(check.node, when).length > 0)
      .filter(({ check, instance }) => engine.corners(appliesCell(check, instance)).values.some((v) => v !== false));
  }
}

/** How many of some checks are not made, or have to be made again. */
export function openChecks(due: readonly Pick<DueCheck, 'state'>[]): number {
  return due.filter(({ state }) => state !== 'made').length;
}

function dueCheck(
  check: Checking,
  instance: Instance,
  record: CheckRecord | undefined,
  machine: Machine,
  when: When = 'stage',
): DueCheck {
  const { node } = check;
  const text = (keyword: 'how' | 'uncover' | 'caution') => {
    const value = clausesOf(node, keyword)[0]?.values[0];
    return value?.$type === 'Text' ? rendered(value, check, instance, machine) : undefined;
  };
  const { least, most, expected } = boundsIn(check, instance, machine);
  const state = stateOf(record, least, most);
  return {
    check,
    instance,
    stage: stageOf(check, instance, machine, when),
    title: docOf(node).trim() || check.name.replaceAll('_', ' '),
    uncover: text('uncover') || undefined,
    how: text('how') ?? '',
    caution: text('caution'),
    expected,
    least,
    most,
    record,
    state,
  };
}

function stateOf(record: CheckRecord | undefined, least: number | undefined, most: number | undefined): CheckState {
  if (!record) return 'open';
  if (record.changed?.length) return 'lapsed';
  return isOutside(record.read, least, most) ? 'outside' : 'made';
}

function isOutside(read: Value | undefined, least: number | undefined, most: number | undefined): boolean {
  return typeof read === 'number' && (read < (least ?? -Infinity) || read > (most ?? Infinity));
}

function frameOf({ owner }: Checking, self: Instance, engine: Engine): Frame {
  return { engine, self, scope: owner.scope, mode: 'kind' };
}

function contextOf({ owner }: Checking): Context {
  return { scope: owner.scope, mode: 'kind', kind: owner, report: () => {} };
}

function rendered(text: Text, check: Checking, instance: Instance, machine: Machine): string {
  const { engine } = machine;
  const beside = (value: Value, type: Type) => alongsideOf(value, type, machine);
  return engine.aside(() => renderMessage(text, frameOf(check, instance, engine), contextOf(check), undefined, beside));
}

/** The cell of whether a check applies to a block. */
function appliesCell(check: Checking, instance: Instance): Cell {
  const conditions = clausesOf(check.node, 'when').flatMap((clause) => clause.values);
  return cellFor(`check ${check.name}`, check, instance, (frame) =>
    conditions.reduce<Value>(
      (so, condition) =>
        junction(
          'and',
          () => so,
          () => evaluate(condition, frame),
        ),
      true,
    ),
  );
}

function cellFor(key: string, check: Checking, instance: Instance, compute: (frame: Frame) => Value): Cell {
  let cell = cellsOf(instance).values.get(key);
  if (!cell) {
    cell = computedCell(instance, key, check.owner.scope, (engine) => compute(frameOf(check, instance, engine)));
    cellsOf(instance).values.set(key, cell);
  }
  return cell;
}

/** What a check must read, as wide as the ranges that it rests on let it be. */
function boundsIn(
  check: Checking,
  instance: Instance,
  machine: Machine,
): Pick<DueCheck, 'least' | 'most' | 'expected'> {
  const bounds = boundsOf(check);
  const values = (word: string, node: Expression | undefined) => {
    if (!node) return [];
    const cell = cellFor(`check ${check.name} ${word}`, check, instance, (frame) => evaluate(node, frame));
    return machine.engine.corners(cell).values.filter((value) => typeof value === 'number');
  };
  const [lows, highs] = [values('lowest', bounds.least), values('highest', bounds.most)];
  const least = lows.length > 0 ? Math.min(...lows) : undefined;
  const most = highs.length > 0 ? Math.max(...highs) : undefined;
  const show = (value: number) => shownRead(value, check, machine);
  const expected =
    least !== undefined && most !== undefined
      ? `${show(least)} to ${show(most)}`
      : least !== undefined
        ? `at least ${show(least)}`
        : most !== undefined
          ? `at most ${show(most)}`
          : undefined;
  return { least, most, expected };
}

/** What a check read, as people read it. */
export function shownRead(value: Value, check: Checking, { scope }: Machine): string {
  return showValue(value, typeRead(check) ?? { is: 'any' }, scope.system);
}

/** What a check is to read, or has read, in the units that a machine's kind asks for besides: ` (68 to 77 °F)`; empty where none is for that. */
export function readAlongside(check: Checking, machine: Machine, low: number | undefined, high = low): string {
  const ends = [low, high].filter((end) => end !== undefined);
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  return ends.length > 0 ? alongsideOf(new Range(least, most), typeRead(check) ?? { is: 'any' }, machine) : '';
}

function stageOf(check: Checking, instance: Instance, { engine }: Machine, when: When): Stage {
  const node = clausesOf(check.node, when)[0]?.values[0];
  const part = node && engine.aside(() => evaluate(node, frameOf(check, instance, engine)));
  if (!(part instanceof Instance)) return { name: '', title: '', order: [] };
  const order = part.kind.ranking.flatMap((name) => {
    const cell = cellOf(part, name);
    return cell ? [engine.aside(() => engine.value(cell))] : [];
  });
  return { name: part.name, title: docOf(part.node).trim() || part.name.replaceAll('_', ' '), order };
}

function earlier(a: Stage, b: Stage): number {
  for (const [i, value] of a.order.entries()) {
    const other = b.order[i];
    if (typeof value === 'number' && typeof other === 'number' && value !== other) return value - other;
  }
  return a.name < b.name ? -1 : Number(a.name > b.name);
}

// ---- what is found of records ----

/** Something that is wrong with a record, at its place. */
export interface RecordFinding {
  readonly rule: Extract<OwnFinding, 'record_lapsed' | 'reading_outside' | 'record_rests_on_nothing' | 'set_otherwise'>;
  readonly severity: 'error' | 'warning' | 'advice';
  readonly message: string;
  readonly caution?: string;
  readonly instance: Instance;
  readonly places: readonly AstNode[];
  readonly waysOut: readonly string[];
}

/** What is wrong with a machine's records: each told where it stands. */
export function recordFindings(machine: Machine): RecordFinding[] {
  const records = checkRecordsOf(machine);
  return [
    ...records.flatMap((record) => recordFinding(record, machine) ?? []),
    ...withoutValues(records, machine),
    ...setRecordsOf(machine).flatMap((record) => settingFinding(record, machine) ?? []),
  ];
}

function recordFinding(record: CheckRecord, machine: Machine): RecordFinding | undefined {
  const { check, instance, changed = [], date, node, read } = record;
  if (changed.length === 0 && read === undefined) return undefined;
  const due = dueCheck(check, instance, record, machine);
  const [what, name] = [check.name.replaceAll('_', ' '), nameOf(instance)];
  const common = { ...(due.caution && { caution: due.caution }), instance, places: [placeOf(node, instance, machine)] };
  if (due.state === 'lapsed')
    return {
      rule: 'record_lapsed',
      severity: 'warning',
      message: `The check of ${what} of ${name} on ${date} no longer counts: ${changed.join('; ')}`,
      waysOut: ['check it again, write the new day, and leave out what stands behind `with`: it is written anew'],
      ...common,
    };
  if (due.state !== 'outside' || read === undefined) return undefined;
  const again = 'find out why, mend it, check again, and record what is read then';
  return {
    rule: 'reading_outside',
    severity: due.caution ? 'error' : 'warning',
    message: `The check of ${what} of ${name} read ${shownRead(read, check, machine)} on ${date}; expected is ${due.expected}`,
    waysOut: [again],
    ...common,
  };
}

/** One for each block: what its records leave out is written by one change. */
function withoutValues(records: readonly CheckRecord[], machine: Machine): RecordFinding[] {
  const bare = records.filter(({ changed }) => changed === undefined);
  return [...new Set(bare.map(({ instance }) => instance))].map((instance) => {
    const own = bare.filter((record) => record.instance === instance);
    const names = listed([...new Set(own.flatMap(({ check }) => check.rests))]);
    return {
      rule: 'record_rests_on_nothing',
      severity: 'advice',
      message: `The record does not say what ${nameOf(instance)} was checked with (${names}), so it would still count when that changes`,
      instance,
      places: own.map(({ node }) => placeOf(node, instance, machine)),
      waysOut: [],
    };
  });
}

function settingFinding(record: SetRecord, machine: Machine): RecordFinding | undefined {
  const { agrees, cell, set, designed, date, node, instance, path } = record;
  if (agrees !== false) return undefined;
  return {
    rule: 'set_otherwise',
    severity: 'warning',
    message: `${path} was set to ${showCell(cell, machine, set)} on ${date}; by the design it is ${showCell(cell, machine, designed)}`,
    instance,
    places: [placeOf(node, instance, machine)],
    waysOut: ['set the controller to what the design says and record that, or change the design'],
  };
}

function placeOf(node: AstNode, instance: Instance, { entry }: Machine): AstNode {
  return standsIn(node, entry) ? node : markForBlock(instance, entry);
}

function nameOf(instance: Instance): string {
  return instance.holder ? instance.label : instance.name;
}

/** Writes into a block's records what it was checked with, where they say nothing of it; nothing where that cannot be written. */
export function writtenRests(of: Instance, machine: Machine): TextEdit[] {
  return checkRecordsOf(machine).flatMap(({ node, check, instance, changed }) => {
    if (instance !== of || changed !== undefined || !standsIn(node, machine.entry)) return [];
    const rests = check.rests.flatMap((name) => {
      const text = writtenNow(name, instance, machine);
      return text === undefined ? [] : [`${name} = ${text}`];
    });
    const { end } = rangeOf(node);
    return [{ start: end, end, text: ` with [${rests.join(', ')}]` }];
  });
}
