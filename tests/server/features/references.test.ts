import { afterAll, beforeAll, expect, test } from 'vitest';
import type { DocumentHighlight, Location } from 'vscode-languageserver';
import { marked, ownKind } from '../../own-kind.ts';
import { Client, cursor } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;

/** `file:line` (lines from 1, own file without name) of all places that name what is at `<|>`. */
async function found(text: string, includeDeclaration = true): Promise<string[]> {
  const uri = `file:///references/${++files}.gusset`;
  const { text: plain, position } = cursor(text);
  await client.open(uri, plain);
  const places = await client.at<Location[]>('textDocument/references', uri, position, {
    context: { includeDeclaration },
  });
  return places.map((p) => `${p.uri === uri ? '' : p.uri.split('/').pop()}:${p.range.start.line + 1}`);
}

const lines = ownKind.split('\n');
/** The lines (from 1) that hold a piece. */
const linesWith = (...pieces: string[]) =>
  pieces.map((piece) => `:${lines.findIndex((line) => line.includes(piece)) + 1}`);

test('a value: its declaration, formulas, messages, and the machines of all variants', async () => {
  const expected = linesWith(
    'width: Length',
    'width * at',
    'holds width',
    '{width} wide',
    'at width',
    'width = 100 mm',
    'all(d.width',
    'width = 200 mm',
  );
  expect(await found(marked('holds wi<|>dth'))).toEqual(expected);
  expect(await found(marked('holds wi<|>dth'), false)).toEqual(expected.slice(1));
});

test('a block: overrides and removals in variants', async () => {
  const everywhere = [...linesWith('drum roller is', 'roller.rim'), ':47', ':53'];
  expect(await found(marked('drum rol<|>ler is'))).toEqual(everywhere);
  expect(await found(marked('no rol<|>ler'))).toEqual(everywhere);
});

test('an argument: in its formula, and where it is given', async () => {
  expect(await found(marked('rim(a<|>t: Ratio)'))).toEqual(
    [...linesWith('rim(at: Ratio)', 'width * at', 'rim(at: 0.5)', 'roller.rim(at: 0.2)')].sort(
      (a, b) => Number(a.slice(1)) - Number(b.slice(1)),
    ),
  );
});

test('a kind: in the files that use it too', async () => {
  await client.open('file:///references/stock.gusset', ownKind);
  const user = 'use "./stock.gusset"\nmachine M {\n  drum is smal<|>l_drum\n}\n';
  expect(await found(user)).toEqual(['stock.gusset:34', 'stock.gusset:39', ':3']);
});

test('what is marked in the file while the cursor is on a name', async () => {
  const uri = 'file:///references/marks.gusset';
  const { text, position } = cursor(marked('part small_<|>drum'));
  await client.open(uri, text);
  const marks = await client.at<DocumentHighlight[]>('textDocument/documentHighlight', uri, position);
  expect(marks.map((m) => [m.range.start.line + 1, m.kind])).toEqual([
    [34, 3],
    [39, 2],
  ]);
});
