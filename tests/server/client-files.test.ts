import { expect, test } from 'vitest';
import { type Asks, ClientFiles } from '../../server/client-files.ts';

/** A client's files; what is asked of it is counted, and answered when the promise is waited for. */
function files(texts: Record<string, string>) {
  const asked: string[] = [];
  const asks: Asks = {
    text: async (uri) => {
      asked.push(uri);
      if (uri.includes('broken')) throw new Error('the network is gone');
      return texts[uri] ?? null;
    },
    names: async (folder) => {
      asked.push(folder);
      if (folder.includes('broken')) throw new Error('the network is gone');
      return Object.keys(texts).map((uri) => uri.slice(folder.length));
    },
  };
  return { asked, of: new ClientFiles(asks) };
}

test('a text counts as not there until it has come, is asked for once, and told when it is there', async () => {
  const { asked, of } = files({ 'v:/a': 'A' });
  const came: string[] = [];
  of.onText = (uri) => came.push(uri);
  expect(of.coming).toBeUndefined();
  expect([of.text('v:/a'), of.text('v:/a'), of.text('v:/b')]).toEqual([undefined, undefined, undefined]);
  await of.coming;
  expect([of.text('v:/a'), of.text('v:/b'), of.coming]).toEqual(['A', undefined, undefined]);
  expect([asked, came]).toEqual([['v:/a', 'v:/b'], ['v:/a']]);
});

test('what was changed is asked for anew, and so are the names in its folder', async () => {
  const texts: Record<string, string> = { 'v:/in/a': 'A' };
  const { of } = files(texts);
  let lists = 0;
  of.onNames = () => lists++;
  of.text('v:/in/a');
  of.names('v:/in/');
  await of.coming;
  expect(of.names('v:/in/')).toEqual(['a']);
  Object.assign(texts, { 'v:/in/a': 'B', 'v:/in/b': 'new' });
  expect(of.text('v:/in/a')).toBe('A');
  of.changed('v:/in/a');
  expect([of.text('v:/in/a'), of.names('v:/in/')]).toEqual([undefined, []]);
  await of.coming;
  expect([of.text('v:/in/a'), of.names('v:/in/'), lists]).toEqual(['B', ['a', 'b'], 2]);
});

test('a client that fails has no such file, and one that is too long is refused', async () => {
  const { of } = files({ 'v:/long': 'x'.repeat(32 * 2 ** 20 + 1) });
  for (const uri of ['v:/broken', 'v:/long']) of.text(uri);
  of.names('v:/broken/');
  await of.coming;
  expect([of.text('v:/broken'), of.names('v:/broken/'), of.coming]).toEqual([undefined, [], undefined]);
  expect(of.text('v:/long')).toEqual({ refused: 'it is larger than 32 MB' });
});
