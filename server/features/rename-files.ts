import type { FileRename, TextEdit, WorkspaceEdit } from 'vscode-languageserver';
import { rangeOf, textOf } from '../../language/grammar/syntax.ts';
import { canonicalUri, type SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/**
 * The edits that let files and folders be renamed or moved: every `use` that leads to one of them, or stands in one of them, is
 * written so that it leads to the same file as before.
 */
export function renameFiles(renames: readonly FileRename[], workspace: Workspace): WorkspaceEdit {
  const moves = renames.map(({ oldUri, newUri }) => ({ from: canonicalUri(oldUri), to: canonicalUri(newUri) }));
  const moved = (uri: string) => {
    const move = moves.find(({ from }) => uri === from || uri.startsWith(`${from.replace(/\/$/, '')}/`));
    return move ? move.to + uri.slice(move.from.length) : uri;
  };
  const changes: Record<string, TextEdit[]> = {};
  for (const file of workspace.everything().files.values()) {
    const edits = editsIn(file, moved);
    if (edits.length > 0) changes[file.uri] = edits;
  }
  return { changes };
}

function editsIn(file: SourceFile, moved: (uri: string) => string): TextEdit[] {
  const here = moved(file.uri);
  return file.uses.flatMap(({ node, uri }) => {
    const target = moved(uri);
    if (target === uri && here === file.uri) return [];
    const newText = `"${relativePath(here, target)}"`;
    return newText === textOf(node.path) ? [] : [{ range: rangeIn(file, rangeOf(node.path)), newText }];
  });
}

/** How a file names another one in `use`. */
export function relativePath(from: string, to: string): string {
  const [start, end] = [from.split('/').slice(0, -1), to.split('/')];
  let same = 0;
  while (same < start.length && same < end.length - 1 && start[same] === end[same]) same++;
  const up = start.slice(same).map(() => '..');
  const path = [...(up.length > 0 ? up : ['.']), ...end.slice(same)].map(decodeURIComponent).join('/');
  return path.replace(/["\\]/g, '\\$&');
}
