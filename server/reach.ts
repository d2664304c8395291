// Which files a file may use: what a text names is not to lead anywhere on a disk.
import type { Refusal } from '../language/project.ts';

/** What the names of files in this language end with. */
export const fileEnding = '.gusset';

/** What a file is called that says how grave findings are, for the files of its folder and those below. */
export const projectFileName = 'gusset-project.json';

export function isProjectFile(path: string): boolean {
  return path.endsWith(`/${projectFileName}`);
}

/** The files that make a difference when they change on a disk, as editors take patterns. */
export const watchedFiles = [`**/*${fileEnding}`, `**/${projectFileName}`];

export const refusedByName: Refusal = { refused: `only files that end in ${fileEnding} are used` };

/**
 * Why a file may not use another one, or undefined where it may: it lies beside the file or below, in one of these folders, or in the
 * folder that `rootOf` tells of a file. All are URIs. A text that was never saved lies nowhere.
 */
export function refuseUse(
  uri: string,
  from: string,
  folders: readonly string[],
  rootOf: (uri: string) => string | undefined = () => undefined,
): string | undefined {
  if (!uri.includes('/')) return undefined;
  if (!uri.endsWith(fileEnding)) return refusedByName.refused;
  const near = [folderOf(from), ...folders].some((folder) => isWithin(uri, folder));
  const root = near ? undefined : rootOf(from);
  if (near || (root && isWithin(uri, root))) return undefined;
  return 'it lies outside of the folders that are worked in';
}

export function isWithin(uri: string, folder: string): boolean {
  return uri.startsWith(folder.endsWith('/') ? folder : `${folder}/`);
}

export function folderOf(uri: string): string {
  return uri.slice(0, uri.lastIndexOf('/') + 1);
}
