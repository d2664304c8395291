import type { CodeLens } from 'vscode-languageserver';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { isLaidAside } from '../../language/judge/finding.ts';
import { countedInWords, mostWantedFirst, notJudged } from '../../language/judge/verdict-words.ts';
import type { Severity } from '../../language/mistakes/mistake.ts';
import type { Assessed, SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/** A line above each machine that says how it stands, and opens its sheet where the client can show one. */
export function codeLenses(file: SourceFile, { project, openSheet }: Workspace): CodeLens[] {
  return project.machines(file).map((machine) => ({
    range: rangeIn(file, rangeOf(machine.entry.name ?? machine.entry.first)),
    command: {
      title: machineStanding(machine),
      command: openSheet ?? '',
      ...(openSheet && { tooltip: 'Open the machine sheet', arguments: [file.uri, machine.tree.name] }),
    },
  }));
}

const words: readonly [Severity, string, string][] = [
  ['error', 'error', 'errors'],
  ['warning', 'warning', 'warnings'],
  ['advice', 'advice', 'pieces of advice'],
];

/** "1 error, 1 requirement fails, 2 requirements hold, 4 rules undecided, 31 rules hold" */
export function machineStanding({ assessment, choices }: Assessed): string {
  const { findings, requirements, undecided, held } = assessment;
  // One mistake is one finding, whatever follows from it. A requirement that fails is counted among the requirements.
  const found = findings.filter((finding) => finding.rule !== 'requirement');
  const open = found.filter((finding) => !isLaidAside(finding));
  const grave = words.flatMap(([severity, one, many]) =>
    several(open.filter((finding) => finding.severity === severity).length, one, many),
  );
  const accepted = found.length - open.length;
  const number = (holds: boolean | undefined) => requirements.filter((each) => each.holds === holds).length;
  const failed = countedInWords(number(false), 'requirement', 'fails');
  return [
    ...(grave.length + failed.length > 0 ? grave : [nothing(held, undecided)]),
    ...failed,
    ...(accepted > 0 ? [`${accepted} accepted`] : []),
    ...countedInWords(number(true), 'requirement', 'holds'),
    ...countedInWords(number(undefined), 'requirement', 'undecided'),
    ...several(choices.length, 'open choice'),
    ...(grave.length + failed.length > 0 ? countedInWords(undecided.length, 'rule', 'undecided') : []),
    ...countedInWords(held, 'rule', 'holds'),
  ].join(', ');
}

/** Nothing found is not nothing wrong: what was not judged stands with it. */
function nothing(held: number, undecided: Assessed['assessment']['undecided']): string {
  const said = held > 0 ? 'nothing found' : 'nothing decided yet';
  const [rules] = several(undecided.length, 'rule');
  return rules ? `${said}; ${rules} ${notJudged(mostWantedFirst(undecided))}` : said;
}

function several(count: number, one: string, many = `${one}s`): string[] {
  return count > 0 ? [`${count} ${count === 1 ? one : many}`] : [];
}
