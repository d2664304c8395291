import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Hover } from 'vscode-languageserver';
import { bench } from '../../support.ts';
import { markedAt, meanings } from '../../types/one-meaning.ts';
import { Client, cursor } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;

/** What is shown for the name at `<|>`. */
async function hovered(marked: string): Promise<string> {
  const uri = `file:///hover/${++files}.gusset`;
  const { text, position } = cursor(marked);
  await client.open(uri, text);
  const hover = await client.at<Hover | null>('textDocument/hover', uri, position);
  return (hover?.contents as { value: string } | undefined)?.value ?? '';
}

/** What is shown for a place of the bench. */
const inBench = (piece: string) => hovered(bench.replace(piece.replace('<|>', ''), piece));

describe('records', () => {
  const recorded = (record: string) => hovered(bench.replace(/}\n$/, `  ${record}\n}\n`));
  test('how a check is made on that block, what is expected, what it rests on, and what has changed since', async () => {
    const text = await recorded('checked output<|>_set of psu at 24.1 V on 2024-03-02 with [voltage = 12 V]');
    expect(text).toContain('**check output_set** of supply');
    expect(text).toContain('turn its trimmer until it is 24 V');
    expect(text).toContain('Expected: 23.5 V to 24.5 V');
    expect(text).toContain('**Caution**: Electric shock');
    expect(text).toContain('It rests on `part`, `voltage`');
    expect(text).toContain('Changed since: voltage was 12 V then, and is 24 V now');
  });

  test('the words of the language', async () => {
    expect(await recorded('che<|>cked output_set of psu on 2024-03-02')).toContain('that a check was made');
    expect(await recorded('s<|>et psu.voltage = 24 V on 2024-03-02')).toContain('set to in the controller');
  });
});

describe('values of a machine', () => {
  test('a computed value: formula, inputs with where they come from, source', async () => {
    const text = await hovered(bench.replace(/}\n$/, '  require bed.heater.label_<|>current < 11 A\n}\n'));
    expect(text).toContain('**bed.heater.label_current** = 10.4 A');
    expect(text).toContain("Current at the label's voltage, of all of them side by side.");
    expect(text).toContain('Computed: `self.count * power / voltage`');
    expect(text).toContain('- power = 250 W (given)');
    expect(text).toContain('Source (defined): P = U I');
    expect(text).toContain('a current, in A');
  });

  test('a list of blocks, as a table', async () => {
    const text = await hovered(bench.replace(/}\n$/, '  require parts.unpriced_count == count(parts.li<|>nes)\n}\n'));
    expect(text).toMatch(/^\| {2}\| is \| with \| quantity \|.*\n\| --- \| --- \| --- \| --- \|/m);
    expect(text).toMatch(/^\| bed\.heater \| heater \| voltage 24 V, .*\| 1 \|/m);
  });

  test('a machine, with each list of blocks that is worth showing in one line', async () => {
    const text = await inBench('machine Ben<|>ch');
    expect(text).toMatch(/^- faults: \d+, psu\.fuse_too_large, psu\.brown_out, bed\.stuck_closed and \d+ more$/m);
    expect(text).not.toContain('|');
  });

  test('an empty machine costs nothing, in no currency', async () => {
    expect(await hovered('machine Emp<|>ty {\n}\n')).toMatch(/^- cost = 0$/m);
  });

  test('a part that is proposed is told in a whole sentence', async () => {
    const text = await hovered(bench.replace('fuse is blade_15a', 'fuse is <|>?'));
    expect(text).toMatch(/^\*\*blade_\d+a proposed\*\*\n/);
    // All that could stand there, with what speaks against each.
    expect(text).toMatch(/^- blade_1a: .*\(fuse_too_small\)/m);
    expect(text).toMatch(/^- blade_15a: fits$/m);
    expect(text.match(/^- \w+: /gm)?.length).toBeGreaterThan(10);
  });

  test('a value that a table of blocks is to show', async () => {
    const rack = (shown: string) =>
      `/// A rack.\nkind rack {\n  inside machine\n  /// Its heaters.\n  list: list of heater = each(h for h in every heater) {\n    source defined "all"\n    shown ${shown}\n  }\n}\n`;
    expect(await hovered(rack('pow<|>er'))).toContain('**heater.power**');
  });

  test('with arguments, the value for these', async () => {
    const text = await hovered(bench.replace(/}\n$/, '  require bed.warm<|>_up(to: 60 degC) < 1 h\n}\n'));
    expect(text).toMatch(/\*\*bed\.warm_up\(to: 60 °C\)\*\* = [\d.]+ min/);
  });

  test('a given value', async () => {
    const text = await inBench('pow<|>er = 250 W');
    expect(text).toContain('**bed.heater.power** = 250 W');
    expect(text).toContain('Given: `250 W`');
    expect(text).not.toContain('default');
  });

  test('a default is named as one', async () => {
    const text = await hovered(bench.replace(/}\n$/, '  require bed.heater.label_temperature<|> < 30 degC\n}\n'));
    expect(text).toContain('Default: `20 degC`');
  });

  test('what is missing is named', async () => {
    const text = await hovered(
      bench.replace('      power = 250 W\n', '').replace(/}\n$/, '  require bed.heater.label_<|>current < 11 A\n}\n'),
    );
    expect(text).toContain('not known: bed.heater.power is not given');
    expect(text).toContain('- power: not given');
  });

  test('an open choice, with what is proposed', async () => {
    const text = await hovered(bench.replace('area = 2.5 mm^2', 'ar<|>ea = ?'));
    expect(text).toContain('2.5 mm²');
    expect(text).toContain('Open choice, with what is proposed');
  });
});

