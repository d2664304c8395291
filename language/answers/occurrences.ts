import { type AstNode, fileOf, rangeOf, type TextRange } from '../grammar/syntax.ts';
import type { TextFile, TextFiles } from '../machine/text-file.ts';
import type { Meaning } from './meaning.ts';
import { meaningsAt } from './meanings-at.ts';

export interface Occurrence<File extends TextFile = TextFile> {
  readonly file: File;
  readonly range: TextRange;
  readonly meaning: Meaning;
  /** True where it is declared there. */
  readonly declares: boolean;
}

/** The file of a project that a node stands in. */
export function sourceOf<File extends TextFile>(node: AstNode, project: TextFiles<File>): File | undefined {
  const root = fileOf(node);
  for (const file of project.files.values()) if (file.parsed.file === root) return file;
  for (const [uri, parsed] of project.library.files) if (parsed.file === root) return project.file(uri);
  return undefined;
}

/** Every place of the project's files that names the same thing, library included, in the order of the text. */
export function occurrencesOf<File extends TextFile>(meaning: Meaning, project: TextFiles<File>): Occurrence<File>[] {
  const library = [...project.library.files.keys()].flatMap((uri) => project.file(uri) ?? []);
  return [...project.files.values(), ...library].flatMap((file) => occurrencesIn(file, meaning));
}

/** The places of one file that name the same thing. */
export function occurrencesIn<File extends TextFile>(
  file: File,
  { name, identity }: Pick<Meaning, 'name' | 'identity'>,
): Occurrence<File>[] {
  const found: Occurrence<File>[] = [];
  const { text } = file.parsed;
  const word = /^[\p{L}_]/u.test(name);
  for (let at = text.indexOf(name); at >= 0; at = text.indexOf(name, at + name.length)) {
    if (word && (isWordPart(text, at - 1) || isWordPart(text, at + name.length))) continue;
    const meaning = meaningsAt(file, at + (word ? 0 : 1)).find((m) => m.identity === identity && m.range.start === at);
    if (!meaning) continue;
    const declares = meaning.declarations.some((d) => fileOf(d) === file.parsed.file && rangeOf(d).start === at);
    found.push({ file, range: meaning.range, meaning, declares });
  }
  return found;
}

function isWordPart(text: string, at: number): boolean {
  return /[\p{L}\p{N}_]/u.test(text.charAt(at));
}
