import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { type Holder, ownDeclarations, wordsIn } from '../../language/grammar/words.ts';
import { keywordText } from '../../server/features/hover/language-words.ts';
import { grammarWords } from '../house/names.ts';
import { root } from '../house/sources.ts';

const grammar = grammarWords(readFileSync(join(root, 'language/grammar/gusset.langium'), 'utf8'));
const holders: readonly Holder[] = ['file', 'block', 'value', ...(ownDeclarations as Holder[])];

test('what a builder can write somewhere is a word of the grammar, and is explained where it is pointed at', () => {
  const words = [...new Set([...holders.flatMap(wordsIn), ...ownDeclarations])];
  expect(words.length).toBeGreaterThan(30);
  expect(words.filter((word) => !grammar.has(word))).toEqual([]);
  expect(words.filter((word) => !keywordText(word))).toEqual([]);
});