describe('names', () => {
  test('a block: its kind, its part, its headline values', async () => {
    expect(await inBench('fu<|>se is blade_15a')).toContain('**Bench.bed_power.fuse**: a blade fuse, from `blade_15a`');
    const heater = await inBench('hea<|>ter {');
    expect(heater).toContain('label_current = 10.4 A');
  });

  test('a part: what it gives', async () => {
    const text = await inBench('cutoff is thermal_<|>link_133c');
    expect(text).toContain('**part thermal_link_133c**');
    expect(text).toContain('- opens_at = 133 degC');
  });

  test('a unit: what it measures, its value in SI', async () => {
    const area = await inBench('area = 2.5 mm<|>^2');
    expect(area).toContain('**mm^2**: an area');
    expect(area).toContain('1 mm^2 = 1e-6 m^2');
    expect(await inBench('ambient = 20 deg<|>C')).toContain('0 degC = 273.15 K');
  });

  test('a rule: its message, its source, its caution, where it is known to be blind', async () => {
    const text = await hovered(
      bench.replace('area = 2.5 mm^2', 'area = 0.75 mm^2\n      accept wire_over<|>loaded at 10.2 A because "short"'),
    );
    expect(text).toContain('**rule wire_overloaded** on wire');
    expect(text).toContain('Error: ');
    expect(text).toContain('**Caution**: Fire');
    expect(text).toContain('Source (');
    expect(text).toContain('Known: a wire that lies coiled, or under foam, gets hotter');
  });

  test.each([
    ['machine M {\n  n<|>o bed\n}\n', 'deliberately not there'],
    ['ki<|>nd drum {\n}\n', 'kind heater is load {'],
    ['kind drum {\n  width: Length {\n    sho<|>wn mm\n  }\n}\n', 'units to show it in'],
    ['kind drum {\n  width: Length = 2 mm {\n    source prac<|>tice "ours"\n  }\n}\n', 'STANDING'],
  ])('a keyword: what the language page says (%s)', async (marked, expected) => {
    expect(await hovered(marked)).toContain(expected);
  });

  test('a requirement: whether it is met, and with what margin', async () => {
    const text = await hovered(bench.replace(/}\n$/, '  req<|>uire bed.heater.power < 300 W\n}\n'));
    expect(text).toContain('`bed.heater.power < 300 W`');
    expect(text).toContain('holds: 250 W, 17 % to spare');
    const undecided = await hovered(
      'machine M {\n  bed {\n    heater\n  }\n  req<|>uire bed.heater.power < 300 W\n}\n',
    );
    expect(undecided).toContain('undecided: bed.heater.power is not given');
  });

  test('an open choice: what is proposed, and why others are not', async () => {
    const text = await hovered(bench.replace('area = 2.5 mm^2', 'area = <|>?'));
    expect(text).toContain('**area**: 2.5 mm² proposed');
    expect(text).toMatch(/- 1\.5 mm²: \S+ is protected by no fuse/);
  });

  test('a value behind a reference', async () => {
    const text = await hovered(bench.replace(/}\n$/, '  require bed_power.wire.place.temp<|>erature < 300 degC\n}\n'));
    expect(text).toContain('**bed.temperature** = 100 °C');
  });

  test('a function of the language', async () => {
    const text = await hovered(bench.replace(/}\n$/, '  require m<|>ax(2, 3) < 4\n}\n'));
    expect(text).toContain('The greatest of its arguments');
  });

  test('a kind of one’s own: needs, and what each is', async () => {
    const text = await hovered(
      '/// A drum to dry filament on.\nkind dr<|>um is component {\n  /// How wide it is.\n  width: Length\n  half: Length = width / 2\n}\n',
    );
    expect(text).toContain('**kind drum** is component');
    expect(text).toContain('A drum to dry filament on.');
    expect(text).toContain('- `width`: How wide it is.');
    expect(text).toContain('Computed: `half`');
  });

  test('nothing in a comment', async () => {
    expect(await hovered(`// he<|>re\n${bench}`)).toBe('');
  });
});

test('a client that reads no Markdown is told the same in plain text', async () => {
  const plain = await Client.start({ textDocument: {} });
  const uri = 'file:///hover/plain.gusset';
  const { text, position } = cursor(bench.replace('heater {', 'hea<|>ter {'));
  await plain.open(uri, text);
  const { contents } = await plain.at<Hover>('textDocument/hover', uri, position);
  await plain.stop();
  expect(contents).toMatchObject({ kind: 'plaintext', value: expect.stringContaining('bed.heater: a heater\n') });
  expect((contents as { value: string }).value).not.toMatch(/[*`]/);
});

describe('of what a name could mean, the first is told of', () => {
  test.each(meanings)('$step', async (each) => expect(await hovered(markedAt(each))).toContain(each.hover));
});

test('of a word that is half typed, of which nothing is known, nothing is said', async () => {
  expect(await hovered('ma<|>ch\n')).toBe('');
  expect(await hovered('ma<|>chine M {\n}\n')).toContain('kind machine');
});
