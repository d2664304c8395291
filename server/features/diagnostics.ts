import type { Diagnostic, DiagnosticRelatedInformation, Range } from 'vscode-languageserver';
import { type AstNode, fileOf, rangeOf } from '../../language/grammar/syntax.ts';
import { type Finding, isLaidAside } from '../../language/judge/finding.ts';
import { toldIn } from '../../language/judge/findings.ts';
import { sharedFindings } from '../../language/judge/variants.ts';
import type { Severity } from '../../language/mistakes/mistake.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import type { SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';

/** LSP's numbers: error, warning, information, hint. */
const severities: Record<Severity, 1 | 2 | 3 | 4> = { error: 1, warning: 2, advice: 3, note: 4 };

export function rangeIn(file: SourceFile, range: { start: number; end: number }): Range {
  return { start: file.lines.position(range.start), end: file.lines.position(range.end) };
}

/** Everything to mark in a file: mistakes in its text, and what its machines' rules say, as far as that is known before their choices are solved. */
export function diagnostics(file: SourceFile, { project }: Pick<Workspace, 'project'>): Diagnostic[] {
  const mistakes = project.mistakes(file).map((mistake): Diagnostic => {
    const { code, message, severity } = mistake;
    return { range: rangeIn(file, mistake), severity: severities[severity], code, source: 'gusset', message };
  });
  const machines = project.judged(file);
  const { alsoIn, told } = sharedFindings(machines);
  const findings = machines
    .flatMap((machine) => toldIn(machine.assessment))
    .filter((finding) => !told.has(finding))
    .map((finding) => findingDiagnostic(finding, file, alsoIn.get(finding)));
  return [...mistakes, ...merged(findings)];
}

function findingDiagnostic(finding: Finding, file: SourceFile, alsoIn: readonly string[] | undefined): Diagnostic {
  const [first, ...others] = finding.places;
  return {
    range: rangeIn(file, rangeOf(first as AstNode)),
    severity: isLaidAside(finding) ? 4 : severities[finding.severity],
    code: finding.rule,
    source: 'gusset',
    message: findingText(finding, alsoIn),
    relatedInformation: [
      ...others.flatMap((node) => related(node, 'also here', file)),
      ...finding.consequences.flatMap((c) => related(c.places[0] as AstNode, `follows: ${c.message}`, file)),
    ],
  };
}

/** The message with what else there is to know: why it was accepted, the ways out and, set apart, what to mind. */
function findingText(finding: Finding, alsoIn: readonly string[] = []): string {
  const { accepted, waysOut, caution, worst } = finding;
  const lines = [`${finding.message}.`.replace(/([.?!])\.$/, '$1')];
  if (worst) lines.push(`Worst ${worst}.`);
  if (alsoIn.length > 0) lines.push(`Also in ${listed(alsoIn)}.`);
  if (accepted)
    lines.push(accepted.lapsed ? `The acceptance has lapsed: ${accepted.lapsed}.` : `Accepted: ${accepted.reason}.`);
  lines.push(...waysOut.map((way) => `A way out: ${way}.`));
  if (caution) lines.push('', caution);
  return lines.join('\n');
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
