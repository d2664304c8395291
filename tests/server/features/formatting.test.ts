import { afterAll, beforeAll, expect, test } from 'vitest';
import type { TextEdit } from 'vscode-languageserver';
import { format } from '../../../language/grammar/format.ts';
import { bench } from '../../support.ts';
import { Client, cursor, edited } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;

async function edits(text: string, lines?: [number, number]): Promise<TextEdit[]> {
  const uri = `file:///formatting/${++files}.gusset`;
  await client.open(uri, text);
  const textDocument = { uri };
  const options = { tabSize: 2, insertSpaces: true };
  if (!lines) return client.request('textDocument/formatting', { textDocument, options });
  const [from, to] = lines;
  const range = { start: { line: from, character: 0 }, end: { line: to, character: 0 } };
  return client.request('textDocument/rangeFormatting', { textDocument, range, options });
}

const untidy =
  'machine   M{\n\n\n ambient=20 degC // cool\n      bed{\n  target =60 degC\n\n }\n\n\n\n  mains = 230 V\n}';

test('the whole text, as the command line lays it out', async () => {
  expect(edited(untidy, await edits(untidy))).toBe(format(untidy));
  const windows = untidy.replaceAll('\n', '\r\n');
  expect(edited(windows, await edits(windows))).toBe(format(windows));
});

test('only lines that change are touched', async () => {
  expect(await edits(bench)).toEqual([]);
  const one = bench.replace('  mains = 230 V', '  mains=230 V');
  const changes = await edits(one);
  expect(changes).toHaveLength(1);
  expect(changes[0]?.range.start.line).toBe(2);
});

test('a range alone', async () => {
  const text = 'machine M {\n    ambient=20 degC\n    mains=230 V\n}\n';
  expect(edited(text, await edits(text, [1, 2]))).toBe('machine M {\n  ambient = 20 degC\n    mains=230 V\n}\n');
});

test('a line with a mistake stays as it is', async () => {
  const text = 'machine M {\n  ambient   =   =\n  mains   = 230 V\n}\n';
  expect(edited(text, await edits(text))).toBe('machine M {\n  ambient   =   =\n  mains = 230 V\n}\n');
});

/** A text with a character typed into it, at `<|>`, and what is laid out then. */
async function typed(marked: string, ch: string): Promise<string> {
  const { text, position } = cursor(marked);
  const uri = `file:///formatting/${++files}.gusset`;
  await client.open(uri, text);
  const options = { tabSize: 2, insertSpaces: true };
  const changes = await client.at<TextEdit[]>('textDocument/onTypeFormatting', uri, position, { ch, options });
  return edited(text, changes);
}

test('a line that was ended, while somebody types, and nothing below it', async () => {
  expect(client.offered.documentOnTypeFormattingProvider).toEqual({
    firstTriggerCharacter: '\n',
    moreTriggerCharacter: ['}'],
  });
  const text = 'machine M {\n    ambient=20 degC\n  <|>\n    mains=230 V\n}\n';
  expect(await typed(text, '\n')).toBe('machine M {\n  ambient = 20 degC\n  \n    mains=230 V\n}\n');
  // At the very beginning there is no line before.
  expect(await typed('<|>machine   M {\n}\n', '\n')).toBe('machine   M {\n}\n');
});

test('a block that was closed, and nothing around it', async () => {
  const text = 'machine M {\n    ambient=20 degC\n  bed{\n  target=60 degC\n      }<|>\n    mains=230 V\n}\n';
  expect(await typed(text, '}')).toBe(
    'machine M {\n    ambient=20 degC\n  bed {\n    target = 60 degC\n  }\n    mains=230 V\n}\n',
  );
});

test('what is not whole yet stays as it is', async () => {
  const text = 'machine M {\n  ambient  =\n<|>}\n';
  expect(await typed(text, '\n')).toBe(text.replace('<|>', ''));
  const open = 'machine M {\n  bed {\n    plate{\n  target=60 degC\n}<|>\n';
  expect(await typed(open, '}')).toContain('  bed {\n');
});
