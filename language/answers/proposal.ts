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

/** A block that answers a question of another as a whole. */
export interface WholeBlock {
  /** What its first line begins with: its kind, and its name. */
  readonly head: string;
  /** Its text, lines indented by two blanks. */
  readonly text: string;
  /** The same with blanks where a number is to be looked at, one after the other. */
  readonly blanks: string;
  /** The block that the question is asked of, and the question. */
  readonly of: string;
  readonly question: string;
  /** How many rules wait for the answer. */
  readonly waiting: number;
}

/** What is known of files and machines, which completion itself neither reads nor computes. */
export interface Hints {
  /** Lists what a folder holds, for the paths of `use`: names, folders with a slash at their end. */
  readonly listFiles?: (path: string) => readonly string[];
  /** Can blanks be filled one after the other where it is written? */
  readonly canFill?: boolean;
  /** What a block does not say yet, by its path: each name with how many rules wait for it. */
  readonly asked?: (path: string) => ReadonlyMap<string, number>;
  /** Whole blocks that answer what others ask, that can stand in a block by its path. */
  readonly whole?: (path: string) => readonly WholeBlock[];
  /** What is usual: what is given for a value, as it is written, the likeliest first; how often a value or a block is given, and which parts are taken. */
  readonly usual?: {
    values(member: Member): readonly string[];
    times(what: Member | Kind): number;
    readonly parts: ReadonlySet<string>;
  };
}
