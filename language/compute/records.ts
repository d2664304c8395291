import type { Checked, Expression, ListElement, Setting } from '../grammar/generated/ast.ts';
import { statementsOf } from '../machine/statements.ts';
import { Instance, type Layer } from '../machine/tree.ts';
import type { Checking } from '../names/kind.ts';
import type { Type } from '../names/type.ts';
import { partWord } from '../types/records.ts';
import { isUnit, type UnitSystem } from '../units/units.ts';
import { showValue } from '../values/show.ts';
import { isMissing, Money, Range, Sides, sameValue, type Value } from '../values/value.ts';
import { type Cell, cellOf } from './cell.ts';
import { evaluate } from './evaluate.ts';
import { blockFrame, type Machine } from './machine.ts';
import { literalOf, pathOfCell, showCell, typeOfCell, valueOver } from './show-cell.ts';

/** That something was checked on a block of the machine that was built. */
export interface CheckRecord {
  readonly node: Checked;
  readonly check: Checking;
  readonly instance: Instance;
  readonly date: string;
  /** What was read, where the check reads something and the record says it. */
  readonly read: Value | undefined;
  /** Values that are others now than the record says, in words; undefined where it says none, though the check rests on some. */
  readonly changed: readonly string[] | undefined;
}

/** A value that was set in the controller, beside what it is by the design. */
export interface SetRecord {
  readonly node: Setting;
  readonly instance: Instance;
  readonly cell: Cell;
  readonly path: string;
  readonly set: Value;
  readonly designed: Value;
  /** Are the two the same, as far as a number is written? Undefined where the design tells nothing to compare with. */
  readonly agrees: boolean | undefined;
  readonly date: string;
}

/** What was checked of a machine: of what it starts from nothing, for that is another machine that was built. */
export function checkRecordsOf(machine: Machine): CheckRecord[] {
  return recordsIn(machine).flatMap(({ node, holder, layer }) => {
    if (node.$type !== 'Checked') return [];
    const instance = node.of ? evaluatedIn(node.of, holder, layer, machine) : holder;
    if (!(instance instanceof Instance)) return [];
    const check = instance.kind.checks.get(node.check?.text ?? '');
    if (!check) return [];
    const read = node.value && evaluatedIn(node.value, holder, layer, machine);
    const changed = changesOf(node, check, instance, holder, layer, machine);
    return [{ node, check, instance, date: node.date?.date ?? '', read, changed }];
  });
}

/** What was set in a machine's controller, beside what its values are by the design. */
export function setRecordsOf(machine: Machine): SetRecord[] {
  return recordsIn(machine).flatMap(({ node, holder, layer }) => {
    if (node.$type !== 'Setting' || !node.value) return [];
    const cell = cellMeant(node.target, holder, layer, machine);
    const set = evaluatedIn(node.value, holder, layer, machine);
    if (!cell || isMissing(set)) return [];
    const designed = valueOver(cell, machine);
    const agrees = isMissing(designed) ? undefined : agree(node.value, set, designed, machine.scope.system);
    const { instance } = cell;
    return [
      { node, instance, cell, path: pathOfCell(cell, machine), set, designed, agrees, date: node.date?.date ?? '' },
    ];
  });
}

/** The cell of the value that a record is about: one of the block that it stands in, or of one that it names. */
export function cellMeant(
  target: Expression | undefined,
  holder: Instance,
  layer: Layer,
  machine: Machine,
): Cell | undefined {
  if (target?.$type === 'Reference') return cellOf(holder, target.name?.text ?? '');
  if (target?.$type !== 'Access') return undefined;
  const block = evaluatedIn(target.object, holder, layer, machine);
  return block instanceof Instance ? cellOf(block, target.member?.text ?? '') : undefined;
}

interface Recorded {
  readonly node: Checked | Setting;
  readonly holder: Instance;
  readonly layer: Layer;
}

function recordsIn({ tree }: Machine): Recorded[] {
  return tree
    .all()
    .flatMap((holder) =>
      holder.layers.flatMap((layer) =>
        layer.elsewhere ? [] : statementsOf(layer.body).records.map((node) => ({ node, holder, layer })),
      ),
    );
}

function evaluatedIn(node: Expression, holder: Instance, layer: Layer, { engine }: Machine): Value {
  return engine.aside(() => evaluate(node, blockFrame(holder, layer, engine)));
}

// ---- what has changed since ----

/** What is otherwise now than a record says, in words; undefined where it says nothing, though the check rests on some. */
function changesOf(
  { rests }: Checked,
  check: Checking,
  instance: Instance,
  holder: Instance,
  layer: Layer,
  machine: Machine,
): readonly string[] | undefined {
  // What has a mistake in it is told as that.
  if (check.rests.length === 0 || (rests && layer.scope.isSpoiled(rests))) return [];
  return rests && check.rests.flatMap((name) => changeOf(name, rests.elements, instance, holder, layer, machine));
}

