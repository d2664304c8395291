import type {
  Diagnostic,
  DiagnosticRelatedInformation,
  DiagnosticTag,
  MarkupContent,
  Range,
} from 'vscode-languageserver';
import { sourceOf } from '../../language/answers/occurrences.ts';
import { type AstNode, fileOf, Lines, rangeOf } from '../../language/grammar/syntax.ts';
import { type Finding, isLaidAside } from '../../language/judge/finding.ts';
import { toldIn } from '../../language/judge/findings.ts';
import { sharedFindings } from '../../language/judge/variants.ts';
import { weighedWords } from '../../language/judge/weights.ts';
import type { Severity } from '../../language/mistakes/mistake.ts';
import type { naming } from '../../language/mistakes/naming.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import type { SourceFile } from '../../language/project.ts';
import type { ClientCan } from '../client-can.ts';
import type { ProjectFile } from '../project-file.ts';
import type { Workspace } from '../workspace.ts';

/** The code of what is no longer to be used. */
const outdated: keyof typeof naming = 'deprecated';

/** LSP's numbers: error, warning, information, hint. */
const severities: Record<Severity, 1 | 2 | 3 | 4> = { error: 1, warning: 2, advice: 3, note: 4 };

export function rangeIn(file: SourceFile, range: { start: number; end: number }): Range {
  return { start: file.lines.position(range.start), end: file.lines.position(range.end) };
}

/** What is marked, and for whom: without a client, nobody follows what a code leads to. */
type Shown = Pick<Workspace, 'project'> & Partial<Pick<Workspace, 'client' | 'uriForClient' | 'showPage'>>;

/** What is wrong in a file that says how grave findings are. */
export function projectDiagnostics({ text, mistakes }: ProjectFile): Diagnostic[] {
  const lines = new Lines(text);
  return mistakes.map(({ start, end, message }) => ({
    range: { start: lines.position(start), end: lines.position(end) },
    severity: severities.error,
    source: 'gusset',
    message,
  }));
}

/** Everything to mark in a file: mistakes in its text, and what its machines' rules say, as far as that is known before their choices are solved. */
export function diagnostics(file: SourceFile, workspace: Shown): Diagnostic[] {
  const { project, client } = workspace;
  const mistakes = project.mistakes(file).map((mistake): Diagnostic => {
    const { code, severity } = mistake;
    const message = client?.readMarkdownFindings
      ? { kind: 'markdown' as const, value: escaped(mistake.message) }
      : mistake.message;
    const tags: DiagnosticTag[] = client?.strikeOut && code === outdated ? [2] : [];
    const shown = { range: rangeIn(file, mistake), severity: severities[severity], code, source: 'gusset', message };
    return { ...shown, ...pageLink(code, file, workspace), ...(tags.length > 0 && { tags }) };
  });
  const machines = project.judged(file);
  const { alsoIn, told } = sharedFindings(machines);
  const findings = machines
    .flatMap((machine) => toldIn(machine.assessment))
    .filter((finding) => !told.has(finding))
    .map((finding) => ({
      ...findingDiagnostic(finding, file, alsoIn.get(finding), client),
      ...ruleLink(finding, file, workspace),
    }));
  return [...mistakes, ...merged(findings)];
}

function findingDiagnostic(
  finding: Finding,
  file: SourceFile,
  alsoIn: readonly string[] | undefined,
  client: ClientCan | undefined,
): Diagnostic {
  const [first, ...others] = finding.places;
  const text = findingText(finding, alsoIn);
  return {
    range: rangeIn(file, rangeOf(first as AstNode)),
    severity: isLaidAside(finding) ? 4 : severities[finding.severity],
    code: finding.rule,
    source: 'gusset',
    message: client?.readMarkdownFindings ? asMarkdown(text) : asText(text),
    relatedInformation: [
      ...others.flatMap((node) => related(node, 'also here', file)),
      ...finding.consequences.flatMap((c) => related(c.places[0] as AstNode, `follows: ${c.message}`, file)),
    ],
  };
}

