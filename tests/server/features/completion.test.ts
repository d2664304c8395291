import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { CompletionItem, CompletionList } from 'vscode-languageserver';
import { bench } from '../../support.ts';
import { Client, cursor, edited } from '../client.ts';

let client: Client;
beforeAll(async () => {
  client = await Client.start();
});
afterAll(() => client.stop());

let files = 0;

async function items(marked: string): Promise<CompletionItem[]> {
  const uri = `file:///completion/${++files}.gusset`;
  const { text, position } = cursor(marked);
  await client.open(uri, text);
  const list = await client.at<CompletionList>('textDocument/completion', uri, position);
  return list.items.toSorted((a, b) => (a.sortText ?? '').localeCompare(b.sortText ?? ''));
}

const labels = async (marked: string) => (await items(marked)).map((item) => item.label);
/** What is proposed in the bench, with a piece of it written otherwise. */
const inBench = (piece: string, marked: string) => labels(bench.replace(piece, marked));
/** What is proposed at the end of the bench's machine. */
const atEnd = (marked: string) => labels(bench.replace(/}\n$/, `  ${marked}\n}\n`));

describe('keys', () => {
  test('a table of blocks may show their values', async () => {
    const found = await labels(
      '/// A rack.\nkind rack {\n  inside machine\n  /// Its heaters.\n  list: list of heater = each(h for h in every heater) {\n    source defined "all"\n    shown <|>\n  }\n}\n',
    );
    expect(found).toContain('label_current');
    expect(found).not.toContain('kW');
    expect(found).not.toContain('resistance_at');
  });

  test('what is still missing comes first: needed, then optional, then default values', async () => {
    const found = await labels(
      'kind drum is component {\n  a: Power default 3 W\n  b: Power?\n  c: Power\n  inside machine\n}\nmachine M {\n  drum {\n    <|>\n  }\n}\n',
    );
    const own = found.filter((label) => /^[abc]$/.test(label));
    expect(own).toEqual(['c', 'b', 'a']);
    expect(found[0]).toBe('c');
  });

  test('what is given already is not proposed again, what is computed never', async () => {
    const found = await inBench('power = 250 W', '<|>');
    expect(found[0]).toBe('power');
    expect(found).not.toContain('voltage');
    expect(found).not.toContain('label_current');
  });

  test('a heater is asked for its power, its voltage and its size among the first', async () => {
    const found = await labels('machine M {\n  bed {\n    heater {\n      <|>\n    }\n  }\n}\n');
    expect(found.slice(0, 2)).toEqual(['power', 'voltage']);
    expect(found.indexOf('size')).toBeLessThan(6);
    expect(found.indexOf('price')).toBeGreaterThan(found.indexOf('size'));
  });

  test('after the kind of a block: is, its own text, and the parts that it can start from', async () => {
    const found = await inBench('fuse is blade_15a', 'fuse <|>');
    expect(found.slice(0, 2)).toEqual(['is', '{']);
    expect(found).toContain('is blade_15a');
    expect(found).not.toContain('is ntc_100k');
    expect(await atEnd('driver <|>')).toEqual(expect.arrayContaining(['is', '{']));
  });

  test('blocks that are expected and missing come before others', async () => {
    const found = await labels('machine M {\n  bed {\n    target = 60 degC\n    <|>\n  }\n}\n');
    // What most rules wait for, then what else is expected.
    expect(found.slice(0, 4)).toEqual(expect.arrayContaining(['heater', 'plate']));
    expect(found.indexOf('sheet')).toBeGreaterThan(0);
    expect(found).not.toContain('circuit');
  });

  test('a key is written with its equals sign, once', async () => {
    const typed = bench.replace('power = 250 W', 'po<|>');
    const item = (await items(typed)).find((i) => i.label === 'power') as CompletionItem;
    expect(edited(cursor(typed).text, [item.textEdit as never])).toContain('      power = \n');
    const there = bench.replace('power = 250 W', 'po<|> = 250 W');
    const again = (await items(there)).find((i) => i.label === 'power') as CompletionItem;
    expect(edited(cursor(there).text, [again.textEdit as never])).toBe(bench);
  });

  test('documentation and type stand beside them', async () => {
    const item = (await items(bench.replace('power = 250 W', '<|>')))[0];
    expect(item?.detail).toBe('a power, in W or kW');
    expect(item?.documentation).toMatchObject({ value: expect.stringContaining("Power at the label's voltage") });
  });

  test('at the top: kinds that stand alone, and declarations', async () => {
    const found = await labels(`${bench}\n<|>`);
    expect(found.slice(0, 2).sort()).toEqual(['machine', 'site']);
    expect(found).toEqual(expect.arrayContaining(['kind', 'part', 'rule', 'use']));
    expect(found).not.toContain('wire');
  });

  test('a variant is offered what it takes over, and what it could remove', async () => {
    const variant = (line: string) => labels(`${bench}machine Other is Bench {\n  ${line}\n}\n`);
    const keys = await variant('<|>');
    const blocks = keys.filter((key) => /^(bed|supply psu|circuit bed_power|sensor)$/.test(key));
    expect(blocks.slice(0, 3)).toEqual(['bed', 'supply psu', 'circuit bed_power']);
    const inside = await variant('circuit bed_power {\n    <|>\n  }');
    expect(inside.indexOf('fuse')).toBeLessThan(inside.indexOf('relay'));
    expect(inside.indexOf('wire')).toBeLessThan(inside.indexOf('relay'));
    const absent = await variant('no <|>');
    expect(absent.slice(0, 3)).toEqual(['psu', 'bed', 'bed_power']);
    expect(absent).toContain('mains');
  });
});

