import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, posix } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');

export interface SourceFile {
  /** From the project's folder, with `/`. */
  readonly path: string;
  readonly text: string;
}

const passedOver = new Set(['node_modules', 'generated', 'dist', '.git', '.cache']);

function pathsIn(folder: string): string[] {
  return readdirSync(join(root, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = posix.join(folder, entry.name);
    if (entry.isDirectory()) return passedOver.has(entry.name) ? [] : pathsIn(path);
    return entry.isFile() ? [path] : [];
  });
}

/** All files of a folder whose names end so, generated ones left out, sorted by path. `.` is the whole project. */
export function filesOf(folder: string, ending: string): SourceFile[] {
  return pathsIn(folder)
    .filter((path) => path.endsWith(ending))
    .sort()
    .map((path) => ({ path, text: readFileSync(join(root, path), 'utf8') }));
}
