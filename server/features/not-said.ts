import type { Range } from 'vscode-languageserver';
import { fileOf, rangeOf } from '../../language/grammar/syntax.ts';
import { pathOfNotSaid } from '../../language/judge/not-said.ts';
import type { SourceFile } from '../../language/project.ts';
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
  }[];
}

/** What the machines of a file do not say yet. */
export function notSaid(file: SourceFile, { project }: Workspace): MachineNotSaid[] {
  return project.machines(file).map(({ tree, entry, assessment }) => ({
    machine: tree.name,
    notSaid: assessment.notSaid.map((each) => {
      const { question, waiting, safety, taken, place } = each;
      // What stands in another file is shown where this one names the machine.
      const here = file.parsed.file === fileOf(place) ? place : (entry.name ?? entry.first);
      return { path: pathOfNotSaid(each), question, waiting, safety, taken, range: rangeIn(file, rangeOf(here)) };
    }),
  }));
}
