import { describe, expect, test } from 'vitest';
import type {
  CallHierarchyItem,
  CodeAction,
  CodeActionContext,
  CompletionList,
  DocumentSymbol,
  Range,
  SemanticTokens,
  TypeHierarchyItem,
} from 'vscode-languageserver';
import { libraryFiles } from '../../language/library/generated/library.ts';
import type { SourceFile } from '../../language/project.ts';
import { clientCan } from '../../server/client-can.ts';
import { aroundKind, aroundNumber } from '../../server/features/around.ts';
import { codeLenses } from '../../server/features/code-lens.ts';
import { completion, completionOptions } from '../../server/features/completion.ts';
import { definition } from '../../server/features/definition.ts';
import { dependents, dependsOn, valueAt } from '../../server/features/dependence.ts';
import { fixAll, fixAllKind } from '../../server/features/fix-all.ts';
import { foldingRanges } from '../../server/features/folding.ts';
import {
  formatEdits,
  formatOnTypeOptions,
  formatRangeEdits,
  formatTypedEdits,
} from '../../server/features/formatting.ts';
import { hover } from '../../server/features/hover.ts';
import { inlayHints } from '../../server/features/inlay-hints.ts';
import { documentLinks } from '../../server/features/links.ts';
import { quickFixes } from '../../server/features/quick-fixes.ts';
import { refactoringKinds, refactorings } from '../../server/features/refactorings.ts';
import { highlights, references } from '../../server/features/references.ts';
import { prepareRename, rename } from '../../server/features/rename.ts';
import { renameFiles } from '../../server/features/rename-files.ts';
import { semanticTokens, semanticTokensOptions } from '../../server/features/semantic-tokens.ts';
import { signatureHelp, signatureHelpOptions } from '../../server/features/signature-help.ts';
import { documentSymbols, flatSymbols, workspaceSymbols } from '../../server/features/symbols.ts';
import { startsAt, subtypes, supertypes } from '../../server/features/type-hierarchy.ts';
import { readInlineSettings } from '../../server/settings.ts';
import { Workspace } from '../../server/workspace.ts';
import { Client } from './client.ts';

// Each request is answered as its feature answers of the same text: what the answers are is tested beside each feature.

const text = `use "./other.gusset"
// A hall, and a lamp.
kind hall {
  toplevel
  width: Length
  most: Length default 5 m
  half(of: Length): Length = of / 2
  middle: Length = half(of: width)
  has lamp
}
kind lamp {
  power: Power default 1 W
  order power
}
part small is lamp {
  power = 2 W
}
rule hall_wide on hall {
  holds width <= most
  warning "{width} wide"
  source defined "a test"
  remedy width = most
  at width
}
hall H {
  width = 8 m
  lamp is ?
  require middle   <= 3 m
}
`;
const uri = 'file:///shop/a.gusset';
const plain = (answer: unknown) => JSON.parse(JSON.stringify(answer ?? null));

/** A client with a file open, and beside it the same file as the features are asked of it. */
async function asked(less?: object) {
  const client = await Client.start(less);
  await client.open(uri, text);
  const workspace = new Workspace(() => undefined, libraryFiles);
  workspace.client = clientCan({
    textDocument: {
      definition: { linkSupport: true },
      documentSymbol: { hierarchicalDocumentSymbolSupport: true },
      hover: { contentFormat: ['markdown', 'plaintext'] },
      completion: { completionItem: { documentationFormat: ['markdown', 'plaintext'] } },
    },
    workspace: { textDocumentContent: {} } as never,
    ...less,
  });
  workspace.open(uri, text);
  const file = workspace.file(uri) as SourceFile;
  for (const _ of workspace.project.searchDeeper(file));
  const at = (piece: string, into = 0) => file.lines.position(text.indexOf(piece) + into);
  const here = { textDocument: { uri } };
  return { client, workspace, file, at, here };
}

