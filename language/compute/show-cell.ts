import type { Instance } from '../machine/tree.ts';
import { listed } from '../mistakes/sentence.ts';
import { anyType, type Type } from '../names/type.ts';
import { formatNumber } from '../units/display.ts';
import { isUnit, type Unit } from '../units/units.ts';
import { showValue, unitFor } from '../values/show.ts';
import { Bounds, isMissing, Money, mergeMissing, Range, Sides, sameValue, type Value } from '../values/value.ts';
import type { Ends } from './cell.ts';
import { type Cell, cellOf } from './cell.ts';
import type { Machine } from './machine.ts';

/** A cell's value over all ends of the ranges it depends on: a range where they differ; what is missing, where anything is. */
export function valueOver(cell: Cell, { engine }: Machine): Value {
  const { values } = engine.corners(cell);
  const first = values[0] as Value;
  const missing = values.find(isMissing);
  if (missing) return missing;
  if (values.every((value) => sameValue(value, first))) return first;
  const prices = values.filter((value) => value instanceof Money);
  if (prices.length === values.length) {
    const amounts = prices.map((price) => price.amount);
    return new Bounds(Math.min(...amounts), Math.max(...amounts), [], prices[0]?.code);
  }
  if (values.some((value) => value instanceof Bounds)) return boundsOver(values) ?? first;
  const numbers = values.filter((value) => typeof value === 'number');
  return numbers.length === values.length ? new Range(Math.min(...numbers), Math.max(...numbers)) : first;
}

/** The bounds of several values, of which some are bounds themselves. */
function boundsOver(values: readonly Value[]): Bounds | undefined {
  const all = values.flatMap((value) => {
    if (value instanceof Bounds) return value;
    if (value instanceof Money) return new Bounds(value.amount, value.amount, [], value.code);
    return typeof value === 'number' ? new Bounds(value, value, []) : [];
  });
  if (all.length < values.length) return undefined;
  const low = Math.min(...all.map((each) => each.low ?? -Infinity));
  const high = Math.max(...all.map((each) => each.high ?? Infinity));
  const missing = all.reduce<Bounds['missing']>((so, each) => mergeMissing(so, each.missing), []);
  const code = all.find((each) => each.code)?.code;
  return new Bounds(low > -Infinity ? low : undefined, high < Infinity ? high : undefined, missing, code);
}

/** Where a scenario takes the ranges that a cell's value rests on: "at ambient 15 °C and mains 253 V"; undefined if it rests on none. */
export function whereOf(scenario: Ends, cell: Cell, machine: Machine): string | undefined {
  const { ranges } = machine.engine.restsOf(cell, scenario);
  if (ranges.length === 0) return undefined;
  const places = machine.engine.under(scenario, () =>
    machine.engine.aside(() =>
      ranges.map((range) => `${pathOfCell(range, machine)} ${showCell(range, machine, machine.engine.value(range))}`),
    ),
  );
  return `at ${listed(places, mostPlaces)}`;
}

const mostPlaces = 6;

/** Where a value that is a range is least, and where it is greatest; undefined where it is the same everywhere, or no number. */
export function extremesOf(cell: Cell, machine: Machine): { least: string; greatest: string } | undefined {
  const { tried, values } = machine.engine.corners(cell);
  const amounts = values.map((value) => (value instanceof Money ? value.amount : value));
  if (!amounts.every((amount) => typeof amount === 'number')) return undefined;
  const [low, high] = [Math.min(...amounts), Math.max(...amounts)];
  const where = (amount: number) => whereOf(tried[amounts.indexOf(amount)] as Ends, cell, machine);
  const [least, greatest] = [where(low), where(high)];
  return low < high && least && greatest ? { least, greatest } : undefined;
}

/** The type a cell's value has; for a call, that of its result. */
export function typeOfCell(cell: Cell): Type {
  return (cell.called?.cell.member ?? cell.member)?.type ?? anyType;
}

/** A cell's value as people read it, in the units its declaration asks for. */
export function showCell(cell: Cell, machine: Machine, value: Value = valueOver(cell, machine)): string {
  const member = cell.called?.cell.member ?? cell.member;
  return showValue(value, typeOfCell(cell), machine.scope.system, { shown: member?.shown });
}

/** Several values of a cell, all in the unit of the greatest of them. */
export function showTogether(cell: Cell, machine: Machine, values: readonly number[]): string[] {
  const { system } = machine.scope;
  const type = typeOfCell(cell);
  const { shown } = cell.called?.cell.member ?? cell.member ?? {};
  const unit = unitFor(Math.max(...values.map(Math.abs)), type, system, shown);
  return values.map((value) => showValue(value, type, system, { shown: unit ? [unit.text] : shown }));
}

