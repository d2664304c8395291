import { cellOf } from '../../language/compute/cell.ts';
import type { Project, SourceFile } from '../../language/project.ts';
import { type Said, type Statement, saidOf, statementsOf, without } from './deletions.ts';

// What is not said protects nobody: a statement that is taken away may not make what is found for people's safety less grave without a word.

/** Why a statement may go, though what is found for people's safety is less grave without it: it says what is dangerous, not what protects. */
export const dangers: readonly (readonly [says: RegExp, reason: string])[] = [
  [
    /^(adhesive|magnets|sheet|surface|liner|insulation|chamber|heater|element|printed_part|dry_cabinet|supply|board|computer|output) ?.*(\{|is )/,
    'what is in danger, or makes it, is gone with it',
  ],
  [/^cutoff \w+ is /, 'one that stands alone in no path stops nothing'],
  [/^temperature = /, 'it is computed where it is not said'],
  [
    /^(rated_\w+|limit|holds_at|current_limit|melting_integral|let_through|highest_density|leakage|power|material|insulation|pull_up|coldness|capacitance|inrush_limit|size|input_limit) = /,
    'its kind or its part has a value for it, with its source',
  ],
  [/^(to|moves) = /, 'a wire whose path tells of nothing that moves leads to what stands still'],
  [/^strands = /, 'copper that is not said to be stiff is of fine strands'],
  [/^length = /, 'a wire that bends is cut as long as it has to be where no length is said, which is shown'],
  [/^place = /, 'it sits in the room; what is live and in no box is asked for'],
  [/^(colour_out|switches|set_curve|mains) = /, 'as is usual, which is shown: what departs from it is said'],
  [
    /^(touchable|held_in_hand|opened_by_door|draws_as) = /,
    'it says that somebody touches it, or what is peculiar to it',
  ],
  [/^(live_lines|residual_current) = /, 'the mains of the place are as its colours and its site say'],
  [/^(parallel_with|copper_from|source_output|surge_integral|never_with) = /, 'without it there is no such danger'],
];

/** Is there a reason why what a statement says may go? */
export function isDanger(text: string): boolean {
  return dangers.some(([says]) => says.test(text));
}

/** A statement without which what is found for people's safety is less grave, and nothing else is said. */
export interface Lowered {
  readonly statement: Statement;
  /** The rules that failed, and what they say now. */
  readonly lost: readonly string[];
}

/** Takes away each of the statements of a file that `chosen` keeps, alone. */
export function loweredIn(
  file: SourceFile,
  files: readonly SourceFile[],
  project: Project,
  chosen: (statements: readonly Statement[]) => readonly Statement[] = (all) => all,
): { readonly tried: number; readonly lowered: readonly Lowered[] } {
  const trees = files.flatMap((each) => project.machines(each).map(({ tree }) => tree));
  const before = saidOf(project, files);
  const statements = before.gravest > 0 ? chosen(statementsOf(file, trees)) : [];
  const lowered = statements.flatMap((statement): Lowered[] => {
    const after = without(statement, file, files, project);
    const isTold = [...after.told].some((line) => !before.told.has(line));
    if (isTold || after.gravest >= before.gravest || isSaidElsewhere(statement, after)) return [];
    const lost = [...before.verdicts].flatMap(([key, { verdict, rule }]) => {
      const now = after.verdicts.get(key)?.verdict;
      return verdict === 'fails' && rule.caution && now !== 'fails' ? [`${key}: ${now ?? 'gone'}`] : [];
    });
    return [{ statement, lost }];
  });
  return { tried: statements.length, lowered };
}

/** Does a part or a base say a value for each block that the statement gave one? */
function isSaidElsewhere({ gives }: Statement, { blocks }: Said): boolean {
  const given = ({ block, name }: Statement['gives'][number]) =>
    cellOf(blocks.get(block), name)?.definition.origin === 'given';
  return gives.length > 0 && gives.every(given);
}
