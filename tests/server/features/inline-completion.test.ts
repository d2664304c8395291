import { afterAll, beforeAll, expect, test } from 'vitest';
import type { CompletionList, InlineCompletionItem } from 'vscode-languageserver';
import { Client, cursor } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

const wagtail = (line: string) =>
  cursor(`machine Wagtail {
  ambient = 15 degC .. 30 degC
  supply psu is desktop_supply_24v_220w
${line}
  heater mat {
    power = 120 W
    voltage = 24 V
    size = 240 mm x 240 mm
  }
}
`);
const uri = 'file:///wagtail.gusset';
const circuit =
  /^circuit mat_power \{\n {4}fuse is \?\n {4}wire \{\n {6}area = \?\n.*\n {4}\}\n {4}path = \[psu, fuse, wire, mat\]\n {2}\}$/;
const ask = async (line: string) => {
  const { text, position } = wagtail(line);
  await client.open(uri, text);
  const items = await client.at<InlineCompletionItem[]>('textDocument/inlineCompletion', uri, position, {
    context: { triggerKind: 2 },
  });
  const list = await client.at<CompletionList>('textDocument/completion', uri, position);
  await client.close(uri);
  return { items, labels: list.items.map(({ label }) => label), list };
};

test('a whole block is proposed in an empty line of the machine, behind what is typed of it', async () => {
  for (const line of ['  <|>', '  circ<|>']) {
    const { items } = await ask(line);
    expect(items.map(({ insertText }) => insertText)).toEqual([expect.stringMatching(circuit)]);
    expect(items[0]?.range?.start).toEqual({ line: 3, character: 2 });
  }
});

test('nothing is proposed in the middle of a line, behind another word, or in another block', async () => {
  for (const line of ['  <|>ambient = 3', '  fuse<|>', '  bed {\n    <|>\n  }', '  // <|>'])
    expect((await ask(line)).items).toEqual([]);
});

test('it is among the first of what is completed there', async () => {
  const { labels, list } = await ask('  <|>');
  expect(labels.slice(0, 3)).toContain('circuit mat_power { … }');
  const item = list.items.find(({ label }) => label === 'circuit mat_power { … }');
  expect(item).toMatchObject({ detail: 'for mat', documentation: { value: 'mat: What feeds it?' } });
  expect((await ask('  power = <|>')).labels).not.toContain('circuit mat_power { … }');
});
