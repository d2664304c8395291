import type { DocumentOnTypeFormattingOptions, Position, Range, TextEdit } from 'vscode-languageserver';
import { format } from '../../language/grammar/format.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import type { SourceFile } from '../../language/project.ts';
import { pathAt } from '../../language/types/situation.ts';

/** The changes that lay out a whole file, line by line, so that the cursor and what points into the text stay. */
export function formatEdits(file: SourceFile): TextEdit[] {
  const { text } = file.parsed;
  const formatted = format(text, file.parsed);
  return formatted === text ? [] : (lineEdits(text, formatted) ?? [wholeEdit(file, formatted)]);
}

/** The changes that lay out the lines of a range. */
export function formatRangeEdits(file: SourceFile, range: Range): TextEdit[] {
  const { text } = file.parsed;
  const last = range.end.character === 0 && range.end.line > range.start.line ? range.end.line - 1 : range.end.line;
  const edits = lineEdits(text, format(text, file.parsed)) ?? [];
  return edits.filter((edit) => edit.range.start.line >= range.start.line && edit.range.start.line <= last);
}

/** After which characters lines are laid out while somebody types. */
export const formatOnTypeOptions: DocumentOnTypeFormattingOptions = {
  firstTriggerCharacter: '\n',
  moreTriggerCharacter: ['}'],
};

/** The changes that lay out the line that was just ended, or the lines of the block that was just closed. */
export function formatTypedEdits(file: SourceFile, position: Position, typed: string): TextEdit[] {
  const last = typed === '\n' ? position.line - 1 : position.line;
  if (last < 0) return [];
  const first = typed === '}' ? lineOfOpening(file, position) : last;
  const edits = formatRangeEdits(file, lines(first, last));
  // Where the cursor stands nothing is taken away: an empty line is to be written on.
  return edits.filter(({ range }) => range.end.line <= last);
}

function lines(first: number, last: number): Range {
  return { start: { line: first, character: 0 }, end: { line: last + 1, character: 0 } };
}

/** The line on which the block begins that ends at a position; its own where none does. */
function lineOfOpening(file: SourceFile, position: Position): number {
  const offset = file.lines.offset(position);
  const body = pathAt(file, offset - 1).findLast((node) => node.$type === 'Body' && rangeOf(node).end === offset);
  return body ? file.lines.position(rangeOf(body).start).line : position.line;
}

function wholeEdit(file: SourceFile, newText: string): TextEdit {
  const end = file.lines.position(file.parsed.text.length);
  return { range: { start: { line: 0, character: 0 }, end }, newText };
}

/** What stands in a line, however it is spaced. */
function essence(line: string): string {
  return line.replace(/\s+/g, '');
}

/** One edit for each line that changes; undefined where the two texts are not the same lines in the same order. */
function lineEdits(before: string, after: string): TextEdit[] | undefined {
  const [old, fresh] = [before.split('\n'), after.split('\n')];
  const edits: TextEdit[] = [];
  let next = 0;
  for (const [line, text] of old.entries()) {
    const wanted = fresh[next];
    const last = line === old.length - 1;
    if (wanted !== undefined && essence(wanted) === essence(text) && (!last || next === fresh.length - 1)) {
      next++;
      if (wanted !== text) edits.push(replaceLine(line, text, wanted));
    } else if (text.trim() === '') edits.push(removeLine(line, text, last, old[line - 1] ?? ''));
    else return undefined;
  }
  if (next === fresh.length) return edits;
  // The text ended without a line end: one is put behind it.
  const rest = fresh.slice(next);
  if (next !== fresh.length - 1 || rest[0] !== '') return undefined;
  const at = { line: old.length - 1, character: (old.at(-1) ?? '').length };
  return [...edits, { range: { start: at, end: at }, newText: '\n' }];
}

function replaceLine(line: number, text: string, newText: string): TextEdit {
  return { range: { start: { line, character: 0 }, end: { line, character: text.length } }, newText };
}

function removeLine(line: number, text: string, last: boolean, before: string): TextEdit {
  const end = last ? { line, character: text.length } : { line: line + 1, character: 0 };
  const start = last && line > 0 ? { line: line - 1, character: before.length } : { line, character: 0 };
  return { range: { start, end }, newText: '' };
}
