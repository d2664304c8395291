import type { Range } from 'vscode-languageserver';
import { markForBlock } from '../../language/compute/marks.ts';
import { fileOf, rangeOf } from '../../language/grammar/syntax.ts';
import { type CheckState, dueChecksOf } from '../../language/judge/commissioning.ts';
import type { SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/** What is to be checked of a machine once it is built, in the order in which that is safe. */
export interface MachineCommissioning {
  readonly machine: string;
  readonly checks: readonly {
    /** The block, below the machine; empty for the machine itself. */
    readonly path: string;
    /** What a record calls the check. */
    readonly check: string;
    readonly title: string;
    readonly stage: string;
    readonly stageTitle: string;
    readonly how: string;
    readonly expected?: string;
    readonly caution?: string;
    readonly state: CheckState;
    /** The day of the record, where there is one. */
    readonly date?: string;
    /** Where it is recorded, or else the block that is checked. */
    readonly range: Range;
  }[];
}

/** The checks of the machines of a file. */
export function commissioning(file: SourceFile, { project }: Workspace): MachineCommissioning[] {
  return project.machines(file).map((machine) => ({
    machine: machine.tree.name,
    checks: dueChecksOf(machine).map(({ check, instance, stage, record, ...due }) => {
      const { title, how, expected, caution, state } = due;
      const own = record?.node ?? markForBlock(instance, machine.entry);
      // What stands in another file is shown where this one names the machine.
      const here = file.parsed.file === fileOf(own) ? own : (machine.entry.name ?? machine.entry.first);
      return {
        path: instance.holder ? instance.label : '',
        check: check.name,
        title,
        stage: stage.name,
        stageTitle: stage.title,
        how,
        ...(expected && { expected }),
        ...(caution && { caution }),
        state,
        ...(record && { date: record.date }),
        range: rangeIn(file, rangeOf(here)),
      };
    }),
  }));
}
