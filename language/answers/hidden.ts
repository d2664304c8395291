import { hiddenCharacters } from '../grammar/hidden.ts';
import { mistakeAt } from '../grammar/syntax.ts';
import type { TextFile } from '../machine/text-file.ts';
import type { Mistake } from '../mistakes/mistake.ts';
import { spelling } from '../mistakes/spelling.ts';

/** Characters in the comments and texts of a file that are not seen and do something, each with a change that takes it out. */
export function hiddenIn({ parsed }: TextFile): Mistake[] {
  return [...parsed.text.matchAll(hiddenCharacters)].map(({ 0: character, index: start }) => {
    const range = { start, end: start + character.length };
    return mistakeAt(spelling.hidden_character(character), range, { title: 'Take it out', ...range, text: '' });
  });
}
