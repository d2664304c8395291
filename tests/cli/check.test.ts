import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, describe, expect, test } from 'vitest';
import { run } from '../../server/cli/program.ts';
import { reportSchema } from '../../server/cli/schema.ts';
import { bench, changed, Folder, shelf } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const check = (text: string, ...options: string[]) =>
  folder.write({ 'a.gusset': text }).run('check', ...options, 'a.gusset');

/** 10.4 A flows: too much for 0.5 mm², and people can be hurt. */
const thinWire = changed(['area = 2.5 mm^2', 'area = 0.5 mm^2']);
/** More of the supply than its margin: a warning without a caution. */
const weakSupply = changed(
  ['supply_24v_450w', 'supply_24v_350w'],
  ['own_plug = yes', 'own_plug = yes\n    other_power = 60 W\n'],
);
/** A shelf that breaks a rule by which nobody is hurt; its block is still open. */
const thickShelf = `${shelf}
/// No more board than it needs.
rule shelf_too_thick on shelf {
  holds thickness <= 20 mm
  error "{thickness} of board is more than it needs"
  source defined "what is at hand"
  at thickness
}
shelf Oak {
  load = 10 kg
  limit = 20 kg
  thickness = 25 mm
`;
const bigFuse = changed(['fuse is blade_15a', 'fuse is blade_10a']);

describe('exit status', () => {
  test('0 where everything that could be decided holds, strictly too', async () => {
    expect(await check(bench)).toMatchObject({ status: 0, err: '' });
    expect(await check(bench, '--strict')).toMatchObject({ status: 0, err: '' });
  });

  test('1 for an error', async () => {
    expect((await check(thinWire)).status).toBe(1);
  });

  test('1 for a mistake in the text, in a file that is used as well', async () => {
    expect((await check('machine A {\n  ambiant = 20 degC\n}\n')).status).toBe(1);
    folder.write({ 'parts.gusset': 'part x is heater {\n  power = 24 V\n}\n' });
    const { status, out } = await check('use "./parts.gusset"\n');
    expect(status).toBe(1);
    expect(out).toContain('parts.gusset:2:11  error  wrong_dimension');
  });

  test('a mistake of a file that several use is told and counted once', async () => {
    folder.write({
      'parts.gusset': 'part x is heater {\n  power = 24 V\n}\n',
      'b.gusset': 'use "./parts.gusset"\n',
      'c.gusset': 'use "./parts.gusset"\n',
    });
    const { status, out } = await folder.write({}).run('check', 'b.gusset', 'c.gusset');
    expect(status).toBe(1);
    expect(out.split('wrong_dimension')).toHaveLength(2);
    expect(out).toMatch(/\b1 mistake\b/);
    const json = await folder.write({}).run('check', '--format', 'json', 'parts.gusset', 'c.gusset');
    expect(json.out.split('"wrong_dimension"')).toHaveLength(2);
  });

  test.each([
    ['a warning', weakSupply],
    ['a requirement that fails', changed(['  circuit', '  require mat.density <= 0.1 W/cm^2\n  circuit'])],
    ['a requirement that cannot be decided', changed(['  circuit', '  require psu.price <= 10 EUR\n  circuit'])],
    ['an open choice', changed(['area = 2.5 mm^2', 'area = ?'])],
    ['a rule that cannot be decided', changed(['      length = 0.9 m\n', ''])],
  ])('0 for %s, and 1 where that is to be counted', async (_, text) => {
    expect((await check(text)).status).toBe(0);
    expect((await check(text, '--strict')).status).toBe(1);
  });

  test('2 for a wrong call, told on stderr alone', async () => {
    const wrong: [string[], string][] = [
      [[], 'Usage: gusset'],
      [['check'], 'Which files or folders'],
      [['check', 'missing.gusset'], 'missing.gusset cannot be read: there is no such file or folder.'],
      [['check', 'empty'], 'There is no .gusset file in empty.'],
      [['check', 'binary.gusset'], 'binary.gusset cannot be read: it is not text in UTF-8.'],
      [['check', '--format', 'table', 'a.gusset'], 'Allowed choices are text, json'],
      [['check', '--frmat', 'json', 'a.gusset'], 'Did you mean --format?'],
      [['chek', 'a.gusset'], "unknown command 'chek'"],
      [['serve'], '--stdio'],
    ];
    folder.write({ 'binary.gusset': new Uint8Array([0xff, 0xfe, 0x00, 0x80]), 'empty/readme.txt': '' });
    for (const [args, message] of wrong) {
      const { status, out, err } = await folder.run(...args);
      expect([args, status, out]).toEqual([args, 2, '']);
      expect(err).toContain(message);
    }
  });

  test('help and version end well', async () => {
    expect(await folder.run('--version')).toMatchObject({ status: 0, out: expect.stringMatching(/^\d+\.\d+\.\d+\n$/) });
    const { status, out } = await folder.run('check', '--help');
    expect([status, out.includes('Exit status: 0 when'), out.includes('--strict')]).toEqual([0, true, true]);
  });
});