/** The same of one value; nothing where it is as it was. */
function changeOf(
  name: string,
  said: readonly ListElement[],
  instance: Instance,
  holder: Instance,
  layer: Layer,
  machine: Machine,
): string[] {
  const node = said.find((element) => element.name?.text === name)?.value;
  const then = node && evaluatedIn(node, holder, layer, machine);
  if (name === partWord) return changeOfPart(then, instance);
  const cell = cellOf(instance, name);
  if (!cell) return [];
  const now = valueOver(cell, machine);
  if (then === undefined || isMissing(then))
    return isMissing(now) ? [] : [`${name} was not said then, and is ${showCell(cell, machine, now)} now`];
  const was = `${name} was ${showThen(then, cell, machine)} then`;
  if (agree(node as Expression, then, now, machine.scope.system)) return [];
  return [`${was}, and is ${showCell(cell, machine, now)} now`];
}

function showThen(then: Value, cell: Cell, machine: Machine): string {
  return showValue(then, typeOfCell(cell), machine.scope.system, { shown: cell.member?.shown });
}

function changeOfPart(then: Value | undefined, { part }: Instance): string[] {
  const [was, is] = [then instanceof Instance ? then.name : undefined, part?.name?.text];
  if (was === is) return [];
  return [`it started from ${was ?? 'no part'} then, and from ${is ?? 'no part'} now`];
}

/** What a record could say of a value of its block, so that it agrees with what the value is now; undefined where nothing can. */
export function writtenNow(name: string, instance: Instance, machine: Machine): string | undefined {
  if (name === partWord) return instance.part?.name?.text;
  const cell = cellOf(instance, name);
  return cell && written(valueOver(cell, machine), typeOfCell(cell), cell, machine);
}

/** A number is written with so many digits, or more of them than people read. */
const writtenDigits = 4;

function written(value: Value, type: Type, cell: Cell, machine: Machine): string | undefined {
  if (value instanceof Instance) return value.label;
  if (Array.isArray(value)) {
    const parts = value.map((each: Value) => written(each, type.is === 'list' ? type.of : type, cell, machine));
    return parts.includes(undefined) ? undefined : `[${parts.join(', ')}]`;
  }
  if (value instanceof Range) {
    const [low, high] = [value.low, value.high].map((end) => literalOf(end, cell, machine, writtenDigits, type));
    return low && high && `${low} .. ${high}`;
  }
  if (typeof value === 'string' && type.is === 'text') return JSON.stringify(value).replaceAll('{', '\\{');
  return literalOf(value, cell, machine, writtenDigits, type);
}

// ---- what is the same ----

/** Numbers are shown with so many digits: whoever copies one writes no more, and may write fewer that are noughts. */
const shownDigits = 3;
/** What is no number as written, such as a product, agrees within this share. */
const rounding = 0.005;

/**
 * Does a value agree with what is written of it? A number does if it is rounded to what is written, to three digits or to as many
 * as are written; a value that takes a range does if what is written lies within, or is that range.
 */
function agree(node: Expression, then: Value, now: Value, system: UnitSystem): boolean {
  if (node.$type === 'Group' && node.inner) return agree(node.inner, then, now, system);
  if (then instanceof Range && now instanceof Range) return agreeAtEnds(node, then, now, system);
  if (typeof then === 'number' && now instanceof Range)
    return [now.low, now.high, then].some(
      (at) => (at !== then || (then >= now.low && then <= now.high)) && isRounded(node, then, at, system),
    );
  if (typeof then === 'number' && typeof now === 'number') return isRounded(node, then, now, system);
  if (Array.isArray(then) && Array.isArray(now)) {
    const elements = node.$type === 'List' ? node.elements.map(({ value }) => value) : [];
    return (
      then.length === now.length &&
      then.every((each: Value, i) => agree(elements[i] ?? node, each, now[i] as Value, system))
    );
  }
  return sameValue(then, now) || isNearly(then, now);
}

function agreeAtEnds(node: Expression, then: Range, now: Range, system: UnitSystem): boolean {
  const [left, right] = node.$type === 'Binary' && node.operator === '..' ? [node.left, node.right] : [node, node];
  return (
    left !== undefined &&
    right !== undefined &&
    isRounded(left, then.low, now.low, system) &&
    isRounded(right, then.high, now.high, system)
  );
}

function isRounded(node: Expression, then: number, now: number, system: UnitSystem): boolean {
  if (node.$type !== 'Quantity') return Math.abs(then - now) <= rounding * Math.abs(then);
  const unit = node.unit ? system.unit(node.unit) : undefined;
  const { factor, zero = 0 } = unit && isUnit(unit) ? unit : { factor: 1 };
  const digits = Math.max(shownDigits, node.number.replace(/e.*|\D|^0[.0]*/gi, '').length);
  const number = Number(node.number);
  if (number === 0) return Math.abs((now - zero) / factor) < 1e-9;
  const step = 10 ** (Math.floor(Math.log10(Math.abs(number))) + 1 - digits);
  // Half a step of the last digit; what is computed is off by less than a millionth of it.
  return Math.abs((now - zero) / factor - number) <= step * (0.5 + 1e-6);
}

/** Sizes and prices, which have several numbers or are rounded to what is paid. */
function isNearly(then: Value, now: Value): boolean {
  const [a, b] = [numbersOf(then), numbersOf(now)];
  return a.length > 0 && a.every((each, i) => Math.abs(each - (b[i] as number)) <= rounding * Math.abs(each));
}

function numbersOf(value: Value): readonly number[] {
  if (value instanceof Sides) return value.sides;
  return value instanceof Money ? [value.amount] : [];
}
