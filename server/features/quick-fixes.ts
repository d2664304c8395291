import type { CodeAction, Diagnostic, Range, TextEdit } from 'vscode-languageserver';
import { rangeOf } from '../../language/grammar/syntax.ts';
import type { Fix } from '../../language/judge/fixes.ts';
import type { SourceFile } from '../../language/project.ts';
import { soundFixes, soundFixForChoice } from '../../language/rehearsal.ts';
import type { Workspace } from '../workspace.ts';
import { diagnostics, rangeIn } from './diagnostics.ts';
import { useFixes } from './use-fixes.ts';

/**
 * Milliseconds after which no more changes are tried: what could not be tried is not offered, and the next request goes on. Whoever asks
 * for the changes waits for them; an editor that asks by itself, wherever the cursor goes, does not.
 */
const patience = { asked: 10_000, unasked: 1000 };

/** The changes on offer for a range of a file: for mistakes in its text, for findings, and for open choices. */
export function quickFixes(file: SourceFile, range: Range, workspace: Workspace, asked = true): CodeAction[] {
  const { project } = workspace;
  const [from, to] = [file.lines.offset(range.start), file.lines.offset(range.end)];
  const touches = ({ start, end }: { start: number; end: number }) => start <= to && from <= end;
  const shown = diagnostics(file, workspace);
  const at = (place: { start: number; end: number }, code: string) =>
    shown.filter((d) => d.code === code && sameRange(d.range, rangeIn(file, place)));
  const mistakes = project
    .mistakes(file)
    .filter(touches)
    .flatMap((mistake) => {
      const fixes = [...mistake.fixes, ...useFixes(file, mistake, workspace)];
      return fixes.map((fix) => action(fix, file, at(mistake, mistake.code), fixes.length === 1));
    });
  const until = performance.now() + (asked ? patience.asked : patience.unasked);
  const found = project.machines(file).flatMap((machine) => {
    const findings = machine.assessment.findings
      .flatMap((f) => [f, ...f.consequences])
      .filter((f) => f.places.some((place) => touches(rangeOf(place))));
    const choices = machine.choices.filter((choice) => touches(rangeOf(choice.node)));
    return [
      ...findings.flatMap((finding) =>
        foundUntil(until, soundFixes(finding, machine, file, project)).map((fix) =>
          action(fix, file, at(rangeOf(finding.places[0] as never), finding.rule)),
        ),
      ),
      ...choices
        .flatMap((choice) => soundFixForChoice(choice, file, project) ?? [])
        .map((fix) => action(fix, file, [])),
    ];
  });
  const all = [...mistakes, ...found];
  return all.filter((a, i) => all.findIndex((b) => JSON.stringify(a.edit) === JSON.stringify(b.edit)) === i);
}

/** The changes that are found by then, one of which may take a while to try. */
function foundUntil(until: number, fixes: Iterator<Fix | undefined>): Fix[] {
  const found: Fix[] = [];
  while (performance.now() < until) {
    const { done, value } = fixes.next();
    if (done) break;
    if (value) found.push(value);
  }
  return found;
}

function sameRange(a: Range, b: Range): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** An editor's "auto fix" takes what is preferred: a misspelling has one remedy, a design rarely. */
export function action(
  fix: Pick<Fix, 'title' | 'edits'>,
  file: SourceFile,
  mended: Diagnostic[],
  preferred = false,
  kind = 'quickfix',
): CodeAction {
  const edits: TextEdit[] = fix.edits.map((edit) => ({ range: rangeIn(file, edit), newText: edit.text }));
  return {
    title: fix.title,
    kind,
    diagnostics: mended,
    isPreferred: preferred || undefined,
    edit: { changes: { [file.uri]: edits } },
  };
}
