import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { WorkspaceEdit } from 'vscode-languageserver';
import { libraryFiles } from '../../../language/library/generated/library.ts';
import type { SourceFile } from '../../../language/project.ts';
import { references } from '../../../server/features/references.ts';
import { rename } from '../../../server/features/rename.ts';
import { Workspace } from '../../../server/workspace.ts';
import { marked, ownKind } from '../../own-kind.ts';
import { bench } from '../../support.ts';
import { markedAt, meanings, text as oneMeaning } from '../../types/one-meaning.ts';
import { Client, cursor, edited } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let folders = 0;

/** The texts of all files after what is at `<|>` in the first was renamed. */
async function renamed(files: Record<string, string>, newName: string): Promise<Record<string, string>> {
  const folder = `file:///rename/${++folders}`;
  const texts = Object.entries(files).map(([name, text]) => [`${folder}/${name}`, text.replace('<|>', '')] as const);
  for (const [uri, text] of [...texts].reverse()) await client.open(uri, text);
  const { position } = cursor(Object.values(files)[0] as string);
  const [uri] = texts[0] as readonly [string, string];
  const { changes = {} } = await client.at<WorkspaceEdit>('textDocument/rename', uri, position, { newName });
  return Object.fromEntries(texts.map(([uri, text]) => [uri.split('/').pop(), edited(text, changes[uri] ?? [])]));
}

/** The one text after a renaming. */
async function renamedText(text: string, newName: string): Promise<string> {
  return (await renamed({ 'a.gusset': text }, newName))['a.gusset'] as string;
}

/** Why a renaming, or the wish for one, is refused. */
async function refused(text: string, newName?: string): Promise<string> {
  const uri = `file:///rename/refused/${++folders}.gusset`;
  const { text: plain, position } = cursor(text);
  await client.open(uri, plain);
  const method = newName === undefined ? 'textDocument/prepareRename' : 'textDocument/rename';
  return client.at(method, uri, position, { newName }).then(
    () => 'it was done',
    (error: Error) => error.message,
  );
}

/** What stands in one text and not in the other, line by line. */
function changedLines(before: string, now: string): string[] {
  const old = before.split('\n');
  return now.split('\n').flatMap((line, i) => (line === old[i] ? [] : [line.trim()]));
}

