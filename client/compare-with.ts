// A machine compared with another one, another file or a revision: the sheets of both as documents that nobody can change, side by side.
import {
  commands,
  type Disposable,
  ProgressLocation,
  type QuickPickItem,
  type Uri,
  ViewColumn,
  window,
  workspace,
} from 'vscode';
import { type BaseLanguageClient, RequestType } from 'vscode-languageclient';
import type { AskedComparison, ComparisonAnswer } from '../server/features/compare.ts';
import { editorColours } from './editor-colours.ts';
import { ReadOnlyDocuments } from './read-only-documents.ts';

export const COMPARE = 'gusset.compareWith';
const COMPARE_SHEETS = 'gusset.compareSheets';
const SCHEME = 'gusset-compared';

const compareRequest = new RequestType<AskedComparison, ComparisonAnswer | null, void>('gusset/compare');

export function registerCompareWith(client: () => BaseLanguageClient | undefined): Disposable[] {
  const documents = new ReadOnlyDocuments(SCHEME);
  const run = async (given?: { lastEdit?: unknown }, columns = false) => {
    const editor = window.activeTextEditor;
    if (editor?.document.languageId !== 'gusset') {
      void window.showInformationMessage('Open a .gusset file first: the machine at the cursor is compared.');
      return;
    }
    const { uri } = editor.document;
    const { line, character } = editor.selection.active;
    const asked = { uri: uri.toString(), position: { line, character } };
    const choices = await client()?.sendRequest(compareRequest, asked);
    if (!choices || !('others' in choices)) {
      void window.showInformationMessage('There is no machine in this file.');
      return;
    }
    // A menu hands over the file that it was opened on.
    const other = given?.lastEdit === true ? { lastEdit: true as const } : await chosen(choices, uri);
    if (!other) return;
    const answer = await window.withProgress({ location: ProgressLocation.Window, title: 'Comparing' }, async () =>
      client()?.sendRequest(compareRequest, {
        ...asked,
        machine: choices.machine,
        other,
        ...(columns && { columns, colours: editorColours }),
      }),
    );
    if (!answer || 'others' in answer) return;
    if ('refused' in answer) {
      void window.showErrorMessage(answer.refused);
      return;
    }
    if ('page' in answer) {
      const panel = window.createWebviewPanel('gusset.comparedSheets', answer.title, ViewColumn.Active, {});
      panel.webview.html = answer.page;
      return;
    }
    const [before, after] = [
      documents.with(`/before/${choices.machine}.md`, answer.before),
      documents.with(`/now/${choices.machine}.md`, answer.after),
    ];
    await commands.executeCommand('vscode.diff', before, after, answer.title, { preview: true });
  };
  return [
    documents,
    commands.registerCommand(COMPARE, run),
    commands.registerCommand(COMPARE_SHEETS, () => run(undefined, true)),
  ];
}

interface Item extends QuickPickItem {
  readonly choose: () => Promise<AskedComparison['other'] | undefined>;
}

/** What the builder wants it compared with; undefined where that was given up. */
async function chosen(
  { machine, others, hasLastEdit }: Extract<ComparisonAnswer, { others: unknown }>,
  uri: Uri,
): Promise<AskedComparison['other'] | undefined> {
  const items: Item[] = others.map((name) => ({ label: name, choose: async () => ({ machine: name }) }));
  if (hasLastEdit) items.push({ label: 'The text before the last edit', choose: async () => ({ lastEdit: true }) });
  items.push({ label: 'A file…', choose: pickFile });
  // A repository that is not trusted is not looked into.
  if (workspace.isTrusted && uri.scheme === 'file') items.push({ label: 'A revision…', choose: askRevision });
  const picked = await window.showQuickPick(items, { placeHolder: `Compare ${machine} with` });
  return picked?.choose();
}

async function pickFile(): Promise<AskedComparison['other'] | undefined> {
  const [file] = (await window.showOpenDialog({ filters: { Gusset: ['gusset'] } })) ?? [];
  return file && { uri: file.toString() };
}

async function askRevision(): Promise<AskedComparison['other'] | undefined> {
  const prompt = 'A revision of this file, as git calls it: HEAD, HEAD~1, a branch, a tag';
  const revision = await window.showInputBox({ prompt, value: 'HEAD' });
  return revision ? { revision } : undefined;
}
