import type { Check, Clause, Declaration, GussetKeywordNames, Message, Source } from './generated/ast.ts';

/** What statements stand in: a file, a block, a declaration, or the braces behind a value of a kind. */
export type Holder = 'file' | 'block' | 'value' | 'given' | Check['what'] | Declaration['what'];

/** What stands behind a clause's keyword. */
export type ClauseContents =
  | 'nothing'
  /** A yes or no. */
  | 'condition'
  | 'expressions'
  /** A yes or no, and the question that is asked until it is yes. */
  | 'question'
  /** A heading, and names of the kind's own values. */
  | 'reported'
  /** What is drawn, its letters, and names of the kind's own values. */
  | 'drawn'
  /** Texts that are read as they stand. */
  | 'text'
  /** Texts with values in braces. */
  | 'message'
  /** A range of what the clause is about. */
  | 'range'
  /** Names: of the kind's own values, of kinds, of a part, of sets of sizes, of units, or words of the clause's own. */
  | 'values'
  | 'kinds'
  | 'part'
  | 'sizes'
  | 'units'
  | 'words'
  /** What takes the place of what the clause stands in: a value of the same kind, or something that is declared. */
  | 'successor';

interface StatementWord {
  readonly in: readonly Holder[];
  /** Another one in the same place says nothing new. */
  readonly once?: true;
  /** A value follows at once: a minus or a bracket behind the word begins it. */
  readonly operand?: true;
}

interface ClauseWord extends StatementWord {
  readonly contents: ClauseContents;
  /** The words of its own that are proposed behind it. */
  readonly words?: readonly string[];
  /** It says something even where nothing stands behind it. */
  readonly bare?: true;
}

/** The version of the language that is read here: a file that says a later one was written for another Gusset. */
export const languageVersion = 1;

const explained: readonly Holder[] = [
  'value',
  'check',
  'symptom',
  'defect',
  'rule',
  'function',
  'constant',
  'numeric',
  'table',
  'sizes',
];

/**
 * The words that statements begin with, in the order in which they are proposed. A clause is such a word and what `contents` says;
 * the others have a form of their own. The grammar gives the words, this table all else that parser, formatter, checks, meaning
 * and completion know of them.
 */
const statements = {
  gusset: { in: ['file'], once: true },
  use: { in: ['file'] },
  rate: { in: ['file'], operand: true },
  headline: { in: ['kind'], contents: 'values' },
  inside: { in: ['kind'], contents: 'kinds' },
  toplevel: { in: ['kind'], contents: 'nothing', bare: true, once: true },
  order: { in: ['kind'], contents: 'values' },
  symbol: { in: ['kind'], contents: 'drawn', once: true },
  cores: { in: ['kind'], contents: 'values', once: true },
  lead: { in: ['kind'], contents: 'values', once: true },
  rung: { in: ['kind'], contents: 'reported', once: true },
  shape: { in: ['kind'], contents: 'reported', once: true },
  specified: { in: ['kind'], contents: 'values' },
  alongside: { in: ['kind'], contents: 'values', once: true },
  terminated: { in: ['kind'], contents: 'values', once: true },
  expects: { in: ['kind'], contents: 'question' },
  report: { in: ['kind'], contents: 'reported' },
  has: { in: ['kind'] },
  check: { in: ['kind'] },
  symptom: { in: ['kind'] },
  defect: { in: ['kind'] },
  shared: { in: ['kind'] },
  when: { in: ['rule', 'check', 'symptom', 'defect'], contents: 'condition' },
  stage: { in: ['check'], contents: 'part', once: true },
  repeat: { in: ['check'], contents: 'part', once: true },
  step: { in: ['check'], contents: 'part', once: true },
  uncover: { in: ['check'], contents: 'message', once: true },
  shows: { in: ['symptom'], contents: 'condition', once: true },
  alters: { in: ['defect'] },
  odds: { in: ['defect'], contents: 'expressions', once: true },
  lowest: { in: ['check'], contents: 'expressions', once: true },
  highest: { in: ['check'], contents: 'expressions', once: true },
  with: { in: ['check'], contents: 'values', once: true },
  holds: { in: ['rule'], contents: 'condition' },
  error: { in: ['rule'], once: true },
  warning: { in: ['rule'], once: true },
  advice: { in: ['rule'], once: true },
  caution: { in: ['rule', 'check', 'defect'], contents: 'message' },
  source: { in: [...explained, 'given'] },
  assumes: { in: explained, contents: 'text' },
  known: { in: ['rule'], contents: 'text' },
  shown: { in: ['value', 'dimension', 'unit'], contents: 'units', once: true },
  sizes: { in: ['value'], contents: 'sizes' },
  within: { in: ['value', 'dimension'], contents: 'range', once: true },
  asked: { in: ['value'], contents: 'text', once: true },
  varies: { in: ['value', 'given'], contents: 'expressions', once: true },
  scatters: { in: ['value', 'given'], contents: 'words', words: ['uniform', 'normal', 'triangular'], once: true },
  how: { in: ['check', 'symptom', 'defect', 'value'], contents: 'message', once: true },
  reads: { in: ['defect', 'value'], contents: 'expressions', once: true },
  protects: { in: ['value'], contents: 'nothing', bare: true, once: true },
  deprecated: {
    in: ['value', 'kind', 'part', 'rule', 'function', 'constant', 'table', 'sizes'],
    contents: 'successor',
    bare: true,
    once: true,
  },
  where: { in: ['value', 'function', 'constant'] },
  interpolation: { in: ['table'], contents: 'words', words: ['linear', 'logarithmic'], once: true },
  row: { in: ['table'], operand: true },
  at: { in: ['rule'], contents: 'expressions' },
  remedy: { in: ['rule'], operand: true },
  follows: { in: ['rule'] },
  prefixes: { in: ['unit'], contents: 'words', once: true },
  zero: { in: ['dimension', 'unit'], contents: 'expressions', bare: true, once: true },
  base: { in: ['dimension'], contents: 'words', bare: true, once: true },
  require: { in: ['block'], operand: true },
  accept: { in: ['block'] },
  measured: { in: ['block'], operand: true },
  checked: { in: ['block'] },
  set: { in: ['block'], operand: true },
  no: { in: ['block'] },
} satisfies Readonly<Record<Clause['keyword'], ClauseWord>> & Partial<Record<GussetKeywordNames, StatementWord>>;

