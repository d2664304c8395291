import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type DocumentSymbol, type SymbolInformation, SymbolKind } from 'vscode-languageserver';
import { workspaceSymbols } from '../../../server/features/symbols.ts';
import { Workspace } from '../../../server/workspace.ts';
import { ownKind } from '../../own-kind.ts';
import { bench } from '../../support.ts';
import { Client } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

/** The outline as lines, indented by depth. */
function lines(symbols: readonly DocumentSymbol[], indent = ''): string[] {
  return symbols.flatMap((s) => [`${indent}${s.name}: ${s.detail}`, ...lines(s.children ?? [], `${indent}  `)]);
}

async function outline(uri: string, text: string): Promise<DocumentSymbol[]> {
  await client.open(uri, text);
  return client.request<DocumentSymbol[]>('textDocument/documentSymbol', { textDocument: { uri } });
}

test('machines with their blocks', async () => {
  expect(lines(await outline('file:///symbols/bench.gusset', bench))).toEqual([
    'Bench: machine',
    '  psu: supply is supply_24v_450w',
    '  bed: ',
    '    plate: ',
    '    heater: ',
    '    sensor: is ntc_100k',
    '    cutoff: is thermal_link_133c',
    '  bed_power: circuit',
    '    fuse: is blade_15a',
    '    wire: ',
  ]);
});

test('what a kind says can be checked', async () => {
  const kind = 'kind k {\n  a: Length\n  check c {\n    stage before_power\n    how "Look"\n  }\n}\n';
  expect(lines(await outline('file:///symbols/check.gusset', kind))).toEqual(['k: kind', '  a: Length', '  c: check']);
});

test('kinds with what they declare, rules, parts, sizes, variants', async () => {
  expect(lines(await outline('file:///symbols/own.gusset', ownKind))).toEqual([
    'drum_sizes: sizes: Length',
    'drum: kind is component',
    '  width: Length',
    '  mode: one of slow, fast',
    '  rim: Length',
    '  half: Length',
    'drum_wide: rule on drum',
    'small_drum: part is drum',
    'First: machine',
    '  roller: drum is small_drum',
    'Second: machine is First',
    '  roller: drum',
    'Third: machine is First',
  ]);
});

test('a block’s sign says what it is for: it holds others, is in a circuit, is bought as a part', async () => {
  const signs = (symbols: readonly DocumentSymbol[]): [string, SymbolKind][] =>
    symbols.flatMap(({ name, kind, children }) => [[name, kind], ...signs(children ?? [])]);
  const bare = bench.replace('    sensor is ntc_100k\n', '    sensor is ntc_100k\n    surface is textured_sheet\n');
  expect(Object.fromEntries(signs(await outline('file:///symbols/signs.gusset', bare)))).toMatchObject({
    Bench: SymbolKind.Module,
    bed: SymbolKind.Namespace,
    bed_power: SymbolKind.Namespace,
    heater: SymbolKind.Event,
    fuse: SymbolKind.Event,
    wire: SymbolKind.Event,
    surface: SymbolKind.Struct,
    plate: SymbolKind.Object,
  });
});

test('a client that takes no levels gets a list, each with what it stands in', async () => {
  const plain = await Client.start({ textDocument: {} });
  const uri = 'file:///symbols/flat.gusset';
  await plain.open(uri, bench);
  const list = await plain.request<SymbolInformation[]>('textDocument/documentSymbol', { textDocument: { uri } });
  await plain.stop();
  expect(list.map(({ name, containerName }) => `${containerName ?? ''} > ${name}`).slice(0, 4)).toEqual([
    ' > Bench',
    'Bench > psu',
    'Bench > bed',
    'Bench.bed > plate',
  ]);
  expect(list[3]).toEqual({
    name: 'plate',
    kind: SymbolKind.Object,
    containerName: 'Bench.bed',
    location: { uri, range: expect.objectContaining({ start: { line: 6, character: 4 } }) },
  });
});

test('half-typed text keeps the rest, and names lie within what they name', async () => {
  const symbols = await outline('file:///symbols/broken.gusset', bench.replace('fuse is blade_15a', 'fuse is'));
  expect(lines(symbols)).toContain('    wire: ');
  const check = (symbol: DocumentSymbol) => {
    expect(symbol.selectionRange.start.line).toBeGreaterThanOrEqual(symbol.range.start.line);
    expect(symbol.selectionRange.end.line).toBeLessThanOrEqual(symbol.range.end.line);
    for (const child of symbol.children ?? []) check(child);
  };
  for (const symbol of symbols) check(symbol);
});

describe('names in all files', () => {
  const workspace = new Workspace(() => undefined);
  workspace.open(
    'file:///z.gusset',
    'kind tin_box {\n  toplevel\n  has lid*\n}\nkind lid {\n  has knob*\n}\nkind knob {\n}\ntin_box Outer {\n  lid top {\n    knob red_knob\n  }\n}\n',
  );
  workspace.open(
    'file:///a.gusset',
    'kind box {\n}\nkind boxed {\n}\nkind ash_box {\n}\nkind b_o_x {\n}\nkind xob {\n}\n',
  );
  const found = (query: string) => workspaceSymbols(query, workspace);

  test('the name itself comes first, then its beginning, a part of it, its letters in their order; of as near ones by name', () => {
    const own = found('Box').filter(({ location }) => location.uri.startsWith('file:'));
    expect(own.map(({ name }) => name)).toEqual(['box', 'boxed', 'ash_box', 'tin_box', 'b_o_x']);
    expect(found('nothing_like_it')).toEqual([]);
  });

  test('parts, kinds and rules of the library are found by a query, behind own names that are as near', () => {
    const [first, second] = found('box');
    expect([first?.location.uri, second]).toEqual([
      'file:///a.gusset',
      {
        name: 'box',
        kind: SymbolKind.Class,
        location: expect.objectContaining({ uri: expect.stringMatching(/^gusset-library:/) }),
      },
    ]);
    expect(found('supply_24v_450w')).toMatchObject([{ name: 'supply_24v_450w', kind: SymbolKind.Struct }]);
    expect(found('wire_overloaded')).toMatchObject([{ name: 'wire_overloaded', kind: SymbolKind.Event }]);
    expect(found('').every(({ location }) => location.uri.startsWith('file:'))).toBe(true);
  });

  test('each says what it stands in, however deep, and where', () => {
    expect(found('red_knob')).toEqual([
      {
        name: 'red_knob',
        kind: SymbolKind.Object,
        containerName: 'Outer.top',
        location: {
          uri: 'file:///z.gusset',
          range: { start: { line: 11, character: 9 }, end: { line: 11, character: 17 } },
        },
      },
    ]);
    expect(found('Outer')[0]).not.toHaveProperty('containerName');
  });
});