describe('acceptances', () => {
  const accept = (text: string, before: string, line: string) => text.replace(before, `${line}\n${before}`);

  test('a finding that hurts nobody is laid aside, and still listed with its reason', async () => {
    const [plain, line] = [`${thickShelf}}\n`, '  accept shelf_too_thick because "it is a test"\n'];
    const found = await folder.findings(plain);
    expect(found.map((f) => [f.code, f.severity])).toEqual([['shelf_too_thick', 'error']]);
    const text = `${thickShelf}${line}}\n`;
    const [finding] = await folder.findings(text);
    expect(finding?.accepted).toEqual({ reason: 'it is a test', withoutValue: true, counts: false });
    const { status, out } = await check(text);
    expect(status).toBe(0);
    expect(out).toContain('accepted error  shelf_too_thick');
    expect(out).toContain('Accepted: it is a test.');
    expect(out).toContain('1 accepted by the');
    expect((await check(text, '--strict')).status).toBe(0);
  });

  test('where people can be hurt, it counts all the same', async () => {
    const text = accept(thinWire, '      length', '      accept wire_overloaded at 11 A because "measured 55 degC"');
    const finding = (await folder.findings(text)).find((f) => f.code === 'wire_overloaded');
    expect(finding?.accepted).toEqual({ reason: 'measured 55 degC', withoutValue: false, counts: true });
    const { status, out } = await check(text);
    expect(status).toBe(1);
    expect(out).toContain('Accepted: measured 55 degC.\n    People can be hurt, so it still counts.');
  });

  test('it lapses where the value grew worse, and says so', async () => {
    const text = bigFuse.replace(
      'fuse is blade_10a',
      'fuse is blade_10a {\n      accept fuse_too_small at 10.1 A because "it is a test"\n    }',
    );
    const [finding] = await folder.findings(text);
    expect(finding?.accepted).toMatchObject({
      counts: true,
      lapsed: expect.stringMatching(/accepted at .*10.1 A.*, now 10\.\d/),
    });
    expect((await check(text)).status).toBe(1);
  });
});

describe('standard input', () => {
  const reading = async (bytes: string | Uint8Array, ...args: string[]) => {
    let [out, err] = ['', ''];
    const input = () => (typeof bytes === 'string' ? new TextEncoder().encode(bytes) : bytes);
    const status = await run(['check', ...args], {
      out: (text) => {
        out += text;
      },
      err: (text) => {
        err += text;
      },
      input,
      cwd: folder.path,
      colours: false,
      width: 100,
    });
    return { status, out, err };
  };
  const use = 'use "./shelf.gusset"\nshelf left {\n  load = 7 kg\n  limit = 5 kg\n}\n';

  test('is checked as the file that it stands for, with what that uses', async () => {
    folder.write({ 'in/shelf.gusset': shelf, 'in/left.gusset': 'what stood there' });
    const { status, out } = await reading(`\ufeff${use}`, '-', '--as', 'in/left.gusset');
    expect(status).toBe(1);
    expect(out).toContain('in/left.gusset:3:10  error  shelf_overloaded');
    expect((await reading(use, '-')).out).toContain('standard-input.gusset:1:5  error  missing_file');
  });

  test('is checked beside files, and told as wrong where it is no text or not asked for', async () => {
    folder.write({ 'b.gusset': bench });
    expect((await reading(bench.replace('Bench', 'Other'), '-', 'b.gusset')).out).toContain('2 machines in 2 files');
    const wrong: [string | Uint8Array, string[], string][] = [
      [new Uint8Array([0xff, 0xfe, 0x00]), ['-'], 'Standard input cannot be read: it is not text in UTF-8.'],
      [bench, ['--as', 'a.gusset', 'b.gusset'], 'it goes with - as a path'],
      [bench, ['-', '--fix'], 'cannot be mended with --fix'],
    ];
    for (const [bytes, args, message] of wrong)
      expect(await reading(bytes, ...args)).toMatchObject({
        status: 2,
        out: '',
        err: expect.stringContaining(message),
      });
  });
});

