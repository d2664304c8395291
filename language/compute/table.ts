import type { Declaration, Row } from '../grammar/generated/ast.ts';
import { typeOf } from '../names/type.ts';
import { clausesOf, unitText } from '../units/units.ts';
import { nearly } from '../values/operators.ts';
import { showValue } from '../values/show.ts';
import { Fault, type Value } from '../values/value.ts';
import type { EvaluateExpression, Frame } from './frame.ts';

interface ReadRow {
  readonly keys: readonly Value[];
  readonly value: Value;
}
function readRows(node: Declaration, frame: Frame, evaluate: EvaluateExpression) {
  return frame.scope.once(node, () => {
    const rows = (node.body?.members ?? []).filter((m): m is Row => m.$type === 'Row');
    const interpolation = clausesOf(node, 'interpolation')[0]?.values[0];
    return {
      rows: rows.map(
        (row): ReadRow => ({
          keys: row.keys.map((key) => evaluate(key, frame)),
          value: evaluate(row.value, frame),
        }),
      ),
      interpolation: interpolation && unitText(interpolation),
    };
  });
}

/**
 * Looks a table up. All keys but the last must be met exactly; the last is met exactly or between two rows, as the table's
 * `interpolation` says. Outside the rows the result is a fault that names the table's ends.
 */
export function lookUpInTable(
  node: Declaration,
  args: readonly Value[],
  frame: Frame,
  evaluate: EvaluateExpression,
): Value {
  const { rows, interpolation } = readRows(node, frame, evaluate);
  const last = args.length - 1;
  const wanted = args[last] as Value;
  const matching = rows.filter((row) => row.keys.every((key, i) => i === last || same(key, args[i] as Value)));
  const exact = matching.find((row) => same(row.keys[last] as Value, wanted));
  if (exact) return exact.value;
  if (interpolation && typeof wanted === 'number') {
    const sorted = matching.toSorted((a, b) => Number(a.keys[last]) - Number(b.keys[last]));
    const above = sorted.findIndex((row) => Number(row.keys[last]) > wanted);
    const [low, high] = [sorted[above - 1], sorted[above]];
    if (low && high) return interpolate(low, high, last, wanted, interpolation);
  }
  return outside(node, matching, last, wanted, frame);
}

function same(a: Value, b: Value): boolean {
  return typeof a === 'number' && typeof b === 'number' ? nearly(a, b) : a === b;
}

function interpolate(low: ReadRow, high: ReadRow, last: number, wanted: number, how: string): Value {
  const scale = how === 'logarithmic' ? Math.log : (x: number) => x;
  const back = how === 'logarithmic' ? Math.exp : (x: number) => x;
  const [x0, x1] = [scale(Number(low.keys[last])), scale(Number(high.keys[last]))];
  const [y0, y1] = [scale(Number(low.value)), scale(Number(high.value))];
  return back(y0 + ((y1 - y0) * (scale(wanted) - x0)) / (x1 - x0));
}

function outside(node: Declaration, rows: readonly ReadRow[], last: number, wanted: Value, frame: Frame): Fault {
  const type = typeOf(node.parameters[last]?.type, frame.scope);
  const show = (value: Value | undefined) => (value === undefined ? '' : showValue(value, type, frame.scope.system));
  const keys = rows.map((row) => row.keys[last]).filter((key): key is Value => key !== undefined);
  const numbers = keys.filter((key): key is number => typeof key === 'number');
  const range = numbers.length
    ? `it goes from ${show(Math.min(...numbers))} to ${show(Math.max(...numbers))}`
    : `it knows ${keys.map(show).join(', ') || 'nothing like it'}`;
  const name = (node.name?.text ?? '').replaceAll('_', ' ');
  return new Fault(`${show(wanted)} is not in the table "${name}": ${range}`, node);
}
