import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { blockTableOf } from '../../language/answers/block-table.ts';
import { cellOf } from '../../language/compute/cell.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { Project } from '../../language/project.ts';
import { library, open } from './fixtures.ts';
import { judges, unstopped } from './judged-faults.ts';
import { generator, oracle } from './oracle.ts';
import { ask, valuesOf } from './values.ts';

type Machine = ReturnType<Project['machines']>[number];

/** The faults of a machine as they are shown: by name, each with its cells by their heading. */
function faultsOf(machine: Machine | undefined): Map<string, Record<string, string>> {
  const cell = cellOf(machine?.tree, 'faults');
  const table = machine && cell && blockTableOf(cell, machine);
  if (!table) throw new Error('there are no faults');
  return new Map(
    table.rows.map(([name = '', ...cells]) => [
      name,
      Object.fromEntries(cells.map((text, i) => [table.heading[i + 1] ?? '', text])),
    ]),
  );
}

function faultsIn(text: string): Map<string, Record<string, string>> {
  const { project, file } = open(text);
  expect(project.mistakes(file).filter((m) => m.severity !== 'note')).toEqual([]);
  return faultsOf(project.machines(file)[0]);
}

/** A bed of 250 W on 24 V, with what the test says of its circuit, its sensor, its board and its supply. */
function bench({ path = 'wire, bed.heater', bed = '', board = '', supply = '' } = {}): string {
  return `machine Bench {
  ambient = 20 degC
  mains = 230 V
  supply psu is supply_24v_450w {
    ${supply}
  }
  board controller is board_5_axis {
    voltage = 24 V
    ${board}
  }
  circuit bed_power {
    fuse is blade_15a
    relay is relay_dc_25a {
      control = controller.bed_output
    }
    wire {
      area = 2.5 mm^2
      length = 0.9 m
      insulation = silicone
    }
    path = [psu, fuse, relay, ${path}]
  }
  bed {
    target = 100 degC
    plate {
      size = 230 mm x 230 mm
      thickness = 3 mm
      material = cast_aluminium
    }
    surface is pei_film
    insulation is silicone_foam_10mm
    heater {
      power = 250 W
      voltage = 24 V
    }
    ${bed}
  }
}
`;
}

const guarded = { path: 'wire, bed.cutoff, bed.heater', bed: 'cutoff is thermal_link_133c' };
const number = (text: string | undefined) => Number.parseFloat(text ?? '');

describe('a bed whose heater stays on', () => {
  test('without a cutoff nothing stops it', () => {
    const fault = faultsIn(bench({ bed: 'sensor is ntc_100k' })).get('bed.stuck_closed');
    expect(fault).toMatchObject({ stopped_by: 'nothing' });
    // 210 degC, as the fixture of `stuck_on_unprotected` has it.
    expect(number(fault?.hottest)).toBeGreaterThan(200);
  });

  test('a cutoff stops it, a little above where it opens, and sooner than harm is done', () => {
    const text = bench({ ...guarded, bed: `sensor is ntc_100k\n    ${guarded.bed}` });
    const fault = faultsIn(text).get('bed.stuck_closed');
    expect(fault?.stopped_by).toBe('bed.cutoff, which opens at 133 °C');
    expect(number(fault?.hottest)).toBeGreaterThan(133);
    expect(number(fault?.hottest)).toBeLessThan(145);
    const read = valuesOf(text);
    expect(read('bed.stuck_after')).toBeLessThan(read('bed.time_to_limit'));
  });

  test('a cutoff that opens too late does not count', () => {
    const late = { path: guarded.path, bed: 'adhesive is acrylic_tape\n    cutoff is thermal_link_144c' };
    expect(faultsIn(bench(late)).get('bed.stuck_closed')?.stopped_by).toBe(
      'nothing in time: bed.cutoff opens too late',
    );
  });

  test('a heater too weak to do harm needs none', () => {
    const text = bench().replace('power = 250 W', 'power = 90 W').replace('target = 100 degC', 'target = 60 degC');
    const fault = faultsIn(text).get('bed.stuck_closed');
    expect(fault?.stopped_by).toBe('nothing; by these values no stated limit is passed');
    // It has all but come to rest: a first-order body (tau = C / (dP/dT)) is 5 K from it after some of these times.
    expect(number(fault?.hottest)).toBeLessThan(170);
    expect(fault?.after).toMatch(/ min$/);
  });

  test('a bed without a heater has none of these faults', () => {
    const text = bench({ path: 'wire, lamp' })
      .replace('    heater {\n      power = 250 W\n      voltage = 24 V\n    }\n', '')
      .replace('machine Bench {', 'machine Bench {\n  light lamp {\n    voltage = 24 V\n    power = 5 W\n  }');
    expect([...faultsIn(text).keys()].filter((name) => name.startsWith('bed'))).toEqual([]);
  });
});

