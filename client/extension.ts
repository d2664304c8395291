// The extension on the desktop and in remote windows: the server is a process of its own.
import type { ExtensionContext } from 'vscode';
import { LanguageClient, TransportKind } from 'vscode-languageclient/node';
import { begin, end } from './begin.ts';

export async function activate(context: ExtensionContext): Promise<void> {
  const module = context.asAbsolutePath('dist/server.js');
  const transport = TransportKind.ipc;
  const server = { run: { module, transport }, debug: { module, transport, options: { execArgv: ['--inspect=0'] } } };
  await begin(context, (options) => new LanguageClient('gusset', 'Gusset', server, options));
}

export const deactivate = end;
