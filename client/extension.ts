// The extension: starts the language server, and shows what only the server has: the library's files and the language page.
import { commands, type ExtensionContext, window, workspace } from 'vscode';
import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { registerCompareWith } from './compare-with.ts';
import { FollowedFile } from './followed-file.ts';
import { registerLanguagePage } from './language-page.ts';
import { LIBRARY_SCHEME, registerLibraryFiles } from './library-files.ts';
import { OPEN_SHEET, registerMachineSheet } from './machine-sheet.ts';
import { registerMachineViews } from './machine-views.ts';
import { registerNewMachine } from './new-machine.ts';
import { registerRequirementTests } from './requirement-tests.ts';
import { ServerStatus } from './server-status.ts';

/**
 * Schemes whose files are read by the server. A version-control view shows earlier texts under a scheme of its own: those
 * would declare every machine twice.
 */
const SCHEMES = ['file', 'untitled', 'vscode-vfs', LIBRARY_SCHEME];
const documents = SCHEMES.map((scheme) => ({ scheme, language: 'gusset' }));

const RESTART = 'gusset.restartServer';

let client: LanguageClient | undefined;

export async function activate(context: ExtensionContext): Promise<void> {
  const module = context.asAbsolutePath('dist/server.js');
  const status = new ServerStatus(documents, RESTART);
  const current = () => client;
  const restart = async () => {
    const before = client;
    client = createClient(module);
    status.follow(client);
    // One whose start failed can neither be stopped nor started again; what it had said goes with it.
    await before?.dispose().catch(() => undefined);
    await start(client);
  };
  client = createClient(module);
  status.follow(client);
  // Registered before the server runs: a library file may be the first thing the window restores.
  context.subscriptions.push(status, commands.registerCommand(RESTART, restart));
  context.subscriptions.push(registerLibraryFiles(current), ...registerLanguagePage(current));
  context.subscriptions.push(registerNewMachine(current));
  context.subscriptions.push(...registerMachineSheet(context, current), ...registerCompareWith(current));
  await start(client);
  const followed = new FollowedFile();
  context.subscriptions.push(followed, ...registerMachineViews(current, followed));
  context.subscriptions.push(...registerRequirementTests(current, followed));
}

export async function deactivate(): Promise<void> {
  await client?.stop();
}

async function start(client: LanguageClient): Promise<void> {
  try {
    await client.start();
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    void window.showErrorMessage(`Gusset's language server did not start: ${reason}`);
  }
}

function createClient(module: string): LanguageClient {
  const transport = TransportKind.ipc;
  return new LanguageClient(
    'gusset',
    'Gusset',
    { run: { module, transport }, debug: { module, transport, options: { execArgv: ['--inspect=0'] } } },
    {
      documentSelector: documents,
      // The command that a lens above a machine runs.
      initializationOptions: { openSheet: OPEN_SHEET },
      // A used file may be changed by something else than this editor.
      synchronize: { fileEvents: workspace.createFileSystemWatcher('**/*.gusset') },
    },
  );
}
