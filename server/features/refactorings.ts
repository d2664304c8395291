import type { CodeAction, Range } from 'vscode-languageserver';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { acceptance } from '../../language/judge/fixes.ts';
import type { SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { action } from './quick-fixes.ts';

export const rewriteKind = 'refactor.rewrite';

/** What can be written otherwise in a range of a file: findings that stand there can be accepted, where nobody can be hurt by them. */
export function refactorings(file: SourceFile, range: Range, { project }: Workspace): CodeAction[] {
  const [from, to] = [file.lines.offset(range.start), file.lines.offset(range.end)];
  return project.machines(file).flatMap((machine) =>
    machine.assessment.findings
      .filter(({ places }) => places.some((place) => rangeOf(place).start <= to && from <= rangeOf(place).end))
      .flatMap((finding) => acceptance(finding, machine) ?? [])
      .map((fix) => action(fix, file, [], false, rewriteKind)),
  );
}
