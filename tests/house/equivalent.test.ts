import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { equivalent } from '../mutate/equivalent.mjs';
import { root } from './sources.ts';

const squeezed = (text: string) => text.replace(/\s+/g, ' ');

test('each change that is said to change nothing is one of a text that is there, and says why', () => {
  const gone = equivalent.filter(({ file, was, on = '' }) => {
    try {
      const text = squeezed(readFileSync(join(root, file), 'utf8'));
      return !text.includes(squeezed(was)) || !text.includes(squeezed(on));
    } catch {
      return true;
    }
  });
  expect(gone).toEqual([]);
  expect(equivalent.filter(({ was, is, why }) => was === is || why.length < 10)).toEqual([]);
});
