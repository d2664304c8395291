import type { Range } from 'vscode-languageserver';
import { markForBlock, standsIn } from '../../language/compute/marks.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { requirementOutcome } from '../../language/judge/requirements.ts';
import type { SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/** What a machine is asked to be, and how each stands. */
export interface MachineRequirements {
  readonly machine: string;
  readonly requirements: readonly {
    /** The block that it is asked of, below the machine; empty for the machine itself. */
    readonly path: string;
    readonly text: string;
    /** Null where it cannot be decided yet. */
    readonly holds: boolean | null;
    /** How it stands, with its numbers, or what keeps it from being decided. */
    readonly message: string;
    readonly range: Range;
  }[];
}

/** The requirements of the machines of a file. */
export function requirements(file: SourceFile, { project }: Workspace): MachineRequirements[] {
  return project.machines(file).map(({ tree, entry, assessment }) => ({
    machine: tree.name,
    requirements: assessment.requirements.map((requirement) => {
      const { node, instance } = requirement.target;
      // What a machine of another file asks is shown where this one has the block.
      const here = standsIn(node, entry) ? node : markForBlock(instance, entry);
      return {
        path: instance.holder ? instance.label : '',
        text: requirement.text,
        holds: requirement.holds ?? null,
        message: requirementOutcome(requirement),
        range: rangeIn(file, rangeOf(here)),
      };
    }),
  }));
}
