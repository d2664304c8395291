import { cellOf } from '../compute/cell.ts';
import type { Machine } from '../compute/machine.ts';
import { standsIn } from '../compute/marks.ts';
import { showCell } from '../compute/show-cell.ts';
import { Unknown } from '../values/value.ts';
import type { Finding } from './finding.ts';
import { askedFor, type Expected } from './not-said.ts';
import type { OwnFinding } from './own-findings.ts';

/** What is said to be deliberately not there, and is: a circuit leads to what is said to have no feed. One error for each. */
export function contradictionsIn(machine: Machine, expected: readonly Expected[]): Finding[] {
  const { engine, entry } = machine;
  const found = new Map<string, Finding>();
  for (const { expectation, instance } of expected) {
    // Looked at after each edit: nearly no block says of anything that it is not there.
    if (!instance.layers.some(({ body }) => body?.members.some(({ $type }) => $type === 'Absence'))) continue;
    for (const name of askedFor(expectation, instance)) {
      const absent = instance.saysNo(name);
      const cell = absent && cellOf(instance, name);
      if (!cell || engine.value(cell) instanceof Unknown || found.has(cell.path)) continue;
      const what = name.replaceAll('_', ' ');
      found.set(cell.path, {
        rule: 'said_not_there' satisfies OwnFinding,
        severity: 'error',
        message: `${instance.label} is said to have no ${what}, but its ${what} is ${showCell(cell, machine)}: one of the two is wrong`,
        instance,
        places: [standsIn(absent, entry) ? absent : (entry.name ?? entry.first)],
        waysOut: [`take \`no ${name}\` out, or what leads to it`],
        scenario: engine.low,
        worst: undefined,
        consequences: [],
      });
    }
  }
  return [...found.values()];
}