describe("a bed's sensor", () => {
  const sensor = 'sensor is ntc_100k';
  const input = 'sensor is ntc_100k {\n      input = controller.bed_input\n    }';
  const limits = 'sensor_input bed_input {\n      lowest_plausible = 0 degC\n    }';
  const plain = 'sensor_input bed_input {\n      no lowest_plausible\n      no highest_plausible\n    }';

  test('that comes loose is a heater stuck on, unless the controller watches', () => {
    const [loose, watched] = ['', 'heating_fault_watch = yes'].map((board) =>
      faultsIn(bench({ bed: sensor, board })).get('bed.sensor_loose'),
    );
    expect(loose).toMatchObject({ stopped_by: 'nothing' });
    expect(loose?.hottest).toBe(faultsIn(bench({ bed: sensor })).get('bed.stuck_closed')?.hottest);
    expect(watched).toMatchObject({
      after: '30 s',
      stopped_by: 'the controller, which watches the warming',
    });
    // 30 s at the rate at which 24 V by a tenth more warm it at 100 degC: (P - q) / C.
    const read = valuesOf(bench({ bed: sensor, board: 'heating_fault_watch = yes' }));
    const rate = (read('bed.hottest_by_sensor') - read('bed.target')) / 30;
    expect(rate).toBeLessThan((250 * 1.21) / read('bed.heat_capacity'));
    expect(rate).toBeGreaterThan(0.2 * ((250 * 1.21) / read('bed.heat_capacity')));
  });

  test('whose wire breaks reads cold: the controller heats on where it believes that', () => {
    const [believed, refused] = [plain, limits].map((board) =>
      faultsIn(bench({ bed: input, board })).get('bed.sensor_open'),
    );
    expect(believed).toMatchObject({ stopped_by: 'nothing' });
    expect(believed?.happens).toMatch(/breaks: the controller reads -\d+ °C, and heats on$/);
    expect(refused).toMatchObject({ hottest: '100 °C', stopped_by: 'the controller, which switches off' });
  });

  test('whose wires touch reads hot, and the heater goes off', () => {
    const fault = faultsIn(bench({ bed: input, board: plain })).get('bed.sensor_shorted');
    expect(fault?.happens).toMatch(/touch: the controller reads \d+ °C, and heats no more$/);
    expect(fault).toMatchObject({ hottest: '100 °C', stopped_by: 'the controller, which switches off' });
  });

  test('of which the input is not given is taken at its worst', () => {
    const fault = faultsIn(bench({ bed: 'sensor is ntc_100k {\n      no input\n    }' })).get('bed.sensor_open');
    expect(fault?.happens).toContain('may heat on');
    expect(fault).toMatchObject({ stopped_by: 'nothing' });
  });
});

