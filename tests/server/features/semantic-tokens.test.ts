import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { SemanticTokens, SemanticTokensDelta } from 'vscode-languageserver';
import { tokenModifiers, tokenTypes } from '../../../server/features/semantic-tokens.ts';
import { ownKind } from '../../own-kind.ts';
import { bench } from '../../support.ts';
import { Client } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;

interface Shown {
  readonly line: number;
  readonly start: number;
  readonly text: string;
  readonly type: string;
}

/** What each coloured piece of text is: `type modifier…`. */
async function colours(text: string, lines?: [number, number]): Promise<Shown[]> {
  const uri = `file:///colours/${++files}.gusset`;
  await client.open(uri, text);
  const textDocument = { uri };
  const range = lines && { start: { line: lines[0], character: 0 }, end: { line: lines[1], character: 0 } };
  const { data } = await client.request<SemanticTokens>(`textDocument/semanticTokens/${range ? 'range' : 'full'}`, {
    textDocument,
    range,
  });
  const rows = text.split('\n');
  const shown: Shown[] = [];
  let [line, start] = [0, 0];
  for (let i = 0; i < data.length; i += 5) {
    const [down = 0, right = 0, length = 0, type = 0, bits = 0] = data.slice(i, i + 5);
    [line, start] = down > 0 ? [line + down, right] : [line, start + right];
    const modifiers = tokenModifiers.filter((_, bit) => bits & (1 << bit));
    const piece = rows[line]?.slice(start, start + length) ?? '';
    shown.push({ line, start, text: piece, type: [tokenTypes[type], ...modifiers].join(' ') });
  }
  return shown;
}

/** The pieces of the first line that holds a text. */
async function lineColours(text: string, piece: string): Promise<string[]> {
  const line = text.split('\n').findIndex((row) => row.includes(piece));
  return (await colours(text)).filter((c) => c.line === line).map((c) => `${c.text}: ${c.type}`);
}

test('a machine’s values, units, blocks and parts', async () => {
  expect(await lineColours(bench, 'power = 250 W')).toEqual([
    'power: property defaultLibrary',
    '250: number',
    'W: number defaultLibrary',
  ]);
  expect(await lineColours(bench, 'fuse is blade_15a')).toEqual([
    'fuse: variable declaration',
    'is: keyword',
    'blade_15a: variable defaultLibrary readonly',
  ]);
  expect(await lineColours(bench, 'supply psu')).toEqual([
    'supply: class defaultLibrary',
    'psu: variable declaration',
    'is: keyword',
    'supply_24v_450w: variable defaultLibrary readonly',
    'own_plug: property defaultLibrary',
    'yes: keyword',
  ]);
});

test('a kind’s declarations, formulas and choices', async () => {
  expect(await lineColours(ownKind, 'kind drum')).toEqual([
    'kind: keyword',
    'drum: class declaration',
    'is: keyword',
    'component: class defaultLibrary',
  ]);
  expect(await lineColours(ownKind, 'rim(at: Ratio)')).toEqual([
    'rim: function declaration readonly',
    'at: parameter declaration',
    'Ratio: type defaultLibrary readonly',
    'Length: type defaultLibrary readonly',
    'width: property',
    '*: operator',
    'at: parameter',
  ]);
  expect(await lineColours(ownKind, 'mode: one of')).toEqual([
    'mode: property declaration',
    'one: keyword',
    'of: keyword',
    'slow: enumMember declaration',
    'fast: enumMember declaration',
  ]);
  expect(await lineColours(ownKind, 'when mode')).toEqual([
    'when: keyword',
    'mode: property',
    '==: operator',
    'fast: enumMember',
  ]);
});

test('a word of the language is a keyword wherever it stands in its line', async () => {
  expect(await lineColours('kind k is wire {\n  a: Length default 2 mm\n}\n', 'default')).toContain('default: keyword');
  expect(await lineColours(`${bench}rule r on wire {\n  holds not given(area) or yes\n}\n`, 'holds')).toEqual([
    'holds: keyword',
    'not: keyword',
    'given: function defaultLibrary',
    'area: property defaultLibrary',
    'or: keyword',
    'yes: keyword',
  ]);
});

test('values in messages, and comments', async () => {
  expect(await lineColours(ownKind, 'warning "{name}')).toEqual([
    'warning: keyword',
    '"{: string',
    'name: function defaultLibrary',
    '} is {: string',
    'width: property',
    '} wide, and turns fast": string',
  ]);
  expect(await lineColours(ownKind, '/// Widths')).toEqual(['/// Widths that drums come in.: comment documentation']);
});

test('pieces do not overlap, in any text, and a range gives the same as the whole', async () => {
  for (const text of [bench, ownKind, bench.replace('power = 250 W', 'power = 250'), bench.replace('}', '')]) {
    const all = await colours(text);
    for (const [i, piece] of all.entries()) {
      const before = all[i - 1];
      if (before?.line === piece.line) expect(before.start + before.text.length).toBeLessThanOrEqual(piece.start);
      expect(piece.text).not.toBe('');
    }
    const part = await colours(text, [4, 9]);
    expect(part).toEqual(all.filter((c) => c.line >= 4 && c.line <= 9));
  }
});

test('the legend that the server announces is the one it colours by', () => {
  expect(client.offered.semanticTokensProvider).toEqual({
    legend: { tokenTypes: [...tokenTypes], tokenModifiers: [...tokenModifiers] },
    full: { delta: true },
    range: true,
  });
});

describe('only what an edit changed is sent', () => {
  const uri = 'file:///colours/delta.gusset';
  const textDocument = { uri };
  const full = () => client.request<SemanticTokens>('textDocument/semanticTokens/full', { textDocument });
  const since = (previousResultId: string | undefined) =>
    client.request<SemanticTokens & Partial<SemanticTokensDelta>>('textDocument/semanticTokens/full/delta', {
      textDocument,
      previousResultId,
    });
  /** As the protocol has it: edits are made of the numbers as they were (LSP 3.18, semanticTokens/full/delta). */
  const made = ({ data }: SemanticTokens, edits: SemanticTokensDelta['edits'] = []) =>
    edits
      .toSorted((a, b) => b.start - a.start)
      .reduce((numbers, { start, deleteCount, data = [] }) => numbers.toSpliced(start, deleteCount, ...data), data);

  test('and gives what all of them would be', async () => {
    await client.open(uri, bench);
    const before = await full();
    await client.change(uri, bench.replace('power = 250 W', 'power = ?').replace('  mains = 230 V\n', ''));
    const delta = await since(before.resultId);
    expect(delta.data).toBeUndefined();
    const sent = delta.edits?.flatMap(({ data = [] }) => data).length ?? 0;
    const now = made(before, delta.edits);
    const whole = await full();
    expect(now).toEqual(whole.data);
    expect(sent).toBeLessThan(whole.data.length);
    // Nothing has changed since.
    expect((await since(whole.resultId)).edits).toEqual([]);
  });

  test('all of them, where the client has others than were sent last', async () => {
    await client.open(uri, bench);
    const { resultId } = await full();
    await full();
    expect((await since(resultId)).data.length).toBeGreaterThan(100);
    const { resultId: last } = await full();
    await client.close(uri);
    await client.open(uri, bench);
    expect((await since(last)).edits).toBeUndefined();
  });
});
