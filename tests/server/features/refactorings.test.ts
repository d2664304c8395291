import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import type { TextDocumentEdit, TextEdit } from 'vscode-languageserver';
import type { SourceFile } from '../../../language/project.ts';
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

/** What is offered to be accepted where the mark stands, with the text that comes out. */
function offered(marked: string) {
  const { text, position } = cursor(kinds + marked);
  const workspace = new Workspace(() => undefined);
  const uri = 'file:///a.gusset';
  workspace.open(uri, text);
  const file = workspace.file(uri);
  if (!file) throw new Error('the file is not there');
  const range = { start: position, end: position };
  expect(refactorings(file, range, workspace, false).every(({ title }) => title.startsWith('Accept'))).toBe(true);
  return refactorings(file, range, workspace)
    .map(({ title, kind, edit }) => ({
      title,
      kind,
      text: edited(text, edit?.changes?.[uri] ?? []).slice(kinds.length),
    }))
    .filter(({ title }) => title.startsWith('Accept'));
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
  expect(await kindsOf(['refactor'])).toEqual(['refactor.extract', 'refactor.rewrite', 'refactor.rewrite']);
  expect(await kindsOf(['refactor.extract'])).toEqual(['refactor.extract']);
  expect(await kindsOf(['quickfix'])).not.toContain('refactor.rewrite');
  await client.stop();
});

test('a part moves to the end of the file that is used, and what was changed since the file was saved is made a variant', () => {
  const [uri, stock] = ['file:///a.gusset', 'file:///stock.gusset'];
  const saved = 'use "./stock.gusset"\n\npart low is hall {\n  height = 2 m\n}\n\nhall H {\n  width = 4 m\n}\n';
  const texts: Record<string, string> = { [uri]: saved, [stock]: `${kinds}\n\n` };
  const workspace = new Workspace((each) => texts[each]);
  const text = saved.replace('4 m', '5 m');
  workspace.open(uri, text);
  const file = workspace.file(uri);
  if (!file) throw new Error('the file is not there');
  const at = (offset: number) => {
    const position = file.lines.position(offset);
    return refactorings(file, { start: position, end: position }, workspace);
  };
  const move = at(text.indexOf('low')).find(({ kind }) => kind === 'refactor.move');
  expect(move?.title).toBe('Move low to stock.gusset');
  expect(edited(text, move?.edit?.changes?.[uri] ?? [])).toBe('use "./stock.gusset"\n\nhall H {\n  width = 5 m\n}\n');
  expect(edited(texts[stock] as string, move?.edit?.changes?.[stock] ?? [])).toBe(
    `${kinds}\npart low is hall {\n  height = 2 m\n}\n`,
  );
  const variant = at(text.indexOf('hall H')).find(({ title }) => title.startsWith('Make a variant'));
  expect(edited(text, variant?.edit?.changes?.[uri] ?? [])).toBe(
    `${saved.trimEnd()}\n\nhall H_changed is H {\n  width = 5 m\n}\n`,
  );
});

test('a part moves to a new file, with what it rests on, where a client makes files', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'gusset-move-'));
  const uriOf = (name: string) => pathToFileURL(join(folder, name)).href;
  const texts = {
    'kinds.gusset': kinds,
    // Something else goes by the name already.
    'stock.gusset': '',
    'a.gusset':
      '// Ours.\nuse "./kinds.gusset"\n\n/// Low.\npart low is hall {\n  height = 2 m\n}\n\nhall H is low {\n  width = 4 m\n}\n',
  };
  for (const [name, text] of Object.entries(texts)) writeFileSync(join(folder, name), text);
  const [uri, fresh] = [uriOf('a.gusset'), uriOf('stock_2.gusset')];
  const movesOf = async (workspaceEdit: object) => {
    const client = await Client.start({ workspace: { workspaceEdit } });
    await client.open(uri, texts['a.gusset']);
    const fixes = await client.fixes(uri, { line: 4, character: 6 });
    return { client, moves: fixes.filter(({ kind }) => kind === 'refactor.move') };
  };
  const { client: unable, moves: none } = await movesOf({ documentChanges: true });
  expect(none.map(({ title }) => title)).toEqual(['Move low to kinds.gusset']);
  await unable.stop();
  const { client, moves } = await movesOf({ documentChanges: true, resourceOperations: ['create'] });
  expect(moves.map(({ title }) => title)).toEqual([
    'Move low to kinds.gusset',
    'Move low to a new file: stock_2.gusset',
  ]);
  const [made, written, left] = (moves[1]?.edit?.documentChanges ?? []) as [object, TextDocumentEdit, TextDocumentEdit];
  expect(made).toEqual({ kind: 'create', uri: fresh, options: { overwrite: false, ignoreIfExists: false } });
  expect(written.textDocument).toEqual({ uri: fresh, version: null });
  const after = {
    ...texts,
    'stock_2.gusset': edited('', written.edits as TextEdit[]),
    'a.gusset': edited(texts['a.gusset'], left.edits as TextEdit[]),
  };
  expect(after['stock_2.gusset']).toBe('use "./kinds.gusset"\n\n/// Low.\npart low is hall {\n  height = 2 m\n}\n');
  expect(after['a.gusset']).toBe(
    '// Ours.\nuse "./kinds.gusset"\nuse "./stock_2.gusset"\n\nhall H is low {\n  width = 4 m\n}\n',
  );
  expect(mistakesIn(after)).toEqual([]);
  await client.stop();
  rmSync(folder, { recursive: true });
});

test('a part that a file begins with leaves the line that says where it is; a text that was never saved has no place beside it', () => {
  const uri = 'file:///a.gusset';
  const text = 'part low is heater {\n  power = 20 W\n}\n\npart other is heater {\n  power = 2 W\n}\n';
  const offeredFor = (texts: Record<string, string>, of: string) => {
    const workspace = new Workspace((each) => texts[each]);
    workspace.client = { ...workspace.client, makeFiles: true };
    workspace.open(of, text);
    const position = { line: 0, character: 6 };
    return refactorings(workspace.file(of) as SourceFile, { start: position, end: position }, workspace)
      .filter(({ kind }) => kind === 'refactor.move')
      .map(({ edit }) => {
        const [, , left] = (edit?.documentChanges ?? []) as [object, TextDocumentEdit, TextDocumentEdit];
        return edited(text, left.edits as TextEdit[]);
      });
  };
  expect(offeredFor({ [uri]: text }, uri)).toEqual([
    'use "./stock.gusset"\n\npart other is heater {\n  power = 2 W\n}\n',
  ]);
  expect(offeredFor({}, 'untitled:Untitled-1')).toEqual([]);
});

test('where blanks can be filled in changes, the cursor goes to where the reason belongs', async () => {
  const able = await Client.start({
    workspace: { workspaceEdit: { documentChanges: true, snippetEditSupport: true } },
  });
  const uri = 'file:///reason.gusset';
  const { text, position } = cursor(`${kinds}hall H {\n  width = 6<|> m\n}\n`);
  await able.open(uri, text);
  const accepted = (await able.fixes(uri, position)).find(({ title }) => title.startsWith('Accept'));
  expect(accepted?.edit).toMatchObject({
    documentChanges: [
      {
        textDocument: { uri, version: null },
        edits: [{ snippet: { kind: 'snippet', value: '\n  accept hall_wide at 6 m because "$0"' } }],
      },
    ],
  });
  await able.stop();
});
