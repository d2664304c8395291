import { Lexer } from '../lexer.ts';
import type { ParsedFile, ParsedItem } from '../syntax.ts';
import { textBefore } from './lines.ts';

/** Finds the items of an older text that an edit left alone. */
export class Reuse {
  readonly #same: number;
  readonly #tail: number;
  readonly #shift: number;
  #next = 0;
  readonly previous: ParsedFile;
  readonly text: string;
  constructor(previous: ParsedFile, text: string) {
    this.previous = previous;
    this.text = text;
    const old = previous.text;
    const most = Math.min(old.length, text.length);
    let same = 0;
    while (same < most && old.charCodeAt(same) === text.charCodeAt(same)) same++;
    let tail = 0;
    while (tail < most - same && old.charCodeAt(old.length - 1 - tail) === text.charCodeAt(text.length - 1 - tail))
      tail++;
    this.#same = same;
    this.#tail = old.length - tail;
    this.#shift = text.length - old.length;
  }

  /** Takes the items that end, with the line after them, before the change. Returns where to go on. */
  takeBefore(items: ParsedItem[]): number {
    const { previous } = this;
    if (previous.loose.some((mistake) => mistake.start < this.#same)) return 0;
    for (const item of previous.items) {
      const line = previous.text.indexOf('\n', item.end);
      if (item.open || line < 0 || line + 1 > this.#same || this.#leansOn(item)) break;
      items.push(item);
      this.#next++;
    }
    return items[items.length - 1]?.end ?? 0;
  }

  /** Does an item without a block end where it does because of what stands below, and was that changed? */
  #leansOn(item: ParsedItem): boolean {
    const { text } = this.previous;
    return text[item.end - 1] !== '}' && new Lexer(text).read(item.end, true).end >= this.#same;
  }

  /** Takes the rest of the older items, if one of them begins just here and behind the change. */
  takeAfter(start: number, items: ParsedItem[]): boolean {
    const { previous } = this;
    while (this.#next < previous.items.length && this.#startOf(this.#next) < start) this.#next++;
    const item = previous.items[this.#next];
    if (!item || item.start < this.#tail || this.#startOf(this.#next) !== start) return false;
    // How far the item stands in tells where its blocks end.
    if (textBefore(previous.text, item.start) !== textBefore(this.text, start)) return false;
    // Text between the items would have to be read again.
    if (previous.loose.some((mistake) => mistake.start >= item.start)) return false;
    for (const rest of previous.items.slice(this.#next)) {
      rest.start += this.#shift;
      rest.end += this.#shift;
      items.push(rest);
    }
    this.#next = previous.items.length;
    return true;
  }

  #startOf(index: number): number {
    return (this.previous.items[index] as ParsedItem).start + this.#shift;
  }
}
