import { languageWord } from '../../../language/answers/language-words.ts';
import { languagePage } from '../../../language/library/generated/manual.ts';
import { code } from './markdown.ts';

/** What the language page says of a word of the language, or what a function of the language does. */
export function keywordText(word: string): string | undefined {
  const said = languageWord(word) ?? inTables(word) ?? inSentences(word) ?? inExamples(word);
  return said && `**${word}**\n\n${said}`;
}

interface Row {
  readonly code: string;
  readonly says: string;
}

interface Page {
  /** The rows of its tables: what is written, and what it says. */
  readonly rows: readonly Row[];
  readonly sentences: readonly string[];
  /** Declarations in its examples. */
  readonly examples: readonly string[];
}

let page: Page | undefined;

function readPage(): Page {
  page ??= {
    rows: languagePage.split('\n').flatMap((line) => {
      const [, written, says] = /^\| (`.*`) \| (.*) \|$/.exec(line) ?? [];
      return written && says ? [{ code: written, says }] : [];
    }),
    sentences: languagePage
      .replace(/```[\s\S]*?```/g, '')
      .split(/\n\n+/)
      .filter((paragraph) => !/^[|#]/.test(paragraph))
      .flatMap((paragraph) => paragraph.replaceAll('\n', ' ').split(/(?<=\.) (?=[A-Z`])/)),
    examples: [...languagePage.matchAll(/```gusset\n([\s\S]*?)```/g)].flatMap(([, text = '']) => text.split(/\n\n+/)),
  };
  return page;
}

/** A word by itself, not a part of another. */
function whole(word: string): RegExp {
  return new RegExp(`(?<![\\w])${word.replace(/[?*]/g, '\\$&')}(?![\\w])`);
}

/** The rows of tables that are about the word: those where it comes first, or else the one where it stands at all. */
function inTables(word: string): string | undefined {
  const { rows } = readPage();
  const first = new RegExp(`(^|, )\`${word.replace(/[?*]/g, '\\$&')}(?![\\w])`);
  const begun = rows.filter((each) => first.test(each.code));
  const row =
    rows.find((each) => whole(word).test(each.code.replace(/"[^"]*"/g, ''))) ??
    rows.find((each) => each.says.includes(`\`${word} `));
  const told = begun.length > 0 ? begun : row ? [row] : [];
  return told.map(({ code, says }) => `${code}: ${says}`).join('\n\n') || undefined;
}

/** What a sentence shows of the word, with the words in brackets that tell of it; a short sentence as it is. */
function inSentences(word: string): string | undefined {
  for (const sentence of readPage().sentences) {
    const shown = [...sentence.matchAll(/`([^`]*)`(?: \(([^()]*)\))?/g)].find(
      ([, text = '', says = '']) => whole(word).test(text) || says.includes(code(word)),
    );
    if (!shown) continue;
    const [, text = '', says] = shown;
    if (says) return `${code(text)}: ${says}`;
    return sentence.length > 200 ? code(text) : sentence;
  }
  return undefined;
}

/** A declaration of the page's examples that the word begins, or one of whose lines it begins. */
function inExamples(word: string): string | undefined {
  const { examples } = readPage();
  const begins = (indent: string) => new RegExp(`^${indent}${word}(?![\\w])`, 'm');
  const example = examples.find((text) => begins('').test(text)) ?? examples.find((text) => begins(' *').test(text));
  return example && `\`\`\`gusset\n${example.trim()}\n\`\`\``;
}