describe('a fuse that is too large', () => {
  // IEC 60364-4-43, table 43A, from memory: k = 115 A s^(1/2)/mm^2 for PVC (70 to 160 degC), 143 for cross-linked
  // polyethylene (90 to 250 degC), to three digits.
  test.each([
    [70, 160, 115],
    [90, 250, 143],
  ])('copper from %i to %i degC', (from, to, k) => {
    const integral = ask('MeltingIntegral', `adiabatic_integral(area: 1 mm^2, from: ${from} degC, to: ${to} degC)`);
    expect(Math.round(Math.sqrt(integral))).toBe(k);
  });

  test('against SciPy: copper that keeps all its heat', () => {
    const between = generator(7);
    const cases = Array.from({ length: 30 }, () => ({
      what: 'wire',
      area: between(0.2, 10),
      current: between(15, 1000),
      from: between(15, 100),
      to: between(110, 300),
    }));
    const kind = cases.map(
      ({ area, current, from, to }, i) =>
        `  t${i}: Time = adiabatic_integral(area: ${area} mm^2, from: ${from} degC, to: ${to} degC) / (${current} A) ^ 2`,
    );
    const read = valuesOf(
      `kind asker {\n  inside machine\n${kind.join('\n')}\n}\nmachine Bench {\n  ambient = 20 degC\n  asker { }\n}\n`,
    );
    const errors = oracle<number>('faults-oracle.py', cases).map((wanted, i) =>
      Math.abs(read(`asker.t${i}`) / wanted - 1),
    );
    console.log(
      `copper that keeps its heat: ${cases.length} cases, largest error ${Math.max(...errors).toExponential(1)}`,
    );
    // The published constant 226 is rounded, and 1/254.5 is 0.393 %/K.
    expect(Math.max(...errors)).toBeLessThan(0.006);
  });

  // 450 W at 24 V limit themselves at 150 %: 28.1 A; 1.45 times 17.4 A (IEC 60204-1, 2.5 mm^2) by 1.35 is 18.7 A.
  test('says what flows on, and how large it may be', () => {
    const fault = faultsIn(bench()).get('psu.fuse_too_large');
    expect(fault?.happens).toContain('28.1 A flow on, through 2.5 mm² of bed_power.wire first');
    expect(fault?.stopped_by).toBe(
      'nothing but the right fuse: the design has 15 A, and up to 18.7 A the wires are safe',
    );
    const read = valuesOf(bench());
    // Silicone, 180 degC, at a bed of 100 degC; heat with the square of the current: 100 + 80 (28.125 / 17.4)^2.
    expect(read('bed_power.fuse.largest_that_protects')).toBeCloseTo((1.45 * 17.4) / 1.35, 6);
    expect(number(fault?.hottest)).toBeCloseTo(100 + 80 * (28.125 / 17.4) ** 2, 0);
  });

  test('does no harm where the supply gives no more than the wire carries', () => {
    const fault = faultsIn(bench({ supply: 'current_limit = 17 A' })).get('psu.fuse_too_large');
    expect(fault).toMatchObject({ after: '', stopped_by: 'its own limit, which the wires bear' });
  });

  test('is named where it is too large already', () => {
    const fault = faultsIn(bench().replace('blade_15a', 'blade_30a')).get('psu.fuse_too_large');
    expect(fault?.stopped_by).toBe('nothing: bed_power.fuse is too large');
  });
});

