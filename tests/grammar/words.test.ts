import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
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

describe('the words that a statement begins with, by where it stands', () => {
  test.each<[Holder, string]>([
    ['file', 'gusset use rate'],
    ['block', 'require accept measured checked set no'],
    ['value', 'source assumes shown sizes within asked varies scatters how reads protects deprecated where'],
    [
      'kind',
      'headline inside toplevel order symbol cores lead rung shape specified alongside terminated expects report has check symptom defect shared deprecated',
    ],
    ['symptom', 'when shows source assumes how'],
    ['defect', 'when alters odds caution source assumes how reads'],
    ['part', 'deprecated'],
    ['rule', 'when holds error warning advice caution source assumes known deprecated at remedy follows'],
    ['function', 'source assumes deprecated where'],
    ['constant', 'source assumes deprecated where'],
    ['table', 'source assumes deprecated interpolation row'],
    ['sizes', 'source assumes deprecated'],
  ])('in %s: %s', (holder, words) => {
    expect(wordsIn(holder).join(' ')).toBe(words);
  });
});
