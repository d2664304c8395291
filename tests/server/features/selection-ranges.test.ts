import { afterAll, beforeAll, expect, test } from 'vitest';
import type { SelectionRange } from 'vscode-languageserver';
import { Lines } from '../../../language/grammar/syntax.ts';
import { Client, cursor } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;
/** The texts that are taken in one after the other, from the innermost. */
async function steps(marked: string): Promise<string[]> {
  const { text, position } = cursor(marked);
  const uri = `file:///test/selection_${++files}.gusset`;
  await client.open(uri, text);
  const params = { textDocument: { uri }, positions: [position] };
  const [innermost] = await client.request<SelectionRange[]>('textDocument/selectionRange', params);
  const lines = new Lines(text);
  const taken: string[] = [];
  for (let at = innermost; at; at = at.parent) {
    taken.push(text.slice(lines.offset(at.range.start), lines.offset(at.range.end)));
  }
  return taken;
}

test('from a number to its quantity, the statement, the inside of the block, the block and the file', async () => {
  const block = 'bed {\n    target = 60 degC\n    no cutoff\n  }';
  const text = `// mine\nmachine M {\n  ${block}\n}\n`;
  const taken = await steps(text.replace('60', '6<|>0'));
  expect(taken.at(0)).toBe('60 degC');
  expect(taken).toContain('target = 60 degC');
  const inside = taken.indexOf('target = 60 degC\n    no cutoff');
  expect(inside).toBeGreaterThan(taken.indexOf('target = 60 degC'));
  expect(taken.indexOf(block)).toBeGreaterThan(inside);
  expect(taken.at(-1)).toBe(text);
});

test('each step takes in more than the one before, in a list and an expression as well', async () => {
  const taken = await steps('machine M {\n  circuit c {\n    path = [a, b<|>.c, d]\n  }\n  require x.y <= 3 mm\n}\n');
  for (const [i, each] of taken.entries()) if (i > 0) expect(each.length).toBeGreaterThan(taken[i - 1]?.length ?? 0);
  expect(taken).toContain('a, b.c, d');
  expect(taken).toContain('[a, b.c, d]');
});

test('in a file that is half written, and in an empty one', async () => {
  expect((await steps('machine M {\n  bed {\n    target = 6<|>0')).at(-1)).toBe(
    'machine M {\n  bed {\n    target = 60',
  );
  expect(await steps('<|>')).toEqual(['']);
});
