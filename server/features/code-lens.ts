import type { CodeLens, Location, Range } from 'vscode-languageserver';
import { symbolAt } from '../../language/answers/meanings-at.ts';
import { occurrencesIn, sourceOf } from '../../language/answers/occurrences.ts';
import type { Item } from '../../language/grammar/generated/ast.ts';
import { type AstNode, rangeOf } from '../../language/grammar/syntax.ts';
import { isLaidAside } from '../../language/judge/finding.ts';
import { toldIn } from '../../language/judge/findings.ts';
import { countedInWords, mostWantedFirst, notJudged } from '../../language/judge/verdict-words.ts';
import type { Severity } from '../../language/mistakes/mistake.ts';
import type { Assessed, SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/** Above each machine how it stands, and above a part or a kind where that is used; each leads to what it tells of, where the client can show that. */
export function codeLenses(file: SourceFile, workspace: Workspace): CodeLens[] {
  const machines = workspace.project.machines(file);
  if (workspace.showPlaces === undefined) return machines.map((machine) => sheetLens(machine, file, workspace));
  return [
    ...machines.flatMap((machine) => machineLenses(machine, file, workspace)),
    ...file.parsed.items.flatMap(({ node }) => usesLens(node, file, workspace)),
  ];
}

/** All of it in one line, which opens the sheet. */
function sheetLens(machine: Assessed, file: SourceFile, workspace: Workspace): CodeLens {
  return opensSheet(machineStanding(machine), machine, file, workspace);
}

/** What was found, what is open, and what holds: to the findings, to the open choices, and to the sheet. */
function machineLenses(machine: Assessed, file: SourceFile, workspace: Workspace): CodeLens[] {
  const { found, nothing, open, held } = standingOf(machine);
  const range = rangeOfMachine(machine, file);
  const findings = toldIn(machine.assessment).map(({ places }) => places[0] as AstNode);
  const choices = machine.choices.map(({ node }) => node);
  return [
    ...showsPlaces(found, 'Show what was found', range, findings, file, workspace),
    ...showsPlaces(open, 'Show the open choices', range, choices, file, workspace),
    opensSheet([...nothing, ...held].join(', '), machine, file, workspace),
  ].filter(({ command }) => command?.title);
}

function rangeOfMachine({ entry }: Assessed, file: SourceFile): Range {
  return rangeIn(file, rangeOf(entry.name ?? entry.first));
}

function opensSheet(title: string, machine: Assessed, file: SourceFile, { openSheet }: Workspace): CodeLens {
  return {
    range: rangeOfMachine(machine, file),
    command: {
      title,
      command: openSheet ?? '',
      ...(openSheet && { tooltip: 'Open the machine sheet', arguments: [file.uri, machine.tree.name] }),
    },
  };
}

function showsPlaces(
  titles: readonly string[],
  tooltip: string,
  range: Range,
  nodes: readonly AstNode[],
  file: SourceFile,
  { project, uriForClient, showPlaces = '' }: Workspace,
): CodeLens[] {
  const places = nodes.flatMap((node): Location[] => {
    const source = sourceOf(node, project);
    return source ? [{ uri: uriForClient(source.uri), range: rangeIn(source, rangeOf(node)) }] : [];
  });
  const title = titles.join(', ');
  return [{ range, command: { title, tooltip, command: showPlaces, arguments: [file.uri, range.start, places] } }];
}

/** Where a part or a kind is used in the files that are known; nothing where it is used nowhere. */
function usesLens(item: Item, file: SourceFile, { project, uriForClient, showPlaces = '' }: Workspace): CodeLens[] {
  if (item.$type !== 'Declaration' || (item.what !== 'part' && item.what !== 'kind') || !item.name) return [];
  const name = rangeOf(item.name);
  const meaning = symbolAt(file, name.start);
  const uses = meaning ? [...project.files.values()].flatMap((each) => occurrencesIn(each, meaning)) : [];
  const places = uses
    .filter(({ declares }) => !declares)
    .map((use): Location => ({ uri: uriForClient(use.file.uri), range: rangeIn(use.file, use.range) }));
  const [title] = several(places.length, 'use');
  if (!title) return [];
  const range = rangeIn(file, name);
  const command = { title, tooltip: 'Show where it is used', command: showPlaces };
  return [{ range, command: { ...command, arguments: [file.uri, range.start, places] } }];
}

const words: readonly [Severity, string, string][] = [
  ['error', 'error', 'errors'],
  ['warning', 'warning', 'warnings'],
  ['advice', 'advice', 'pieces of advice'],
];

/** "1 error, 1 requirement fails, 2 requirements hold, 4 rules undecided, 31 rules hold" */
export function machineStanding(machine: Assessed): string {
  const { found, nothing, open, held } = standingOf(machine);
  return [...found, ...nothing, ...open, ...held].join(', ');
}

interface Standing {
  /** What was found or fails, and what of it was accepted. */
  readonly found: readonly string[];
  /** That nothing was, where that is so. */
  readonly nothing: readonly string[];
  readonly open: readonly string[];
  /** What holds, and what is undecided. */
  readonly held: readonly string[];
}

function standingOf({ assessment, choices }: Assessed): Standing {
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
  const isWrong = grave.length + failed.length > 0;
  return {
    found: [...grave, ...failed, ...(accepted > 0 ? [`${accepted} accepted`] : [])],
    nothing: isWrong ? [] : [nothingFound(held, undecided)],
    open: several(choices.length, 'open choice'),
    held: [
      ...countedInWords(number(true), 'requirement', 'holds'),
      ...countedInWords(number(undefined), 'requirement', 'undecided'),
      ...(isWrong ? countedInWords(undecided.length, 'rule', 'undecided') : []),
      ...countedInWords(held, 'rule', 'holds'),
    ],
  };
}

/** Nothing found is not nothing wrong: what was not judged stands with it. */
function nothingFound(held: number, undecided: Assessed['assessment']['undecided']): string {
  const said = held > 0 ? 'nothing found' : 'nothing decided yet';
  const [rules] = several(undecided.length, 'rule');
  return rules ? `${said}; ${rules} ${notJudged(mostWantedFirst(undecided))}` : said;
}

function several(count: number, one: string, many = `${one}s`): string[] {
  return count > 0 ? [`${count} ${count === 1 ? one : many}`] : [];
}
