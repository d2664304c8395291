// The language server as a process of Node's: with the disk, the git and the clock of its machine.
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { type Connection, createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { libraryFiles } from '../language/library/generated/library.ts';
import { today } from './day.ts';
import { readUsed, rootOf } from './disk.ts';
import { libraryOnDisk } from './library-on-disk.ts';
import { answer } from './server.ts';
import { endWithClient } from './watchdog.ts';

/** Answers a client over a connection, until it hangs up. */
export function serve(connection: Connection = createConnection(ProposedFeatures.all)): void {
  answer(connection, {
    today,
    disk: { read: readUsed, list: listFolder, rootOf },
    libraryOnDisk: () => libraryOnDisk(libraryFiles),
    // git is only looked for where somebody asks for a revision.
    revisions: async () => (await import('./revisions.ts')).atRevision,
    endWithClient,
  });
}

/** The names in a folder of this machine. */
function listFolder(uri: string): string[] {
  try {
    const entries = readdirSync(fileURLToPath(uri), { withFileTypes: true });
    const shown = entries.filter((entry) => !entry.name.startsWith('.'));
    return shown.map((entry) => (entry.isDirectory() ? `${entry.name}/` : entry.name));
  } catch {
    return [];
  }
}
