import { meaningsAt, symbolAt } from '../../language/answers/meanings-at.ts';
import { occurrencesOf } from '../../language/answers/occurrences.ts';
import { ownKind } from '../own-kind.ts';
import { read } from '../support.ts';

const required = '  require roller.rim(at: 0.2) < 1 m\n';
const own = ownKind.replace(required, `${required}  accept drum_wide because "so"\n`);
const { project, file } = read(own);

/** The offset that a piece of the text marks with `|`. */
function marked(piece: string): number {
  const at = own.indexOf(piece.replace('|', ''));
  if (at < 0) throw new Error(`the text has no ${piece}`);
  return at + piece.indexOf('|');
}

/** `sort@path`, for each meaning of a place. */
export function meanings(piece: string): string[] {
  return meaningsAt(file, marked(piece)).map((m) => m.sort + (m.instance ? `@${m.instance.path}` : ''));
}

/** The lines that name what a place names. */
export function lines(piece: string): string[] {
  const meaning = symbolAt(file, marked(piece));
  const found = meaning ? occurrencesOf(meaning, project) : [];
  return found.map((o) => own.split('\n')[o.file.lines.position(o.range.start).line]?.trim() ?? '');
}
