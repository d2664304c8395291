// A file as it was at a revision, as far as git on this machine tells.
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Project } from '../language/project.ts';
import { commitOf, projectAt, revisionsOf } from './cli/git.ts';
import { CallError } from './cli/io.ts';

/** The texts of a file's folder at one revision. Throws a `CallError` for what is none, or a file that lies elsewhere. */
export function atRevision(
  uri: string,
  revision: string,
  folders: readonly string[],
  library: Project['library'],
): Project {
  if (!uri.startsWith('file:')) throw new CallError('Only a file on the disk has revisions.');
  const { from, to } = revisionsOf(revision);
  if (to !== undefined)
    throw new CallError(`${revision} names two revisions: the file as it is now is compared with one.`);
  const folder = dirname(fileURLToPath(uri));
  return projectAt(commitOf(from, folder), folder, folders, library);
}
