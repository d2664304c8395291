import type { CodeLens } from 'vscode-languageserver';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { isLaidAside } from '../../language/judge/findings.ts';
import type { Assessed, SourceFile } from '../../language/project.ts';
import type { Severity } from '../../language/types/problem.ts';
import { forWantOf, wanted } from '../wanting.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/** Above each machine, how it stands: an empty machine has no findings, but all that is undecided is counted. */
export function codeLenses(file: SourceFile, { project }: Workspace): CodeLens[] {
  return project.machines(file).map((machine) => ({
    range: rangeIn(file, rangeOf(machine.entry.name ?? machine.entry.first)),
    command: { title: standing(machine), command: '' },
  }));
}

const words: readonly [Severity, string, string][] = [
  ['error', 'error', 'errors'],
  ['warning', 'warning', 'warnings'],
  ['advice', 'advice', 'pieces of advice'],
];

/** "1 error, 1 requirement not met, 2 requirements met, 4 rules undecided, 31 rules hold" */
export function standing({ assessment, choices }: Assessed): string {
  const { findings, requirements, undecided, held } = assessment;
  // One mistake is one finding, whatever follows from it. A requirement that is not met is counted among the requirements.
  const found = findings.filter((finding) => finding.rule !== 'requirement');
  const open = found.filter((finding) => !isLaidAside(finding));
  const counted = words.flatMap(([severity, one, many]) =>
    several(open.filter((finding) => finding.severity === severity).length, one, many),
  );
  const accepted = found.length - open.length;
  const number = (holds: boolean | undefined) => requirements.filter((each) => each.holds === holds).length;
  const failed = several(number(false), 'requirement not met', 'requirements not met');
  return [
    ...(counted.length + failed.length > 0 ? counted : [nothing(held, undecided)]),
    ...failed,
    ...(accepted > 0 ? [`${accepted} accepted`] : []),
    ...several(number(true), 'requirement met', 'requirements met'),
    ...several(number(undefined), 'requirement undecided', 'requirements undecided'),
    ...several(choices.length, 'open choice'),
    ...(counted.length + failed.length > 0 ? several(undecided.length, 'rule undecided', 'rules undecided') : []),
    ...several(held, 'rule holds', 'rules hold'),
  ].join(', ');
}

/** Nothing found is not nothing wrong: what was not judged stands with it. */
function nothing(held: number, undecided: Assessed['assessment']['undecided']): string {
  const said = held > 0 ? 'nothing found' : 'nothing decided yet';
  const [unjudged] = several(undecided.length, 'rule could not be judged', 'rules could not be judged');
  return unjudged ? `${said}; ${unjudged}${forWantOf(wanted(undecided))}` : said;
}

function several(count: number, one: string, many = `${one}s`): string[] {
  return count > 0 ? [`${count} ${count === 1 ? one : many}`] : [];
}
