import { describe, expect, test } from 'vitest';
import { inlineValues } from '../../language/answers/inline-values.ts';
import { findingsOf, fixed, machineIn } from '../support.ts';
import { broken, valuesOf } from './values.ts';

/** A bed of 24 V, whose circuit shares its first wire with a second load, where there is one. */
const bed = ({ heater = 'power = 200 W', other = '', rest = '', layers = '', target = 60 } = {}) => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_450w
  wire shared_wire {
    area = 1.5 mm^2
    length = 0.5 m
  }
  wire bed_wire {
    area = 1.5 mm^2
    length = 0.5 m
  }
  bed {
    target = ${target} degC
    plate {
      size = 200 mm x 200 mm
      thickness = 3 mm
      material = aluminium
    }
    ${layers}
    heater {
      voltage = 24 V
      ${heater}
    }
    sensor is ntc_100k
  }
  circuit bed_power { path = [psu, shared_wire, bed_wire, bed.heater] }
  ${other}
  ${rest}
}
`;
const lamp = `light lamp is strip_24v_300mm { power = 150 W }
  wire lamp_wire {
    area = 1.5 mm^2
    length = 0.5 m
  }
  circuit lamp_power { path = [psu, shared_wire, lamp_wire, lamp] }`;
const within = (actual: number, wanted: number, share = 1e-3) =>
  expect(Math.abs(actual / wanted - 1), `${actual} against ${wanted}`).toBeLessThan(share);

describe('what a heater gives', () => {
  // Kirchhoff's laws: two resistances behind a shared one, solved by hand here.
  test('another circuit on a shared wire takes of its voltage', () => {
    const [alone, both] = [valuesOf(bed()), valuesOf(bed({ other: lamp }))];
    const own = 24 ** 2 / 200;
    const [shared, one, two] = [
      both('shared_wire.resistance') * 2,
      both('bed_wire.resistance') * 2,
      both('lamp_wire.resistance') * 2,
    ];
    const [a, b] = [own + one, 24 ** 2 / 150 + two];
    const current = (24 / (shared + (a * b) / (a + b))) * (b / (a + b));
    within(both('bed.heater.cold_current'), current, 2e-3);
    expect(both('bed.heater.cold_current')).toBeLessThan(alone('bed.heater.cold_current') * 0.998);
    within(alone('bed.heater.cold_current'), 24 / (alone('bed_power.series_resistance') + own), 1e-6);
  });

  test('what was measured of its resistance takes the place of its label', () => {
    const value = valuesOf(bed({ heater: 'power = 200 W\nresistance = 3.2 ohm' }));
    within(value('bed.heater.label_resistance'), 3.2, 1e-9);
    within(value('bed.heater.cold_current'), 24 / (value('bed_power.series_resistance') + 3.2), 1e-6);
    within(valuesOf(bed())('bed.heater.label_resistance'), 2.88, 1e-9);
  });
});

// A flexible magnetic sheet that bears 80 degC at 60 degC: magnets that get too hot lose their hold, and burn nothing.
describe('magnets under a sheet', () => {
  const sheet = 'surface is pei_steel_sheet\nmagnets is magnetic_sheet';
  test('at 60 degC they are no reason for fire; at 90 degC they lose their hold', () => {
    const least = valuesOf(bed({ layers: sheet }))('bed.least_borne');
    within(least, valuesOf(bed({ layers: 'surface is pei_steel_sheet' }))('bed.least_borne'), 1e-2);
    expect(broken(bed({ layers: sheet }))).not.toContain('magnet_too_hot');
    expect(broken(bed({ layers: sheet, target: 100, heater: 'power = 300 W' }))).toContain('magnet_too_hot');
  });
});

describe('outputs', () => {
  const fans = (output: string) => `board controller is board_4_axis
  fan left is fan_24v_40mm
  fan right is fan_24v_40mm
  circuit left_power { path = [psu, controller.fan_output, left] }
  circuit right_power { path = [psu, controller.${output}, right] }`;

  test('two fans may share one; a fan and a heater may not', () => {
    const shared = (other: string) =>
      broken(bed({ other })).filter((rule) => rule === 'output_shared' || rule === 'too_few_outputs');
    expect(shared(fans('fan_output'))).toEqual([]);
    const both = bed({ other: fans('fan_output') }).replace(
      '[psu, shared_wire, bed_wire, bed.heater]',
      '[psu, controller.fan_output, bed_wire, bed.heater]',
    );
    expect(broken(both)).toContain('output_shared');
  });

  test('five fans that nothing feeds want five outputs of four', () => {
    const five = ['a', 'b', 'c', 'd', 'e'].map((name) => `fan ${name}_fan is fan_24v_40mm`).join('\n');
    expect(broken(bed({ other: `board controller is board_4_axis\n${five}` }))).toContain('too_few_outputs');
  });

  test('an output is as warm as the place of its board', () => {
    const warm = bed({
      other:
        'chamber { temperature = 60 degC }\nboard controller is board_4_axis { place = chamber }\nfan f is fan_24v_40mm\ncircuit f_power { path = [psu, controller.fan_output, f] }',
    });
    expect(valuesOf(warm)('controller.fan_output.comes_to')).toBeGreaterThanOrEqual(273.15 + 60);
  });
});

// IEC 60127-2 by the series R10, as quoted: of 5 mm by 20 mm there are 2.5 and 3.15 A, and no 3 A.
test('an open choice of a cartridge fuse is offered what there is', () => {
  const sizes = 'fuse f is cartridge_4a { rated_current = 3.15 A }';
  expect(broken(bed({ other: sizes }))).not.toContain('not_computable');
});

// Data sheets of thermistors, as the rule on pairs has them: from 0 to 50 degC one curve has 3891 K, from 25 to 50 degC 3936 K. A pair
// that begins at 0 degC tells less of what is hot than one that begins at 25 degC.
test('a pair that begins colder is farther from the target', () => {
  const error = (from: number) =>
    valuesOf(
      bed()
        .replace(
          'sensor is ntc_100k',
          `ntc sensor {
      nominal = 100 kohm
      beta = 3950 K
      beta_from = ${from} degC
      beta_to = 100 degC
    }`,
        )
        .replace('target = 60 degC', 'target = 110 degC')
        .replace('200 W', '300 W'),
    )('bed.sensor.beta_error');
  expect(error(0)).toBeGreaterThan(2 * error(25));
});

describe('a path that begins at an output', () => {
  const behind = (path: string, feed = 'circuit board_power { path = [psu, shared_wire, controller] }') =>
    bed({ other: `board controller is board_4_axis\n${feed}` }).replace(
      '[psu, shared_wire, bed_wire, bed.heater]',
      path,
    );
  const short = behind('[controller.bed_output, bed_wire, bed.heater]');

  test('comes to the same as one that says all that feeds the board', () => {
    const long = behind('[psu, shared_wire, controller.bed_output, bed_wire, bed.heater]');
    const [one, other] = [valuesOf(short), valuesOf(long)];
    for (const value of ['bed_power.current', 'bed_power.load_voltage', 'shared_wire.current', 'psu.given_current'])
      expect(one(value), value).toBe(other(value));
    expect(one('shared_wire.current')).toBeGreaterThan(one('bed_power.current'));
    expect(broken(long).filter((rule) => !broken(short).includes(rule))).toEqual(['path_repeats_feed']);
  });

  test('shows what comes before it in its line', () => {
    const inLines = inlineValues(machineIn(short)).map(({ text }) => text);
    expect(inLines.filter((text) => text.startsWith('comes by'))).toEqual([
      expect.stringContaining('comes by psu, shared_wire'),
    ]);
  });

  test('carries nothing where nothing feeds the board, or two circuits do, which are named', () => {
    const begins = (feed: string) =>
      findingsOf(machineIn(behind('[controller.bed_output, bed_wire, bed.heater]', feed))).filter((found) =>
        found.startsWith('circuit_without_source'),
      );
    expect(begins('')).toEqual([
      expect.stringContaining('begins with controller.bed_output, but no circuit feeds its'),
    ]);
    expect(begins('circuit one { path = [psu, controller] }\ncircuit two { path = [psu, controller] }')).toEqual([
      expect.stringContaining('but both one and two feed its board'),
    ]);
  });

  test('a board that is fed from its own output is told of, and nothing is computed for ever', () => {
    const round = behind(
      '[controller.bed_output, bed_wire, bed.heater]',
      'circuit ring { path = [controller.fan_output, controller] }',
    );
    expect(broken(round)).toContain('not_computable');
  });

  test('a fuse that is put in comes behind the output', () => {
    const idle = short.replace('  wire bed_wire', '  fuse spare is blade_10a\n  wire bed_wire');
    const put = [...fixed(idle)].filter(([title]) => title.startsWith('Put spare into bed_power.path'));
    expect(put.map(([, text]) => /path = (.*bed\.heater\])/.exec(text)?.[1])).toEqual([
      '[controller.bed_output, spare, bed_wire, bed.heater]',
    ]);
  });
});
