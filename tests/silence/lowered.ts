import { cellOf } from '../../language/compute/cell.ts';
import type { Project, SourceFile } from '../../language/project.ts';
import { type Said, type Statement, saidOf, statementsOf, without } from './deletions.ts';
import { isAmong, type Looked, type Reason } from './reasons.ts';

// What is not said protects nobody: a statement that is taken away may not make what is found for people's safety less grave without a word.

/** Why a statement may go, though what is found for people's safety is less grave without it: it says what is dangerous, not what protects. */
const dangers: readonly Reason[] = [
  {
    says: /^(adhesive|magnets|sheet|surface|liner|insulation|chamber|heater|element|printed_part|dry_cabinet|supply|board|computer|output) ?.*(\{|is )/,
    reason: 'what is in danger, or makes it, is gone with it',
  },
  {
    says: /^cutoff \w+ is /,
    inside: /^(machine|circuit)$/,
    reason: 'one that stands alone in no path stops nothing, and a path that goes through it names it',
  },
  { says: /^temperature = /, reason: 'it is computed where it is not said' },
  {
    says: /^(rated_\w+|limit|holds_at|current_limit|melting_integral|let_through|highest_density|leakage|power|material|insulation|pull_up|coldness|capacitance|inrush_limit|size|input_limit) = /,
    reason: 'its kind or its part has a value for it, with its source',
  },
  {
    says: /^(to|moves) = /,
    inside: /^(wire|cord)$/,
    reason: 'a wire whose path tells of nothing that moves leads to what stands still',
  },
  { says: /^strands = /, inside: /^(wire|cord)$/, reason: 'copper that is not said to be stiff is of fine strands' },
  {
    says: /^length = /,
    inside: /^(wire|cord)$/,
    reason: 'a wire that bends is cut as long as it has to be where no length is said, which is shown',
  },
  {
    says: /^held_at_both_ends = no$/,
    inside: /^wire$/,
    reason: 'a wire that bends, off the mains, is clamped, and that it is has to be looked at before power',
  },
  {
    says: /^(highest|lowest)_plausible = /,
    inside: /_input$/,
    reason:
      'what a controller believes is computed where it is not said, and that it is set so is on the commissioning list',
  },
  {
    says: /^sensor_input \w+ \{/,
    inside: /^board$/,
    reason: 'the same of all that is said of an input which its board has',
  },
  { says: /^place = /, reason: 'it sits in the room; what is live and in no box is asked for' },
  {
    says: /^(colour_out|switches|set_curve|mains) = /,
    reason: 'as is usual, which is shown: what departs from it is said',
  },
  {
    says: /^(touchable|held_in_hand|opened_by_door|draws_as) = /,
    reason: 'it says that somebody touches it, or what is peculiar to it',
  },
  {
    says: /^(live_lines|residual_current) = /,
    inside: /^(inlet|site)$/,
    reason: 'the mains of the place are as its colours and its site say',
  },
  {
    says: /^(parallel_with|copper_from|source_output|surge_integral|never_with) = /,
    reason: 'without it there is no such danger',
  },
];

/** Is there a reason why what a statement says may go? */
export function isDanger(statement: Looked): boolean {
  return isAmong(dangers, statement);
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
