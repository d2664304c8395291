import type { CodeAction, Range, SnippetTextEdit, TextEdit, WorkspaceEdit } from 'vscode-languageserver';
import type { Rewriting } from '../../language/answers/rewriting.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { acceptance } from '../../language/judge/fixes.ts';
import type { SourceFile } from '../../language/project.ts';
import { rewritings, withAtEnd } from '../../language/rewriting.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';
import { action } from './quick-fixes.ts';

/** The kinds of code actions that change nothing but how something is written. */
export const refactoringKinds = ['refactor.rewrite', 'refactor.extract', 'refactor.inline', 'refactor.move'] as const;
const [rewriteKind] = refactoringKinds;

/** Milliseconds after which no more is tried: what mends has taken its time before. */
const patience = 2000;

/**
 * What can be written otherwise in a range of a file: what leaves every value as it is, where that is `asked` for, since each is tried; and
 * findings that stand there can be accepted, where nobody can be hurt by them.
 */
export function refactorings(file: SourceFile, range: Range, workspace: Workspace, asked = true): CodeAction[] {
  const { project } = workspace;
  const [from, to] = [file.lines.offset(range.start), file.lines.offset(range.end)];
  const accepted = project.machines(file).flatMap((machine) =>
    machine.assessment.findings
      .filter(({ places }) => places.some((place) => rangeOf(place).start <= to && from <= rangeOf(place).end))
      .flatMap((finding) => acceptance(finding, machine) ?? [])
      .map((fix) => withBlank(action(fix, file, [], false, rewriteKind), file, workspace)),
  );
  const until = performance.now() + patience;
  const isTime = () => performance.now() < until;
  const saved = workspace.savedText(file.uri);
  const written = asked && !file.isLibrary ? rewritings(file, from, project, saved, isTime) : [];
  const { makeFiles } = workspace.client;
  const possible = written.filter(({ elsewhere }) => makeFiles || !elsewhere?.isNew);
  return [...possible.map((each) => rewritingAction(each, file, workspace)), ...accepted];
}

/** Where a client takes such changes, the cursor goes to the empty text that the builder has to write. */
function withBlank(made: CodeAction, { uri }: SourceFile, { client }: Workspace): CodeAction {
  const edits = made.edit?.changes?.[uri] ?? [];
  if (!client.fillBlanksOfChanges || !edits.some(({ newText }) => newText.includes('""'))) return made;
  const blank = (text: string) => text.replace(/[\\$}]/g, '\\$&').replace('""', '"$0"');
  const filled = edits.map(
    ({ range, newText }): SnippetTextEdit => ({
      range,
      snippet: { kind: 'snippet', value: blank(newText) },
    }),
  );
  return { ...made, edit: { documentChanges: [{ textDocument: { uri, version: null }, edits: filled }] } };
}

function rewritingAction(rewriting: Rewriting, file: SourceFile, { project }: Workspace): CodeAction {
  const { title, sort, edits, elsewhere } = rewriting;
  const made = action({ title, edits }, file, [], false, `refactor.${sort}`);
  if (elsewhere?.isNew) return withNewFile(made, file, elsewhere);
  const other = elsewhere && project.file(elsewhere.uri);
  if (!elsewhere || !other) return made;
  const { text } = other.parsed;
  const end = text.trimEnd().length;
  const added: TextEdit = {
    range: rangeIn(other, { start: end, end: text.length }),
    newText: withAtEnd(text, elsewhere.text).slice(end),
  };
  return { ...made, edit: { changes: { ...made.edit?.changes, [elsewhere.uri]: [added] } } };
}

/** What is done in a file and in another one that is made for it: made first, and never where there is one by now. */
function withNewFile(made: CodeAction, { uri }: SourceFile, fresh: { uri: string; text: string }): CodeAction {
  const start = { line: 0, character: 0 };
  const documentChanges: WorkspaceEdit['documentChanges'] = [
    { kind: 'create', uri: fresh.uri, options: { overwrite: false, ignoreIfExists: false } },
    {
      textDocument: { uri: fresh.uri, version: null },
      edits: [{ range: { start, end: start }, newText: fresh.text }],
    },
    { textDocument: { uri, version: null }, edits: made.edit?.changes?.[uri] ?? [] },
  ];
  return { ...made, edit: { documentChanges } };
}
