import { isFunctionName, languageFunctions } from '../types/functions.ts';
import type { FoundMeaning } from './meaning.ts';

const ownWords: Readonly<Record<string, string>> = {
  self: 'The block itself.',
  holder: 'What holds the block.',
  name: 'The name of the block.',
  count: 'How many the block stands for.',
  part: 'The name of the part that the block starts from; not given where it starts from a kind alone.',
  currency: 'The currency of a price, by its code.',
  width: 'The first side of a size.',
  depth: 'The second side of a size.',
  height: 'The third side of a size.',
};

/** What the language itself says of a name; undefined for names that are not its own. */
export function languageWord(name: string): string | undefined {
  return (
    (Object.hasOwn(ownWords, name) ? ownWords[name] : undefined) ??
    (isFunctionName(name) ? languageFunctions[name].doc : undefined)
  );
}

/** The same as what a name means. */
export function ownWord(name: string): FoundMeaning | undefined {
  return languageWord(name) === undefined
    ? undefined
    : { sort: 'builtin', identity: `builtin ${name}`, declarations: [] };
}