/** The clauses among them. */
export const clauses: Readonly<Record<Clause['keyword'], ClauseWord>> = statements;

const words: ReadonlyMap<string, StatementWord | ClauseWord> = new Map(Object.entries(statements));

/** What is known of a clause by its keyword; undefined for any other word. */
export function clauseOf(keyword: string): ClauseWord | undefined {
  const word = words.get(keyword);
  return word && 'contents' in word ? word : undefined;
}

/** May a clause stand there? */
export function belongsIn({ keyword }: Clause, holder: Holder): boolean {
  return clauses[keyword].in.includes(holder);
}

/** The words that statements in a place begin with. */
export function wordsIn(holder: Holder): string[] {
  return [...words].filter(([, word]) => word.in.includes(holder)).map(([word]) => word);
}

/** Is one statement that begins with the word all that a place needs? */
export function isOnce(word: string): boolean {
  return words.get(word)?.once ?? false;
}

/** Words that begin a statement and that a value follows: a bracket or a minus behind them begins it. */
export const operandWords: ReadonlySet<string> = new Set(
  [...words].filter(([, word]) => word.operand || 'contents' in word).map(([word]) => word),
);

/** What can be declared at the top of a file; true where only the library does. */
const declared: Readonly<Record<Declaration['what'], boolean>> = {
  kind: false,
  part: false,
  rule: false,
  function: false,
  constant: false,
  table: false,
  sizes: false,
  numeric: true,
  dimension: true,
  unit: true,
  prefix: true,
};
export const declarationWords: ReadonlySet<string> = new Set(Object.keys(declared));
/** What a builder's own file can declare. */
export const ownDeclarations: readonly string[] = [...declarationWords].filter(
  (word) => !declared[word as Declaration['what']],
);

/** How good a source is, from the best. */
const standing: Readonly<Record<Source['standing'], true>> = {
  defined: true,
  read: true,
  quoted: true,
  practice: true,
  recalled: true,
};
export const sourceStandings: ReadonlySet<string> = new Set(Object.keys(standing));

/** Words that are read as something else wherever a value may stand: by these as names nothing could be read. */
export const reservedWords: ReadonlySet<string> = new Set(['yes', 'no', 'if', 'not', 'self', 'holder']);

const severity: Readonly<Record<Message['severity'], true>> = { error: true, warning: true, advice: true };
export const severities: ReadonlySet<string> = new Set(Object.keys(severity));
