import { afterAll, beforeAll, expect, test } from 'vitest';
import type { DocumentSymbol } from 'vscode-languageserver';
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
