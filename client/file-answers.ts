// Files that lie on no disk of the server's machine are read for it here, through the editor's own file system.
import { FileType, Uri, workspace } from 'vscode';
import { type BaseLanguageClient, RequestType } from 'vscode-languageclient';
import { fileEnding, isProjectFile } from '../server/reach.ts';
import type { FileAnswer, FolderAnswer } from '../server/server.ts';

const readFile = new RequestType<{ uri: string }, FileAnswer, void>('gusset/readFile');
const listFolder = new RequestType<{ uri: string }, FolderAnswer, void>('gusset/listFolder');

/** Answers what a server asks of files and folders; null for what is not there, or is no text. */
export function answerForFiles(client: BaseLanguageClient): void {
  client.onRequest(readFile, async ({ uri }) => ({ text: await textOf(Uri.parse(uri, true)) }));
  client.onRequest(listFolder, async ({ uri }) => ({ names: await namesIn(Uri.parse(uri, true)) }));
}

async function textOf(uri: Uri): Promise<string | null> {
  // Nothing else is read: what a text names leads to no other file.
  if (!uri.path.endsWith(fileEnding) && !isProjectFile(uri.path)) return null;
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(await workspace.fs.readFile(uri));
  } catch {
    return null;
  }
}

async function namesIn(folder: Uri): Promise<string[] | null> {
  try {
    const entries = await workspace.fs.readDirectory(folder);
    const shown = entries.filter(([name]) => !name.startsWith('.'));
    return shown.map(([name, type]) => (type & FileType.Directory ? `${name}/` : name));
  } catch {
    return null;
  }
}
