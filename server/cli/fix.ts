import { type Mended, mend } from '../../language/mending.ts';
import { asCall, diskProject, displayPath, readText, uriOf } from './files.ts';
import { CallError, count, type Io } from './io.ts';
import { replaceUnlessChanged } from './replace.ts';

/**
 * Makes the changes that mend findings in files, and tells what was changed. A file that cannot be written, or that somebody has
 * changed since it was read, is left as it is, and told by a `CallError`.
 */
export function fixFiles(
  paths: readonly string[],
  given: readonly string[],
  io: Io,
  tell: (text: string) => void,
): void {
  const project = diskProject(io.cwd, given);
  const texts = paths.map((full) => ({ full, text: readText(full, io.cwd, true) }));
  // All are at hand, so that what is changed in one is tried on those that start from it.
  for (const { full, text } of texts) project.update(uriOf(full), withoutMark(text));
  for (const { full, text } of texts) {
    const uri = uriOf(full);
    const made = [...mend(uri, project)].flatMap((each) => each ?? []);
    if (made.length === 0) continue;
    const mark = text.slice(0, text.length - withoutMark(text).length);
    const written = mark + (project.file(uri)?.parsed.text ?? '');
    const path = displayPath(full, io.cwd);
    if (!asCall(path, () => replaceUnlessChanged(full, text, written), 'written'))
      throw new CallError(`${path} was changed meanwhile, and is left as it is.`);
    tell(`${path}: ${count(made.length, 'change')}\n${made.map(line).join('')}`);
  }
}

function line({ title, path, rule }: Mended): string {
  return `  ${path}, ${rule}: ${title}\n`;
}

/** The mark of the byte order is no part of what is read, and stays. */
function withoutMark(text: string): string {
  return text.startsWith('\ufeff') ? text.slice(1) : text;
}
