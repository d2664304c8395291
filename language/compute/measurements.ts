import type { Measurement } from '../grammar/generated/ast.ts';
import { statementsOf } from '../machine/statements.ts';
import type { Instance } from '../machine/tree.ts';
import { showValue } from '../values/show.ts';
import { isMissing, type Value } from '../values/value.ts';
import { type Cell, computedCell } from './cell.ts';
import { evaluate } from './evaluate.ts';
import { blockFrame, type Machine } from './machine.ts';
import { cellMeant } from './records.ts';
import { pathOfCell, showCell, typeOfCell, valueOver } from './show-cell.ts';

/** What was measured of a value, beside what was computed. */
export interface Deviation {
  readonly node: Measurement;
  /** The value it is a measurement of. */
  readonly cell: Cell;
  readonly path: string;
  readonly measured: Value;
  readonly computed: Value;
  /** (measured - computed) / computed; for points of temperature the difference in kelvin. */
  readonly amount: number | undefined;
  readonly inKelvin: boolean;
  readonly date: string;
  readonly inPlace: boolean;
  readonly text: string;
  readonly tooltip: string;
}

/** All measurements noted in a machine, with how far each is from what was computed. */
export function deviationsOf(machine: Machine): Deviation[] {
  return machine.tree.all().flatMap((instance) =>
    instance.layers.flatMap((layer) =>
      statementsOf(layer.body).measurements.flatMap((node) => {
        if (layer.elsewhere) return [];
        if (!node.value) return [];
        const cell = cellMeant(node.target, instance, layer, machine);
        const measured = evaluate(node.value, blockFrame(instance, layer, machine.engine));
        return cell ? [deviation(node, cell, measured, machine)] : [];
      }),
    ),
  );
}

function deviation(node: Measurement, cell: Cell, measured: Value, machine: Machine): Deviation {
  const computed = valueOver(asComputed(cell, cell.instance), machine);
  const type = typeOfCell(cell);
  const inKelvin = type.is === 'quantity' && (type.points ?? false);
  const amount =
    typeof measured === 'number' && typeof computed === 'number'
      ? (measured - computed) / (inKelvin ? 1 : computed || 1)
      : undefined;
  const show = (value: Value) => showValue(value, type, machine.scope.system, { shown: cell.member?.shown });
  const sizeOf = (by: number) =>
    inKelvin ? `${Number(by.toPrecision(2))} K` : `${Number((by * 100).toPrecision(2))} %`;
  const away =
    amount === undefined
      ? ''
      : amount === 0
        ? ', as measured'
        : `, measured ${sizeOf(Math.abs(amount))} ${amount > 0 ? 'more' : 'less'}`;
  return {
    node,
    cell,
    path: pathOfCell(cell, machine),
    measured,
    computed,
    amount,
    inKelvin,
    date: node.date?.date ?? '',
    inPlace: node.inPlace,
    text: isMissing(computed) ? 'nothing computed to compare with' : `computed ${show(computed)}${away}`,
    tooltip: node.inPlace
      ? 'Used in place of the computed value.'
      : `Noted beside the computed value, ${showCell(cell, machine)}.`,
  };
}

/** The value as it would be without the measurement that is used in its place. */
function asComputed(cell: Cell, instance: Instance): Cell {
  if (cell.definition.origin !== 'measured' || !cell.member) return cell;
  const { member } = cell;
  return computedCell(instance, `computed ${cell.name}`, member.owner.scope, (engine) =>
    evaluate(member.node.$type === 'Entry' ? member.node.value : undefined, {
      engine,
      self: instance,
      scope: member.owner.scope,
      mode: 'kind',
    }),
  );
}
