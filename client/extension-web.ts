// The extension in a browser: the server is a worker.
import { type ExtensionContext, Uri, workspace } from 'vscode';
import { LanguageClient } from 'vscode-languageclient/browser';
import { begin, end } from './begin.ts';

type Server = ConstructorParameters<typeof LanguageClient>[2];
/** Typed for browsers alone. */
declare const Worker: new (url: string) => Exclude<Server, () => unknown>;

export async function activate(context: ExtensionContext): Promise<void> {
  const server = await addressOf(Uri.joinPath(context.extensionUri, 'dist/server-web.js'));
  await begin(context, (options) => new LanguageClient('gusset', 'Gusset', new Worker(server), options));
}

/** Where a browser finds a script: what lies where only the editor reads is handed over as it is. */
async function addressOf(script: Uri): Promise<string> {
  if (script.scheme === 'https' || script.scheme === 'http' || script.scheme === 'file') return script.toString(true);
  const text = await workspace.fs.readFile(script);
  return URL.createObjectURL(new Blob([new Uint8Array(text)], { type: 'text/javascript' }));
}

export const deactivate = end;
