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
  readonly detail?: string;
  readonly documentation?: string;
}
