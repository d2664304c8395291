import type { Declaration, Expression } from '../grammar/generated/ast.ts';
import { clausesOf, unitText } from '../units/units.ts';
import { type Cell, cellOf } from './cell.ts';
import { evaluate } from './evaluate.ts';
import type { Machine } from './machine.ts';

/** How those that were built lie within a tolerance: as likely anywhere, mostly near its middle, or evenly less likely away from it. */
export type Scatter = 'uniform' | 'normal' | 'triangular';

/** A value that is only known within a tolerance: of one that was built, anywhere between these. */
export interface Tolerance {
  readonly cell: Cell;
  readonly nominal: number;
  readonly low: number;
  readonly high: number;
  readonly scatter: Scatter;
}

/** The tolerance that is stated of a value, and how it scatters within: where it is given, or by its kind. */
function toleranceStated(cell: Cell): { readonly by: Expression; readonly scatter: Scatter } | undefined {
  for (const node of [cell.definition.node, cell.member?.node]) {
    const at = node as { body?: unknown } | undefined;
    const by = at?.body ? clausesOf(at as Declaration, 'varies')[0]?.values[0] : undefined;
    const scatter = unitText(by && clausesOf(at as Declaration, 'scatters')[0]?.values[0]);
    if (by) return { by, scatter: scatter === 'normal' || scatter === 'triangular' ? scatter : 'uniform' };
  }
  return undefined;
}

/** All values of a machine that are numbers with a tolerance. One that is not known has none. */
export function tolerancesIn(machine: Machine): Tolerance[] {
  const { engine, tree } = machine;
  return tree.all().flatMap((instance) =>
    [...instance.kind.members.values()].flatMap((member) => {
      if (member.type.is !== 'quantity' || member.parameters.length > 0 || member.role === 'derived') return [];
      const cell = cellOf(instance, member.name);
      const stated = cell && toleranceStated(cell);
      if (!cell || !stated) return [];
      const { scope, mode } = cell.definition;
      const [nominal, by] = engine.under(engine.low, () =>
        engine.aside(() => [engine.value(cell), evaluate(stated.by, { engine, self: instance, scope, mode })]),
      );
      if (typeof nominal !== 'number' || typeof by !== 'number') return [];
      const width = Math.abs(isShare(stated.by) ? by * nominal : by);
      const { scatter } = stated;
      return width > 0 ? [{ cell, nominal, low: nominal - width, high: nominal + width, scatter }] : [];
    }),
  );
}

/** Is it a share of the value, and no amount? */
function isShare(stated: Expression): boolean {
  return stated.$type === 'Quantity' && (stated.unit === undefined || stated.unit === '%');
}
