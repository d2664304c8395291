import { expect, test } from 'vitest';
import { clientCan, withoutMarks } from '../../server/client-can.ts';
import { Client } from './client.ts';

test('what a client does not speak of it cannot', () => {
  expect(clientCan({})).toEqual({
    followLinks: false,
    nestSymbols: false,
    readMarkdownHovers: false,
    readMarkdownItems: false,
    followCodes: false,
    strikeOut: false,
    askForTexts: false,
    askForFindings: false,
    readMarkdownFindings: false,
    fillBlanks: false,
    fillBlanksOfChanges: false,
    makeFiles: false,
  });
  const all = clientCan({
    textDocument: {
      definition: { linkSupport: true },
      documentSymbol: { hierarchicalDocumentSymbolSupport: true },
      hover: { contentFormat: ['markdown'] },
      completion: { completionItem: { documentationFormat: ['plaintext', 'markdown'], snippetSupport: true } },
      diagnostic: { codeDescriptionSupport: true, tagSupport: { valueSet: [1, 2] }, markupMessageSupport: true },
    },
    workspace: {
      diagnostics: { refreshSupport: true },
      textDocumentContent: {},
      workspaceEdit: { snippetEditSupport: true, documentChanges: true, resourceOperations: ['rename', 'create'] },
    },
  });
  expect(Object.values(all)).toEqual(Array(12).fill(true));
  const half = clientCan({
    textDocument: {
      definition: {},
      documentSymbol: {},
      hover: {},
      completion: {},
      publishDiagnostics: {},
      diagnostic: {},
    },
    workspace: { workspaceEdit: { documentChanges: true, resourceOperations: ['delete'] }, diagnostics: {} },
  });
  expect(Object.values(half)).toEqual(Array(12).fill(false));
  const others = clientCan({
    textDocument: {
      hover: { contentFormat: ['plaintext'] },
      completion: { completionItem: { documentationFormat: ['plaintext'] } },
      publishDiagnostics: { tagSupport: { valueSet: [1] } },
    },
  });
  expect(Object.values(others)).toEqual(Array(12).fill(false));
});

test('Markdown as it is read without its marks', () => {
  const markdown =
    '**bed** = `60 °C`\n\n| a | b |\n| --- | --- |\n| 1 | 2 |\n\n```gusset\nkind k {\n```\n_a power, in W_';
  expect(withoutMarks(markdown)).toBe('bed = 60 °C\n\na  b\n1  2\n\nkind k {\na power, in W');
});

test('nothing is registered with a client that did not offer to take registrations', async () => {
  const plain = await Client.start({ workspace: { configuration: true } });
  await plain.open('file:///plain.gusset', 'machine M {\n}\n');
  await plain.hints('file:///plain.gusset');
  expect(plain.registered).toEqual([]);
  await plain.stop();
  const other = await Client.start();
  await other.open('file:///plain.gusset', 'machine M {\n}\n');
  await other.hints('file:///plain.gusset');
  expect([...other.registered].sort()).toEqual(['workspace/didChangeConfiguration', 'workspace/didChangeWatchedFiles']);
  await other.stop();
});