describe('mains', () => {
  const inlet = (text: string) =>
    bench().replace('mains = 230 V', `mains = 230 V\n  inlet is inlet_10a {\n    ${text}\n  }`);

  // IEC 61008-1, from memory: within 300 ms at the rated residual current, 40 ms at five times; 230 V by 1000 ohm is 230 mA, which by
  // IEC 60479-1, from memory, harms the heart after some 200 ms.
  test('an earth that is lost: a residual current device, and none', () => {
    expect(faultsIn(inlet('residual_current = 30 mA')).get('inlet.earth_lost')).toMatchObject({
      after: '40 ms',
      stopped_by:
        'the residual current device of 30 mA, which limits the harm; only measuring finds that the earth is lost',
    });
    expect(faultsIn(inlet('residual_current = 300 mA')).get('inlet.earth_lost')?.stopped_by).toBe('nothing');
    expect(faultsIn(inlet('')).get('inlet.earth_lost')).toMatchObject({ after: '200 ms', stopped_by: 'nothing' });
  });

  // A doubler charges each of two capacitors to the crest: 230 V sqrt 2 = 325 V.
  test('a selector', () => {
    expect(faultsIn(bench()).get('psu.selector_wrong')).toBeUndefined();
    const right = faultsIn(bench({ supply: 'selector = 230 V' })).get('psu.selector_wrong');
    expect(right?.happens).toContain('325 V');
    expect(right?.stopped_by).toContain('stands at 230 V');
    expect(faultsIn(bench({ supply: 'selector = 115 V' })).get('psu.selector_wrong')?.stopped_by).toBe('nothing');
  });

  // Energy in its capacitors: 16 ms at 450 W last 450 / P times as long; P = U^2 / R at its limit.
  test('that sag: how long it holds, and what is left where too much is asked', () => {
    const read = valuesOf(bench());
    expect(read('psu.holds_for')).toBeCloseTo((0.016 * 450) / read('psu.load_power'), 9);
    const weak = bench({ supply: 'power = 150 W' });
    const fault = faultsIn(weak).get('psu.brown_out');
    const load = valuesOf(weak)('psu.load_power');
    expect(fault?.stopped_by).toBe('nothing');
    expect(fault?.happens).toContain(`falls to ${(24 * Math.sqrt(150 / load)).toPrecision(3)} V`);
    expect(faultsIn(bench()).get('psu.brown_out')?.stopped_by).toContain('off without a voltage');
  });

  test('plus and minus', () => {
    const board = (text: string) =>
      bench().replace(
        '  circuit bed_power {',
        `  circuit board_power {\n    fuse is blade_10a\n    connector is ${text}\n    wire {\n      area = 1.5 mm^2\n      length = 0.4 m\n    }\n    path = [psu, fuse, connector, wire, controller]\n  }\n  circuit bed_power {`,
      );
    expect(faultsIn(board('pin_header_2_54mm')).get('psu.polarity_reversed')?.stopped_by).toBe(
      'nothing, for controller',
    );
    expect(faultsIn(board('crimp_3_96mm')).get('psu.polarity_reversed')?.stopped_by).toContain('fit one way');
    expect(faultsIn(bench()).get('psu.polarity_reversed')).toBeUndefined();
  });
});

describe('power lost at height', () => {
  const lift = (mass: number, lead: number, travel: number, motors: number, rotor = 58) => `machine Bench {
  ambient = 20 degC
  moving_bed motion {
    carriage_mass = ${mass} kg
    gantry_mass = 0 g
    bed_mass = 1 kg
    z {
      travel = ${travel} mm
      wanted_speed = 10 mm/s
      wanted_acceleration = 200 mm/s^2
      screw_drive drive {
        motor * ${motors} is nema17_40mm {
          rotor_inertia = ${rotor} g*cm^2
        }
        screw * ${motors} is ball_screw_12x4 {
          lead = ${lead} mm
          length = ${travel + 50} mm
        }
      }
    }
  }
}
`;

  test('against SciPy: time and speed of 30 loads on ball screws', () => {
    const between = generator(11);
    const machines = Array.from({ length: 30 }, () => ({
      mass: between(3, 9),
      lead: between(4, 12),
      travel: Math.round(between(100, 400)),
      motors: Math.round(between(1, 2)),
      rotor: Math.round(between(20, 120)),
    }));
    const read = machines.map((m) => valuesOf(lift(m.mass, m.lead, m.travel, m.motors, m.rotor)));
    const cases = machines.map(({ mass, lead, travel, motors, rotor }) => ({
      what: 'fall',
      mass,
      lead: lead / 1000,
      travel: travel / 1000,
      motors,
      // A ball screw of 90 % gives back 2 - 1 / 0.9 of the weight's torque.
      torque: ((mass * 9.80665 * (lead / 1000)) / (2 * Math.PI) / motors) * (2 - 1 / 0.9),
      rotor: rotor * 1e-7,
      // A round bar of 12 mm, of steel of 7850 kg/m^3 (EN 1993-1-1, 3.2.6), about its axis: m r^2 / 2.
      screw: (7850 * Math.PI * 0.006 ** 4 * ((travel + 50) / 1000)) / 2,
    }));
    const errors = oracle<[number, number]>('faults-oracle.py', cases).flatMap(([time, speed], i) => [
      Math.abs((read[i]?.('motion.z.drive.fall_time') ?? 0) / time - 1),
      Math.abs((read[i]?.('motion.z.drive.fall_speed') ?? 0) / speed - 1),
    ]);
    console.log(`falls: ${cases.length} cases, largest error ${Math.max(...errors).toExponential(1)}`);
    expect(Math.max(...errors)).toBeLessThan(1e-6);
  });

  test('what falls, and what stays', () => {
    const falls = faultsIn(lift(4, 4, 250, 1)).get('motion.z.drive.power_lost');
    expect(falls).toMatchObject({ stopped_by: 'nothing' });
    expect(falls?.after).toMatch(/ m?s$/);
    const stays = faultsIn(
      lift(4, 4, 250, 1).replace('ball_screw_12x4', 'screw_8x2').replace('          lead = 4 mm\n', ''),
    );
    expect(stays.get('motion.z.drive.power_lost')).toMatchObject({ stopped_by: 'friction' });
    expect(stays.get('motion.z.drive.power_lost')).not.toHaveProperty('after');
  });
});

