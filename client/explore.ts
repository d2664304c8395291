// What comes of the value at the cursor, or of other parts in the block there: a page with a table.
import { commands, type Disposable, ProgressLocation, window } from 'vscode';
import { type BaseLanguageClient, RequestType } from 'vscode-languageclient';
import type { AskedExploration, ExplorationAnswer } from '../server/features/exploring.ts';
import { showPage } from './language-page.ts';
import { ReadOnlyDocuments } from './read-only-documents.ts';

const exploreRequest = new RequestType<AskedExploration, ExplorationAnswer | null, void>('gusset/explore');

export function registerExplore(client: () => BaseLanguageClient | undefined): Disposable[] {
  const documents = new ReadOnlyDocuments('gusset-explored');
  const run = async (what: AskedExploration['what'], title: string) => {
    const editor = window.activeTextEditor;
    if (editor?.document.languageId !== 'gusset') {
      void window.showInformationMessage('Open a .gusset file first, with the cursor at a value or in a block.');
      return;
    }
    const { line, character } = editor.selection.active;
    const asked = { uri: editor.document.uri.toString(), position: { line, character }, what };
    const answer = await window.withProgress({ location: ProgressLocation.Window, title }, async () =>
      client()?.sendRequest(exploreRequest, asked),
    );
    if (!answer) return;
    if ('refused' in answer) {
      void window.showInformationMessage(answer.refused);
      return;
    }
    await showPage(documents.with(`/${answer.title}.md`, answer.text));
  };
  return [
    documents,
    commands.registerCommand('gusset.exploreValue', () => run('value', 'Going through it')),
    commands.registerCommand('gusset.compareParts', () => run('parts', 'Trying parts')),
  ];
}
