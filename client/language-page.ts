// Pages to read, as the server makes them: of the language, and of a rule, which a finding's code leads to.
import { commands, type Disposable, Uri, window, workspace } from 'vscode';
import { type BaseLanguageClient, RequestType } from 'vscode-languageclient';
import type { AskedPage, PageAnswer } from '../server/server.ts';

export const SHOW_PAGE = 'gusset.showPage';

const SCHEME = 'gusset-page';
// The path's last part is the title of the tab.
const language = Uri.from({ scheme: SCHEME, path: '/The Gusset Language.md' });

const pageRequest = new RequestType<AskedPage, PageAnswer, void>('gusset/page');

export function registerLanguagePage(client: () => BaseLanguageClient | undefined): Disposable[] {
  return [
    workspace.registerTextDocumentContentProvider(SCHEME, {
      provideTextDocumentContent: async (page) => {
        const answer = await client()?.sendRequest(pageRequest, askedBy(page));
        return answer?.markdown ?? 'There is no such page.';
      },
    }),
    commands.registerCommand('gusset.showLanguagePage', () => showPage(language)),
    commands.registerCommand(SHOW_PAGE, (name: string, uri: string) =>
      showPage(Uri.from({ scheme: SCHEME, path: `/${name}.md`, query: uri })),
    ),
  ];
}

function askedBy({ path, query }: Uri): AskedPage {
  return path === language.path ? {} : { name: path.slice(1, -'.md'.length), ...(query && { uri: query }) };
}

/** Shows Markdown as a page; as its text where the editor's own Markdown extension is turned off. */
export async function showPage(page: Uri): Promise<void> {
  try {
    await commands.executeCommand('markdown.showPreview', page);
  } catch {
    await window.showTextDocument(page, { preview: true });
  }
}
