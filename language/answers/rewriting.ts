import type { TextEdit } from '../mistakes/mistake.ts';

/** A change of texts that leaves every value as it is. */
export interface Rewriting {
  readonly title: string;
  readonly sort: 'extract' | 'inline' | 'move' | 'rewrite';
  readonly edits: readonly TextEdit[];
  /** What goes to another file: to its end, where it is there. */
  /** A block that goes by another name then, below the machine: from what to what. */
  readonly moves?: readonly [string, string];
  /** Values that say otherwise what they said. */
  readonly otherwise?: ReadonlySet<string>;
  readonly elsewhere?: { readonly uri: string; readonly text: string };
}
