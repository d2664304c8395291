import { cellOf } from '../../language/compute/cell.ts';
import type { Project, SourceFile } from '../../language/project.ts';
import { type Looked, type Said, type Statement, saidOf, statementsOf, without } from './deletions.ts';
import { isAmong, type Reason } from './reasons.ts';

// What is not said protects nobody: a statement that is taken away may not make what is found for people's safety less grave without a word.

/** Why a statement may go, though what is found for people's safety is less grave without it: it says what is dangerous, not what protects. */
const dangers: readonly Reason[] = [
  {
    says: /^(adhesive|magnets|sheet|surface|insulation) ?(is |\{)/,
    inside: /^bed$/,
    reason: 'what softens, lets go or burns on a bed is gone with it, and so is what was judged of it',
  },
  {
    says: /^liner ?(is |\{)/,
    inside: /^hot_end$/,
    reason: 'a hot end without a liner is hot where none can be harmed',
  },
  {
    says: /^(chamber|dry_cabinet) ?(is |\{)/,
    inside: /^machine$/,
    reason: 'where nothing is said to be in it, no room is warmed; what is in it names it',
  },
  { says: /^heater ?(is |\{)/, inside: /^chamber$/, reason: 'what makes a chamber hot is gone with it' },
  {
    says: /^(element|printed_part|computer) \w+ ?(is |\{)/,
    inside: /^machine$/,
    reason: 'what would be touched, would soften or makes a box warm is gone with it',
  },
  {
    says: /^supply \w+ is /,
    inside: /^machine$/,
    reason: 'a path that begins at it names it; where none does, it feeds nothing and shares no rail',
  },
  {
    says: /^cutoff \w+ is /,
    inside: /^(machine|circuit)$/,
    reason: 'one that stands alone in no path stops nothing, and a path that goes through it names it',
  },
  {
    says: /^door_switch \w+ ?(is |\{)/,
    inside: /^machine$/,
    reason: 'a switch that only warns of an open door stops nothing, and what was told of it is gone with it',
  },
  { says: /^temperature = /, inside: /^(box|chamber)$/, reason: 'it is computed where it is not said' },
  {
    says: /^holds_at = /,
    inside: /cutoff/,
    reason: 'where it is not known, the farthest below its opening that IEC 60691 knows of counts',
  },
  {
    says: /^(melting_integral|let_through|rated_[ad]c_voltage) = /,
    inside: /_fuse$/,
    reason: 'what the standard of its sort asks of every one counts; a worse one is said',
  },
  {
    says: /^(current_limit|leakage) = /,
    inside: /^supply$/,
    reason:
      'what data sheets of supplies give at most counts, with its source; one that gives more, or stops sooner, is said',
  },
  {
    says: /^coldness = /,
    inside: /ntc|thermistor|glass_bead|platinum|thermocouple/,
    reason: 'it follows from how the sensor is held, which is asked',
  },
  { says: /^limit = /, inside: /^surface$/, reason: 'its material has a limit of its own, with its source' },
  {
    says: /^insulation = /,
    inside: /^(wire|cord)$/,
    reason: 'wire that is sold without a word of it is of what its kind says, whose limits are judged',
  },
  {
    says: /^pull_up = /,
    inside: /^sensor_input$/,
    reason: 'boards carry the same resistor nearly all, and that a sensor reads the room is on the commissioning list',
  },
  {
    says: /^(to|moves) = /,
    inside: /^(wire|cord)$/,
    reason: 'a wire whose path tells of nothing that moves leads to what stands still',
  },
  { says: /^ends = tinned$/, inside: /^(wire|cord)$/, reason: 'ends are as its terminal asks: tinned ones are said' },
  {
    says: /^printed_at = /,
    inside: /^extruder$/,
    reason: 'without it, it is printed within what its filament and its hot end bear, which is shown',
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