describe('examples', () => {
  const folder = new URL('../../examples/', import.meta.url);
  const names = readdirSync(folder).filter((name) => name.endsWith('.gusset'));
  const textOf = (name: string) => readFileSync(new URL(name, folder), 'utf8');
  const machinesOf = (name: string, text = textOf(name)) => {
    const project = new Project(library, { read: (other) => readFileSync(new URL(other), 'utf8') });
    return project.machines(project.update(new URL(name, folder).href, text));
  };
  const flawed = 'Magpie';

  test('in each machine of each example but the flawed one something stops every fault', () => {
    expect(names.length).toBeGreaterThan(4);
    const machines = names.flatMap((name) => machinesOf(name)).filter(({ tree }) => tree.name !== flawed);
    expect(machines.length).toBeGreaterThan(12);
    const silent = machines.flatMap((machine) =>
      unstopped(machine).map(({ label }) => `${machine.tree.name}: ${label}`),
    );
    expect(silent).toEqual([]);
    for (const machine of machines.filter(({ tree }) => cellOf(tree, 'faults')))
      expect(faultsOf(machine).size, machine.tree.name).toBeGreaterThan(3);
  });

  test('what stops a fault of Heron is missed where it is taken away, or not known', () => {
    const text = textOf('heron.gusset');
    const faults = (changed: string) => {
      expect(changed).not.toBe(text);
      const [machine] = machinesOf('heron.gusset', changed);
      return machine ? unstopped(machine).map(({ label }) => label) : [];
    };
    expect(faults(text.replace(', bed.cutoff, ', ', '))).toContain('bed.stuck_closed');
    expect(faults(text.replace('residual_current = 30 mA', ''))).toEqual(['mains_side.inlet.earth_lost']);
    expect(faults(text.replace('residual_current = 30 mA', 'residual_current = 30 mA .. 100 mA'))).toEqual([
      'mains_side.inlet.earth_lost',
    ]);
    // On a site it is seen as well.
    const site = `site Club {\n  mains_voltage = 230 V\n  breaker = 16 A\n  machine printer is Heron\n}\n`;
    const club = machinesOf('heron.gusset', text.replace('residual_current = 30 mA', '') + site).at(-1);
    expect(club && unstopped(club).map(({ label }) => label)).toEqual(['printer.mains_side.inlet.earth_lost']);
  });

  test('nothing stops most of what can go wrong with Magpie, and put right it is another machine', () => {
    const [broken, mended] = machinesOf('magpie.gusset').map((machine) => unstopped(machine).map(({ label }) => label));
    expect(broken).toEqual(
      expect.arrayContaining([
        'psu.selector_wrong',
        'psu.brown_out',
        'bed.stuck_closed',
        'bed.sensor_loose',
        'inlet.earth_lost',
        'extruder.hot_end.stuck_closed',
      ]),
    );
    expect(mended).toEqual([]);
  });
});

