import { Instance } from '../machine/tree.ts';
import { Formula, Money, Sides, type Value } from '../values/value.ts';
import { Cell, cellsOf } from './cell.ts';

/** The cell of a derived value for given arguments, such as `warm_up(to: 100 degC)`; undefined where they cannot be told apart. */
export function callCell(cell: Cell, args: readonly Value[]): Cell | undefined {
  const keys = args.map(keyOf);
  if (keys.includes(undefined)) return undefined;
  const key = `${cell.name}(${keys.join(', ')})`;
  let made = cellsOf(cell.instance).values.get(key);
  if (!made) {
    made = new Cell(cell.instance, key, undefined);
    made.definition = cell.definition;
    made.called = { cell, args };
    made.compute = (engine) => {
      const formula = engine.value(cell);
      return formula instanceof Formula ? formula.call(...args) : formula;
    };
    cellsOf(cell.instance).values.set(key, made);
  }
  return made;
}

const numbers = new WeakMap<Instance, number>();

let counted = 0;

/** A text that tells one argument from every other; undefined for what has none, such as a curve. */
function keyOf(value: Value): string | undefined {
  if (typeof value !== 'object') return String(value);
  if (value instanceof Sides) return value.sides.join(' x ');
  if (value instanceof Money) return `${value.amount} ${value.code}`;
  if (Array.isArray(value)) {
    const keys = value.map(keyOf);
    return keys.includes(undefined) ? undefined : `[${keys.join(', ')}]`;
  }
  if (!(value instanceof Instance)) return undefined;
  if (!numbers.has(value)) numbers.set(value, ++counted);
  return `${value.name}#${numbers.get(value)}`;
}
