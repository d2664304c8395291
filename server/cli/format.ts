import { writeFileSync } from 'node:fs';
import { format } from '../../language/format.ts';
import { asCall, displayPath, gather, readText } from './files.ts';
import { count, exits, type Io } from './io.ts';

/**
 * Formats files and folders in place and names those that changed. With `check`, nothing is written, and the exit status
 * tells whether anything would be.
 */
export function formatFiles(paths: readonly string[], { check }: { check: boolean }, io: Io): number {
  const texts = gather(paths, io.cwd).map((full) => ({ full, text: readText(full, io.cwd, true) }));
  const changed = texts.flatMap(({ full, text }) => {
    const formatted = formatWhole(text);
    return formatted === text ? [] : [{ full, formatted }];
  });
  for (const { full, formatted } of changed) {
    const path = displayPath(full, io.cwd);
    if (!check) asCall(path, () => writeFileSync(full, formatted), 'written');
    io.out(`${check ? 'not formatted' : 'formatted'}  ${path}\n`);
  }
  const rest = texts.length - changed.length;
  if (rest > 0)
    io.out(`${count(rest, 'file')} ${changed.length ? 'more ' : ''}${rest === 1 ? 'is' : 'are'} formatted already.\n`);
  return check && changed.length > 0 ? exits.found : exits.good;
}

/** The mark of the byte order is no part of the text that is formatted, and stays. */
function formatWhole(text: string): string {
  const mark = text.startsWith('\ufeff') ? '\ufeff' : '';
  return mark + format(text.slice(mark.length));
}
