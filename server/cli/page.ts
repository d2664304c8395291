import { type SourceNote, standingWords } from '../../language/answers/derivation.ts';
import { docOf } from '../../language/grammar/syntax.ts';
import type { TextPlace, TextPlaces } from './files.ts';
import { type Io, type Styles, stylesFor, wrap } from './io.ts';

type Node = Parameters<typeof docOf>[0];

/** `IEC 60228 (read in the source itself)` */
export function sourceInWords({ standing, text }: SourceNote): string {
  return `${text} (${standingWords[standing]})`;
}

/** A formula that may stand on several lines, on one. */
export function onOneLine(text: string): string {
  return text
    .replace(/\s+/g, ' ')
    .replace(/([([]) /g, '$1')
    .replace(/ ([)\]])/g, '$1');
}

const labelWidth = 12;

/** `FILE:LINE:COLUMN` */
export function showPlace({ file, line, column }: Pick<TextPlace, 'file' | 'line' | 'column'>): string {
  return `${file}:${line}:${column}`;
}

/** A page of text that explains something: a title, prose, rows with a label, lists, and code. */
export class Page {
  readonly style: Styles;
  readonly #parts: string[] = [];
  readonly io: Io;
  readonly places: Pick<TextPlaces, 'of'>;
  constructor(io: Io, places: Pick<TextPlaces, 'of'>) {
    this.io = io;
    this.places = places;
    this.style = stylesFor(io);
  }

  /** A title, and where what it names is declared. */
  title(text: string, node?: Node): this {
    const place = node && this.placeOf(node);
    return this.add(this.style.heading(text) + (place ? `\n${this.style.quiet(place)}` : ''));
  }

  placeOf(node: Node): string {
    const place = this.places.of(node);
    return place ? showPlace(place) : '';
  }

  /** The `///` lines above a node. */
  documentation(node: Node): this {
    return this.prose(docOf(node));
  }

  prose(text: string): this {
    return text ? this.add(wrap(text.replace(/\n(?=\S)/g, ' '), this.io.width)) : this;
  }

  /** Rows of a label and what it says; those without text are left out. */
  rows(rows: readonly (readonly [string, string | undefined])[]): this {
    const hanging = ' '.repeat(labelWidth + 2);
    const lines = rows.flatMap(([label, text]) => {
      if (!text) return [];
      const [first = '', ...rest] = wrap(text, this.io.width, hanging).split('\n');
      return [`  ${this.style.quiet(label.padEnd(labelWidth))}${first.slice(hanging.length)}`, ...rest];
    });
    return lines.length ? this.add(lines.join('\n')) : this;
  }

  /** A heading and lines beneath it; nothing where there are none. */
  list(heading: string, lines: readonly string[]): this {
    return lines.length ? this.add([this.style.heading(heading), ...lines].join('\n')) : this;
  }

  /** A text in the language, as it stands. */
  code(heading: string, text: string | undefined): this {
    const lines = text?.trimEnd().split('\n') ?? [];
    return this.list(
      heading,
      lines.map((line) => `  ${line}`.trimEnd()),
    );
  }

  protected add(part: string): this {
    this.#parts.push(part);
    return this;
  }

  toString(): string {
    return `${this.#parts.join('\n\n')}\n`;
  }
}
