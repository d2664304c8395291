/** The gravest first. */
export const severities = ['error', 'warning', 'advice', 'note'] as const;
export type Severity = (typeof severities)[number];

/** A change of one file's text; offsets from its start. */
export interface TextEdit {
  readonly start: number;
  readonly end: number;
  readonly text: string;
}

/** A text with these edits made; the lines that they bring end as its own do. */
export function withEdits(edits: readonly TextEdit[], text: string): string {
  const lineEnd = text.includes('\r\n') ? '\r\n' : '\n';
  return edits
    .toSorted((a, b) => b.start - a.start)
    .reduce(
      (now, { start, end, text: by }) => now.slice(0, start) + by.replace(/\r?\n/g, lineEnd) + now.slice(end),
      text,
    );
}

/** A change of text that mends something. */
export interface Fix {
  readonly title: string;
  readonly edits: readonly TextEdit[];
}

/** Something wrong with a text, where it stands. What rules find is no mistake, but a finding. */
export interface Mistake {
  readonly code: string;
  readonly severity: Severity;
  readonly message: string;
  readonly start: number;
  readonly end: number;
  readonly fixes: readonly Fix[];
}

/** One way in which a text can be wrong: what is said of every mistake of that kind. */
export interface MistakeKind {
  readonly code: string;
  readonly severity: Severity;
  /** Why it is a mistake. */
  readonly why: string;
  /** How it is mended. */
  readonly mend: string;
}

/** What is said of one mistake. Only the tables of `language/mistakes/` make one, so that none is told without a code and a page. */
export interface Wording {
  readonly kind: MistakeKind;
  readonly message: string;
}

type Words = (...facts: never[]) => string;

/** A line of a table: how mistakes of a kind are worded, in one way or, by what is known of them, in several. */
interface Line {
  /** An error, unless it says otherwise. */
  readonly severity?: Severity;
  readonly why: string;
  readonly mend: string;
  readonly says: Words | Readonly<Record<string, Words>>;
}

type Said<W> = W extends (...facts: infer F) => string
  ? (...facts: F) => Wording
  : { readonly [V in keyof W]: W[V] extends (...facts: infer F) => string ? (...facts: F) => Wording : never };

type Sayings<T extends Readonly<Record<string, Line>>> = { readonly [C in keyof T]: Said<T[C]['says']> };

/** What a table of mistakes lets one say, by code. */
export function sayings<T extends Readonly<Record<string, Line>>>(table: T): Sayings<T> {
  return Object.fromEntries(
    kindsIn(table).map((kind) => {
      const { says } = table[kind.code] as Line;
      const worded =
        (words: Words) =>
        (...facts: never[]): Wording => ({ kind, message: words(...facts) });
      const variants = Object.entries(says).map(([name, words]) => [name, worded(words)]);
      return [kind.code, typeof says === 'function' ? worded(says) : Object.fromEntries(variants)];
    }),
  ) as Sayings<T>;
}

/** The kinds of mistakes in a table. */
export function kindsIn(table: Readonly<Record<string, Line>>): MistakeKind[] {
  return Object.entries(table).map(([code, { severity = 'error', why, mend }]) => ({ code, severity, why, mend }));
}
