import { openChecks } from '../../language/judge/commissioning.ts';
import { mostWantedFirst } from '../../language/judge/verdict-words.ts';
import { isKnown } from './baseline.ts';
import { exitStatuses } from './io.ts';
import type { Finding, Report } from './schema.ts';

/** How much of what there is in a report; accepted findings that no longer count, and those known before, by themselves. */
export interface Tally {
  readonly errors: number;
  readonly warnings: number;
  readonly advice: number;
  readonly accepted: number;
  /** Known before, by a baseline; requirements are not among them. */
  readonly known: number;
  /** Mistakes in the text; what is only not given yet is none. */
  readonly mistakes: number;
  readonly wrongTexts: number;
  readonly doubtfulTexts: number;
  /** Requirements that fail. They are findings too, and not counted among the warnings. */
  readonly failed: number;
  /** Requirements that cannot be decided. */
  readonly unclear: number;
  readonly open: number;
  readonly decided: number;
  readonly undecided: number;
  /** What is expected, or waited for, and not said yet, and how many rules wait for that. */
  readonly notSaid: number;
  readonly waiting: number;
  /** Checks of commissioning that are not made, or have to be made again. */
  readonly unchecked: number;
  /** What the rules that are not decided wait for, most of them first. */
  readonly wanted: readonly string[];
}

export function tallyOf({ machines, findings }: Report): Tally {
  const mistakes = findings.filter((finding) => finding.machine === null);
  const found = findings.filter((finding) => finding.machine !== null && finding.code !== 'requirement');
  const stands = found.filter((finding) => finding.accepted?.counts !== false);
  const counting = stands.filter((finding) => !isKnown(finding));
  const of = (severity: Finding['severity'], list: readonly Finding[]) =>
    list.filter((finding) => gravest(finding) === severity).length;
  const sum = (number: (machine: Report['machines'][number]) => number) =>
    machines.reduce((total, machine) => total + number(machine), 0);
  return {
    errors: of('error', counting),
    warnings: of('warning', counting),
    advice: of('advice', counting),
    accepted: found.length - stands.length,
    known: stands.length - counting.length,
    mistakes: mistakes.filter((finding) => finding.severity !== 'note').length,
    wrongTexts: of('error', mistakes),
    doubtfulTexts: of('warning', mistakes),
    failed: sum((machine) => machine.requirements.filter((r) => r.holds === false && !r.known).length),
    unclear: sum((machine) => machine.requirements.filter((r) => r.holds === null).length),
    open: sum((machine) => machine.open.length),
    decided: sum((machine) => machine.decided),
    undecided: sum((machine) => machine.undecided.length),
    notSaid: sum((machine) => machine.notSaid.length),
    waiting: sum((machine) => machine.notSaid.reduce((total, { waiting }) => total + waiting, 0)),
    unchecked: sum((machine) => openChecks(machine.commissioning)),
    wanted: mostWantedFirst(machines.flatMap((machine) => machine.undecided)),
  };
}

const graveness: readonly Finding['severity'][] = ['error', 'warning', 'advice', 'note'];

/** One mistake counts once, as grave as what follows from it. */
function gravest({ severity, consequences = [] }: Finding): Finding['severity'] {
  const all = [severity, ...consequences.map(gravest)];
  return graveness.find((grave) => all.includes(grave)) ?? severity;
}

/** 1 with an error; where `strict`, also with a warning, a requirement that fails, an open choice, or a rule not decided. */
export function exitStatus(report: Report, strict: boolean): number {
  const t = tallyOf(report);
  const errors = t.errors + t.wrongTexts;
  const rest = t.warnings + t.doubtfulTexts + t.failed + t.unclear + t.open + t.undecided;
  return errors > 0 || (strict && rest > 0) ? exitStatuses.found : exitStatuses.good;
}
