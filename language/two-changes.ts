import type { Fix } from './judge/fixes.ts';
import { type TextEdit, withEdits } from './mistakes/mistake.ts';

/** Two changes as one: the second of the text that the first makes. Undefined where both change the same place. */
export function both(first: Fix, second: Fix, text: string): Fix | undefined {
  const edits = oneAfterAnother(first.edits, second.edits, text);
  const title = `${first.title}, and ${second.title.charAt(0).toLowerCase()}${second.title.slice(1)}`;
  return edits && { title, edits, mends: first.mends };
}

/** Edits of a text that do what some do, and then others of the text that these make; undefined where both change the same place. */
function oneAfterAnother(
  first: readonly TextEdit[],
  second: readonly TextEdit[],
  text: string,
): TextEdit[] | undefined {
  if (second.some((edit) => isWithinWritten(edit, first))) return undefined;
  const between = withEdits(first, text);
  const before = second.map(({ start, end, text: by }) => {
    const from = placeBefore(start, first);
    return { start: from, end: from + (end - start), text: by };
  });
  const all = [...first, ...before];
  // Two that begin at one place may come in another order: only what comes to the same text is the same change.
  return withEdits(all, text) === withEdits(second, between) ? all : undefined;
}

/** Does an edit change something that others wrote? */
function isWithinWritten({ start, end }: TextEdit, others: readonly TextEdit[]): boolean {
  let moved = 0;
  return others
    .toSorted((a, b) => a.start - b.start)
    .some((other) => {
      const from = other.start + moved;
      moved += other.text.length - (other.end - other.start);
      return start < from + other.text.length && end > from;
    });
}

/** Where a place of a text was before some edits of it. */
function placeBefore(place: number, edits: readonly TextEdit[]): number {
  let moved = 0;
  for (const { start, end, text } of edits.toSorted((a, b) => a.start - b.start))
    if (start + moved + text.length <= place) moved += text.length - (end - start);
  return place - moved;
}