describe('values', () => {
  test('parts of the right kind after is, and the open choice', async () => {
    const found = await inBench('fuse is blade_15a', 'fuse is <|>');
    expect(found).toContain('blade_15a');
    expect(found).toContain('?');
    expect(found).not.toContain('ntc_100k');
  });

  test('units of the right dimension after a number and a blank, the usual first', async () => {
    expect((await inBench('power = 250 W', 'power = 250 <|>')).slice(0, 2)).toEqual(['W', 'kW']);
    expect(await inBench('target = 100 degC', 'target = 100 <|>')).toEqual(['degC', 'degF']);
    expect((await atEnd('require bed.warm_up(to: 60 degC) <= 5 <|>')).slice(0, 3)).toEqual(['s', 'min', 'h']);
    expect(await inBench('power = 250 W', 'power = 250 <|>')).not.toContain('mm');
  });

  test('choices', async () => {
    expect((await labels('part p is supply {\n  current_kind = <|>\n}\n')).slice(0, 2)).toEqual(['ac', 'dc']);
  });

  test('standard sizes', async () => {
    expect((await inBench('area = 2.5 mm^2', 'area = <|>'))[0]).toBe('0.5 mm^2');
  });

  test('references of the right kind, by the path that leads to them', async () => {
    const found = await inBench('fuse, wire, bed.cutoff, bed.heater]', 'fuse, wire, <|>]');
    expect(found.slice(0, 2)).toEqual(['bed.heater', 'bed.cutoff']);
    expect((await inBench('place = bed', 'place = <|>'))[0]).toBe('bed');
    expect(await inBench('material = cast_aluminium', 'material = <|>')).toContain('aluminium');
  });

  test('what is given is not begun with what is computed from it', async () => {
    const found = await inBench('target = 100 degC', 'target = <|>');
    expect(found[0]).toBe('60 degC');
    expect(found.find((label) => !/\d/.test(label))).toBe('ambient');
    expect(found.indexOf('temperature')).toBeGreaterThan(found.indexOf('plate'));
  });

  test('a list of blocks: none that it holds already, no values of its own block, no parts', async () => {
    const found = await inBench('fuse, wire, bed.cutoff, bed.heater]', 'fuse, wire, <|>]');
    for (const label of ['psu', 'fuse', 'wire', 'earth', 'load', 'thermal_link_133c'])
      expect(found).not.toContain(label);
    const between = await inBench('fuse, wire, bed.cutoff, bed.heater]', 'fuse, <|>, bed.cutoff, bed.heater]');
    expect(between[0]).toBe('wire');
    expect(between).not.toContain('bed.heater');
  });

  test('members after a dot, those that fit first', async () => {
    const found = await inBench('bed.cutoff, bed.heater]', 'bed.<|>, bed.heater]');
    expect(found.slice(0, 2).sort()).toEqual(['cutoff', 'heater']);
    expect(await atEnd('require bed.heater.<|>')).toContain('label_current');
  });

  test('names of arguments', async () => {
    expect((await atEnd('require bed.warm_up(<|>'))[0]).toBe('to');
  });

  test('after an equals sign that has just been typed, with a blank', async () => {
    const typed = bench.replace('place = bed', 'place =<|>');
    const [first] = await items(typed);
    expect(edited(cursor(typed).text, [first?.textEdit as never])).toBe(bench);
  });

  test('rules on the block’s kind where one is accepted', async () => {
    const found = await inBench('area = 2.5 mm^2', 'accept <|>');
    expect(found).toContain('wire_overloaded');
    expect(found).not.toContain('magnet_too_hot');
  });

  test('what can be measured: what is computed', async () => {
    const found = await inBench('power = 250 W', 'power = 250 W\n      measured <|>');
    expect(found[0]).toBe('label_current');
    expect(found).not.toContain('power');
  });

  test('files for use', async () => {
    await client.open('file:///uses/one.gusset', '');
    await client.open('file:///uses/two.gusset', 'use "./"\n');
    const list = await client.at<CompletionList>('textDocument/completion', 'file:///uses/two.gusset', {
      line: 0,
      character: 7,
    });
    expect(list.items.map((item) => item.label)).toEqual(['./one.gusset']);
  });

  test('nothing in comments and in texts', async () => {
    expect(await inBench('power = 250 W', 'power = 250 W // of <|>')).toEqual([]);
    expect(await inBench('area = 2.5 mm^2', 'accept wire_overloaded because "so <|>')).toEqual([]);
  });
});

