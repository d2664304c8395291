import type { Cell } from '../compute/cell.ts';
import type { Machine } from '../compute/machine.ts';
import { valuesOf } from '../compute/show-cell.ts';
import type { Requirement } from '../judge/requirements.ts';
import { type Rule, rulesOn, verdictCell } from '../judge/rule.ts';
import type { Instance } from '../machine/tree.ts';
import type { Judged } from './compare.ts';
import { inputsOf } from './derivation.ts';

/** What reads a value directly: another value, a rule that is asked of a block, or a requirement. */
export type Dependent =
  | { readonly is: 'value'; readonly cell: Cell }
  | { readonly is: 'rule'; readonly rule: Rule; readonly instance: Instance }
  | { readonly is: 'requirement'; readonly requirement: Requirement };

/** All that reads a value of a machine directly, in the order of its tree: values, then rules, then requirements. */
export function whatRestsOn(cell: Cell, machine: Judged): Dependent[] {
  const reads = (reader: Cell) => inputsOf(reader, machine).includes(cell);
  const rules = machine.tree
    .all()
    .flatMap((instance) =>
      rulesOn(instance.kind, machine.scope).flatMap((rule) =>
        reads(verdictCell(rule, instance)) ? [{ is: 'rule' as const, rule, instance }] : [],
      ),
    );
  const requirements = machine.assessment.requirements.flatMap((requirement) =>
    reads(requirement.target.cell) ? [{ is: 'requirement' as const, requirement }] : [],
  );
  const values = readersOf(cell, machine).map((each) => ({ is: 'value' as const, cell: each }));
  return [...values, ...rules, ...requirements];
}

/** The values that read one; with arguments those with which something asks for them. */
function readersOf(cell: Cell, machine: Machine): Cell[] {
  const all = new Set<Cell>();
  // What nothing has asked for so far is computed here, so that it is known what it reads.
  for (const each of valuesOf(machine)) all.add(each.cell);
  for (const reader of cell.readers ?? []) if (reader.called) all.add(reader);
  return [...all].filter((reader) => inputsOf(reader, machine).includes(cell));
}
