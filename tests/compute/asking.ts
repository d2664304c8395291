import { expect } from 'vitest';
import { machineIn, shown, toldOf } from '../support.ts';

/** A block of a kind of its own whose `answer` is a formula. */
export interface Asked {
  readonly type?: string;
  /** What the kind declares besides. */
  readonly has?: string;
  /** What the block says. */
  readonly says?: string;
  /** What the file declares besides. */
  readonly beside?: string;
}

/** The text of such a block. */
export function asking(formula: string, { type = 'Count', has = '', says = '', beside = '' }: Asked): string {
  return `/// Asks.
kind asker {
  toplevel
  ${has}
  /// What is asked.
  answer: ${type} = ${formula} {
    source defined "a question of a test"
  }
}
${beside}
asker a {
  ${says}
}
`;
}

/** What a formula comes to, as people read it; it has no mistake. */
export function answer(formula: string, asked: Asked = {}): string {
  const text = asking(formula, asked);
  expect(toldOf(text).filter(({ severity }) => severity !== 'note')).toEqual([]);
  return shown(machineIn(text), 'answer');
}
