import { partFromBlock, partInBlock, partToFile } from './answers/rewrite-parts.ts';
import { defaultsWrittenOut, namedValue, unitsInstead } from './answers/rewrite-values.ts';
import { variantOfEdit } from './answers/rewrite-variant.ts';
import type { Rewriting } from './answers/rewriting.ts';
import { parse } from './grammar/parser.ts';
import { copyOfProject } from './mending.ts';
import { withEdits } from './mistakes/mistake.ts';
import type { Project, SourceFile } from './project.ts';
import { isSound } from './rehearsal.ts';

/**
 * What can be written otherwise at an offset of a file with every value as it is; `saved` is its text as it was saved, where that is known.
 * Each is tried, for as long as there is time: none brings a finding, or a text a mistake.
 */
export function rewritings(
  file: SourceFile,
  offset: number,
  project: Project,
  saved?: string,
  isTime: () => boolean = () => true,
): Rewriting[] {
  const within = [
    ...partFromBlock(file, offset),
    ...partInBlock(file, offset),
    ...namedValue(file, offset),
    ...unitsInstead(file, offset),
    ...defaultsWrittenOut(file, offset),
  ].filter(({ edits }) => isTime() && isSound(edits, file, project));
  // What was changed can bring findings of its own: the variant has them then, and the machine has not.
  const variants = saved === undefined || saved === file.parsed.text ? [] : variantOfEdit(file, offset, parse(saved));
  const targets = file.uses.flatMap(({ uri, found }) => {
    const used = found ? project.file(uri) : undefined;
    return used && !used.isLibrary ? [{ uri, name: decodeURIComponent(uri.slice(uri.lastIndexOf('/') + 1)) }] : [];
  });
  const moves = partToFile(file, offset, targets).filter((move) => isTime() && isRead(move, file, project));
  return [...within, ...moves, ...variants.filter((variant) => isRead(variant, file, project))];
}

/** Does a change bring no file a mistake: that itself, the one that something goes to, and those at hand that use them? */
function isRead({ edits, elsewhere }: Rewriting, file: SourceFile, project: Project): boolean {
  const copy = copyOfProject(project, file.uri);
  const before = mistakesIn(copy);
  copy.update(file.uri, withEdits(edits, file.parsed.text));
  const there = elsewhere && copy.file(elsewhere.uri);
  if (elsewhere && there) copy.update(elsewhere.uri, withAtEnd(there.parsed.text, elsewhere.text));
  return [...mistakesIn(copy)].every((mistake) => before.has(mistake));
}

function mistakesIn(project: Project): Set<string> {
  const told = [...project.files.values()].flatMap((file) =>
    project.mistakes(file).map(({ severity, message }) => ({ text: `${file.uri} ${message}`, severity })),
  );
  return new Set(told.filter(({ severity }) => severity !== 'note').map(({ text }) => text));
}

/** A text with an item at its end, apart from what stands before it. */
export function withAtEnd(text: string, item: string): string {
  const before = text.trimEnd();
  return `${before}${before && '\n\n'}${item}`;
}
