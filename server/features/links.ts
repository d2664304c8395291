import type { DocumentLink } from 'vscode-languageserver';
import { rangeOf } from '../../language/grammar/syntax.ts';
import type { SourceFile } from '../../language/project.ts';
import { rangeIn } from './diagnostics.ts';

/** The files that a file uses, each as a link from its path. */
export function documentLinks(file: SourceFile): DocumentLink[] {
  return file.uses.flatMap(({ node, uri, found }) => {
    if (!found) return [];
    const { start, end } = rangeOf(node.path);
    const closed = file.parsed.text[end - 1] === '"' && end - start > 1;
    const range = rangeIn(file, { start: start + 1, end: closed ? end - 1 : end });
    return [{ range, target: uri, tooltip: 'Open the file' }];
  });
}