test('folders are searched to their depth, but not those of tools', async () => {
  const tree = new Folder().write({
    'b.gusset': bench,
    'sub/deeper/a.gusset': bench,
    'sub/notes.txt': 'x',
    '.hidden/c.gusset': bench,
    'node_modules/d/d.gusset': bench,
  });
  const report = JSON.parse((await tree.run('check', '--format', 'json', '.', 'b.gusset')).out);
  expect(report.machines.map((m: { file: string }) => m.file)).toEqual(['b.gusset', 'sub/deeper/a.gusset']);
  tree.remove();
});

describe('JSON', () => {
  test('values are in coherent SI units, not rounded', async () => {
    const { name, file, line, values } = await folder.machine(bench);
    expect([name, file, line]).toEqual(['Bench', 'a.gusset', 1]);
    // 250 W / 24 V, as the issue's own example has it.
    expect(values['mat.label_current']).toEqual({
      si: 10.416666666666666,
      unit: 'A',
      text: '10.4 A',
      origin: 'derived',
    });
    expect(values['mat_power.wire.area']).toEqual({
      si: expect.closeTo(2.5e-6, 15),
      unit: 'm^2',
      text: '2.5 mm²',
      origin: 'given',
    });
    expect(values['mat.size']).toEqual({
      si: [expect.closeTo(0.24, 12), expect.closeTo(0.24, 12)],
      unit: 'm',
      text: '240 mm x 240 mm',
      origin: 'given',
    });
    expect(values['psu.current_kind']).toMatchObject({ value: 'dc' });
    expect(values['mat_power.wire.insulation']).toMatchObject({ block: 'silicone', origin: 'given' });
    expect(values['mat_power.source']).toMatchObject({ block: 'psu', origin: 'derived' });
    expect(values['mat_power.path']).toMatchObject({
      list: [
        { block: 'psu', text: 'psu' },
        { block: 'mat_power.fuse', text: 'mat_power.fuse' },
        { block: 'mat_power.wire', text: 'mat_power.wire' },
        { block: 'mat', text: 'mat' },
      ],
    });
  });

  test('temperatures say whether they are points or differences', async () => {
    const { values } = await folder.machine(
      changed(['  mains = 230 V', '  mains = 230 V\n  box {\n    rise = 12 K\n  }']),
    );
    expect(values.ambient).toMatchObject({ si: 293.15, unit: 'K', temperature: 'point', text: '20 °C' });
    expect(values['box.rise']).toMatchObject({ si: 12, unit: 'K', temperature: 'difference', text: '12 K' });
  });

  test('ranges, bounds, prices and what is not known are told apart', async () => {
    const { values } = await folder.machine(
      changed(
        ['ambient = 20 degC', 'ambient = 15 degC .. 28 degC'],
        ['supply_24v_450w', 'supply_24v_450w {\n    price = 38 EUR\n  }'],
      ),
    );
    expect(values.ambient).toMatchObject({ si: null, low: 288.15, high: 301.15, temperature: 'point' });
    expect(values['psu.price']).toMatchObject({ amount: 38, currency: 'EUR', text: '38 EUR' });
    expect(values.cost).toMatchObject({
      amount: null,
      low: 38,
      currency: 'EUR',
      missing: expect.arrayContaining(['mat.price', 'mat_power.wire.price']),
    });
    expect(values['mat.price']).toEqual({ si: null, missing: ['mat.price'], text: 'not known', origin: 'missing' });
  });

  test('a finding has its lines and columns from 1, its caution, and what follows from it', async () => {
    const findings = await folder.findings(thinWire);
    expect(findings).toHaveLength(1);
    expect(findings[0]).toMatchObject({
      code: 'wire_overloaded',
      severity: 'error',
      machine: 'Bench',
      path: 'mat_power.wire',
      file: 'a.gusset',
      line: 13,
      column: 14,
      endLine: 13,
      endColumn: 22,
      caution: expect.stringContaining('Fire'),
      consequences: [
        expect.objectContaining({ code: 'voltage_drop_too_high', severity: 'warning', line: 17, column: 12 }),
        expect.objectContaining({ code: 'wire_unprotected', severity: 'error', line: 13, column: 14 }),
      ],
    });
  });

  test('a mistake in the text is a finding named by its code', async () => {
    const findings = await folder.findings(changed(['ambient = 20 degC', 'ambient = 20 V']));
    expect(findings.filter((f) => f.machine === null)).toEqual([
      expect.objectContaining({ code: 'wrong_dimension', severity: 'error', path: null, line: 2, column: 13 }),
    ]);
  });

  test('margins are ratios, or kelvins for points of temperature', async () => {
    const { requirements } = await folder.machine(
      changed([
        '  circuit',
        '  require mat.label_current <= 12.5 A\n  require ambient <= 35 degC\n  require mat.price <= 20 EUR\n  circuit',
      ]),
    );
    // (12.5 - 250 / 24) / 12.5
    expect(requirements[0]).toMatchObject({
      text: 'mat.label_current <= 12.5 A',
      holds: true,
      margin: expect.closeTo(0.166667, 5),
      marginUnit: '1',
      marginText: '17 % to spare',
      value: '10.4 A',
      line: 10,
    });
    expect(requirements[1]).toMatchObject({ holds: true, margin: expect.closeTo(15, 9), marginUnit: 'K' });
    expect(requirements[2]).toMatchObject({ holds: null, margin: null, missing: ['mat.price'] });
    expect(requirements[2]).not.toHaveProperty('marginUnit');
  });

  test('what is to be checked, what was, and what was set', async () => {
    const { commissioning, settings } = await folder.machine(
      changed([
        '    size',
        '    checked resistance_measured at 2.3 ohm on 2024-03-02 with [voltage = 24 V, power = 200 W]\n    set duty = 40 % on 2024-03-03\n    size',
      ]),
    );
    const measured = commissioning.find(({ check }) => check === 'resistance_measured');
    expect(measured).toMatchObject({
      path: 'mat',
      stage: 'before_power',
      expected: '2.07 Ω to 2.53 Ω',
      // 24^2 / 250 ohm, less and more a tenth
      least: expect.closeTo(2.0736, 4),
      most: expect.closeTo(2.5344, 4),
      state: 'lapsed',
      record: { date: '2024-03-02', read: '2.3 Ω', changed: ['power was 200 W then, and is 250 W now'] },
    });
    expect(commissioning.find(({ check }) => check === 'hour_at_full_load')).toMatchObject({
      path: '',
      state: 'open',
      record: null,
      expected: null,
      caution: expect.stringContaining('nobody leaves'),
    });
    expect(settings).toEqual([
      expect.objectContaining({ path: 'mat.duty', set: '40 %', designed: '100 %', agrees: false, date: '2024-03-03' }),
    ]);
  });

  test('open choices, undecided rules and measurements', async () => {
    const { open, undecided, decided, measurements } = await folder.machine(
      changed(
        ['area = 2.5 mm^2', 'area = ?'],
        ['    size', '    measured label_current = 10.1 A on 2026-03-02\n    size'],
      ),
    );
    expect(open).toEqual([
      expect.objectContaining({ path: 'mat_power.wire.area', proposed: expect.anything(), line: 14, column: 14 }),
    ]);
    expect(open[0]?.obstacles[0]).toMatchObject({ code: expect.any(String), message: expect.stringMatching(/\d/) });
    expect(decided).toBeGreaterThan(5);
    expect(undecided).toEqual([]);
    expect(measurements).toEqual([
      expect.objectContaining({
        path: 'mat.label_current',
        measured: '10.1 A',
        computed: '10.4 A',
        // (10.1 - 250 / 24) / (250 / 24)
        deviation: expect.closeTo(-0.0304, 4),
        deviationUnit: '1',
        date: '2026-03-02',
        inPlace: false,
      }),
    ]);
    const lacking = await folder.machine(changed(['      length = 0.9 m\n', '']));
    expect(lacking.undecided).toContainEqual({
      code: 'voltage_drop_too_high',
      path: 'mat_power',
      missing: ['mat_power.wire.length'],
      message: 'mat_power.wire.length is not given',
    });
  });

  test('real output fits the schema, in zod and as JSON Schema', async () => {
    const { out, status } = await folder.run('check', '--schema');
    expect(status).toBe(0);
    const schema = JSON.parse(out);
    expect(schema.$schema).toBe('https://json-schema.org/draft/2020-12/schema');
    const validate = new Ajv2020({ strict: false }).compile(schema);
    const flawed = changed(
      ['ambient = 20 degC', 'ambient = 15 degC .. 28 degC'],
      ['area = 2.5 mm^2', 'area = 0.5 mm^2\n      accept wire_overloaded because "a test"'],
      ['    size = 240 mm x 240 mm', '    measured label_current = 10.1 A on 2026-03-02 in place\n    colour = 3'],
      ['  circuit', '  require cost <= 5 EUR\n  require ambient <= 20 degC\n  circuit'],
      ['fuse is blade_15a', 'fuse is ?'],
    );
    const repository = new URL('../..', import.meta.url).pathname;
    const example = await folder.run('check', '--format', 'json', `${repository}examples/magpie.gusset`);
    const good = await folder.report(bench);
    for (const report of [good, await folder.report(flawed), JSON.parse(example.out)]) {
      expect(report.machines.length).toBeGreaterThan(0);
      expect(reportSchema.safeParse(report).error).toBeUndefined();
      expect([validate(report), validate.errors]).toEqual([true, null]);
    }
    expect(validate({ machines: [], findings: [{ code: 'x' }] })).toBe(false);
    const wrong = structuredClone(good);
    Object.assign(wrong.machines[0]?.values ?? {}, { 'mat.power': { si: '250', unit: 'W', text: '250 W' } });
    expect(validate(wrong)).toBe(false);
  }, 180_000);
});

