import type { AstNode, TextRange } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import type { Kind, Member } from '../names/kind.ts';
import type { Type } from '../names/type.ts';
import type { Unit } from '../units/units.ts';

/** What sort of thing a name can mean. */
export type MeaningSort =
  | 'value'
  | 'block'
  | 'declaration'
  | 'kind'
  | 'part'
  | 'rule'
  | 'check'
  | 'unit'
  | 'argument'
  | 'local'
  | 'builtin'
  | 'choice'
  | 'size'
  | 'use'
  | 'keyword';

/** What a name in a text means. */
export interface Meaning {
  readonly sort: MeaningSort;
  readonly name: string;
  /** Where it is named, in absolute offsets. */
  readonly range: TextRange;
  /** What tells it from everything else: the node that declares it first, or words for what the language itself has. */
  readonly identity: AstNode | string;
  /** The names in the texts that declare it, the most specific first. */
  readonly declarations: readonly AstNode[];
  /** For a value or a block of a machine or part: which one. */
  readonly instance?: Instance;
  readonly member?: Member;
  readonly kind?: Kind;
  readonly unit?: Unit;
  readonly type?: Type;
  /** For a `use`: the file. */
  readonly uri?: string;
}

/** What is meant, wherever it is named. */
export type FoundMeaning = Omit<Meaning, 'range' | 'name'>;
