import type { DocumentHighlight, Location, Position } from 'vscode-languageserver';
import { symbolAt } from '../../language/answers/meanings-at.ts';
import { occurrencesIn, occurrencesOf } from '../../language/answers/occurrences.ts';
import type { SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/** Every place that names what is named at a position: in all files of the client's folders, the library's included. */
export function references(
  file: SourceFile,
  position: Position,
  declarations: boolean,
  workspace: Workspace,
): Location[] {
  const project = workspace.everything();
  const here = project.file(file.uri);
  const meaning = here && symbolAt(here, file.lines.offset(position));
  if (!meaning || meaning.sort === 'keyword') return [];
  return occurrencesOf(meaning, project)
    .filter((occurrence) => declarations || !occurrence.declares)
    .map((occurrence) => ({
      uri: workspace.uriForClient(occurrence.file.uri),
      range: rangeIn(occurrence.file, occurrence.range),
    }));
}

/** The places of this file that name the same thing. */
export function highlights(file: SourceFile, position: Position): DocumentHighlight[] {
  const meaning = symbolAt(file, file.lines.offset(position));
  if (!meaning || meaning.sort === 'keyword') return [];
  return occurrencesIn(file, meaning).map(({ range, declares }) => ({
    range: rangeIn(file, range),
    // LSP's numbers: read, written.
    kind: declares ? 3 : 2,
  }));
}
