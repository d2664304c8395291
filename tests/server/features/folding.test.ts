import { afterAll, beforeAll, expect, test } from 'vitest';
import type { FoldingRange } from 'vscode-languageserver';
import { Client } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;

/** `from-to kind`, lines from 1. */
async function folds(text: string): Promise<string[]> {
  const uri = `file:///folding/${++files}.gusset`;
  await client.open(uri, text);
  const ranges = await client.request<FoldingRange[]>('textDocument/foldingRange', { textDocument: { uri } });
  return ranges.map((r) => `${r.startLine + 1}-${r.endLine + 1}${r.kind ? ` ${r.kind}` : ''}`);
}

test('blocks up to the line before their brace, lists, comments, used files', async () => {
  const text = `use "./a.gusset"
use "./b.gusset"

/// A printer
/// in two lines.
machine M {
  // one line
  bed {
    plate { size = 1 m x 1 m }
  }
  circuit {
    path = [
      psu,
      bed.heater,
    ]
  }
}
`;
  expect(await folds(text)).toEqual(['6-16', '8-9', '11-15', '12-14', '4-5 comment', '1-2 imports']);
});

test('a block that is not closed folds as far as it goes', async () => {
  expect(await folds('machine M {\n  bed {\n    target = 60 degC\n')).toEqual(['1-3', '2-3']);
});

test('files used fold where nothing else stands in the file, and a single one does not', async () => {
  expect(await folds('use "./a.gusset"\nuse "./b.gusset"\nuse "./c.gusset"\n')).toEqual(['1-3 imports']);
  expect(await folds('use "./a.gusset"\n')).toEqual([]);
  expect(await folds('use "./a.gusset"\nmachine M {\n}\nuse "./b.gusset"\n')).toEqual([]);
});

test('comments fold where two or more lines of them follow each other', async () => {
  expect(await folds('// one\nmachine M {\n  a = 1 // beside\n  // two\n  // lines\n}\n// at\n// the\n// end')).toEqual(
    ['2-5', '4-5 comment', '7-9 comment'],
  );
});
