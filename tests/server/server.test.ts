import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest';
import { CancellationTokenSource, LSPErrorCodes } from 'vscode-languageserver/node';
import { Project, type SourceFile } from '../../language/project.ts';
import { diagnostics } from '../../server/features/diagnostics.ts';
import { Workspace } from '../../server/workspace.ts';
import { bench } from '../support.ts';
import { Client, cursor, edited } from './client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;
const fresh = () => `file:///test/${++files}.gusset`;

describe('diagnostics', () => {
  test('nothing for a bench in which everything holds', async () => {
    const uri = fresh();
    await client.open(uri, bench);
    expect(await client.diagnostics(uri)).toEqual([]);
  });

  test('a finding with its rule, its numbers and its caution', async () => {
    const uri = fresh();
    await client.open(uri, bench.replace('area = 2.5 mm^2', 'area = 0.75 mm^2'));
    const [finding] = await client.diagnostics(uri);
    expect(finding).toMatchObject({ code: 'wire_overloaded', severity: 1, source: 'gusset' });
    expect(finding?.message).toContain('is rated to 8.5 A');
    expect(finding?.message).toContain('\n\nFire:');
    expect(finding?.relatedInformation?.[0]?.message).toContain('follows:');
  });

  test('an accepted finding stays, and with a caution it keeps its severity', async () => {
    const uri = fresh();
    const accepted = bench.replace(
      'area = 2.5 mm^2',
      'area = 0.75 mm^2\n      accept wire_overloaded at 10.2 A because "short runs"',
    );
    await client.open(uri, accepted);
    const found = await client.diagnostics(uri);
    const finding = found.find((d) => d.code === 'wire_overloaded');
    expect(finding?.severity).toBe(1);
    expect(finding?.message).toContain('Accepted: short runs.');
  });

  test('an open choice is not waited for: what it adds is published a second time', async () => {
    const uri = fresh();
    const flawed = bench
      .replace('area = 2.5 mm^2', 'area = ?')
      .replace('power = 250 W', 'power = 2500 W')
      .replace('mains = 230 V', 'mains = 230 V\n  require cost <= 1 EUR');
    await client.open(uri, flawed);
    const told = () => client.published.filter((each) => each.uri === uri);
    await expect.poll(() => told().length).toBeGreaterThanOrEqual(2);
    const [first = [], second = []] = told().map(({ diagnostics }) =>
      diagnostics.map(({ code, message }) => `${code} ${message}`),
    );
    expect(first.join()).not.toContain('nothing_fits');
    expect(second.join()).toContain('nothing_fits');
    expect(second).toEqual(expect.arrayContaining(first));
    expect(second.length).toBeGreaterThan(first.length);
  });

  test('what is worse inside a range only is published when nothing else is to be done, and only adds', async () => {
    const uri = fresh();
    const dip = `/// A mast.
kind mast {
  toplevel
  wind: Speed
  /// Greatest at 10 m/s.
  swing: Length = 60 mm - abs(wind - 10 m/s) * 4 ms {
    source defined "a test"
  }
}
/// Not too far.
rule swings on mast {
  holds swing <= 50 mm
  error "{swing}"
  source defined "a test"
}
/// Not in a calm.
rule stands on mast {
  holds swing >= 30 mm
  error "{swing}"
  source defined "a test"
}
mast M {
  wind = 0 m/s .. 20 m/s
}
`;
    await client.open(uri, dip);
    const codes = () => client.published.filter((p) => p.uri === uri).map((p) => p.diagnostics.map((d) => d.code));
    await expect.poll(codes).toEqual([['stands'], ['swings', 'stands']]);
    const version = await client.change(uri, dip.replace('20 m/s\n}', '9 m/s\n}'));
    await client.diagnostics(uri, version);
    // Where the search finds nothing new, nothing is published again.
    await new Promise((resolve) => setTimeout(resolve, 600));
    expect(codes()).toHaveLength(3);
    expect(codes().at(-1)).toEqual(['swings', 'stands']);
    const [finding] = await client.diagnostics(uri, version);
    expect(finding?.message).toMatch(/^56 mm\.\nWorst at wind 9 m\/s\./);
  });

  test('a change of a file reaches the open files that use it, however far', async () => {
    const [a, b, c] = [fresh(), fresh(), fresh()];
    const name = (uri: string) => `./${uri.split('/').pop()}`;
    await client.open(c, 'part far is mat_24v_250w {\n}\n');
    await client.open(b, `use "${name(c)}"\npart near is far {\n}\n`);
    await client.open(
      a,
      `use "${name(b)}"\n${bench.replace('heater {\n      power = 250 W\n      voltage = 24 V\n    }', 'heater is near')}`,
    );
    expect(await client.diagnostics(a)).toEqual([]);
    const before = client.published.length;
    await client.change(c, 'part far is mat_24v_250w {\n  voltage = 12 V\n}\n');
    await client.diagnostics(c);
    const again = () =>
      client.published
        .slice(before)
        .findLast((p) => p.uri === a)
        ?.diagnostics.map((d) => d.code);
    await expect.poll(again).toContain('voltage_mismatch');
  });

  test('keystrokes that come together are answered once, with the newest text', async () => {
    const uri = fresh();
    await client.open(uri, bench);
    await client.diagnostics(uri);
    const before = client.published.length;
    const typed = Array.from({ length: 20 }, (_, n) => bench.replace('power = 250 W', `power = ${251 + n} W`));
    const version = client.changeAtOnce(uri, typed);
    await client.diagnostics(uri, version);
    const answers = client.published.slice(before).filter((p) => p.uri === uri);
    expect(answers.length).toBeLessThan(4);
    expect(answers.at(-1)?.version).toBe(version);
  });
});

