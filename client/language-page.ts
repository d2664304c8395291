// The command that shows the language page, as the server generates it from the grammar and the library.
import { commands, type Disposable, Uri, window, workspace } from 'vscode';
import { type BaseLanguageClient, RequestType0 } from 'vscode-languageclient';

const SCHEME = 'gusset-page';
// The path's last part is the title of the tab.
const page = Uri.from({ scheme: SCHEME, path: '/The Gusset Language.md' });

const languagePage = new RequestType0<{ markdown: string }, void>('gusset/languagePage');

export function registerLanguagePage(client: () => BaseLanguageClient | undefined): Disposable[] {
  return [
    workspace.registerTextDocumentContentProvider(SCHEME, {
      provideTextDocumentContent: async () => (await client()?.sendRequest(languagePage))?.markdown,
    }),
    commands.registerCommand('gusset.showLanguagePage', showPage),
  ];
}

/** As a rendered page; as its text where the editor's own Markdown extension is turned off. */
async function showPage(): Promise<void> {
  try {
    await commands.executeCommand('markdown.showPreview', page);
  } catch {
    await window.showTextDocument(page, { preview: true });
  }
}
