import type { Position, SelectionRange } from 'vscode-languageserver';
import { type AstNode, nodesAt, rangeOf, type TextRange } from '../../language/grammar/syntax.ts';
import type { SourceFile } from '../../language/project.ts';
import { rangeIn } from './diagnostics.ts';

/** What "expand selection" takes in, step by step: the word, the expression, the statement, the block's inside, the block, the file. */
export function selectionRanges(file: SourceFile, positions: readonly Position[]): SelectionRange[] {
  return positions.map((position) => {
    const offset = file.lines.offset(position);
    const around = nodesAt(file.parsed.file, offset).flatMap((node) => spansOf(node, offset, file));
    const whole: SelectionRange = { range: rangeIn(file, { start: 0, end: file.parsed.text.length }) };
    return around.reduce<SelectionRange>((parent, span) => {
      const range = rangeIn(file, span);
      return JSON.stringify(range) === JSON.stringify(parent.range) ? parent : { range, parent };
    }, whole);
  });
}

/** A node's text; of a block or a list what stands between the brackets as well, where the cursor does. */
function spansOf(node: AstNode, offset: number, { parsed }: SourceFile): TextRange[] {
  if (node === parsed.file) return [];
  const whole = rangeOf(node);
  const opened = node.$type === 'Body' || node.$type === 'List';
  const text = parsed.text.slice(whole.start, whole.end);
  if (!opened || !/[}\]]$/.test(text)) return [whole];
  const inside = text.slice(1, -1);
  const start = whole.start + 1 + (inside.length - inside.trimStart().length);
  const end = whole.start + 1 + inside.trimEnd().length;
  return start <= offset && offset <= end ? [whole, { start, end }] : [whole];
}