/** The faults that the library calls judged, as `kind.fault`. */
function judgedFaults(): string[] {
  return libraryFiles.flatMap(({ text }) => {
    let [kind, fault] = ['', ''];
    return text.split('\n').flatMap((line) => {
      kind = /^kind (\w+)/.exec(line)?.[1] ?? kind;
      fault = /^ {2}has (\w+): fault/.exec(line)?.[1] ?? fault;
      return /^ {4}judged = yes/.test(line) ? [`${kind}.${fault}`] : [];
    });
  });
}

// Whether one of them speaks wherever nothing stops it is asked of each rule's example: tests/library/rules.test.ts.
describe('a fault that has rules of its own', () => {
  test('is one of these', () => {
    expect(judgedFaults().toSorted()).toEqual(Object.keys(judges).toSorted());
  });
});

describe('a heater that stands by itself', () => {
  const alone = (path: string, size: string) => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_450w
  heater pad {
    power = 40 W
    voltage = 24 V
    size = ${size}
  }
  cutoff link is thermal_link_133c
  circuit pad_power {
    fuse is blade_3a
    wire {
      area = 1 mm^2
      length = 0.5 m
    }
    path = [psu, fuse, wire, ${path}]
  }
}
`;

  // 40 W by 1.21 from both faces of 60 mm by 60 mm: with some 20 W/(m^2 K) on each, several hundred kelvins.
  test('small and dense it burns through, unless a cutoff opens', () => {
    const bare = faultsIn(alone('pad', '60 mm x 60 mm')).get('pad.stuck_closed');
    expect(bare?.stopped_by).toBe('nothing');
    expect(number(bare?.hottest)).toBeGreaterThan(250);
    const large = faultsIn(alone('pad', '300 mm x 300 mm')).get('pad.stuck_closed');
    expect(large?.stopped_by).toBe('nothing; by these values no stated limit is passed');
    const guarded = faultsIn(alone('link, pad', '200 mm x 200 mm')).get('pad.stuck_closed');
    expect(number(guarded?.hottest)).toBeLessThan(number(bare?.hottest));
  });

  // Balance by hand: what comes in goes out from both faces, by the same correlations, in the library's own functions.
  test('comes to rest where as much goes out as comes in', () => {
    const read = valuesOf(alone('pad', '100 mm x 100 mm'));
    const rest = read('pad.rest_alone') - 273.15;
    const at = `surface: ${rest} degC`;
    const out = ask(
      'Power',
      `0.01 m^2 * ((convection_up(${at}, air: 20 degC, length: 25 mm) + convection_down(${at}, air: 20 degC, length: 25 mm)) * ${rest - 20} K + 2 * radiation(${at}, walls: 20 degC, emissivity: silicone_rubber.emissivity))`,
    );
    const series = read('pad_power.series_resistance');
    expect(out).toBeCloseTo((26.4 / (series + 14.4)) ** 2 * 14.4, 3);
  });
});

describe('a chamber whose heater stays on', () => {
  const chamber = (path: string) => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_450w
  chamber {
    size = 400 mm x 400 mm x 500 mm
    wall {
      thickness = 4 mm
      material = acrylic
    }
    heater {
      power = 300 W
      voltage = 24 V
      size = 200 mm x 200 mm
    }
    sensor is ntc_100k
    cutoff is thermal_link_133c {
      opens_at = 110 degC
      sits = on_heater
    }
  }
  light lamp {
    voltage = 24 V
    power = 1 W
    limit = 80 degC
    place = chamber
  }
  circuit chamber_power {
    fuse is blade_20a
    wire {
      area = 2.5 mm^2
      length = 0.5 m
    }
    path = [psu, fuse, wire, ${path}]
  }
}
`;

  test('nothing, or a cutoff', () => {
    const bare = faultsIn(chamber('chamber.heater')).get('chamber.stuck_closed');
    expect(bare?.stopped_by).toBe('nothing');
    expect(number(bare?.hottest)).toBeGreaterThan(80);
    const guarded = faultsIn(chamber('chamber.cutoff, chamber.heater')).get('chamber.stuck_closed');
    expect(guarded?.stopped_by).toBe('chamber.cutoff, which opens at 110 °C');
    // It sits on the heater, which is hotter than the air.
    expect(number(guarded?.hottest)).toBeLessThan(80);
  });
});