/** The same in the units that a machine's kind asks for besides, in brackets behind it: ` (9.45 in)`; empty where none is for that. */
export function showAlongside(cell: Cell, machine: Machine, value: Value = valueOver(cell, machine)): string {
  return alongsideOf(value, typeOfCell(cell), machine);
}

/** Any value of a type in those units, in brackets, to stand behind what is shown of it; empty where none is for that, or it is not known. */
export function alongsideOf(value: Value, type: Type, machine: Machine): string {
  if (isMissing(value)) return '';
  const { system } = machine.scope;
  const unit = unitFitting(unitsAlongside(type, machine), value);
  const shown = unit ? showValue(value, type, system, { shown: [unit.text] }) : '';
  // Nothing is nothing in any unit, and a number with an exponent is none that anybody reads.
  return /[1-9]/.test(shown) && !/\de/.test(shown) ? ` (${shown})` : '';
}

/** More than so many of a unit are told in the next larger one. */
const mostOfUnit = 100;

/** Of units of one dimension, the least first, the one that is not too small for a value. */
function unitFitting([unit, ...larger]: readonly Unit[], value: Value): Unit | undefined {
  if (!unit || larger.length === 0 || greatestIn(value) < mostOfUnit * unit.factor) return unit;
  return unitFitting(larger, value);
}

function greatestIn(value: Value): number {
  if (value instanceof Sides) return Math.max(...value.sides.map(Math.abs));
  if (value instanceof Range) return Math.max(Math.abs(value.low), Math.abs(value.high));
  return typeof value === 'number' ? Math.abs(value) : 0;
}

/** The units that a machine's kind asks for besides, of those that a type can be told in. */
export function unitsAlongside(type: Type, machine: Machine): Unit[] {
  const of = type.is === 'sides' ? type.of : type;
  if (of.is !== 'quantity') return [];
  const isPoint = of.points ?? false;
  return alongsideIn(machine)
    .map((text) => machine.scope.system.unit(text))
    .filter(isUnit)
    .filter((unit) => unit.dimension === of.dimension && (unit.zero !== undefined) === isPoint);
}

function alongsideIn({ tree, engine }: Machine): string[] {
  const cells = tree.kind.alongside.flatMap((name) => cellOf(tree, name) ?? []);
  return cells.flatMap((cell) => {
    const units = engine.under(engine.low, () => engine.aside(() => engine.value(cell)));
    return Array.isArray(units) ? units.filter((unit) => typeof unit === 'string') : [];
  });
}

/**
 * The path of a value below its machine, arguments as people read them: `bed.warm_up(to: 100 °C)`; of a part that is pointed
 * at, such as a material, its name and the value's.
 */
export function pathOfCell(cell: Cell, machine: Machine): string {
  const { instance, called } = cell;
  const before = instance === machine.tree ? '' : `${instance.label}.`;
  if (!called) return before + cell.name;
  const parameters = called.cell.member?.parameters ?? [];
  const args = parameters.map(
    (p, i) => `${p.name}: ${showValue(called.args[i] as Value, p.type, machine.scope.system)}`,
  );
  return `${before}${called.cell.name}(${args.join(', ')})`;
}

/** Every value of a machine that takes no arguments, by its place in the tree; `before` is done before each is looked at. */
export function* valuesOf(
  machine: Machine,
  before?: (cell: Cell) => void,
): Generator<{ instance: Instance; cell: Cell; value: Value }> {
  for (const instance of machine.tree.all()) {
    for (const member of instance.kind.members.values()) {
      const cell = member.parameters.length > 0 ? undefined : cellOf(instance, member.name);
      if (cell) before?.(cell);
      if (cell) yield { instance, cell, value: valueOver(cell, machine) };
    }
  }
}

/** A cell's value, or one of those in its list, as text that the language reads: `2.5 mm^2`, `60 degC`, `230 mm x 230 mm`; undefined where it has none. */
export function literalOf(
  value: Value,
  cell: Cell,
  machine: Machine,
  digits = 3,
  type: Type = typeOfCell(cell),
): string | undefined {
  if (typeof value === 'string') return value;
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (value instanceof Money) return `${Number(value.amount.toFixed(2))} ${value.code}`;
  if (value instanceof Sides)
    return value.sides
      .map((side) => numberText(side, type.is === 'sides' ? type.of : type, cell, machine, digits))
      .join(' x ');
  return typeof value === 'number' ? numberText(value, type, cell, machine, digits) : undefined;
}

function numberText(value: number, type: Type, cell: Cell, machine: Machine, digits: number): string {
  const unit = unitFor(value, type, machine.scope.system, cell.member?.shown);
  if (!unit || unit.text === '1') return formatNumber(value, digits);
  // A percentage is written with its sign; other units are written only where their symbol begins with a letter.
  const written = unit.symbol === '%' ? unit.symbol : unit.text;
  return `${formatNumber((value - (unit.zero ?? 0)) / unit.factor, digits)} ${written}`;
}