describe('each request is answered by its feature', () => {
  test('what stands somewhere: hover, definition, references, names', async () => {
    const { client, workspace, file, at } = await asked();
    const [position, named, declared] = [at('width = 8'), at('middle   <='), at('half(of: Length)')];
    const pairs: [string, unknown, unknown][] = [
      ['textDocument/hover', await client.at('textDocument/hover', uri, position), hover(file, position, workspace)],
      [
        'textDocument/definition',
        await client.at('textDocument/definition', uri, named),
        definition(file, named, workspace),
      ],
      [
        'textDocument/documentHighlight',
        await client.at('textDocument/documentHighlight', uri, named),
        highlights(file, named),
      ],
      ...(await Promise.all(
        [true, false].map(
          async (includeDeclaration): Promise<[string, unknown, unknown]> => [
            'textDocument/references',
            await client.at('textDocument/references', uri, declared, { context: { includeDeclaration } }),
            references(file, declared, includeDeclaration, workspace),
          ],
        ),
      )),
      [
        'textDocument/prepareRename',
        await client.at('textDocument/prepareRename', uri, declared),
        prepareRename(file, declared, workspace),
      ],
      [
        'textDocument/rename',
        await client.at('textDocument/rename', uri, declared, { newName: 'part_of' }),
        rename(file, declared, 'part_of', workspace),
      ],
      [
        'textDocument/signatureHelp',
        await client.at('textDocument/signatureHelp', uri, at('half(of: width', 5)),
        signatureHelp(file, at('half(of: width', 5)),
      ],
    ];
    for (const [method, answer, wanted] of pairs) {
      expect(wanted, method).toBeTruthy();
      expect(plain(answer), method).toEqual(plain(wanted));
    }
    await client.stop();
  });

  test('what a file is: outline, folds, links, colours, layout, lenses, values', async () => {
    const { client, workspace, file, at, here } = await asked();
    const range: Range = { start: at('kind lamp'), end: at('part small') };
    const typed = at('  require middle', 0);
    const options = { tabSize: 2, insertSpaces: true };
    const ask = (method: string, more: object = {}) => client.request<unknown>(method, { ...here, ...more });
    const pairs: [string, unknown, unknown][] = [
      ['symbols', await ask('textDocument/documentSymbol'), documentSymbols(file)],
      ['folds', await ask('textDocument/foldingRange'), foldingRanges(file)],
      ['links', await ask('textDocument/documentLink'), documentLinks(file)],
      ['lenses', await ask('textDocument/codeLens'), codeLenses(file, workspace)],
      ['format', await ask('textDocument/formatting', { options }), formatEdits(file)],
      ['format a range', await ask('textDocument/rangeFormatting', { options, range }), formatRangeEdits(file, range)],
      [
        'format what is typed',
        await ask('textDocument/onTypeFormatting', { options, position: typed, ch: '\n' }),
        formatTypedEdits(file, typed, '\n'),
      ],
      [
        'values',
        await client.hints(uri),
        inlayHints(file, { from: 0, to: 1e6 }, readInlineSettings(undefined), workspace),
      ],
      [
        'values of some lines',
        await ask('textDocument/inlayHint', { range }),
        inlayHints(file, { from: range.start.line, to: range.end.line }, readInlineSettings(undefined), workspace),
      ],
    ];
    for (const [what, answer, wanted] of pairs) expect(plain(answer), what).toEqual(plain(wanted));
    for (const what of ['symbols', 'folds', 'lenses', 'format', 'values'])
      expect(pairs.find(([of]) => of === what)?.[2], what).not.toEqual([]);
    const whole = (await ask('textDocument/semanticTokens/full')) as SemanticTokens;
    expect(whole.data).toEqual(semanticTokens(file, undefined, workspace).data);
    expect(((await ask('textDocument/semanticTokens/range', { range })) as SemanticTokens).data).toEqual(
      semanticTokens(file, range, workspace).data,
    );
    const since = await ask('textDocument/semanticTokens/full/delta', { previousResultId: whole.resultId });
    expect(since).toMatchObject({ edits: [] });
    await client.stop();
  });

  test('what can be changed: by the kinds that are asked for, those that mend first', async () => {
    const { client, workspace, file, at, here } = await asked();
    const range = { start: at('8 m'), end: at('8 m') };
    const actions = (context: Partial<CodeActionContext>) =>
      client.request<CodeAction[]>('textDocument/codeAction', {
        ...here,
        range,
        context: { diagnostics: [], ...context },
      });
    const fixes = quickFixes(file, range, workspace, true);
    const rewrites = refactorings(file, range, workspace, true);
    const all = fixAll(file, workspace);
    const around = aroundNumber(file, range, workspace);
    expect([fixes.length, rewrites.length, all.length, around.length].every((n) => n > 0)).toBe(true);
    expect(plain(await actions({}))).toEqual(plain([...fixes, ...rewrites]));
    expect(plain(await actions({ only: ['quickfix'] }))).toEqual(plain(fixes));
    expect(plain(await actions({ only: ['refactor'] }))).toEqual(plain(rewrites));
    expect(plain(await actions({ only: ['source'] }))).toEqual(plain(all));
    expect(plain(await actions({ only: [fixAllKind] }))).toEqual(plain(all));
    expect(plain(await actions({ only: [aroundKind] }))).toEqual(plain(around));
    expect(plain(await actions({ only: [''] }))).toEqual(plain([...fixes, ...all, ...rewrites]));
    expect(plain(await actions({ only: ['quick'] }))).toEqual([]);
    const [kind] = rewrites.map((each) => each.kind as string);
    expect(plain(await actions({ only: [kind as string] }))).toEqual(
      plain(rewrites.filter((each) => each.kind === kind)),
    );
    // What an editor asks for by itself is not tried at length.
    expect(plain(await actions({ triggerKind: 2 }))).toEqual(
      plain([...quickFixes(file, range, workspace, false), ...refactorings(file, range, workspace, false)]),
    );
    await client.stop();
  });

  test('what may be written: in place of a question once that is answered', async () => {
    const { client, workspace, file, at } = await asked();
    for (const position of [at('?', 0), at('width = 8', 8), at('  lamp is ?')]) {
      const answer = await client.at<CompletionList>('textDocument/completion', uri, position);
      expect(plain(answer)).toEqual(plain(completion(file, position, workspace)));
      expect(answer.items.length).toBeGreaterThan(0);
    }
    await client.stop();
  });

  test('what rests on what, and what starts from what', async () => {
    const { client, workspace, file, at, here } = await asked();
    const value = at('middle   <=');
    const items = await client.at<CallHierarchyItem[]>('textDocument/prepareCallHierarchy', uri, value);
    expect(plain(items)).toEqual(plain(valueAt(file, value, workspace)));
    const [item] = items as [CallHierarchyItem];
    const out = await client.request('callHierarchy/outgoingCalls', { item });
    expect(plain(out)).toEqual(plain(dependsOn(item, workspace)));
    expect(out).not.toEqual([]);
    const width = await client.at<CallHierarchyItem[]>('textDocument/prepareCallHierarchy', uri, at('width = 8'));
    const into = await client.request('callHierarchy/incomingCalls', { item: width[0] });
    expect(plain(into)).toEqual(plain(dependents(width[0] as CallHierarchyItem, workspace)));
    expect(into).not.toEqual([]);
    // What no file is told with is nobody’s.
    expect(await client.request('callHierarchy/outgoingCalls', { item: { ...item, data: undefined } })).toEqual([]);
    const kind = await client.at<TypeHierarchyItem[]>('textDocument/prepareTypeHierarchy', uri, at('lamp {'));
    expect(plain(kind)).toEqual(plain(startsAt(file, at('lamp {'), workspace)));
    const part = await client.at<TypeHierarchyItem[]>('textDocument/prepareTypeHierarchy', uri, at('small is'));
    const [below, above] = [
      await client.request('typeHierarchy/subtypes', { item: kind[0] }),
      await client.request('typeHierarchy/supertypes', { item: part[0] }),
    ];
    expect(plain(below)).toEqual(plain(subtypes(kind[0] as TypeHierarchyItem, workspace)));
    expect(plain(above)).toEqual(plain(supertypes(part[0] as TypeHierarchyItem, workspace)));
    expect([below, above]).not.toContainEqual([]);
    expect(here.textDocument.uri).toBe(uri);
    await client.stop();
  });

  test('what all files declare, texts of the library, files that are renamed', async () => {
    const { client, workspace } = await asked();
    const found = await client.request('workspace/symbol', { query: 'small' });
    expect(plain(found)).toEqual(plain(workspaceSymbols('small', workspace)));
    expect(found).not.toEqual([]);
    const [library = ''] = workspace.project.library.files.keys();
    expect(await client.request('workspace/textDocumentContent', { uri: library })).toEqual({
      text: workspace.libraryText(library),
    });
    const files = [{ oldUri: 'file:///shop/other.gusset', newUri: 'file:///shop/another.gusset' }];
    const renamed = await client.request('workspace/willRenameFiles', { files });
    expect(plain(renamed)).toEqual(plain(renameFiles(files, workspace)));
    expect(JSON.stringify(renamed)).toContain('another.gusset');
    await client.stop();
  });
});

