// The files of the library, which live inside the server: shown read-only, so that a definition in them can be opened.
import { type CancellationToken, type Disposable, type Uri, workspace } from 'vscode';
import { type LanguageClient, RequestType } from 'vscode-languageclient/node';

export const LIBRARY_SCHEME = 'gusset-library';

/** Asks for the text of a library file; null when there is no such file. */
const libraryFile = new RequestType<{ uri: string }, { text: string | null }, void>('gusset/libraryFile');

export function registerLibraryFiles(client: () => LanguageClient | undefined): Disposable {
  const textOf = async (uri: Uri, token: CancellationToken) => {
    const answer = await client()?.sendRequest(libraryFile, { uri: uri.toString() }, token);
    const text = answer?.text ?? null;
    if (text === null) throw new Error(`The library has no file ${uri.path}`);
    return text;
  };
  return workspace.registerTextDocumentContentProvider(LIBRARY_SCHEME, { provideTextDocumentContent: textOf });
}
