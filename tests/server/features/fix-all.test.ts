import { afterAll, beforeAll, expect, test } from 'vitest';
import type { CodeAction } from 'vscode-languageserver';
import { Client, edited } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

const gauge = `/// A gauge.
kind gauge {
  toplevel
  /// What it is set to.
  setting: Current
  /// What it is meant to have.
  wanted: Current
  /// Did somebody look?
  seen: YesNo default no
}

/// It is set as it is meant to be.
rule gauge_set_wrong on gauge {
  holds setting == wanted
  warning "set to {setting}"
  source practice "a test"
  remedy setting = wanted
}

/// Somebody looked at it.
rule gauge_unseen on gauge {
  holds seen
  warning "nobody looked at it"
  source practice "a test"
  remedy seen = yes once "it was looked at"
}

gauge A {
  setting = 1 A
  wanted = 2 A
}

gauge B {
  setting = 3 A
  wanted = 4 A
}
`;

const ask = (uri: string, ...only: string[]) =>
  client.request<CodeAction[]>('textDocument/codeAction', {
    textDocument: { uri },
    range: { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } },
    context: { diagnostics: [], only },
  });

test('all that is proven is one change, asked for by its own kind or a wider one, as on saving', async () => {
  const uri = 'file:///fix-all/a.gusset';
  await client.open(uri, gauge);
  const mended = gauge.replace('setting = 1 A', 'setting = 2 A').replace('setting = 3 A', 'setting = 4 A');
  for (const kind of ['source.fixAll.gusset', 'source.fixAll', 'source']) {
    const actions = await ask(uri, kind);
    expect(actions.map((action) => action.kind)).toEqual(['source.fixAll.gusset']);
    const edits = actions[0]?.edit?.changes?.[uri] ?? [];
    expect(edited(gauge, edits)).toBe(mended);
    // It reaches from the first to the last that differs, and leaves what stands around.
    const line = (text: string) => gauge.slice(0, gauge.indexOf(text)).split('\n').length - 1;
    expect(edits.map(({ range }) => range)).toEqual([
      { start: { line: line('setting = 1'), character: 12 }, end: { line: line('setting = 3'), character: 13 } },
    ]);
  }
  // Nothing was changed by asking.
  expect((await client.diagnostics(uri)).map(({ message }) => message)).toContain('set to 1 A.');
  expect((await ask(uri, 'quickfix')).filter(({ kind }) => kind !== 'quickfix')).toEqual([]);
  expect(await ask(uri, 'source.organizeImports')).toEqual([]);
  await client.change(uri, mended);
  expect(await ask(uri, 'source.fixAll')).toEqual([]);
});