describe('a hot end', () => {
  const hot = ({
    cartridge = 'cartridge_24v_40w',
    sink = '',
    between = '',
    board = '',
    fan = '',
  } = {}) => `machine Bench {
  ambient = 25 degC
  supply psu is supply_24v_150w
  board controller is board_5_axis {
    ${board}
  }
  fan sink_fan is fan_24v_40mm {
    ${fan}
  }
  extruder {
    filament = pla
    motor_torque = 0.25 N*m
    motor_mass = 140 g
    drive_gear is wheel_11mm
    hot_end {
      target = 220 degC
      heat_block is small_block
      nozzle is brass_nozzle
      heat_break is titanium_break
      heat_sink is finned_sink {
        fan = sink_fan
        ${sink}
      }
      cartridge is ${cartridge}
      cutoff {
        opens_at = 245 degC
        holds_at = 232 degC
        rated_current = 5 A
        rated_dc_voltage = 30 V
        lag = 5 s
      }
      sensor is pt1000 {
        input = controller.tool_input
      }
    }
  }
  circuit tool_power {
    fuse is blade_3a
    wire {
      area = 1 mm^2
      length = 0.8 m
      insulation = silicone
    }
    path = [psu, fuse, controller.tool_output, wire, ${between}extruder.hot_end.cartridge]
  }
}
`;
  const faultOf = (name: string, options = {}) => faultsIn(hot(options)).get(`extruder.hot_end.${name}`);

  // 40 W and more come to hundreds of kelvins above the target: sources of check values give 500 to 720 degC for 40 W.
  test('stuck on: nothing, a cutoff, a heater that limits itself', () => {
    const bare = faultOf('stuck_closed');
    expect(bare?.stopped_by).toBe('nothing');
    expect(number(bare?.hottest)).toBeGreaterThan(500);
    const guarded = faultOf('stuck_closed', { between: 'extruder.hot_end.cutoff, ' });
    expect(guarded?.stopped_by).toBe('extruder.hot_end.cutoff, which opens at 245 °C');
    expect(number(guarded?.hottest)).toBeGreaterThan(245);
    expect(number(guarded?.hottest)).toBeLessThan(number(bare?.hottest));
    const limited = faultOf('stuck_closed', { cartridge: 'self_limiting_24v_40w' });
    expect(limited?.stopped_by).toBe('its heater, which limits itself');
    expect(number(limited?.hottest)).toBeLessThan(300);
  });

  // IEC 60751: resistance rises with temperature, so that an open input reads hot and a short reads cold.
  test("a platinum sensor's broken wire reads hot, and its short cold", () => {
    const board = 'sensor_input tool_input {\n      no lowest_plausible\n      no highest_plausible\n    }';
    expect(faultOf('sensor_open', { board })).toMatchObject({
      hottest: '220 °C',
      stopped_by: 'the controller, which switches off',
    });
    expect(faultOf('sensor_shorted', { board })?.stopped_by).toBe('nothing');
    const limits = 'sensor_input tool_input {\n      lowest_plausible = 0 degC\n    }';
    expect(faultOf('sensor_shorted', { board: limits })?.stopped_by).toBe('the controller, which switches off');
  });

  test('a stopped fan: what softens, a watched fan, a heat sink that does without', () => {
    const warm = (options: object) =>
      faultsIn(hot(options).replace('ambient = 25 degC', 'ambient = 32 degC')).get('extruder.hot_end.fan_stopped');
    expect(warm({})).toMatchObject({ stopped_by: 'nothing' });
    expect(warm({})?.after).toMatch(/ min$/);
    expect(warm({ fan: 'watched = yes' })?.stopped_by).toBe("the board, which counts the fan's turns");
    const large = warm({ sink: 'without_fan = 4 K/W' });
    expect(large?.stopped_by).toBe('the heat break');
    expect(number(large?.hottest)).toBeLessThan(55);
  });
});
