import { expect, test } from 'vitest';
import { aroundKind, aroundNumber } from '../../../server/features/around.ts';
import { Workspace } from '../../../server/workspace.ts';
import { Client, cursor, edited } from '../client.ts';

const kinds = `kind hall {
  toplevel
  width: Length {
    within 1 m .. 100 m
  }
  fuse: Current default 10 A {
    protects
    within 1 A .. 100 A
  }
}
rule hall_wide on hall {
  holds width <= 5 m
  warning "{width} wide"
  source defined "a test"
}
`;

const uri = 'file:///a.gusset';

test('a number leads to the furthest for which nothing changes, and to where something does', () => {
  const { text, position } = cursor(`${kinds}hall H {\n  width = 2<|> m\n}\n`);
  const workspace = new Workspace(() => undefined);
  workspace.open(uri, text);
  const file = workspace.file(uri);
  if (!file) throw new Error('the file is not there');
  const found = aroundNumber(file, { start: position, end: position }, workspace);
  expect(found.map(({ title, edit }) => [title, edited(text, edit?.changes?.[uri] ?? []).slice(kinds.length)])).toEqual(
    [
      ['1 m: as far as can be meant, no verdict changes', 'hall H {\n  width = 1 m\n}\n'],
      ['5 m: the greatest for which no verdict changes', 'hall H {\n  width = 5 m\n}\n'],
      ['5.01 m: hall_wide fails', 'hall H {\n  width = 5.01 m\n}\n'],
    ],
  );
});

test('it is told where just this is asked for, of numbers that do not protect', async () => {
  const client = await Client.start();
  const at = async (marked: string, only?: string[]) => {
    const { text, position } = cursor(kinds + marked);
    await client.open(uri, text);
    const context = { diagnostics: [], ...(only && { only }) };
    const params = { textDocument: { uri }, range: { start: position, end: position }, context };
    const found = await client.request<{ kind: string }[]>('textDocument/codeAction', params);
    await client.close(uri);
    return found.map(({ kind }) => kind);
  };
  expect(await at('hall H {\n  width = 2<|> m\n}\n', [aroundKind])).toEqual([aroundKind, aroundKind, aroundKind]);
  expect(await at('hall H {\n  width = 2<|> m\n}\n', ['refactor'])).not.toContain(aroundKind);
  expect(await at('hall H {\n  width = 2<|> m\n}\n')).not.toContain(aroundKind);
  expect(await at('hall H {\n  fuse = 2<|> A\n}\n', [aroundKind])).toEqual([]);
  expect(await at('hall H {\n  wid<|>e = 2 A\n}\n', [aroundKind])).toEqual([]);
  expect(await at('hall H {\n  width = 2 m .. 3<|> m\n}\n', [aroundKind])).toEqual([]);
  await client.stop();
});