test('what is edited comes before the many files that use it, and requests are answered in between', async () => {
  const stock = fresh();
  const part = (voltage: number) => `part near is mat_24v_250w {\n  voltage = ${voltage} V\n}\n`;
  const uses = `use "./${stock.split('/').pop()}"\n${bench.replace('heater {\n      power = 250 W\n      voltage = 24 V\n    }', 'heater is near')}`;
  await client.open(stock, part(24));
  const users = Array.from({ length: 20 }, fresh);
  for (const uri of users) await client.open(uri, uses);
  for (const uri of users) expect(await client.diagnostics(uri)).toEqual([]);
  const before = client.published.length;
  await client.change(stock, part(12));
  await client.hints(stock);
  expect(client.published.length - before).toBeLessThan(users.length);
  const mismatched = () =>
    client.published.slice(before).filter((p) => p.diagnostics.some((d) => d.code === 'voltage_mismatch'));
  await expect.poll(() => mismatched().length, { timeout: 10_000 }).toBe(users.length);
  expect(client.published[before]?.uri).toBe(stock);
});

test('of many open files the machines of those that were wanted last are kept, and the others judged as ever', async () => {
  const letGo = vi.spyOn(Project.prototype, 'letGo');
  const [first = '', ...others] = Array.from({ length: 26 }, fresh);
  for (const uri of [first, ...others]) await client.open(uri, bench);
  for (const uri of [first, ...others]) expect(await client.diagnostics(uri)).toEqual([]);
  const project = letGo.mock.contexts[0] as Project;
  letGo.mockRestore();
  const grown = [...project.files.values()].filter(({ roots }) => roots.size > 0).map(({ uri }) => uri);
  expect(grown.length).toBeLessThanOrEqual(24);
  expect(grown).not.toContain(first);
  expect((await client.hints(first)).length).toBeGreaterThan(0);
  const stronger = bench.replace('power = 250 W', 'power = 900 W');
  await client.change(first, stronger);
  const seen = fresh();
  await client.open(seen, stronger);
  const [again, anew] = [await client.diagnostics(first), await client.diagnostics(seen)].map((told) =>
    told.map(({ code, message, range }) => ({ code, message, range })),
  );
  expect(again?.length).toBeGreaterThan(0);
  expect(again).toEqual(anew);
  for (const uri of [first, seen, ...others]) await client.close(uri);
});