describe('text', () => {
  test('says what was decided, and never that a machine is safe', async () => {
    const { out } = await check(bench);
    expect(out).toMatch(
      /^Bench {2}a\.gusset:1\n\n {2}Not said yet\n( {4}.*\n)+\n1 machine in 1 file\. Nothing found by the \d+ rule checks that could be decided; none is left undecided\. \d+ things not said yet: \d+ rules wait for that\. \d+ checks of commissioning to be made: explain FILE MACHINE\.commissioning\.\n$/,
    );
    const two = (await check(`${bench}\n${bench.replace('Bench', 'Other')}`)).out;
    expect(two).toMatch(
      /Other {2}a\.gusset:21\n\n {2}Not said yet\n( {4}.*\n)+\n {2}Nothing found by the \d+ rule checks that could be decided; none is left undecided\.( \d+ things? not said yet[^\n]*\.)? \d+ checks of commissioning to be made[^\n]*\n\n2 machines/,
    );
    expect(out).not.toMatch(/\bsafe\b|certified/i);
  });

  test('every code, of a rule, of a mistake and of what no rule finds, has a page', async () => {
    const text = `${changed(['area = 2.5 mm^2', 'area = 0.5 mm^2'])}machine Other {\n  ambient = 20 kg\n  require 1 mm > 2 mm\n}\n`;
    const { findings } = await folder.report(text);
    const codes = new Set(findings.flatMap((f) => [f.code, ...(f.consequences ?? []).map(({ code }) => code)]));
    expect([...codes]).toEqual(expect.arrayContaining(['requirement', 'wire_overloaded', 'wrong_dimension']));
    for (const code of [...codes, 'not_computable', 'nothing_fits', 'not_checked']) {
      const { status, out } = await folder.run('explain', code);
      expect([code, status]).toEqual([code, 0]);
      expect(out).toContain(code);
    }
  });

  test('what several cautions of a machine end with is said once, the danger each time', async () => {
    const { out } = await check(`/// A cupboard.
kind cupboard {
  toplevel
  load: Mass
}

/// It is light.
rule cupboard_heavy on cupboard {
  holds load <= 5 kg
  error "{name} is heavy"
  caution "It falls: stand clear. Ask who built it."
  source practice "ours"
}

/// It is very light.
rule cupboard_too_heavy on cupboard {
  holds load <= 6 kg
  error "{name} is too heavy"
  caution "It falls on feet: wear boots. Ask who built it."
  source practice "ours"
}

cupboard Oak { load = 7 kg }
`);
    expect(out.match(/Caution: .*/g)).toEqual([
      'Caution: It falls: stand clear. Ask who built it.',
      'Caution: It falls on feet: wear boots.',
    ]);
  });

  test('a finding reads as a place, a level, a rule, a sentence, a caution, and what follows', async () => {
    const { out } = await check(`${shelf}
shelf Upper {
  load = 30 kg
  limit = 20 kg
  thickness = 12 mm
  accept shelf_sags at 12 mm because "it is but a small one"
}

shelf Lower {
  load = 30 kg
  limit = 30 kg
  thickness = 18 mm
}
`);
    expect(out).toMatchInlineSnapshot(`
      "Upper  a.gusset:63

        a.gusset:64:10  error  shelf_overloaded
          30 kg lies on Upper, which bears 20 kg.
          Caution: It falls: stand clear.
          Way out: take something off it.
          From this follows:
            a.gusset:65:11  warning  shelf_without_reserve
              Upper bears 66.7 % times what lies on it.

        a.gusset:66:15  accepted warning  shelf_sags
          12 mm of board sags over time, more than anyone would like to see at home or in the workshop.
          Accepted: it is but a small one.

        1 error, 1 accepted by the 3 rule checks that could be decided; none is left undecided.

      Lower  a.gusset:70

        a.gusset:72:11  warning  shelf_without_reserve
          Lower bears 1 times what lies on it.

        1 warning by the 3 rule checks that could be decided; none is left undecided.

      2 machines in 1 file. 1 error, 1 warning, 1 accepted by the 6 rule checks that could be decided; none is left undecided.
      "
    `);
  });

  test('requirements, open choices, measurements and what could not be decided', async () => {
    const { out } = await check(`${shelf}
shelf Upper {
  load = 10 kg
  limit = 20 kg
  thickness = ?
  require load <= 12 kg
  require limit >= 25 kg
  measured reserve = 1.9 on 2026-03-02
}

shelf Lower {
  load = 10 kg
  thickness = 18 mm
  require limit >= 25 kg
}
`);
    expect(out).toMatchInlineSnapshot(`
      "In the text
        a.gusset:72:7  note  not_given
          Not given yet: limit. What depends on it is not known.

      Upper  a.gusset:63

        Requirements
          holds   load <= 12 kg    10 kg, 17 % to spare
          fails   limit >= 25 kg  a.gusset:68:3
            limit is 20 kg, the limit is 25 kg (20 % short).
            Way out: set limit to 25 kg, once it really is so: limit 20 kg → 25 kg.

        Open choices
          thickness: 18 mm proposed  a.gusset:66:15
            not 12 mm: 12 mm of board sags over time, more than anyone would like to see at home or in the
            workshop (shelf_sags)

        Measured
          reserve  1.9 on 2026-03-02  computed 2  5 % less

        Nothing found by the 3 rule checks that could be decided; none is left undecided. 1 requirement fails. 1 open choice.

      Lower  a.gusset:72

        a.gusset:72:7  warning  safety_not_judged
          1 rule about people's safety could not be judged, for want of limit: that nothing else is found
          says nothing of shelf overloaded.
          Way out: say what is missing, or \`no NAME\` for what is deliberately not there.

        Requirements
          undecided   limit >= 25 kg  a.gusset:75:3
            limit is not given.

        Not said yet
          limit  What it bears?  2 rules wait, 1 of them about safety
            shelf_overloaded and shelf_without_reserve

        1 warning by the 1 rule check that could be decided; 2 could not be judged, for want of limit. 1 requirement undecided. 1 thing not said yet.

      2 machines in 1 file. 1 warning by the 4 rule checks that could be decided; 2 could not be judged, for want of limit. 1 requirement fails. 1 requirement undecided. 1 open choice. 1 thing not said yet.
      "
    `);
  });

  test('mistakes stand first, and a file without a machine says that nothing was checked', async () => {
    expect((await check('part x is heater {\n  power = 24W\n}\n')).out).toMatchInlineSnapshot(`
      "In the text
        a.gusset:2:11  advice  tight_unit
          Write a blank between the number and its unit: 24 W.

      No machine in 1 file, so no rule was checked. 1 mistake in the text.
      "
    `);
    expect((await check('// nothing yet\n')).out).toBe(
      'No machine in 1 file, so no rule was checked. No mistake in the text.\n',
    );
    expect((await check('machine A {\n}\n')).out).toContain('No rule could be decided');
  });

  test('colours only where they are wanted', async () => {
    folder.write({ 'a.gusset': thinWire });
    const mark = String.fromCharCode(27);
    const coloured = (await folder.runInColour('check', 'a.gusset')).out;
    const plain = (await folder.run('check', 'a.gusset')).out;
    expect(plain).not.toContain(mark);
    expect(coloured).toContain(`${mark}[31m`);
    expect(coloured.replaceAll(new RegExp(`${mark}\\[\\d+m`, 'g'), '')).toBe(plain);
  });
});

test('what stands in texts of a file gives a terminal no orders', async () => {
  const { out } = await check(`${bench}/// A hall.\nkind hall { toplevel }\nrule hall_is_there on hall {
  holds 1 > 2
  warning "gone \u001b[2J\u202e"
  source defined "as written"
}\nhall H {}\n`);
  expect(out).toContain('gone [2J');
  for (const hidden of ['\u001b', '\u202e']) expect(out).not.toContain(hidden);
});
