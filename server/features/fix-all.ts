import type { CodeAction } from 'vscode-languageserver';
import { copyOfProject, mend } from '../../language/mending.ts';
import type { SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/** The kind by which an editor asks for all that mends a file, such as when it is saved. */
export const fixAllKind = 'source.fixAll.gusset';

/** How long saving may take (ms): what is not mended by then is mended at the next saving. */
const patience = 1000;

/** One change of a file that makes all changes which mend findings and that nobody has to do anything for; none where nothing is to be mended. */
export function fixAll(file: SourceFile, { project }: Workspace): CodeAction[] {
  const before = file.parsed.text;
  const own = copyOfProject(project, file.uri);
  const until = performance.now() + patience;
  for (const _ of mend(file.uri, own)) if (performance.now() > until) break;
  const after = own.file(file.uri)?.parsed.text ?? before;
  if (after === before) return [];
  const { start, end, text } = difference(before, after);
  const edit = { changes: { [file.uri]: [{ range: rangeIn(file, { start, end }), newText: text }] } };
  return [{ title: 'Mend what is found', kind: fixAllKind, edit }];
}

/** What stands between the first and the last character that differ. */
function difference(before: string, after: string): { start: number; end: number; text: string } {
  let start = 0;
  while (start < before.length && before[start] === after[start]) start++;
  let [end, to] = [before.length, after.length];
  while (end > start && to > start && before[end - 1] === after[to - 1]) {
    end--;
    to--;
  }
  return { start, end, text: after.slice(start, to) };
}