describe('renames', () => {
  test('a value of one’s own kind: formulas, messages, parts, machines, variants', async () => {
    const text = await renamedText(marked('  wi<|>dth: Length'), 'breadth');
    expect(changedLines(ownKind, text)).toEqual([
      'breadth: Length {',
      'rim(at: Ratio): Length = breadth * at {',
      'holds breadth < 1 m',
      'warning "{name} is {breadth} wide, and turns fast"',
      'at breadth',
      'breadth = 100 mm',
      'require all(d.breadth < 1 m for d in every drum)',
      'breadth = 200 mm',
    ]);
  });

  test('a block, with the overrides and removals of variants', async () => {
    const text = await renamedText(marked('require rol<|>ler.rim'), 'spool');
    expect(changedLines(ownKind, text)).toEqual([
      'drum spool is small_drum {',
      'require spool.rim(at: 0.2) < 1 m',
      'drum spool {',
      'no spool',
    ]);
  });

  test('a block of the bench, in paths', async () => {
    const text = await renamedText(bench.replace('supply psu', 'supply ps<|>u'), 'main_supply');
    expect(changedLines(bench, text)).toEqual([
      'supply main_supply is supply_24v_450w { own_plug = yes }',
      'path = [main_supply, fuse, wire, bed.cutoff, bed.heater]',
    ]);
  });

  test('a part, a rule, a kind, sizes, an argument, a machine', async () => {
    expect(changedLines(ownKind, await renamedText(marked('part small_<|>drum'), 'tiny'))).toEqual([
      'part tiny is drum {',
      'drum roller is tiny {',
    ]);
    expect(changedLines(ownKind, await renamedText(marked('rule drum<|>_wide'), 'too_wide'))).toEqual([
      'rule too_wide on drum {',
    ]);
    expect(changedLines(ownKind, await renamedText(marked('kind dr<|>um is'), 'barrel'))).toEqual([
      'kind barrel is component {',
      'rule drum_wide on barrel {',
      'part small_drum is barrel {',
      'barrel roller is small_drum {',
      'require all(d.width < 1 m for d in every barrel)',
      'barrel roller {',
    ]);
    expect(changedLines(ownKind, await renamedText(marked('sizes drum_<|>sizes:'), 'series'))).toEqual([
      'sizes series: Length = [100 mm, 200 mm] {',
      'sizes series',
    ]);
    expect(changedLines(ownKind, await renamedText(marked('rim(a<|>t: Ratio)'), 'share'))).toEqual([
      'rim(share: Ratio): Length = width * share {',
      'half: Length = rim(share: 0.5) {',
      'require roller.rim(share: 0.2) < 1 m',
    ]);
    expect(changedLines(ownKind, await renamedText(marked('machine Fi<|>rst'), 'Heron'))).toEqual([
      'machine Heron {',
      'machine Second is Heron {',
      'machine Third is Heron {',
    ]);
  });

  test('one of the choices of a value', async () => {
    expect(changedLines(ownKind, await renamedText(marked('one of slow, fa<|>st'), 'quick'))).toEqual([
      'mode: one of slow, quick',
      'when mode == quick',
      'mode = quick',
    ]);
  });

  test('a check, and a block and a value that a record names', async () => {
    const text = (check: string, block: string, value: string) => `kind lathe {
  toplevel
  has chuck*
}
kind chuck {
  inside lathe
  ${value}: Count default 3
  check ${check} {
    stage before_power
    how "Turn it"
    with ${value}
  }
}
lathe L {
  chuck ${block}
  checked ${check} of ${block} on 2024-03-02 with [${value} = 3]
  set ${block}.${value} = 3 on 2024-03-02
}
`;
    const before = text('runs_true', 'left', 'jaws');
    expect(await renamedText(before.replace('checked runs', 'checked <|>runs'), 'runs_well')).toBe(
      text('runs_well', 'left', 'jaws'),
    );
    expect(await renamedText(before.replace('of left', 'of <|>left'), 'near')).toBe(text('runs_true', 'near', 'jaws'));
    expect(await renamedText(before.replace('[jaws', '[<|>jaws'), 'grips')).toBe(text('runs_true', 'left', 'grips'));
  });

  test('in the files that use it', async () => {
    const user = 'use "./stock.gusset"\nmachine M {\n  drum is sma<|>ll_drum {\n    width = 200 mm\n  }\n}\n';
    const files = await renamed({ 'user.gusset': user, 'stock.gusset': ownKind }, 'tiny');
    expect(files['user.gusset']).toContain('drum is tiny {');
    expect(changedLines(ownKind, files['stock.gusset'] as string)).toEqual([
      'part tiny is drum {',
      'drum roller is tiny {',
    ]);
  });

  test('a block that goes by its kind’s name gets one of its own', async () => {
    const text = `${ownKind}\nmachine Fourth {\n  drum {\n    mode = fast\n    width = 1 mm\n  }\n  require dr<|>um.width < 1 m\n}\n`;
    const plain = text.replace('<|>', '');
    expect(changedLines(plain, await renamedText(text, 'spool'))).toEqual([
      'drum spool {',
      'require spool.width < 1 m',
    ]);
    const byKind = plain.replace('kind drum is', 'kind dr<|>um is');
    const now = await renamedText(byKind, 'barrel');
    expect(now).toContain('  barrel drum {\n');
    expect(now).toContain('require drum.width < 1 m');
  });

  test('a block that fills a role by its kind gets a name of its own too', async () => {
    const now = await renamedText(bench.replace('heater {', 'hea<|>ter {'), 'mat');
    expect(changedLines(bench, now)).toEqual(['heater mat {', 'path = [psu, fuse, wire, bed.cutoff, bed.mat]']);
    const again = now.replace('bed.mat]', 'bed.m<|>at]');
    expect(changedLines(now, await renamedText(again, 'pad'))).toEqual([
      'heater pad {',
      'path = [psu, fuse, wire, bed.cutoff, bed.pad]',
    ]);
  });

  test('a block that a kind declares, by one word with its kind', async () => {
    const text = `kind hub is component {\n  bore: Length\n}\nkind cart is component {\n  inside machine\n  has h<|>ub\n}\nmachine M {\n  cart {\n    hub {\n      bore = 8 mm\n    }\n  }\n  require cart.hub.bore < 1 m\n}\n`;
    const plain = text.replace('<|>', '');
    expect(changedLines(plain, await renamedText(text, 'boss'))).toEqual([
      'has boss: hub',
      'hub boss {',
      'require cart.boss.bore < 1 m',
    ]);
    const kind = plain.replace('kind hub', 'kind h<|>ub');
    expect(changedLines(plain, await renamedText(kind, 'boss'))).toEqual([
      'kind boss is component {',
      'has hub: boss',
      'boss hub {',
    ]);
  });
});