describe('words that join', () => {
  test.each([
    ['rule wide <|>', ['on']],
    ['kind wide <|>', ['is']],
    ['part wide <|>', ['is']],
    ['machine Other <|>', ['is']],
    ['rate 1 EUR = 2 USD <|>', ['on']],
  ])('%s', async (text, expected) => {
    expect(await labels(text)).toEqual(expected);
  });
  test.each([
    ['accept wire_overloaded <|>', ['at', 'because']],
    ['accept wire_overloaded at 10 A <|>', ['because']],
    ['measured cost = 10 EUR <|>', ['on']],
    ['measured cost = 10 EUR on 2026-03-02 <|>', ['in place']],
    ['supply other <|>', ['is']],
    ['supply other * 2 <|>', ['is']],
    ['require all(c.current < 1 A for c <|>)', ['in']],
    ['require all(c.current < 1 A for c in every circuit <|>)', ['where', 'of']],
    ['require if mains > 200 V <|>', ['then', 'and', 'or', 'is', 'in']],
  ])('%s', async (statement, expected) => {
    expect(await atEnd(statement)).toEqual(expected);
  });
  test('in rules, types and tables', async () => {
    expect(await labels('rule r on wire {\n  follows voltage_mismatch <|>\n}\n')).toEqual(['of']);
    expect(await labels('kind k is wire {\n  a: list <|>\n}\n')).toEqual(['of']);
    expect(await labels('kind k is wire {\n  a: Length <|>\n}\n')).toEqual(['default']);
    const table = (row: string) => labels(`table t(a: Length): Current {\n  ${row}\n}\n`);
    expect((await table('row 1 <|>'))[0]).toBe('mm');
    expect((await table('row 1 mm: 2 <|>'))[0]).toBe('A');
  });
});

test('a unit is put behind its number with a blank', async () => {
  const typed = bench.replace('power = 250 W', 'power = 250<|>');
  const [first] = await items(typed);
  expect(edited(cursor(typed).text, [first?.textEdit as never])).toBe(bench);
});

test('a value of the base is declared anew with its type', async () => {
  const typed = 'kind big is heater {\n  label_cur<|>\n}\n';
  const item = (await items(typed)).find((i) => i.label === 'label_current') as CompletionItem;
  expect(edited(cursor(typed).text, [item.textEdit as never])).toContain('\n  label_current: Current = \n');
});

describe('half-typed text', () => {
  test('in a block that is not closed', async () => {
    expect((await labels('machine M {\n  bed {\n    heater {\n      power = 3 W\n      <|>'))[0]).toBe('voltage');
    const below = 'machine M {\n  bed {\n    <|>\n\nmachine N {\n}\n';
    expect((await labels(below))[0]).toBe('target');
  });

  test('in a list that is not closed', async () => {
    expect(await inBench('path = [psu, fuse, wire, bed.cutoff, bed.heater]', 'path = [psu, <|>')).toContain(
      'bed.heater',
    );
  });

  test('beside mistakes', async () => {
    expect((await inBench('power = 250 W\n', 'power = = 3 ((\n      pow<|>\n'))[0]).toBeDefined();
  });
});

