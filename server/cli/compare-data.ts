import type { Differences } from '../../language/answers/compare.ts';
import type { Statement } from '../../language/answers/statement-edits.ts';
import type { Comparison, FileEdit } from '../../language/explore/comparing.ts';
import type { Compared } from './compare-schema.ts';

/** A comparison as plain data, from which all that is shown of it is made. `nameOf` is how a file is best called. */
export function comparedData(
  found: Comparison,
  { before, after }: Pick<Compared, 'before' | 'after'>,
  nameOf: (uri: string) => string,
  byLibrary?: Differences,
): Compared {
  return {
    before,
    after,
    edits: found.edits.map((edit) => editData(edit, before.machine, after.machine, nameOf)),
    renamed: [...found.names].map(([now, then]) => ({ before: then, after: now })),
    mistakes: [...found.mistakes],
    unread: found.unread,
    ...movesData(found, found),
    byLibrary: byLibrary ? movesData(byLibrary) : null,
  };
}

function movesData({ turns, margins, values, parts }: Differences, causes?: Comparison) {
  const at = new Map(causes?.edits.map(({ id }, i) => [id, i]));
  return {
    turns: turns.map(({ key, ...turn }) => {
      const sets = causes?.causes.get(key);
      return { ...turn, ...(sets && { causes: sets.map((ids) => ids.map((id) => at.get(id) ?? 0)) }) };
    }),
    margins: margins.map((move) => ({ ...move })),
    values: values.map(({ path, before, after, change, own }) => ({
      path,
      before: before ?? null,
      after: after ?? null,
      change: change ?? null,
      own,
    })),
    parts: parts.map(({ name, is, what }) => ({ name, is, what: what ?? null })),
  };
}

function editData(edit: FileEdit, was: string, is: string, nameOf: (uri: string) => string): Compared['edits'][number] {
  const path = shortPath(edit.path, was, is);
  const [before, after] = [edit.before?.head ?? null, edit.after?.head ?? null];
  return { is: edit.is, path, file: nameOf(edit.uri), before, after, text: inWords(edit, path, was, is) };
}

function shortPath(path: readonly string[], was: string, is: string): string {
  const below = path[0] === was || path[0] === is ? path.slice(1) : path;
  return (below.length > 0 ? below : path).join('.');
}

function inWords(edit: FileEdit, path: string, was: string, is: string): string {
  const { before, after } = edit;
  if (edit.is === 'moved') return `${shortPath(edit.from ?? [], was, is)} moved to ${path}`;
  if (before && after) {
    const start = sharedStart(before.head, after.head);
    return `${path}: ${before.head.slice(start)} → ${after.head.slice(start)}`;
  }
  const around = path.slice(0, -(edit.path.at(-1) ?? '').length);
  return `${edit.is === 'removed' ? 'without' : 'with'} ${around}${whole((after ?? before) as Statement)}`;
}

/** How much two statements share at their start, up to the sign or word behind which they differ: `power = `, `motor left `. */
function sharedStart(a: string, b: string): number {
  const given = /^[\p{L}_][\p{L}\p{N}_]* = /u.exec(a)?.[0] ?? '';
  if (given && b.startsWith(given)) return given.length;
  const required = /^require .*?(?=[<>]=? )/u.exec(a)?.[0] ?? '';
  return required && b.startsWith(required) ? required.length : 0;
}

function whole({ head, body }: Statement): string {
  if (body.length === 0) return head;
  return body.length === 1 && body[0]?.body.length === 0
    ? `${head} { ${body[0].head} }`
    : `${head} { ${body.length} statements }`;
}