/** The page of a code, in a client that shows such: what it is for, its source, its ways out and an example. */
function pageLink(code: string, file: SourceFile, { client, showPage }: Shown): Pick<Diagnostic, 'codeDescription'> {
  if (!client?.followCodes || showPage === undefined) return {};
  return { codeDescription: { href: `command:${showPage}?${encodeURIComponent(JSON.stringify([code, file.uri]))}` } };
}

/** Where a finding's code leads to: to its page or, in other clients, to where the rule is declared. */
function ruleLink({ declared, rule }: Finding, file: SourceFile, shown: Shown): Pick<Diagnostic, 'codeDescription'> {
  const { project, client, uriForClient, showPage } = shown;
  if (showPage !== undefined) return pageLink(rule, file, shown);
  const source = client?.followCodes && declared ? sourceOf(declared.node, project) : undefined;
  if (!source || !declared || !uriForClient) return {};
  const { line } = source.lines.position(rangeOf(declared.node).start);
  return { codeDescription: { href: `${uriForClient(source.uri)}#L${line + 1}` } };
}

/** The message with what else there is to know: why it was accepted, the ways out and, set apart, what to mind. */
function findingText(finding: Finding, alsoIn: readonly string[] = []): FindingText {
  const { accepted, waysOut, caution, worst } = finding;
  const said = [`${finding.message}.`.replace(/([.?!])\.$/, '$1')];
  if (worst) said.push(`Worst ${worst}.`);
  if (alsoIn.length > 0) said.push(`Also in ${listed(alsoIn)}.`);
  if (accepted)
    said.push(accepted.lapsed ? `The acceptance has lapsed: ${accepted.lapsed}.` : `Accepted: ${accepted.reason}.`);
  const weight = weighedWords(finding);
  if (weight) said.push(`${weight}.`);
  return { said, waysOut: waysOut.map((way) => `A way out: ${way}.`), caution };
}

interface FindingText {
  readonly said: readonly string[];
  readonly waysOut: readonly string[];
  readonly caution: string | undefined;
}

function asText({ said, waysOut, caution }: FindingText): string {
  return [...said, ...waysOut, ...(caution ? ['', caution] : [])].join('\n');
}

/** The same as Markdown: what is to be written as code, ways out as a list, what can hurt in bold. */
function asMarkdown({ said, waysOut, caution }: FindingText): MarkupContent {
  const [, danger = '', rest = ''] = /^(.*?[.:])( .*)?$/s.exec(caution ?? '') ?? [];
  const lines = [
    said.map(escaped).join('\n\n'),
    waysOut.map((way) => `- ${escaped(way)}`).join('\n'),
    caution && (danger ? `**${escaped(danger)}**${escaped(rest)}` : `**${escaped(caution)}**`),
  ];
  return { kind: 'markdown', value: lines.filter(Boolean).join('\n\n') };
}

/** What a reader of Markdown would take for a mark; between backquotes nothing is. */
function escaped(text: string): string {
  return text
    .split(/(`[^`]*`)/)
    .map((part) => (part.startsWith('`') ? part : part.replace(/[\\*_<[\]]/g, '\\$&')))
    .join('');
}

function related(node: AstNode, message: string, file: SourceFile): DiagnosticRelatedInformation[] {
  if (fileOf(node) !== file.parsed.file) return [];
  return [{ location: { uri: file.uri, range: rangeIn(file, rangeOf(node)) }, message }];
}

/** A variant repeats what it inherits: the same words at the same place are said once. */
function merged(list: readonly Diagnostic[]): Diagnostic[] {
  const seen = new Map<string, Diagnostic>();
  for (const diagnostic of list) {
    const key = JSON.stringify([diagnostic.range, diagnostic.code, diagnostic.message]);
    if (!seen.has(key)) seen.set(key, diagnostic);
  }
  return [...seen.values()];
}
