/**
 * Characters that are not seen and do something all the same: those that turn the way in which all that follows is read, so that numbers
 * beside them are read wrongly, and those that a terminal obeys. Letters that are written from the right need none of them.
 * Source: Unicode Standard Annex 9, 2; Technical Report 36, 2.3; ECMA-48, 5.2 and 5.3.
 */
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are what is looked for.
export const hiddenCharacters = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/g;

/** A text without them, as it is shown. */
export function withoutHidden(text: string): string {
  return text.replace(hiddenCharacters, '');
}
