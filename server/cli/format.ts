import { firstTear, format } from '../../language/grammar/format.ts';
import { parse } from '../../language/grammar/parser.ts';
import { Lines } from '../../language/grammar/syntax.ts';
import { shorten } from '../../language/rewriting.ts';
import { asCall, diskProject, displayPath, gather, readText, uriOf } from './files.ts';
import { CallError, count, exitStatuses, type Io } from './io.ts';
import { replaceFile, replaceUnlessChanged } from './replace.ts';

/**
 * Formats files and folders in place and names those that changed. With `check`, nothing is written, and the exit status
 * tells whether anything would be. A file whose brackets do not match cannot be formatted: it is named, and the exit status
 * tells of it either way.
 */
export function formatFiles(paths: readonly string[], { check }: { check: boolean }, io: Io): number {
  const files = gather(paths, io.cwd).map((full) => ({ full, ...laidOut(readText(full, io.cwd, true)) }));
  const torn = files.filter((file) => file.torn !== undefined);
  const changed = files.filter((file) => file.formatted !== file.text);
  for (const { full, torn: line } of torn)
    io.out(`cannot be formatted  ${displayPath(full, io.cwd)}:${line}: its brackets do not match\n`);
  for (const { full, formatted } of changed) {
    const path = displayPath(full, io.cwd);
    if (!check) asCall(path, () => replaceFile(full, formatted), 'written');
    io.out(`${check ? 'not formatted' : 'formatted'}  ${path}\n`);
  }
  const rest = files.length - changed.length - torn.length;
  if (rest > 0)
    io.out(
      `${count(rest, 'file')} ${rest < files.length ? 'more ' : ''}${rest === 1 ? 'is' : 'are'} formatted already.\n`,
    );
  return torn.length > 0 || (check && changed.length > 0) ? exitStatuses.found : exitStatuses.good;
}

/**
 * Writes what files and folders say at length the short way, where every value and all that is found stays as it is, and tells what was
 * changed. A file that somebody has changed since it was read is left as it is, and told by a `CallError`.
 */
export function shortenFiles(paths: readonly string[], io: Io): number {
  const files = gather(paths, io.cwd);
  const project = diskProject(io.cwd, paths);
  const texts = files.map((full) => ({ full, text: readText(full, io.cwd, true) }));
  for (const { full, text } of texts) project.update(uriOf(full), text.replace(/^\ufeff/, ''));
  for (const { full, text } of texts) {
    const mark = text.startsWith('\ufeff') ? '\ufeff' : '';
    const made = [...shorten(uriOf(full), project)].flatMap((title) => title ?? []);
    const path = displayPath(full, io.cwd);
    const written = mark + format(project.file(uriOf(full))?.parsed.text ?? '');
    if (made.length > 0 && !asCall(path, () => replaceUnlessChanged(full, text, written), 'written'))
      throw new CallError(`${path} was changed meanwhile, and is left as it is.`);
    io.out(`${path}: ${count(made.length, 'change')}\n${made.map((title) => `  ${title}\n`).join('')}`);
  }
  return exitStatuses.good;
}

interface LaidOut {
  readonly text: string;
  readonly formatted: string;
  /** The line, from 1, where brackets do not match, if they do not. */
  readonly torn: number | undefined;
}

/** A text and how it is laid out. The mark of the byte order is no part of what is formatted, and stays. */
function laidOut(text: string): LaidOut {
  const mark = text.startsWith('\ufeff') ? '\ufeff' : '';
  const written = text.slice(mark.length);
  const parsed = parse(written);
  const torn = firstTear(parsed);
  if (torn) return { text, formatted: text, torn: new Lines(parsed.text).position(torn.start).line + 1 };
  return { text, formatted: mark + format(written, parsed), torn: undefined };
}
