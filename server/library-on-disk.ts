// The library's files as read-only files on the disk, for editors that can open nothing else.
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, renameSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { dirname, join } from 'node:path';
import process from 'node:process';
import { pathToFileURL } from 'node:url';

interface LibraryFile {
  readonly name: string;
  readonly text: string;
}

/** Where programs keep what they can make anew, as the XDG Base Directory Specification and Windows have it. */
function cacheFolder(env: NodeJS.ProcessEnv): string {
  if (process.platform === 'win32') return env.LOCALAPPDATA ?? join(homedir(), 'AppData', 'Local');
  return env.XDG_CACHE_HOME ?? join(homedir(), '.cache');
}

/** The folder for a library of just these texts: another version of it has another one. */
function folderOf(files: readonly LibraryFile[], cache: string): string {
  const hash = createHash('sha256');
  for (const { name, text } of files) hash.update(`${name}\0${text}\0`);
  return join(cache, 'gusset', `library-${hash.digest('hex').slice(0, 16)}`);
}

/**
 * Writes the library's files where they are not there yet, each for reading only. Returns the URI of their folder, with a slash at its
 * end; undefined where they cannot be written.
 */
export function libraryOnDisk(files: readonly LibraryFile[], cache = cacheFolder(process.env)): string | undefined {
  const folder = folderOf(files, cache);
  try {
    if (!existsSync(folder)) write(files, folder);
  } catch {
    // Another server may have done the same at this moment.
    if (!existsSync(folder)) return undefined;
  }
  return `${pathToFileURL(folder)}/`;
}

/** The folder is there once it is whole. */
function write(files: readonly LibraryFile[], folder: string): void {
  const part = `${folder}.${process.pid}`;
  for (const { name, text } of files) {
    const path = join(part, name);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, text, { mode: 0o444 });
  }
  renameSync(part, folder);
}
