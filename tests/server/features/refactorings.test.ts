import { expect, test } from 'vitest';
import { refactorings } from '../../../server/features/refactorings.ts';
import { Workspace } from '../../../server/workspace.ts';
import { mistakesIn } from '../../support.ts';
import { Client, cursor, edited } from '../client.ts';

const kinds = `kind hall {
  toplevel
  width: Length
  height: Length default 3 m
}
rule hall_wide on hall {
  holds width <= 5 m
  warning "{width} wide"
  source defined "a test"
  at width
}
rule hall_low on hall {
  holds height >= 2 m
  error "{height} high"
  source defined "a test"
  caution "Heads"
  at height
}
`;

/** What is offered where the mark stands, with the text that comes out. */
function offered(marked: string) {
  const { text, position } = cursor(kinds + marked);
  const workspace = new Workspace(() => undefined);
  const uri = 'file:///a.gusset';
  workspace.open(uri, text);
  const file = workspace.file(uri);
  if (!file) throw new Error('the file is not there');
  return refactorings(file, { start: position, end: position }, workspace).map(({ title, kind, edit }) => ({
    title,
    kind,
    text: edited(text, edit?.changes?.[uri] ?? []).slice(kinds.length),
  }));
}

test('a finding is accepted at the value that it has, the reason left to who builds', () => {
  expect(offered('hall H {\n  width = 6<|> m\n}\n')).toEqual([
    {
      title: 'Accept hall_wide at 6 m, for a reason of yours',
      kind: 'refactor.rewrite',
      text: 'hall H {\n  width = 6 m\n  accept hall_wide at 6 m because ""\n}\n',
    },
  ]);
});

test('until the reason is written, the text is said to lack it', () => {
  const [accepted] = offered('hall H {\n  width = 6<|> m\n}\n');
  expect(mistakesIn(kinds + accepted?.text)).toEqual([expect.stringMatching(/^21: An acceptance says why/)]);
  expect(mistakesIn(kinds + accepted?.text.replace('""', '"the yard is wide"'))).toEqual([]);
});

test('not where people can be hurt, where it is accepted already, where all is well, or elsewhere', () => {
  expect(offered('hall H {\n  width = 4 m\n  height = 1<|> m\n}\n')).toEqual([]);
  expect(offered('hall H {\n  width = 6<|> m\n  accept hall_wide at 6 m because "so"\n}\n')).toEqual([]);
  expect(offered('hall H {\n  width = 4<|> m\n}\n')).toEqual([]);
  expect(offered('hall H {\n  width = 6 m\n  height = 3<|> m\n}\n')).toEqual([]);
});

test('an editor is offered it after what mends, and alone where it asks for such', async () => {
  const client = await Client.start();
  const uri = 'file:///accept.gusset';
  const { text, position } = cursor(
    `${kinds.replace('  at width\n', '  at width\n  remedy width = 5 m\n')}hall H {\n  width = 6<|> m\n}\n`,
  );
  await client.open(uri, text);
  const kindsOf = async (only?: string[]) => {
    const context = { diagnostics: [], ...(only && { only }) };
    const params = { textDocument: { uri }, range: { start: position, end: position }, context };
    return (await client.request<{ kind: string }[]>('textDocument/codeAction', params)).map(({ kind }) => kind);
  };
  const all = await kindsOf();
  expect(all[0]).toBe('quickfix');
  expect(all.at(-1)).toBe('refactor.rewrite');
  expect(await kindsOf(['refactor'])).toEqual(['refactor.rewrite']);
  expect(await kindsOf(['quickfix'])).not.toContain('refactor.rewrite');
  await client.stop();
});
