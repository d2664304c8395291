// What the extension does wherever it runs: it starts the language server, and shows what only the server has: the library's files and
// the language page. How the server is started is left to what runs it.
import { commands, type ExtensionContext, window, workspace } from 'vscode';
import type { BaseLanguageClient, LanguageClientOptions } from 'vscode-languageclient';
import { watchedFiles } from '../server/reach.ts';
import { registerAroundNumber } from './around-number.ts';
import { registerCompareWith } from './compare-with.ts';
import { registerExplore } from './explore.ts';
import { answerForFiles } from './file-answers.ts';
import { FollowedFile } from './followed-file.ts';
import { registerLanguagePage, SHOW_PAGE } from './language-page.ts';
import { registerLastEdit } from './last-edit.ts';
import { LIBRARY_SCHEME, registerLibraryFiles } from './library-files.ts';
import { OPEN_SHEET, registerMachineSheet } from './machine-sheet.ts';
import { registerMachineViews } from './machine-views.ts';
import { registerNewMachine } from './new-machine.ts';
import { registerRequirementTests } from './requirement-tests.ts';
import { ServerStatus } from './server-status.ts';
import { registerShowPlaces, SHOW_PLACES } from './show-places.ts';

const RESTART = 'gusset.restartServer';

let client: BaseLanguageClient | undefined;

/** `createClient` makes a client of a server that is not started yet. */
export async function begin(
  context: ExtensionContext,
  createClient: (options: LanguageClientOptions) => BaseLanguageClient,
): Promise<void> {
  const documents = schemes().map((scheme) => ({ scheme, language: 'gusset' }));
  const status = new ServerStatus(documents, RESTART);
  const current = () => client;
  const create = () => {
    const created = createClient({
      documentSelector: documents,
      // The commands that lenses, and a finding's code, run; and that files are read here, for a server that cannot.
      initializationOptions: { openSheet: OPEN_SHEET, showPage: SHOW_PAGE, showPlaces: SHOW_PLACES, readsFiles: true },
      // Asked for what is found as one types, and once more where the server says that there is more.
      diagnosticPullOptions: { onChange: true },
      // A used file may be changed by something else than this editor.
      synchronize: { fileEvents: watchedFiles.map((pattern) => workspace.createFileSystemWatcher(pattern)) },
    });
    answerForFiles(created);
    return created;
  };
  const restart = async () => {
    const before = client;
    client = create();
    status.follow(client);
    // One whose start failed can neither be stopped nor started again; what it had said goes with it.
    await before?.dispose().catch(() => undefined);
    await start(client);
  };
  client = create();
  status.follow(client);
  // Registered before the server runs: a library file may be the first thing the window restores.
  context.subscriptions.push(status, commands.registerCommand(RESTART, restart));
  context.subscriptions.push(registerLibraryFiles(current), ...registerLanguagePage(current));
  context.subscriptions.push(registerNewMachine(current));
  context.subscriptions.push(...registerMachineSheet(context, current), ...registerCompareWith(current));
  context.subscriptions.push(...registerExplore(current));
  context.subscriptions.push(registerAroundNumber(), registerShowPlaces());
  await start(client);
  const followed = new FollowedFile();
  context.subscriptions.push(followed, ...registerMachineViews(current, followed));
  context.subscriptions.push(...registerRequirementTests(current, followed), ...registerLastEdit(current, followed));
}

export async function end(): Promise<void> {
  await client?.stop();
}

/**
 * Schemes whose files are read by the server: those that are known, and those of the folders that are worked in. A version-control view
 * shows earlier texts under a scheme of its own: those would declare every machine twice.
 */
function schemes(): string[] {
  const folders = workspace.workspaceFolders?.map(({ uri }) => uri.scheme) ?? [];
  return [...new Set(['file', 'untitled', 'vscode-vfs', LIBRARY_SCHEME, ...folders])];
}

async function start(client: BaseLanguageClient): Promise<void> {
  try {
    await client.start();
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    void window.showErrorMessage(`Gusset's language server did not start: ${reason}`);
  }
}
