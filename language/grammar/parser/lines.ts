/**
 * The text with a line feed for each carriage return that stands alone: editors and their protocol take both for the end of a
 * line. Nothing moves.
 */
export function withLineEnds(text: string): string {
  return text.includes('\r') ? text.replace(/\r(?!\n)/g, '\n') : text;
}

/** How many blanks the line of an offset begins with. */
export function indentOf(text: string, offset: number): number {
  const start = text.lastIndexOf('\n', offset - 1) + 1;
  let at = start;
  while (text[at] === ' ' || text[at] === '\t') at++;
  return at - start;
}

/** Do only blanks stand before an offset in its line? */
export function startsLine(text: string, offset: number): boolean {
  return text.lastIndexOf('\n', offset - 1) + 1 + indentOf(text, offset) === offset;
}

/** What stands before an offset in its line. */
export function textBefore(text: string, offset: number): string {
  return text.slice(text.lastIndexOf('\n', offset - 1) + 1, offset);
}
