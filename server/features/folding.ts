import type { FoldingRange } from 'vscode-languageserver';
import { type AstNode, childrenOf, rangeOf } from '../../language/grammar/syntax.ts';
import type { SourceFile } from '../../language/project.ts';

interface Fold {
  readonly from: number;
  readonly to: number;
}

/** What can be folded away, by lines: blocks, lists and comments over several lines, and the files used. */
export function foldingRanges(file: SourceFile): FoldingRange[] {
  const ranges: FoldingRange[] = file.parsed.file.items.flatMap((item) =>
    bracketed(item, file).map(({ from, to }) => ({ startLine: from, endLine: to })),
  );
  ranges.push(...comments(file).map(({ from, to }) => ({ startLine: from, endLine: to, kind: 'comment' })));
  const used = uses(file);
  if (used) ranges.push({ startLine: used.from, endLine: used.to, kind: 'imports' });
  return ranges;
}

/** From the line that opens a block or a list to the one before it closes, so that the closing bracket stays in sight. */
function bracketed(node: AstNode, file: SourceFile): Fold[] {
  const found: Fold[] = [];
  if (node.$type === 'Body' || node.$type === 'List') {
    const { start, end } = rangeOf(node);
    const closes = /[}\]]/.test(file.parsed.text[end - 1] ?? '');
    const from = file.lines.position(start).line;
    const to = file.lines.position(end).line - (closes ? 1 : 0);
    if (to > from) found.push({ from, to });
  }
  for (const child of childrenOf(node)) found.push(...bracketed(child, file));
  return found;
}

/** Comments that take up lines of their own, two or more in a row. */
function comments({ parsed }: SourceFile): Fold[] {
  const found: Fold[] = [];
  let from = -1;
  const lines = parsed.text.split('\n');
  for (let line = 0; line <= lines.length; line++) {
    const isComment = /^\s*\/\//.test(lines[line] ?? '');
    if (isComment && from < 0) from = line;
    if (isComment || from < 0) continue;
    if (line - 1 > from) found.push({ from, to: line - 1 });
    from = -1;
  }
  return found;
}

/** The lines that name the files used, if there are several in a row at the top. */
function uses({ parsed, lines }: SourceFile): Fold | undefined {
  const { items } = parsed.file;
  const count = items.findIndex((item) => item.$type !== 'Use');
  const [first, last] = [items[0], items[(count < 0 ? items.length : count) - 1]];
  if (!first || !last || first === last) return undefined;
  return { from: lines.position(rangeOf(first).start).line, to: lines.position(rangeOf(last).end).line };
}