describe('files on disk', () => {
  const uses = `use "./stock.gusset"\n${bench.replace('heater {\n      power = 250 W\n      voltage = 24 V\n    }', 'heater is near')}`;
  const stock = (voltage: number) => `part near is mat_24v_250w {\n  voltage = ${voltage} V\n}\n`;
  const codes = async (uri: string) =>
    client.published.findLast((p) => p.uri === uri)?.diagnostics.map((d) => d.code) ?? [];
  let folder: string;
  let [machine, used, path] = ['', '', ''];
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'gusset-server-'));
    path = join(folder, 'stock.gusset');
    used = pathToFileURL(path).toString();
    machine = pathToFileURL(join(folder, 'machine.gusset')).toString();
    writeFileSync(path, stock(24));
  });
  afterEach(() => rmSync(folder, { recursive: true }));

  test('the server asks to be told of them', async () => {
    await expect.poll(() => client.registered).toContain('workspace/didChangeWatchedFiles');
  });

  test('a used file is read from disk, and again when it changed, was deleted or came back', async () => {
    await client.open(machine, uses);
    expect(await client.diagnostics(machine)).toEqual([]);
    writeFileSync(path, stock(12));
    await client.changedOnDisk(used);
    await expect.poll(() => codes(machine)).toContain('voltage_mismatch');
    rmSync(path);
    await client.changedOnDisk(used);
    await expect.poll(() => codes(machine)).toContain('missing_file');
    writeFileSync(path, stock(24));
    await client.changedOnDisk(used);
    await expect.poll(() => codes(machine)).toEqual([]);
  });

  test('what is open wins over what is on disk, until it is closed', async () => {
    await client.open(machine, uses);
    await client.diagnostics(machine);
    await client.open(used, stock(12));
    await expect.poll(() => codes(machine)).toContain('voltage_mismatch');
    await client.changedOnDisk(used);
    await client.hints(machine);
    expect(await codes(machine)).toContain('voltage_mismatch');
    await client.close(used);
    await expect.poll(() => codes(machine)).toEqual([]);
    expect(await codes(used)).toEqual([]);
  });

  test('values in files that use a changed one are shown anew, once the typing pauses', async () => {
    await client.open(machine, uses);
    await client.open(used, stock(24));
    await client.diagnostics(machine);
    const labels = async () => (await client.hints(machine)).map((hint) => hint.label);
    expect(await labels()).toContainEqual(expect.stringContaining('label current 10.4 A'));
    await new Promise((resolve) => setTimeout(resolve, 300));
    const before = client.refreshed;
    for (const voltage of [23, 22, 21, 12]) await client.change(used, stock(voltage));
    await expect.poll(() => client.refreshed).toBe(before + 1);
    expect(await labels()).toContainEqual(expect.stringContaining('label current 20.8 A'));
  });
});

test('diagnostics come under the URI as the client spells it', async () => {
  const uri = 'file:///test/caf%C3%A9%20%28old%29.gusset';
  await client.open(uri, bench.replace('24 V', '24 mm'));
  expect((await client.diagnostics(uri)).length).toBeGreaterThan(0);
});

test('whatever is typed, in whatever order, the answer is that of a server that sees the text for the first time', async () => {
  const stock = fresh();
  const machine = fresh();
  const own = bench.replace('heater {\n      power = 250 W\n      voltage = 24 V\n    }', 'heater is near');
  const texts: Record<string, string> = {
    [stock]: 'part near is mat_24v_250w {\n  voltage = 24 V\n}\n',
    [machine]: `use "./${stock.split('/').pop()}"\n${own}`,
  };
  for (const [uri, text] of Object.entries(texts)) await client.open(uri, text);
  const whole = { ...texts };
  const numbers = new Random(2026);
  for (let step = 0; step < 45; step++) {
    const uri = numbers.below(3) === 0 ? stock : machine;
    texts[uri] = mutated(texts[uri] as string, numbers);
    await client.change(uri, texts[uri]);
    if (numbers.below(3) > 0) continue;
    for (const [file, text] of Object.entries(texts)) {
      const first = new Workspace((other) => texts[other]);
      first.open(file, text);
      const expected = JSON.stringify(diagnostics(first.file(file) as SourceFile, first));
      const found = () => JSON.stringify(client.published.findLast((p) => p.uri === file)?.diagnostics);
      await expect.poll(found, { message: `step ${step}`, interval: 5 }).toBe(expected);
      if (numbers.below(2) === 0) continue;
      texts[file] = whole[file] as string;
      await client.change(file, texts[file]);
    }
  }
}, 120_000);

