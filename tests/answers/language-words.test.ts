import { expect, test } from 'vitest';
import { languageWord } from '../../language/answers/language-words.ts';
import { languageFunctions } from '../../language/types/functions.ts';

test('every function of the language says what it does, and so do the words that every block has', () => {
  for (const name of Object.keys(languageFunctions)) expect(languageWord(name)).toMatch(/\.$/);
  for (const name of ['self', 'holder', 'name', 'count', 'part']) expect(languageWord(name)).toMatch(/block/);
  expect(languageWord('currency')).toContain('price');
});

test('no other name is the language’s own, such as one that every object has', () => {
  for (const name of ['heater', '', 'constructor', 'toString']) expect(languageWord(name)).toBeUndefined();
});
