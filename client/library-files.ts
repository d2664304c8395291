// The files of the library, which live inside the server: shown read-only, so that a definition in them can be opened.
import { type CancellationToken, type Disposable, type Uri, workspace } from 'vscode';
import { type LanguageClient, RequestType } from 'vscode-languageclient/node';

export const LIBRARY_SCHEME = 'gusset-library';

/** Asks for the text of a library file. Errors: the server's, when there is no such file. */
const libraryFile = new RequestType<{ uri: string }, string, void>('gusset/libraryFile');

export function registerLibraryFiles(client: LanguageClient): Disposable {
  return workspace.registerTextDocumentContentProvider(LIBRARY_SCHEME, {
    provideTextDocumentContent: (uri: Uri, token: CancellationToken) =>
      client.sendRequest(libraryFile, { uri: uri.toString() }, token),
  });
}
