// The extension in a browser: the server is a worker.
import { type ExtensionContext, Uri } from 'vscode';
import { LanguageClient } from 'vscode-languageclient/browser';
import { begin, end } from './begin.ts';

type Server = ConstructorParameters<typeof LanguageClient>[2];
/** Typed for browsers alone. */
declare const Worker: new (url: string) => Exclude<Server, () => unknown>;

export async function activate(context: ExtensionContext): Promise<void> {
  const worker = Uri.joinPath(context.extensionUri, 'dist/server-web.js').toString(true);
  await begin(context, (options) => new LanguageClient('gusset', 'Gusset', new Worker(worker), options));
}

export const deactivate = end;
