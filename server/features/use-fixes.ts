import { useEdit } from '../../language/answers/rewrite-parts.ts';
import type { Fix, Mistake } from '../../language/mistakes/mistake.ts';
import { nearest } from '../../language/mistakes/sentence.ts';
import { resolveUri, type SourceFile } from '../../language/project.ts';
import { fileEnding, folderOf } from '../reach.ts';
import type { Workspace } from '../workspace.ts';
import { relativePath } from './rename-files.ts';

/**
 * Changes of a file's `use` that mend a mistake in its text: the file that a misspelt path means, and the files of the client's folders that
 * declare a kind or part which nothing here does.
 */
export function useFixes(file: SourceFile, mistake: Mistake, workspace: Workspace): Fix[] {
  const written = file.parsed.text.slice(mistake.start, mistake.end);
  if (mistake.code === 'missing_file' || mistake.code === 'refused_file')
    return meantFiles(file, mistake, written.replace(/^"|"$/g, ''), workspace);
  const isName = mistake.code === 'unknown_kind' || mistake.code === 'unknown_part';
  return isName ? declaringFiles(file, written, workspace) : [];
}

/** The nearest name in the folder that a path leads to; where none is near, the files that go by its name in other folders. */
function meantFiles(file: SourceFile, { start, end }: Mistake, path: string, workspace: Workspace): Fix[] {
  const [folder, name] = [folderOf(path), path.slice(folderOf(path).length)];
  // What a text names leads nowhere on a disk, so that no folder is looked into of which no file may be used.
  const there = resolveUri(file.uri, `${folder}x${fileEnding}`);
  if (!mayUse(file, there, workspace)) return [];
  const names = workspace.list(folderOf(there)).filter((each) => each.endsWith(fileEnding));
  const near = names.includes(name + fileEnding) ? name + fileEnding : nearest(name, names);
  const elsewhere = [...workspace.everything().files.keys()].filter((uri) =>
    decodeURIComponent(uri).endsWith(`/${name}`),
  );
  const paths = near ? [(folder || './') + near] : elsewhere.map((uri) => relativePath(file.uri, uri));
  return paths
    .filter((each) => mayUse(file, resolveUri(file.uri, each), workspace))
    .map((each) => ({ title: `Write "${each}"`, edits: [{ start, end, text: `"${each}"` }] }));
}

function declaringFiles(file: SourceFile, name: string, workspace: Workspace): Fix[] {
  const all = workspace.everything();
  const here = all.files.get(file.uri)?.scope;
  return [...all.files.values()].flatMap(({ uri, scope }) => {
    const isDeclared = scope.own.kinds.has(name) || scope.own.declared.has(name);
    // A file that uses this one cannot be used by it.
    if (!isDeclared || (here && scope.used.includes(here)) || !mayUse(file, uri, workspace)) return [];
    const path = relativePath(file.uri, uri);
    return [{ title: `Use "${path}", which declares ${name}`, edits: [useEdit(file, path)] }];
  });
}

function mayUse(file: SourceFile, uri: string, { project }: Workspace): boolean {
  return uri !== file.uri && project.host.refuses?.(uri, file.uri) === undefined;
}
