import { expect, test } from 'vitest';
import { folderOf, refuseUse } from '../../server/reach.ts';

const outside = 'it lies outside of the folders that are worked in';

test('a file uses what lies beside it, below, in a folder that is worked in, or in the one around it that is told', () => {
  const refused = (uri: string, folders: string[] = [], root?: string) =>
    refuseUse(uri, 'vfs://x/shop/a.gusset', folders, () => root);
  expect(refused('vfs://x/shop/b.gusset')).toBeUndefined();
  expect(refused('vfs://x/shop/deep/b.gusset')).toBeUndefined();
  expect(refused('vfs://x/stock/b.gusset')).toBe(outside);
  expect(refused('vfs://x/shopping/b.gusset', ['vfs://x/shop'])).toBe(outside);
  expect(refused('vfs://x/stock/b.gusset', ['vfs://x/stock'])).toBeUndefined();
  expect(refused('vfs://x/stock/b.gusset', [], 'vfs://x/')).toBeUndefined();
  expect(refused('vfs://x/shop/b.txt')).toBe('only files that end in .gusset are used');
});

test('a text that was never saved lies nowhere, and neither does what it uses', () => {
  expect(refuseUse('untitled:b.gusset', 'untitled:a.gusset', [])).toBeUndefined();
});

test('the folder of a file, with a slash at its end', () => {
  expect(folderOf('vfs://x/shop/a.gusset')).toBe('vfs://x/shop/');
});