describe('a kind of one’s own', () => {
  const own = `sizes drum_sizes: Length = [100 mm, 200 mm]
/// A drum.
kind drum is component {
  inside machine
  /// How wide.
  width: Length {
    sizes drum_sizes
  }
  mode: one of slow, fast
  half: Length = width / 2
  headline half
}
part small_drum is drum {
  width = 100 mm
}
`;
  test.each([
    ['machine M {\n  <|>\n}\n', 'drum'],
    ['machine M {\n  drum is <|>\n}\n', 'small_drum'],
    ['machine M {\n  drum {\n    <|>\n  }\n}\n', 'width'],
    ['machine M {\n  drum {\n    width = <|>\n  }\n}\n', '100 mm'],
    ['machine M {\n  drum {\n    mode = <|>\n  }\n}\n', 'slow'],
    ['machine M {\n  drum\n  require drum.<|>\n}\n', 'half'],
    ['rule wide on drum {\n  <|>\n}\n', 'holds'],
    ['rule wide on drum {\n  holds wid<|>\n}\n', 'width'],
    ['rule wide on drum {\n  error "it is {wid<|>"\n}\n', 'width'],
    ['rule wide on <|>', 'drum'],
    ['kind big is drum {\n  depth: <|>\n}\n', 'Length'],
    ['kind big is drum {\n  depth: Length = <|>\n}\n', 'half'],
    ['kind big is drum {\n  depth: Length {\n    <|>\n  }\n}\n', 'source'],
    ['kind big is drum {\n  depth: Length {\n    source <|>\n  }\n}\n', 'practice'],
    ['kind big is drum {\n  headline <|>\n}\n', 'half'],
    ['function twice(of: Length): Length = 2 * <|>\n', 'of'],
  ])('%s', async (piece, expected) => {
    expect(await labels(own + piece)).toContain(expected);
  });
});

describe('at an open choice', () => {
  const at = async (text: string) => {
    const uri = `file:///completion/${++files}.gusset`;
    const { text: written, position } = cursor(text);
    // Asked right after the edit that opens it, before anything is solved.
    await client.open(uri, bench);
    await client.change(uri, written);
    const list = await client.at<CompletionList>('textDocument/completion', uri, position);
    return { written, items: list.items.filter(({ sortText }) => sortText === '') };
  };

  test('what is proposed comes first, and takes the place of the question', async () => {
    const { written, items: found } = await at(bench.replace('area = 2.5 mm^2', 'area = ?<|>'));
    expect(found.map(({ label, filterText }) => [label, filterText])).toEqual([['2.5 mm^2', '?']]);
    expect(edited(written, found.flatMap(({ textEdit }) => (textEdit ? [textEdit] : [])) as never)).toBe(bench);
  });

  test('elsewhere it is not', async () => {
    expect(
      (await at(bench.replace('area = 2.5 mm^2', 'area = ?').replace('power = 250', 'power = 250<|>'))).items,
    ).toEqual([]);
  });
});

describe('what is written where blanks can be filled', () => {
  const shed = `kind shed {
  toplevel
  has door: door
  heat_loss(at: Temperature, for: Time): Energy = 1 J
}
kind door {
  inside shed
  width: Length
  height: Length
}
part wide is door {
  width = 2 m
}
`;
  const written = async (of: Client, marked: string, wanted: string) => {
    const uri = `file:///blanks/${++files}.gusset`;
    const { text, position } = cursor(shed + marked);
    await of.open(uri, text);
    const { items: found } = await of.at<CompletionList>('textDocument/completion', uri, position);
    const item = found.find(({ label }) => label === wanted);
    return item && [item.insertTextFormat, item.textEdit?.newText];
  };
  const block = 'shed S {\n  <|>\n}\n';
  const call = 'shed S {\n  require S.<|> <= 3 J\n}\n';

  test('a block comes with a line for each value that it needs, a value with its arguments', async () => {
    const able = await Client.start({ textDocument: { completion: { completionItem: { snippetSupport: true } } } });
    expect(await written(able, block, 'door { … }')).toEqual([2, 'door {\n  width = $1\n  height = $2\n}$0']);
    expect(await written(able, block, 'door')).toEqual([undefined, 'door']);
    expect(await written(able, call, 'heat_loss')).toEqual([2, 'heat_loss(at: $1, for: $2)$0']);
    await able.stop();
  });

  test('and plainly to a client that fills no blanks', async () => {
    expect(await written(client, block, 'door { … }')).toBeUndefined();
    expect(await written(client, block, 'door')).toEqual([undefined, 'door']);
    expect(await written(client, call, 'heat_loss')).toEqual([undefined, 'heat_loss']);
  });
});

describe('rows', () => {
  test('a part tells what defines it, and what it costs', async () => {
    const found = await items(
      bench
        .replace('sensor is ntc_100k', 'sensor is <|>')
        .replace('machine', 'part mine is thermistor {\n  price = 3 EUR\n}\nmachine'),
    );
    expect(found.find(({ label }) => label === 'mine')?.detail).toBe('thermistor · 3 EUR');
    const supply = (await items('machine M {\n  supply psu is <|>\n}\n')).find(
      ({ label }) => label === 'supply_24v_350w',
    );
    expect(supply?.detail).toMatch(/^\w+ · .*24 V/);
  });

  test('what is often given for a number stands first', async () => {
    const found = await items('machine M {\n  mains = <|>\n}\n');
    expect(found[0]).toMatchObject({ label: '230 V', detail: 'often' });
  });
});
