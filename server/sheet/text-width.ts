/** Widths of letters as shares of the size, of a wide sans serif: what fits with it fits with narrower ones. */
const widths: readonly (readonly [string, number])[] = [
  ["ijlI'|.,:;", 0.33],
  ['frt()[]/\\- ', 0.42],
  ['mwMW@%', 0.98],
  ['0123456789=+−→²°·', 0.66],
  ['ABCDEFGHJKLNOPQRSTUVXYZ', 0.74],
];
const width = new Map(widths.flatMap(([letters, share]) => [...letters].map((letter) => [letter, share] as const)));

/** How wide a text is at most, in the units of its size. */
export function textWidth(text: string, size: number, isBold = false): number {
  const shares = [...text].map((letter) => width.get(letter) ?? 0.63);
  return shares.reduce((sum, share) => sum + share, 0) * size * (isBold ? 1.1 : 1);
}

/** A text that is no wider than there is room: cut from its left, where a path begins. */
export function fitted(text: string, size: number, room: number, isBold = false): string {
  if (textWidth(text, size, isBold) <= room) return text;
  const letters = [...text];
  while (letters.length > 1 && textWidth(`…${letters.join('')}`, size, isBold) > room) letters.shift();
  return `…${letters.join('')}`;
}

/** A text broken between its words into lines that are no wider than there is room. */
export function wrapped(text: string, size: number, room: number): string[] {
  const lines: string[] = [];
  for (const word of text.split(' ')) {
    const last = lines.at(-1);
    const longer = last === undefined ? word : `${last} ${word}`;
    if (last !== undefined && textWidth(longer, size) <= room) lines[lines.length - 1] = longer;
    else lines.push(fitted(word, size, room));
  }
  return lines;
}
