import type { Kind, Member } from '../names/kind.ts';

export type ProposalSort =
  | 'value'
  | 'block'
  | 'part'
  | 'kind'
  | 'unit'
  | 'choice'
  | 'function'
  | 'keyword'
  | 'argument'
  | 'size'
  | 'rule'
  | 'check'
  | 'type'
  | 'local'
  | 'file';

/** Something that can be written at a place. */
export interface Proposal {
  readonly label: string;
  readonly sort: ProposalSort;
  /** What fits best has the least. */
  readonly rank: number;
  /** What is written, where it is not the label. */
  readonly text?: string;
  /** What is written where blanks can be left to be filled, one after the other: `$1`, `$2`, and `$0` where one goes on. */
  readonly blanks?: string;
  readonly detail?: string;
  readonly documentation?: string;
}

/** What is known of files and machines, which completion itself neither reads nor computes. */
export interface Hints {
  /** Lists what a folder holds, for the paths of `use`: names, folders with a slash at their end. */
  readonly listFiles?: (path: string) => readonly string[];
  /** Can blanks be filled one after the other where it is written? */
  readonly canFill?: boolean;
  /** What a block does not say yet, by its path: each name with how many rules wait for it. */
  readonly asked?: (path: string) => ReadonlyMap<string, number>;
  /** What is usual: what is given for a value, as it is written, the likeliest first; how often a value or a block is given, and which parts are taken. */
  readonly usual?: {
    values(member: Member): readonly string[];
    times(what: Member | Kind): number;
    readonly parts: ReadonlySet<string>;
  };
}
