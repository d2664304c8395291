import type { TextEdit } from '../mistakes/mistake.ts';

/** A change of texts that leaves every value as it is. */
export interface Rewriting {
  readonly title: string;
  readonly sort: 'extract' | 'inline' | 'move' | 'rewrite';
  readonly edits: readonly TextEdit[];
  /** A block that goes by another name then, below the machine: from what to what. */
  readonly moves?: readonly [string, string];
  /** Values that say otherwise what they said. */
  readonly otherwise?: ReadonlySet<string>;
  /** What goes to another file: to the end of one that is there, or to one that is made for it. */
  readonly elsewhere?: { readonly uri: string; readonly text: string; readonly isNew?: boolean };
}