/** Numbers that are the same in each run. */
class Random {
  #state: number;
  constructor(seed: number) {
    this.#state = seed;
  }
  below(limit: number): number {
    this.#state = (this.#state * 1103515245 + 12345) % 2147483648;
    return Math.floor((this.#state / 2147483648) * limit);
  }
}

/** A text with a digit replaced, a character put in or taken out, or a line doubled or dropped. */
function mutated(text: string, numbers: Random): string {
  const at = numbers.below(text.length);
  const lines = text.split('\n');
  const line = numbers.below(lines.length);
  switch (numbers.below(5)) {
    case 0:
      return text.replace(/[1-9](?=[\d.]* )/, String(1 + numbers.below(9)));
    case 1:
      return text.slice(0, at) + ['x', '1', ' ', '\n', '?', '}', '{'][numbers.below(7)] + text.slice(at);
    case 2:
      return text.slice(0, at) + text.slice(at + 1);
    case 3:
      return lines.toSpliced(line, 0, lines[line] as string).join('\n');
    default:
      return lines.toSpliced(line, 1).join('\n');
  }
}

describe('values in the lines', () => {
  test('after the line that determines them, and by the settings', async () => {
    const uri = fresh();
    await client.open(uri, bench);
    const shown = (await client.hints(uri)).map((hint) => `${hint.position.line + 1}: ${hint.label as string}`);
    expect(shown).toContain('14: label current 10.4 A');
    expect(shown).toContain('13: density 0.473 W/cm²');
    client.settings = { enabled: false };
    await client.connection.sendNotification('workspace/didChangeConfiguration', { settings: { gusset: {} } });
    await expect.poll(() => client.hints(uri)).toEqual([]);
    client.settings = {};
    await client.connection.sendNotification('workspace/didChangeConfiguration', { settings: { gusset: {} } });
    await expect.poll(async () => (await client.hints(uri)).length).toBeGreaterThan(0);
  });

  test('a proposal for an open choice', async () => {
    const uri = fresh();
    await client.open(uri, bench.replace('area = 2.5 mm^2', 'area = ?'));
    const hint = (await client.hints(uri)).find((h) => (h.label as string).includes('proposed'));
    expect(hint?.label).toBe('2.5 mm² proposed');
    expect(hint?.tooltip).toMatch(/1\.5 mm²: \S+ is protected by no fuse/);
  });
});

describe('quick fixes', () => {
  test('not where other actions are asked for', async () => {
    const uri = fresh();
    const { text, position } = cursor(bench.replace('power = 250 W', 'powr<|> = 250 W'));
    await client.open(uri, text);
    const ask = (only: string[]) =>
      client.request<unknown[]>('textDocument/codeAction', {
        textDocument: { uri },
        range: { start: position, end: position },
        context: { diagnostics: [], only },
      });
    expect(await ask(['refactor'])).toEqual([]);
    expect((await ask(['quickfix'])).length).toBeGreaterThan(0);
  });

  test.each([
    ['power = 250<|>', 'power = 250 W'],
    ['power = 250W<|>', 'power = 250 W'],
    ['powr = 250 W<|>', 'power = 250 W'],
  ])('%s', async (line, fixed) => {
    const uri = fresh();
    const { text, position } = cursor(bench.replace('power = 250 W', line));
    await client.open(uri, text);
    expect((await client.diagnostics(uri)).length).toBeGreaterThan(0);
    const word = { line: position.line, character: position.character - line.replace('<|>', '').length + 1 };
    const found = [...(await client.fixes(uri, position)), ...(await client.fixes(uri, word))];
    const texts = found.map((fix) => edited(text, fix.edit?.changes?.[uri] ?? []));
    expect(texts).toContain(bench.replace('power = 250 W', fixed));
    await client.change(uri, bench.replace('power = 250 W', fixed));
    expect(await client.diagnostics(uri)).toEqual([]);
  });

  test('a thicker wire for an overloaded one, and then the finding is gone', async () => {
    const uri = fresh();
    const { text, position } = cursor(bench.replace('area = 2.5 mm^2', 'area = 0.75<|> mm^2'));
    await client.open(uri, text);
    const fix = (await client.fixes(uri, position)).find((f) => f.title.includes('2.5 mm^2'));
    const mended = edited(text, fix?.edit?.changes?.[uri] ?? []);
    expect(mended).toBe(bench);
    await client.change(uri, mended);
    expect(await client.diagnostics(uri)).toEqual([]);
  });

  test('an open choice is written in', async () => {
    const uri = fresh();
    const { text, position } = cursor(bench.replace('area = 2.5 mm^2', 'area = ?<|>'));
    await client.open(uri, text);
    const [fix] = await client.fixes(uri, position);
    expect(edited(text, fix?.edit?.changes?.[uri] ?? [])).toBe(bench);
  });

  test('but not while rules about safety wait behind what is proposed', async () => {
    const uri = fresh();
    const unknown = bench.replace('psu is supply_24v_450w', 'psu').replace('fuse is blade_15a', 'fuse is ?<|>');
    const { text, position } = cursor(unknown);
    await client.open(uri, text);
    const shown = (await client.hints(uri)).map(({ label }) =>
      typeof label === 'string' ? label : label.map(({ value }) => value).join(''),
    );
    expect(shown.join()).toMatch(/proposed if \d+ undecided rules hold/);
    const offered = await client.fixes(uri, position);
    expect(offered.filter(({ kind }) => kind !== 'refactor.rewrite')).toEqual([]);
  });
});

describe('an edit ends what is being computed', () => {
  const large = readFileSync(new URL('../../examples/kestrel.gusset', import.meta.url), 'utf8');
  /** Long enough for the server to have begun, and a small part of what the large text takes. */
  const begun = () => new Promise((resolve) => setTimeout(resolve, 60));
  const versions = (uri: string) => client.published.filter((p) => p.uri === uri).map(({ version }) => version);

  test('of the text that it replaces nothing is said', async () => {
    const uri = fresh();
    await client.open(uri, large);
    await begun();
    await client.change(uri, bench);
    expect(await client.diagnostics(uri)).toEqual([]);
    expect(versions(uri)).toEqual([2]);
  });

  test('and what was asked of it is answered from the new one', async () => {
    const uri = fresh();
    await client.open(uri, large);
    const hints = client.hints(uri);
    await begun();
    await client.change(uri, bench);
    expect((await hints).length).toBe((await client.hints(uri)).length);
    expect(versions(uri)).toEqual([2]);
  });

  test('open choices that are being solved give way: after the edit nothing more is said of what it replaces', async () => {
    const uri = fresh();
    const open = bench.replace('fuse is blade_15a', 'fuse is ?').replace('area = 2.5 mm^2', 'area = ?');
    const worse = open.replace('power = 250 W', 'power = 2500 W');
    await client.open(uri, worse);
    await expect.poll(() => versions(uri).length, { interval: 5 }).toBeGreaterThan(0);
    await client.change(uri, open);
    const said = () => client.published.filter((each) => each.uri === uri && each.version === 2);
    await expect.poll(() => said().length).toBeGreaterThan(0);
    await client.hints(uri);
    // What is certain of the first text was said; what its choices add was not.
    expect(versions(uri).filter((version) => version === 1)).toHaveLength(1);
    const codes = client.published.filter((each) => each.uri === uri).flatMap((each) => each.diagnostics);
    expect(codes.map(({ code }) => code)).not.toContain('nothing_fits');
  });

  test('a text that nobody edits comes to its end', async () => {
    const uri = fresh();
    await client.open(uri, large);
    expect(await client.diagnostics(uri)).toEqual([]);
    expect(versions(uri)[0]).toBe(1);
    expect((await client.hints(uri)).length).toBeGreaterThan(50);
  });
});

test('a cancelled request is answered as an error', async () => {
  const uri = fresh();
  await client.open(uri, bench);
  const source = new CancellationTokenSource();
  const params = {
    textDocument: { uri },
    range: { start: { line: 0, character: 0 }, end: { line: 99, character: 0 } },
  };
  const answer = client.connection.sendRequest('textDocument/inlayHint', params, source.token);
  source.cancel();
  await expect(answer).rejects.toMatchObject({ code: LSPErrorCodes.RequestCancelled });
});

test('the library’s files, the language page and the machines to begin with are handed out', async () => {
  expect(client.offered.workspace?.textDocumentContent).toEqual({ schemes: ['gusset-library'] });
  const asked = (name: string) => client.request('workspace/textDocumentContent', { uri: `gusset-library:/${name}` });
  expect(await asked('bed/bed.gusset')).toEqual({ text: expect.stringContaining('kind bed is place') });
  expect(await asked('bed/none.gusset')).toBeNull();
  expect(await client.request('gusset/page', {})).toMatchObject({
    markdown: expect.stringContaining('# The language'),
  });
  expect(await client.request('gusset/starts', {})).toMatchObject({
    starts: expect.arrayContaining([
      { name: 'empty', about: expect.any(String), text: expect.stringContaining('machine') },
    ]),
  });
});
