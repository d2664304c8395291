// The extension: starts the language server, and shows what only the server has: the library's files and the language page.
import { type ExtensionContext, window, workspace } from 'vscode';
import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { registerLanguagePage } from './language-page.ts';
import { LIBRARY_SCHEME, registerLibraryFiles } from './library-files.ts';

/**
 * Schemes whose files are read by the server. A version-control view shows earlier texts under a scheme of its own: those
 * would declare every machine twice.
 */
const SCHEMES = ['file', 'untitled', 'vscode-vfs', LIBRARY_SCHEME];

let client: LanguageClient | undefined;

export async function activate(context: ExtensionContext): Promise<void> {
  client = createClient(context.asAbsolutePath('dist/server.js'));
  // Registered before the server runs: a library file may be the first thing the window restores.
  context.subscriptions.push(registerLibraryFiles(client), ...registerLanguagePage(client));
  try {
    await client.start();
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    void window.showErrorMessage(`Gusset's language server did not start: ${reason}`);
  }
}

export async function deactivate(): Promise<void> {
  await client?.stop();
}

function createClient(module: string): LanguageClient {
  const transport = TransportKind.ipc;
  return new LanguageClient(
    'gusset',
    'Gusset',
    { run: { module, transport }, debug: { module, transport, options: { execArgv: ['--inspect=0'] } } },
    {
      documentSelector: SCHEMES.map((scheme) => ({ scheme, language: 'gusset' })),
      // A used file may be changed by something else than this editor.
      synchronize: { fileEvents: workspace.createFileSystemWatcher('**/*.gusset') },
    },
  );
}
