import type { Mistake } from '../mistakes/mistake.ts';
import { spelling } from '../mistakes/spelling.ts';
import type * as ast from './generated/ast.ts';
import { Lexer, type Token } from './lexer.ts';
import { parseItem } from './parser/items.ts';
import { withLineEnds } from './parser/lines.ts';
import { Braces } from './parser/lost-braces.ts';
import { Reuse } from './parser/reuse.ts';
import { otherComment, strayClose } from './parser/stray.ts';
import { mistakeAt, type ParsedFile, type ParsedItem, setParsed } from './syntax.ts';

/**
 * Parses a file. Never throws: what cannot be read is told as mistakes, one for each place, and everything else keeps its
 * nodes. With `previous`, top-level items that the change did not touch are taken over as they are.
 */
export function parse(written: string, previous?: ParsedFile): ParsedFile {
  const text = withLineEnds(written);
  const file = { $type: 'SpecFile', items: [] as ast.Item[] } as unknown as ast.SpecFile;
  const items: ParsedItem[] = [];
  const loose: Mistake[] = [];
  const reuse = previous && new Reuse(previous, text);
  let offset = reuse?.takeBefore(items) ?? 0;
  const lexer = new Lexer(text);
  const braces = new Braces(text);
  for (;;) {
    const token = lexer.read(offset, true);
    if (token.kind === 'end') break;
    if (reuse?.takeAfter(token.start, items)) {
      offset = items[items.length - 1]?.end ?? token.start;
      if (lexer.read(offset, true).kind === 'end') break;
      continue;
    }
    if (token.kind !== 'word') {
      offset = strayLine(lexer, token, loose);
      continue;
    }
    const item = parseItem(text, token.start, braces);
    items.push(item);
    offset = item.end;
  }
  for (const item of items) {
    file.items.push(item.node);
    Object.assign(item.node, { $container: file, $at: item.start });
  }
  const parsed = { text, file, items, loose };
  setParsed(parsed);
  return parsed;
}

/** Reports a line that begins no statement. Returns where to go on. */
function strayLine(lexer: Lexer, token: Token, loose: Mistake[]): number {
  const { text, start, end } = token;
  const newline = lexer.text.indexOf('\n', start);
  const lineEnd = newline < 0 ? lexer.text.length : newline;
  const comment = otherComment(lexer.text, start);
  if (comment) {
    loose.push(comment);
    return comment.end;
  }
  if (text === '}' || text === ']' || text === ')') {
    loose.push(mistakeAt(strayClose(text), token, { title: 'Remove it', start, end, text: '' }));
    return end;
  }
  const { meaningless, braceAlone, inFile } = spelling.stray_text;
  const wording = token.kind === 'bad' ? meaningless(text) : text === '{' ? braceAlone() : inFile(text);
  loose.push(mistakeAt(wording, token));
  return lineEnd;
}
