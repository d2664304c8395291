// The command that shows the language page, as the server generates it from the grammar and the library.
import { commands, type Disposable, Uri, window, workspace } from 'vscode';
import { type LanguageClient, RequestType0 } from 'vscode-languageclient/node';

const SCHEME = 'gusset-page';
// The path's last part is the title of the tab.
const page = Uri.from({ scheme: SCHEME, path: '/The Gusset Language.md' });

const languagePage = new RequestType0<string, void>('gusset/languagePage');

export function registerLanguagePage(client: LanguageClient): Disposable[] {
  return [
    workspace.registerTextDocumentContentProvider(SCHEME, {
      provideTextDocumentContent: () => client.sendRequest(languagePage),
    }),
    commands.registerCommand('gusset.showLanguagePage', showPage),
  ];
}

/** As a rendered page where the editor can render Markdown, else as its text. */
async function showPage(): Promise<void> {
  const available = await commands.getCommands(true);
  if (available.includes('markdown.showPreview')) await commands.executeCommand('markdown.showPreview', page);
  else await window.showTextDocument(page, { preview: true });
}
