import type { Item, Use } from '../grammar/generated/ast.ts';
import type { Lines, ParsedFile } from '../grammar/syntax.ts';
import type { Scope } from '../names/scope.ts';
import type { Instance } from './tree.ts';

/** One file as read: its text, what it sees, and the files it uses. */
export interface TextFile {
  readonly uri: string;
  readonly parsed: ParsedFile;
  readonly scope: Scope;
  readonly lines: Lines;
  readonly uses: readonly { readonly node: Use; readonly uri: string }[];
  /** The tree of an item, where one was built of this very text. */
  builtTree?(item: Item): Instance | undefined;
}

/** Files that see each other, and the library's. */
export interface TextFiles<File extends TextFile = TextFile> {
  readonly files: ReadonlyMap<string, File>;
  readonly library: { readonly files: ReadonlyMap<string, ParsedFile> };
  file(uri: string): File | undefined;
}