describe('what is offered', () => {
  test('says what each feature can', async () => {
    const { client } = await asked();
    const { offered } = client;
    expect(offered).toMatchObject({
      completionProvider: completionOptions,
      signatureHelpProvider: signatureHelpOptions,
      documentOnTypeFormattingProvider: formatOnTypeOptions,
      semanticTokensProvider: semanticTokensOptions,
      codeActionProvider: { codeActionKinds: ['quickfix', fixAllKind, ...refactoringKinds, aroundKind] },
      selectionRangeProvider: true,
      inlineCompletionProvider: true,
      workspace: {
        workspaceFolders: { supported: true, changeNotifications: true },
        textDocumentContent: { schemes: ['gusset-library'] },
        fileOperations: {
          willRename: {
            filters: [
              { pattern: { glob: '**/*.gusset', matches: 'file' } },
              { pattern: { glob: '**', matches: 'folder' } },
            ],
          },
        },
      },
    });
    expect(offered.diagnosticProvider).toBeUndefined();
    await client.stop();
  });

  test('findings are asked for by clients that hear when there is more, and by no others', async () => {
    const asking = await Client.start({
      textDocument: { diagnostic: {} },
      workspace: { diagnostics: { refreshSupport: true } },
    });
    expect(asking.offered.diagnosticProvider).toEqual({
      identifier: 'gusset',
      interFileDependencies: true,
      workspaceDiagnostics: true,
    });
    await asking.stop();
  });

  test('a client that takes no levels is handed a list, and none that it does not take', async () => {
    const { client, file, here } = await asked({ textDocument: {} });
    const symbols = await client.request<DocumentSymbol[]>('textDocument/documentSymbol', here);
    expect(plain(symbols)).toEqual(plain(flatSymbols(file)));
    await client.stop();
  });
});

test('a file that is closed is coloured anew, and has no edit before', async () => {
  const { client, here } = await asked();
  await client.request('gusset/lastEdit', { uri });
  await client.change(uri, text.replace('width = 8 m', 'width = 9 m'));
  const whole = await client.request<SemanticTokens>('textDocument/semanticTokens/full', here);
  expect(await client.request('gusset/lastEdit', { uri })).toMatchObject({ statements: [expect.anything()] });
  await client.close(uri);
  await client.open(uri, text);
  const since = await client.request<SemanticTokens>('textDocument/semanticTokens/full/delta', {
    ...here,
    previousResultId: whole.resultId,
  });
  // Told whole, and no edits to what was told before it was closed.
  expect(since.data?.length).toBe(whole.data.length);
  expect(await client.request('gusset/lastEdit', { uri })).toEqual({ statements: [], machines: [] });
  await client.stop();
});