test('reaches files of the client’s folders that nobody has opened', () => {
  const disk: Record<string, string> = {
    'file:///shop/stock.gusset': ownKind,
    'file:///shop/2026/user.gusset': 'use "../stock.gusset"\nmachine M {\n  drum is small_drum\n}\n',
    'file:///shop/other.gusset': 'part small_drum is blade_15a\n',
  };
  const folders: Record<string, string[]> = {
    'file:///shop/': ['2026/', 'other.gusset', 'stock.gusset'],
    'file:///shop/2026/': ['user.gusset'],
  };
  const workspace = new Workspace(
    (uri) => disk[uri],
    libraryFiles,
    (folder) => folders[folder] ?? [],
  );
  workspace.folders = ['file:///shop'];
  const [uri] = Object.keys(disk) as [string];
  workspace.open(uri, ownKind);
  const file = workspace.file(uri) as SourceFile;
  const position = file.lines.position(ownKind.indexOf('small_drum'));
  expect(Object.keys(rename(file, position, 'tiny', workspace).changes ?? {})).toEqual([
    'file:///shop/stock.gusset',
    'file:///shop/2026/user.gusset',
  ]);
  expect(references(file, position, false, workspace).map((place) => place.uri)).toEqual([
    'file:///shop/stock.gusset',
    'file:///shop/2026/user.gusset',
  ]);
  // What was read to find these is not kept open.
  expect([...workspace.project.files.keys()]).toEqual([uri]);
  // A name that is taken in such a file is refused too.
  disk['file:///shop/2026/user.gusset'] += 'part tiny is blade_15a\n';
  expect(() => rename(file, position, 'tiny', workspace)).toThrow('already declares tiny');
});

describe('refuses', () => {
  test('what the library declares', async () => {
    expect(await refused(bench.replace('power = 250', 'po<|>wer = 250'))).toBe(
      'power belongs to the library, and keeps its name.',
    );
    expect(await refused(bench.replace('is blade_15a', 'is bl<|>ade_15a'))).toContain('belongs to the library');
    const motion = 'machine M {\n  moving_bed {\n    axis <|>x {\n    }\n  }\n}\n';
    expect(await refused(motion)).toContain('belongs to the library');
  });

  test('a name of its own for a role that a block fills by its kind', async () => {
    const text =
      'kind hub is component {\n}\nkind cart is component {\n  inside machine\n  has hub\n}\nmachine M {\n  cart {\n    hub first {\n    }\n  }\n}\n';
    expect(await refused(text.replace('has hub', 'has h<|>ub'), 'boss')).toContain('cart.first fills this role');
    expect(await refused(text.replace('kind hub', 'kind h<|>ub'), 'boss')).toContain('cart.first fills this role');
    expect(await renamedText(text.replace('first', 'f<|>irst'), 'second')).toContain('hub second {');
  });

  test('units, words of the language, files, and nothing at all', async () => {
    expect(await refused(bench.replace('250 W', '250 <|>W'))).toContain('Units belong to the library');
    expect(await refused(marked('  re<|>quire all('))).toContain('belongs to the language');
    expect(await refused('use "./st<|>ock.gusset"\n')).toContain('This is a file');
    expect(await refused(bench.replace('250 W', '2<|>50 W'))).toBe('Nothing is named here.');
  });

  test('a name that is no name', async () => {
    expect(await refused(marked('part small_<|>drum'), '2 fast')).toContain('cannot be a name');
    expect(await refused(marked('part small_<|>drum'), 'yes')).toContain('a word of the language');
  });

  test('a name that clashes', async () => {
    expect(await refused(marked('  wi<|>dth: Length'), 'half')).toContain('already declared in this kind');
    expect(await refused(marked('part small_<|>drum'), 'blade_15a')).toContain('The library already has blade_15a');
    expect(await refused(marked('machine Fi<|>rst'), 'Second')).toContain('already declared in this file');
    expect(await refused(bench.replace('supply psu', 'supply ps<|>u'), 'bed_power')).not.toBe('it was done');
  });

  test('a name that makes one more mistake of a sort that was there before', async () => {
    const own = 'kind hub is component {\n  bore: Length\n  bore: Length\n  ga<|>p: Length\n}\n';
    expect(await refused(own, 'bore')).toBe('bore already means something else where gap is used.');
    expect(await renamedText(own, 'slit')).toContain('slit: Length');
  });

  test('a name that would be taken for another thing', async () => {
    expect(await refused(marked('  wi<|>dth: Length'), 'at')).toContain('Expected a length, this is a ratio');
    // Nothing here is a mistake, but the formula would read the argument in place of the value.
    const own = 'kind hub is component {\n  bo<|>re: Length\n  with(gap: Length): Length = bore + gap\n}\n';
    expect(await refused(own, 'gap')).toBe('gap already means something else where bore is used.');
  });
});

describe('of what a name could mean, the first gets the new name', () => {
  test.each(meanings)('$step', async (each) => {
    const { renamed: expected } = each;
    if (typeof expected === 'string') expect(await refused(markedAt(each), 'other')).toBe(expected);
    else expect(changedLines(oneMeaning, await renamedText(markedAt(each), 'other'))).toEqual(expected);
  });
});
