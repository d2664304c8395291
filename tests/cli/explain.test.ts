import { afterAll, describe, expect, test } from 'vitest';
import { ruleExamples } from '../../language/library/generated/manual.ts';
import { pagesOfName } from '../../server/cli/explain-name.ts';
import { diskProject, TextPlaces } from '../../server/cli/files.ts';
import { Page } from '../../server/cli/page.ts';
import { shownExample } from '../../server/cli/rule-example.ts';
import { bench, changed, Folder, shelf } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

async function explain(...args: string[]): Promise<string> {
  const { status, out, err } = await folder.run('explain', ...args);
  expect([status, err]).toEqual([0, '']);
  return out;
}

/** What goes wrong, as told on stderr. */
async function wrong(...args: string[]): Promise<string> {
  const { status, out, err } = await folder.run('explain', ...args);
  expect([status, out]).toEqual([2, '']);
  return err;
}

describe('names of the library', () => {
  test('a rule: what must hold, how grave it is, its source, and the smallest design that breaks and keeps it', async () => {
    const text = await explain('wire_overloaded');
    expect(text).toMatch(/^rule wire_overloaded on wire\nlibrary:wiring\/rules\.gusset:\d+:1\n/);
    for (const row of [
      /^ {2}level {7}error$/m,
      /^ {2}applies {5}current > 0 A$/m,
      /^ {2}must hold {3}current <= capacity$/m,
      /^ {2}caution {5}Fire: /m,
      /^ {2}way out {5}choose another area$/m,
      /^ {2}source {6}IEC 60204-1, table 6, .* \(as quoted by others\)$/m,
    ])
      expect(text).toMatch(row);
    const [, broken = '', kept = ''] = /^Broken by\n(.*)^Kept by\n(.*)/ms.exec(text) ?? [];
    const example = shownExample(ruleExamples.find((e) => e.rule === 'wire_overloaded')?.text ?? '');
    const indented = (code: string) => code.replace(/^(?=.)/gm, '  ').trimEnd();
    expect([broken.trimEnd(), kept.trimEnd()]).toEqual([indented(example.breaks), indented(example.keeps)]);
  });

  test('a way out is said as a builder says it, not as the rule writes it', async () => {
    const said = async (rule: string) =>
      [...(await explain(rule)).replace(/\n {14}/g, ' ').matchAll(/^ {2}way out {5}(.*)$/gm)].map(([, way]) => way);
    expect((await said('adhesive_too_hot'))[0]).toBe('take an adhesive in its place');
    expect((await said('cutoff_closes_again')).slice(0, 1)).toEqual(['choose another cutoff']);
    expect((await said('falls_without_power'))[0]).toBe('choose another screw');
    expect((await said('held_too_loosely'))[1]).toBe('take 2 of each guide of the axis');
    expect((await said('too_few_guides'))[0]).toBe(
      'take guides_wanted of each guide of the first axis where carries_bed and vertical',
    );
    expect((await said('voltage_drop_too_high'))[0]).toBe('choose another area of each wire of way_out');
  });

  test('a kind: its values with their types, units, defaults, formulas and sources', async () => {
    const text = await explain('heater', '--whole');
    expect(text).toMatch(/^kind heater is load\n/);
    expect(text).toContain('  voltage: Voltage  (from load)\n');
    expect(text).toMatch(/^Needed$[\s\S]*^ {2}power: Power\n {4}Power at the label's voltage.*\n {4}in W, kW$/m);
    expect(text).toMatch(
      /^With a default$[\s\S]*^ {2}label_temperature: Temperature default 20 degC\n.*\n {4}in degC$/m,
    );
    expect(text).toMatch(
      /^Computed$[\s\S]*^ {2}label_current: Current = self\.count \* power \/ voltage\n.*\n {4}in A\n {4}source: P = U I \(true by definition\)$/m,
    );
  });

  test('a kind: what may stand in it, what starts from it, and the rules on it', async () => {
    const text = await explain('fuse', '--whole');
    expect(text).toMatch(/^Kinds that start from it\n {2}blade_fuse, cartridge_fuse$/m);
    expect(text).toMatch(/^Parts\n {2}blade_10a, [\s\S]*glass_cartridge_5a$/m);
    expect(text).toMatch(/^Rules on it\n[\s\S]*fuse_/m);
    expect(await explain('machine', '--whole')).toMatch(/^May stand in it as well\n[\s\S]*\bhot_end\b/m);
  });

  test('a part with blocks in it: which, and what they give', async () => {
    const text = await explain('board_4_axis');
    expect(text).toMatch(/^Blocks in it$/m);
    expect(text).toMatch(/^ {2}bed_output: output with rated_current = \d+ A/m);
  });

  test('all kinds, parts, rules and units, by the word for their sort', async () => {
    const kinds = await explain('kinds');
    expect(kinds).toMatch(/^ {4}element +Element: a part that current flows through[^\n]*\n[\s\S]*?^ {6}connector /m);
    expect(await explain('kind')).toBe(kinds);
    expect(await explain('parts')).toMatch(/^ {2}heater: .*\bmat_24v_250w\b/m);
    expect(await explain('rules')).toMatch(/^ {2}wire_overloaded +[A-Z]/m);
    expect(await explain('units')).toMatch(/\bdegC\b/);
    expect(await explain('dimensions')).toMatch(/\bTemperature\b/);
  });

  test('a value of a kind', async () => {
    const text = await explain('heater.label_current');
    expect(text).toMatch(
      /^heater\.label_current: Current = self\.count \* power \/ voltage\nlibrary:bed\/bed\.gusset:\d+:3\n/,
    );
    expect(text).toMatch(/^ {2}source {6}P = U I \(true by definition\)$/m);
  });

  test('a rule: where it is known to be blind', async () => {
    expect(await explain('plate_sags')).toMatch(/^ {2}known {7}a whole plate of even thickness: pockets and holes/m);
  });

  test('units: what they measure, how large they are, their prefixes', async () => {
    // SI Brochure, 9th edition: 1 kN = 1000 N; 0 degC = 273.15 K. 1 in = 25.4 mm: international yard and pound, 1959.
    expect(await explain('kN')).toMatch(/measures {4}force\n {2}is {10}1000 N\n {2}made of {5}k and N\n/);
    expect(await explain('degC')).toMatch(/zero is 273\.15 K/);
    expect(await explain('in')).toMatch(/measures {4}length\n {2}is {10}0\.0254 m\n/);
    expect(await explain('W/(m*K)')).toMatch(/measures {4}thermal conductivity\n {2}is {10}1 m\*kg\/\(K\*s\^3\)\n/);
    expect(await explain('A')).toMatch(/is {10}a coherent unit of the SI\n {2}prefixes {4}all of the SI\n/);
    expect(await explain('EUR')).toMatch(/a currency of ISO 4217/);
    expect(await explain('kW')).toMatch(/is {10}1000 W\n/);
  });

  test('a name that is a unit and a prefix is explained as both', async () => {
    expect(await explain('m')).toMatch(/^unit m\n[\s\S]*\nprefix m\n[\s\S]* {2}is {10}0\.001\n$/);
  });

  test('dimensions, tables, sizes, functions, numerics, parts', async () => {
    expect(await explain('Torque')).toMatch(/^dimension Torque\n[\s\S]*not to mix {2}with .*energy/);
    expect(await explain('capacity_b2')).toMatch(/Rows\n {2}0\.75 mm\^2: 8\.5 A\n/);
    expect(await explain('iec_60228')).toMatch(/^sizes iec_60228: Area\n[\s\S]*Sizes\n {2}0\.5 mm²\n/);
    // ASTM B258: AWG 20 is 0.518 mm².
    expect(await explain('awg_20')).toMatch(/^awg_20 = 0\.518 mm²\n/);
    expect(await explain('film')).toMatch(/^function film\(.*\): Temperature = air \+ \(surface - air\) \/ 2\n/);
    expect(await explain('rise')).toMatch(/^numeric rise\([\s\S]*\(read in the source itself\)\n/);
    expect(await explain('stefan_boltzmann')).toMatch(
      /^constant stefan_boltzmann: RadiationConstant = 5\.670374419e-8/,
    );
    expect(await explain('max')).toMatch(/^function max, of the language itself\n\nThe greatest/);
    const part = await explain('mat_24v_250w');
    expect(part).toMatch(/Given\n {2}voltage = 24 V\n {2}power = 250 W\n/);
    expect(part).toContain('  label_current = 10.4 A\n');
    expect(part).toContain('  label_temperature = 20 °C  (default)\n');
    expect(part).not.toContain('  loss =');
  });

  test('every name that the library declares can be explained', async () => {
    const project = diskProject(folder.path);
    const { scope } = project.library;
    const names = [
      ...scope.own.kinds.keys(),
      ...scope.own.declared.keys(),
      ...scope.own.sizeNames.keys(),
      ...scope.system.dimensions.keys(),
      ...scope.system.plainUnits().map((unit) => unit.text),
    ];
    expect(names.length).toBeGreaterThan(300);
    const io = { out() {}, err() {}, cwd: folder.path, colours: false, width: 100 };
    for (const name of names) {
      const pages = pagesOfName(name, scope, () => new Page(io, TextPlaces.onDisk(project, folder.path)));
      expect(pages.length, name).toBeGreaterThan(0);
      for (const page of pages) {
        expect(page.toString(), name).toMatch(/^.+(\nlibrary:\w+\/\w+\.gusset:\d+:\d+|, of the language itself)\n\n./);
        expect(page.toString(), name).not.toMatch(/undefined|\[object|NaN/);
      }
    }
  });
});

describe('words', () => {
  test('of a kind in short: what to write, what is needed, what it will tell', async () => {
    const bed = await explain('bed');
    expect(bed.split('\n').length).toBeLessThan(40);
    expect(bed).toContain(
      [
        'To write',
        '  bed my_bed {',
        '    target = …',
        '    plate {',
        '      size = …',
        '      thickness = …',
        '      material = …',
        '    }',
        '  }',
      ].join('\n'),
    );
    expect(bed).toMatch(/^Needed\n {2}target, in degC: Hottest temperature it is used at$/m);
    expect(bed).toMatch(/^It will tell\n {2}ready_time: \S/m);
    expect(bed).toMatch(/^Parts\n {2}bed_/m);
    expect(bed).toMatch(/^All of it: gusset explain bed --whole$/m);
  });

  test('what speaks of a word is found by its name, its message and its documentation', async () => {
    const stall = await explain('stall');
    expect(stall).toMatch(/^Rules that speak of stall\n {2}motor_stalls {2,}\S/);
    expect(stall).toContain('tube_pushed_out');
    expect(await explain('RCD')).toContain('mains_heater_without_residual_device');
    expect(await explain('stalling')).toContain('motor_stalls');
  });
});

describe('names that there are not', () => {
  test('the nearest is suggested', async () => {
    expect(await wrong('wire_overloadd')).toBe(
      'gusset: There is nothing called wire_overloadd. Did you mean wire_overloaded?\n',
    );
    expect(await wrong('heater.powr')).toBe('gusset: The kind heater has no powr. Did you mean power?\n');
    expect(await wrong('xyzzy_nothing_like_it')).toBe(
      'gusset: There is nothing called xyzzy_nothing_like_it. All there is: explain kinds, explain parts, explain rules.\n',
    );
    expect(await wrong('a', 'b', 'c')).toContain('Expected one name, or a file and one name');
  });
});

describe('values of a machine', () => {
  test('a value: its formula, what went in with its place, sources, and the defaults that it rests on', async () => {
    folder.write({ 'a.gusset': `${shelf}\nshelf Upper {\n  load = 30 kg\n  limit = 50 kg\n}\n` });
    expect(await explain('a.gusset', 'Upper.share')).toMatchInlineSnapshot(`
      "Upper.share = 60 %

      The same, by its limit.

        is          a ratio, computed
        formula     press / (limit * pull)
        at          a.gusset:27:18
        source      force by force (true by definition)

      It comes from
        press = 294 N  · computed a.gusset:22:18
          = load * pull
          source: F = m a (true by definition)
          assumes: it stands still
            load = 30 kg  · given a.gusset:64:10
            pull = 9.81 m/s²  · default a.gusset:18:30
              source: at middle latitudes (from memory, to be checked)
        limit = 50 kg  · given a.gusset:65:11
        pull = 9.81 m/s²  · default a.gusset:18:30
          source: at middle latitudes (from memory, to be checked)

      Defaults it rests on
        pull  9.81 m/s²
      "
    `);
  });

  test('one level, or more', async () => {
    folder.write({ 'a.gusset': bench });
    const one = await explain('a.gusset', 'Bench.mat_power.current', '--depth', '1');
    const three = await explain('a.gusset', 'Bench.mat_power.current', '--depth', '3');
    expect(one).toMatch(/from \d+ values? more: /);
    expect(three.length).toBeGreaterThan(one.length);
    expect(await wrong('a.gusset', 'Bench.mat_power.current', '--depth', 'x')).toContain('Expected a whole number');
  });

  test('the name of the only machine may be left out', async () => {
    folder.write({ 'a.gusset': bench, 'two.gusset': `${bench}\n${bench.replace('Bench', 'Other')}` });
    expect(await explain('a.gusset', 'mat.power')).toMatch(/^Bench\.mat\.power = 250 W\n/);
    expect(await wrong('two.gusset', 'mat.power')).toContain('begins with the name of its machine: Bench and Other.');
    expect(await explain('two.gusset', 'Other.mat.power')).toMatch(/^Other\.mat\.power = 250 W\n/);
  });

  test('a value that takes arguments, with those that the machine asks for', async () => {
    folder.write({
      'a.gusset': changed(['  circuit', '  require mat.resistance_at(at: 30 degC) <= 3 ohm\n  circuit']),
    });
    const text = await explain('a.gusset', 'Bench.mat.resistance_at');
    expect(text).toMatch(/^Bench\.mat\.resistance_at\(at: Temperature\): Resistance\n/);
    expect(text).toContain('In this machine\n  mat.resistance_at(at: 30 °C) = 2.3 Ω\n');
    expect(text).toContain('\n\nBench.mat.resistance_at(at: 30 °C) = 2.3 Ω\n');
  });

  test('what is not known says what it lacks; an open choice what was passed over', async () => {
    folder.write({ 'a.gusset': changed(['      length = 0.9 m\n', ''], ['area = 2.5 mm^2', 'area = ?']) });
    expect(await explain('a.gusset', 'Bench.mat_power.wire.resistance')).toMatch(
      /^Bench\.mat_power\.wire\.resistance = not known\n[\s\S]*because {5}mat_power\.wire\.length is not given\n/,
    );
    const area = await explain('a.gusset', 'Bench.mat_power.wire.area');
    expect(area).toMatch(/is {10}an area, proposed\n/);
    expect(area).toMatch(/1\.5 mm²: .*13\.1 A/);
  });

  test('an open part: all that could stand there first, with what speaks against each, what speaks against all of them once', async () => {
    folder.write({ 'a.gusset': changed(['fuse is blade_15a', 'fuse is ?'], ['area = 2.5 mm^2', 'area = 0.75 mm^2']) });
    const [, told = ''] =
      /^What could stand here\n([\s\S]*?)\n\nValues$/m.exec(await explain('a.gusset', 'Bench.mat_power.fuse')) ?? [];
    const [answer, common, ...each] = told.split('\n');
    expect(answer).toMatch(/^ {2}nothing fits; blade_\w+ comes nearest$/);
    expect(common).toMatch(/^ {2}with each, as with blade_1a: .*wire_overloaded/);
    expect(each.length).toBeGreaterThan(10);
    expect(each.filter((line) => line.includes('(wire_overloaded)'))).toEqual([]);
    expect(each[0]).toMatch(/^ {2}blade_1a: .*is rated to 1 A, but carries .* \(fuse_too_small\)/);
    expect(each.find((line) => line.startsWith('  blade_15a:'))).toMatch(/\(wire_unprotected\)/);
  });

  test('what is to be checked of a machine, stage by stage, with how, what is expected, and what was recorded', async () => {
    folder.write({
      'a.gusset': changed([
        '    size',
        '    checked resistance_measured at 2.3 ohm on 2024-03-02 with [voltage = 24 V, power = 200 W]\n    size',
      ]),
    });
    const text = await explain('a.gusset', 'Bench.commissioning');
    expect(text).toMatch(/^Bench has \d+ checks of commissioning, \d+ of them to be made\n/);
    expect(text).toContain('a licensed electrician does all that is on mains');
    expect(text).toMatch(
      /Before power is applied, with the plug pulled\n[\s\S]*resistance_measured of mat {2}to be made again, recorded on 2024-03-02, read 2\.3 Ω\n[\s\S]*Expected: 2\.07 Ω to 2\.53 Ω\.\n {4}Changed since: power was 200 W then, and is 250 W now\./,
    );
    expect(text.indexOf('Before power is applied')).toBeLessThan(text.indexOf('Full load'));
    expect(text.replace(/\s+/g, ' ')).toContain('Caution: Fire, burns, electric shock: nobody leaves');
    folder.write({ 'b.gusset': 'kind shed {\n  toplevel\n}\nshed S {\n}\n' });
    expect(await explain('b.gusset', 'S.commissioning')).toMatch(/^S has 0 checks of commissioning/);
  });

  test('a block: all its values and where they come from', async () => {
    folder.write({ 'a.gusset': bench });
    const text = await explain('a.gusset', 'Bench.mat');
    expect(text).toMatch(/^Bench\.mat, heater\na\.gusset:5:3\n/);
    expect(text).toMatch(/^ {2}power {2,}250 W {2,}given$/m);
    expect(text).toMatch(/^ {2}label_current {2,}10\.4 A {2,}computed$/m);
    expect(text).toMatch(/^ {2}label_temperature {2,}20 °C {2,}default$/m);
    expect(await explain('a.gusset', 'Bench')).toMatch(/Blocks\n {2}psu {2,}supply\n {2}mat {2,}heater\n/);
  });

  test('a list of blocks is a table of the values that it asks to show, and so it is where its block is explained', async () => {
    const table = ['  on   is       load   share', '  low  board_a  10 kg  20 %', '  top  board    20 kg'];
    folder.write({
      'a.gusset': `/// A board that bears something.
kind board {
  inside rack
  /// What lies on it.
  load: Mass
  /// Its share.
  share: Ratio?
}

/// A board of one sort.
part board_a is board {
  load = 10 kg
  share = 0.2
}

/// Boards over each other.
kind rack {
  toplevel
  /// Those that bear something.
  loaded: list of board = each(b for b in every board) {
    source defined "all of them"
    shown load, share
  }
}

rack Cellar {
  board low is board_a
  board top {
    load = 20 kg
  }
}
`,
    });
    const lines = table.map((line) => line.replace('on ', '   ')).join('\n');
    expect(await explain('a.gusset', 'Cellar.loaded')).toMatch(/^Cellar\.loaded has 2 blocks\n/);
    expect(await explain('a.gusset', 'Cellar.loaded')).toContain(`Each of them\n${lines}\n`);
    expect(await explain('a.gusset', 'rack', '--whole')).toContain('\n    a table of load, share\n');
    expect(await explain('a.gusset', 'Cellar')).toMatch(/^ {2}loaded {2}below {2}computed$/m);
    expect(await explain('a.gusset', 'Cellar')).toContain(`\nloaded\n${lines}\n`);
  });

  test('a wide table is broken within its columns, under the blocks that hold its rows, and says what is not given', async () => {
    folder.write({
      'a.gusset': `/// A remark on something.
kind remark {
  inside shelf
  /// In words.
  words: Text
  /// How heavy.
  load: Mass?
  headline words, load
}

/// A shelf.
kind shelf {
  toplevel
  /// How long it is.
  length: Length
  has first: remark {
    words = "It holds a great many things, and each of them has been there for longer than anybody can remember, at {length}"
  }
  has second: remark {
    words = "It holds a great many things, and each of them has been there for longer than anybody can remember, dust and all"
    load = 2 kg
  }
  /// All that is said.
  remarks: list of remark = each(r for r in every remark) {
    source defined "all of them"
    shown words, load
  }
}

shelf Attic {
}
`,
    });
    const text = await explain('a.gusset', 'Attic.remarks');
    const lines = text.slice(text.indexOf('Each of them')).split('\n');
    expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(100);
    expect(lines.slice(0, 5)).toEqual([
      'Each of them',
      `          words${' '.repeat(79)}  load`.trimEnd(),
      '',
      '  Attic',
      '  first   ?',
    ]);
    expect(text).toMatch(/^ {2}second {2}It holds .* 2 kg\n {10}\S/m);
    expect(text).toContain('\n  Not given: length\n');
  });

  test("a name of the file's own", async () => {
    folder.write({
      'b.gusset': '/// A thing of mine.\npart my_mat is heater {\n  power = 12 W\n  voltage = 12 V\n}\n',
      'a.gusset': `use "./b.gusset"\n${bench}`,
    });
    const text = await explain('a.gusset', 'my_mat');
    expect(text).toMatch(/^part my_mat is heater\nb\.gusset:2:1\n\nA thing of mine\.\n/);
    expect(text).toContain('  label_current = 1 A\n');
  });

  test('a path that leads nowhere is told as a mistake in a text would be', async () => {
    folder.write({ 'a.gusset': bench });
    expect(await wrong('a.gusset', 'Bench.mat.powr')).toContain(
      'A heater has nothing called powr. Did you mean power?',
    );
    expect(await wrong('a.gusset', 'Bench.mat.resistance_at(at: 20)')).toContain('Expected a temperature');
    expect(await wrong('a.gusset', 'Bench.mat.power * 2')).toContain('an expression');
    expect(await wrong('a.gusset', 'Bench.mat.resistance_at(at: 20 degC')).toContain(')');
    expect(await wrong('missing.gusset', 'Bench.mat')).toContain('missing.gusset cannot be read');
    expect(await wrong('a.gusset')).toContain('What in a.gusset is to be explained?');
  });
});
