import type { InlineCompletionItem, Position } from 'vscode-languageserver';
import { cursorAt } from '../../language/answers/complete-cursor.ts';
import type { SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { wholeAt } from './completion.ts';

/** Whole blocks that answer what others ask, behind what is typed of their first lines; none in the middle of a line. */
export function inlineCompletions(
  file: SourceFile,
  { line, character }: Position,
  workspace: Workspace,
): InlineCompletionItem[] {
  const start = file.lines.offset({ line, character: 0 });
  const [text = ''] = file.parsed.text.slice(start).split(/\r?\n/, 1);
  const [, indent = '', typed = ''] = /^(\s*)(.*)$/.exec(text.slice(0, character)) ?? [];
  if (text.slice(character).trim()) return [];
  const block = cursorAt(file, start + character)?.outer.ctx.instance;
  if (!block) return [];
  return wholeAt(file, block.path, workspace)
    .filter(({ head }) => head.startsWith(typed))
    .map(({ text: whole }) => ({
      insertText: whole.replaceAll('\n', `\n${indent}`),
      filterText: whole,
      range: { start: { line, character: indent.length }, end: { line, character } },
    }));
}
