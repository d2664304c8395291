import { languagePage } from '../../../language/library/generated/library.ts';
import { languageWord } from '../../../language/model/lookup.ts';

/** What the language page says of a word of the language, or what a function of the language does. */
export function keywordText(word: string): string | undefined {
  const doc = languageWord(word);
  if (doc) return `**${word}**\n\n${doc}`;
  const row = pageRow(word);
  return row && `**${word}**\n\n${row}`;
}

interface Row {
  readonly code: string;
  readonly says: string;
}

let rows: Row[] | undefined;

/** The rows of the page's tables: what is written, and what it says. */
function pageRows(): Row[] {
  rows ??= languagePage.split('\n').flatMap((line) => {
    const [, code, says] = /^\| (`.*`) \| (.*) \|$/.exec(line) ?? [];
    return code && says ? [{ code, says }] : [];
  });
  return rows;
}

/** The row that is about a word: where it comes first, or else where it stands at all; or the sentence that tells of it. */
function pageRow(word: string): string | undefined {
  const escaped = word.replace(/[?*]/g, '\\$&');
  const whole = new RegExp(`(?<![\\w])${escaped}(?![\\w])`);
  const row =
    pageRows().find(({ code }) => new RegExp(`(^|, )\`${escaped}(?![\\w])`).test(code)) ??
    pageRows().find(({ code }) => whole.test(code));
  if (row) return `${row.code}: ${row.says}`;
  const sentences = languagePage.replace(/```[\s\S]*?```/g, '').split(/\n\n|(?<=\.)\s/);
  return sentences.find(
    (text) => !text.startsWith('|') && [...text.matchAll(/`[^`]*`/g)].some(([code]) => whole.test(code)),
  );
}
