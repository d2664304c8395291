// The files of the library, which live inside the server: shown read-only, so that a definition in them can be opened. The client would do
// the same by itself, but not before the server runs: one of them may be the first thing that a window restores.
import { type CancellationToken, type Disposable, type Uri, workspace } from 'vscode';
import { type BaseLanguageClient, TextDocumentContentRequest } from 'vscode-languageclient';

export const LIBRARY_SCHEME = 'gusset-library';

export function registerLibraryFiles(client: () => BaseLanguageClient | undefined): Disposable {
  const textOf = async (uri: Uri, token: CancellationToken) => {
    const answer = await client()?.sendRequest(TextDocumentContentRequest.type, { uri: uri.toString() }, token);
    const text = answer?.text;
    if (text === undefined) throw new Error(`The library has no file ${uri.path}`);
    return text;
  };
  return workspace.registerTextDocumentContentProvider(LIBRARY_SCHEME, { provideTextDocumentContent: textOf });
}
