import { expect, test } from 'vitest';
import type { DocumentLink } from 'vscode-languageserver';
import { Client } from '../client.ts';

test('the files that are used, where they are there', async () => {
  const client = await Client.start();
  await client.open('file:///links/parts/stock.gusset', 'part mine is blade_15a\n');
  const uri = 'file:///links/a.gusset';
  await client.open(uri, 'use "./parts/stock.gusset"\nuse "./nowhere.gusset"\nmachine M\n');
  const links = await client.request<DocumentLink[]>('textDocument/documentLink', { textDocument: { uri } });
  await client.stop();
  expect(links).toEqual([
    {
      range: { start: { line: 0, character: 5 }, end: { line: 0, character: 25 } },
      target: 'file:///links/parts/stock.gusset',
      tooltip: 'Open the file',
    },
  ]);
});
