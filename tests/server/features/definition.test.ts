import { afterAll, beforeAll, expect, test } from 'vitest';
import type { LocationLink } from 'vscode-languageserver';
import { marked, ownKind } from '../../own-kind.ts';
import { bench } from '../../support.ts';
import { Client, cursor } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;

/** `file: line of text`, for each place that the name at `<|>` leads to. */
async function targets(text: string): Promise<string[]> {
  const uri = `file:///definition/${++files}.gusset`;
  const { text: plain, position } = cursor(text);
  await client.open(uri, plain);
  const links = await client.at<LocationLink[]>('textDocument/definition', uri, position);
  const shown = links.map(async ({ targetUri, targetSelectionRange: { start } }) => {
    const other = targetUri.startsWith('gusset-library:')
      ? (await client.request<{ text: string }>('workspace/textDocumentContent', { uri: targetUri })).text
      : targetUri === uri
        ? plain
        : '';
    const file = targetUri === uri ? '' : `${targetUri}: `;
    return `${file}${other.split('\n')[start.line]?.trim()}`;
  });
  return Promise.all(shown);
}

const required = (expression: string) => bench.replace(/}\n$/, `  require ${expression}\n}\n`);

test('a value of a machine leads to where it is given, and on to its kind', async () => {
  expect(await targets(required('bed.heater.po<|>wer < 300 W'))).toEqual([
    'power = 250 W',
    expect.stringMatching(/^gusset-library:\/.*\.gusset: power: Power/),
  ]);
  expect(await targets(bench.replace('power = 250', 'po<|>wer = 250'))).toEqual([
    expect.stringMatching(/^gusset-library:\/.*\.gusset: power: Power/),
  ]);
});

test('a computed value leads to its formula', async () => {
  expect(await targets(required('bed.heater.label_<|>current < 11 A'))).toEqual([
    expect.stringMatching(/^gusset-library:\/.*: label_current: Current = self\.count \* power \/ voltage/),
  ]);
});

test('a value that a part gives leads into the part', async () => {
  const [first] = await targets(required('bed.cutoff.opens_<|>at > 100 degC'));
  expect(first).toMatch(/^gusset-library:\/.*: opens_at = 133 degC/);
});

test('parts and kinds of the library open its files', async () => {
  const [part] = await targets(bench.replace('is blade_15a', 'is bl<|>ade_15a'));
  expect(part).toMatch(/^gusset-library:\/.*: part blade_15a is/);
  const [kind] = await targets(bench.replace('circuit bed_power', 'cir<|>cuit bed_power'));
  expect(kind).toMatch(/^gusset-library:\/.*: kind circuit/);
});

test('a value that is said to be not there leads to where that is said', async () => {
  const without = required('given(psu.li<|>mit)').replace(
    'is supply_24v_450w',
    'is supply_24v_450w {\n    no limit\n  }',
  );
  expect((await targets(without))[0]).toBe('no limit');
});

test('a value that was measured leads to the measurement in place of it', async () => {
  const measured = required('bed.heater.label_cur<|>rent < 11 A').replace(
    'power = 250 W',
    'power = 250 W\n      measured label_current = 10 A on 2026-03-02 in place',
  );
  expect((await targets(measured))[0]).toBe('measured label_current = 10 A on 2026-03-02 in place');
});

test('a block leads to where it stands', async () => {
  expect(await targets(bench.replace('[psu,', '[p<|>su,'))).toEqual([
    'supply psu is supply_24v_450w { own_plug = yes }',
  ]);
});

test('names of one’s own kind', async () => {
  expect(await targets(marked('rim(at: 0.2) < 1 m'.replace('rim', 'r<|>im')))).toEqual([
    'rim(at: Ratio): Length = width * at {',
  ]);
  expect(await targets(marked('is sma<|>ll_drum {'))).toEqual(['part small_drum is drum {']);
  expect(await targets(marked('when mode == fa<|>st'))).toEqual(['mode: one of slow, fast']);
  expect(await targets(marked('{wi<|>dth} wide'))).toEqual(['width: Length {']);
  expect(await targets(marked('sizes dr<|>um_sizes\n'))).toEqual(['sizes drum_sizes: Length = [100 mm, 200 mm] {']);
  expect(await targets(marked('rim(at: 0.5)'.replace('at:', 'a<|>t:')))).toEqual([
    'rim(at: Ratio): Length = width * at {',
  ]);
  expect(await targets(marked('(d.width < 1 m for'.replace('d.', 'd<|>.')))).toEqual([
    'require all(d.width < 1 m for d in every drum)',
  ]);
});

test('a variant’s block leads to that of its base as well', async () => {
  expect(await targets(marked('rol<|>ler {\n    width = 200'))).toEqual(['drum roller is small_drum {']);
  expect(await targets(marked('no rol<|>ler'))).toEqual(['drum roller is small_drum {']);
});

test('a used file is opened', async () => {
  await client.open('file:///definition/stock.gusset', ownKind);
  expect(await targets('use "./sto<|>ck.gusset"\n')).toEqual(['file:///definition/stock.gusset: ']);
  const [part] = await targets('use "./stock.gusset"\nmachine M {\n  drum is sm<|>all_drum\n}\n');
  expect(part).toMatch(/^file:\/\/\/definition\/stock.gusset/);
});

test('a client that takes no links is told the places alone', async () => {
  const plain = await Client.start({ textDocument: {} });
  const uri = 'file:///definition/plain.gusset';
  const { text, position } = cursor(required('bed.heater.po<|>wer < 300 W'));
  await plain.open(uri, text);
  const [given, declared] = await plain.at<unknown[]>('textDocument/definition', uri, position);
  await plain.stop();
  const line = text.split('\n').findIndex((each) => each.includes('power = 250 W'));
  expect(given).toEqual({ uri, range: { start: { line, character: 6 }, end: { line, character: 11 } } });
  expect(declared).toEqual({ uri: expect.stringMatching(/^gusset-library:/), range: expect.anything() });
});

test('no place for numbers, keywords and comments', async () => {
  expect(await targets(bench.replace('power = 250 W', 'power = 2<|>50 W'))).toEqual([]);
  expect(await targets(`// be<|>d\n${bench}`)).toEqual([]);
});
