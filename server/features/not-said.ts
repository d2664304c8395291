import type { Range } from 'vscode-languageserver';
import { fileOf, rangeOf } from '../../language/grammar/syntax.ts';
import { writeBlock } from '../../language/judge/edit.ts';
import { type NotSaid, pathOfNotSaid } from '../../language/judge/not-said.ts';
import type { Assessed, SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/** What a machine does not say yet, what most rules wait for first; empty where all that is expected is said. */
export interface MachineNotSaid {
  readonly machine: string;
  readonly notSaid: readonly {
    readonly path: string;
    readonly question: string;
    /** How many rules wait for it, and how many of these are about people's safety. */
    readonly waiting: number;
    readonly safety: number;
    /** What is taken for it until it is said, so that the rules rest on that. */
    readonly taken?: string;
    /** Where it would be said. */
    readonly range: Range;
    /** The line that would say it, but for its end; absent where it follows from what stands elsewhere. */
    readonly begin?: Beginning;
  }[];
}

/** A text to write, and where in it whoever writes it goes on. */
export interface Beginning {
  readonly range: Range;
  readonly text: string;
  readonly cursor: number;
}

/** What the machines of a file do not say yet. */
export function notSaid(file: SourceFile, { project }: Workspace): MachineNotSaid[] {
  return project.machines(file).map((machine) => ({
    machine: machine.tree.name,
    notSaid: machine.assessment.notSaid.map((each) => {
      const { entry } = machine;
      const { question, waiting, safety, taken, place } = each;
      // What stands in another file is shown where this one names the machine.
      const here = file.parsed.file === fileOf(place) ? place : (entry.name ?? entry.first);
      const begin = beginning(each, machine, file);
      const range = rangeIn(file, rangeOf(here));
      return { path: pathOfNotSaid(each), question, waiting, safety, taken, range, ...(begin && { begin }) };
    }),
  }));
}

/** The line `NAME = ` of a value, or `NAME is ` of a block in a role, in the block that lacks it. */
function beginning({ instance, name }: NotSaid, { entry }: Assessed, file: SourceFile): Beginning | undefined {
  const role = instance.member(name)?.role;
  if (!role || role === 'derived') return undefined;
  const line = role === 'child' ? `${name} is ` : `${name} = `;
  const { text, ...range } = writeBlock(instance, line, entry);
  return { range: rangeIn(file, range), text, cursor: text.lastIndexOf(line) + line.length };
}
