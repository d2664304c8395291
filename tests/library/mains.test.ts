import { describe, expect, test } from 'vitest';
import { open } from './fixtures.ts';
import { broken as brokenBy } from './values.ts';

/** A machine on mains, with what the test says of it. */
function bench(lines: string, inlet = 'residual_current = 30 mA\n    frame_earth = frame_bond'): string {
  return `machine Bench {
  ambient = 20 degC
  mains = 230 V
  inlet is inlet_10a {
    ${inlet}
  }
  wire frame_bond {
    area = 1.5 mm^2
    length = 0.5 m
  }
  wire earth_wire {
    area = 1.5 mm^2
    length = 0.5 m
  }
  ${lines}
}
`;
}

/** The same with a mat of 230 V and all that it needs, with what stands in its path, and what the test says besides. */
function mat({
  path = 'inlet, main_switch, fuse, relay, wire, link, mat',
  rest = '',
  more = '',
  inlet = '',
  wire = '',
} = {}) {
  return bench(
    `switch main_switch is rocker_double_pole_10a
  board controller is board_5_axis
  cutoff link is thermal_link_152c
  heater mat {
    power = 400 W
    voltage = 230 V
    size = 400 mm x 400 mm
  }
  ${more}
  circuit mat_power {
    fuse is cartridge_4a
    relay is relay_ac_25a {
      control = controller.bed_output
    }
    wire {
      area = 1 mm^2
      length = 0.9 m
      insulation = silicone
      ${wire}
    }
    path = [${path}]
    earth = earth_wire
    ${rest}
  }`,
    inlet || undefined,
  );
}

/** The mistakes of a text, in words. */
function mistakes(text: string): string[] {
  const { project, file } = open(text);
  return project
    .mistakes(file)
    .filter((m) => m.severity !== 'note')
    .map((m) => m.message);
}

/** The rules that a text breaks, which has no mistake. */
function broken(text: string): string[] {
  expect(mistakes(text)).toEqual([]);
  return brokenBy(text).toSorted();
}

/** How grave what a text breaks is, by its rule. */
function severities(text: string): Record<string, string> {
  const { project, file } = open(text);
  const findings = project.machines(file).flatMap(({ assessment }) => assessment.findings);
  return Object.fromEntries(findings.map((finding) => [finding.rule, finding.severity]));
}

describe('whatever hangs on mains', () => {
  const lamp = (path: string, earth: string) =>
    bench(`light lamp {
    voltage = 230 V
    power = 40 W
  }
  fuse lamp_fuse is cartridge_2a
  circuit lamp_power {
    path = [${path}]
    ${earth}
  }`);

  // IEC 60364-4-41, 411.3.1 (from memory): exposed metal is earthed. That each circuit has a fuse: common practice, no source.
  test('a lamp asks for a fuse and an earth, as a heater does', () => {
    expect(broken(lamp('inlet, lamp', ''))).toEqual(['load_without_earth', 'mains_without_fuse']);
    expect(broken(lamp('inlet, lamp_fuse, lamp', 'earth = earth_wire'))).toEqual([]);
  });

  const supply = (path: string, rest = '', part = 'supply_24v_150w') =>
    bench(`fuse mains_fuse is cartridge_4a
  supply psu is ${part}
  circuit mains_side {
    path = [${path}]
    ${rest}
  }`);

  test('a supply asks for a fuse and an earth', () => {
    expect(broken(supply('inlet, psu'))).toEqual(['load_without_earth', 'mains_without_fuse']);
    expect(broken(supply('inlet, mains_fuse, psu', 'earth = earth_wire'))).toEqual([]);
  });

  // IEC 61140, from memory: what is insulated twice needs no earth.
  test('what is of class 2 needs neither, on a plug of two pins', () => {
    const desk = supply('inlet, psu', '', 'desktop_supply_24v_120w');
    expect(broken(desk.replace('frame_earth = frame_bond', 'has_earth = no'))).toEqual([]);
    const metal = supply('inlet, mains_fuse, psu').replace('frame_earth = frame_bond', 'has_earth = no');
    expect(broken(metal)).toEqual(['inlet_without_earth_pin']);
  });

  const cartridge = (path: string, rest = '', inlet?: string) =>
    bench(
      `switch main_switch is rocker_double_pole_10a
  board controller is board_5_axis
  fuse tool_fuse is cartridge_2a
  cutoff link is thermal_link_152c
  relay tool_relay is relay_ac_25a { control = controller.tool_output }
  extruder {
    filament = pla
    motor_torque = 0.25 N*m
    motor_mass = 140 g
    drive_gear is wheel_11mm
    hot_end {
      target = 200 degC
      heat_block is small_block
      nozzle is brass_nozzle
      heat_break is titanium_break
      heat_sink is finned_sink
      cartridge {
        voltage = 230 V
        power = 40 W
      }
      sensor is pt1000
    }
  }
  circuit tool_power {
    path = [${path}]
    ${rest}
  }`,
      inlet,
    );

  test('a cartridge of 230 V asks for all that a mat does', () => {
    const bare = broken(cartridge('inlet, extruder.hot_end.cartridge', '', 'has_earth = yes'));
    for (const rule of [
      'mains_without_fuse',
      'load_without_earth',
      'mains_heater_without_cutoff',
      'mains_heater_without_residual_device',
      'mains_heater_without_switch',
    ])
      expect(bare).toContain(rule);
    const whole = cartridge(
      'inlet, main_switch, tool_fuse, tool_relay, link, extruder.hot_end.cartridge',
      'earth = earth_wire',
    );
    expect(broken(whole).filter((rule) => rule.startsWith('mains') || rule.includes('earth'))).toEqual([]);
  });

  // IEC 60204-1, 5.3.2 (from memory): a plug disconnects up to 16 A.
  test('a plug of up to 16 A disconnects; what is wired in for good does not', () => {
    const path = 'inlet, fuse, relay, wire, link, mat';
    expect(severities(mat({ path }))).toEqual({ mains_heater_without_switch: 'warning' });
    const fixed = 'residual_current = 30 mA\n    frame_earth = frame_bond\n    fixed = yes';
    expect(severities(mat({ path, inlet: fixed }))).toEqual({ mains_without_isolator: 'error' });
    expect(broken(mat({ inlet: fixed }))).toEqual([]);
  });

  test('a switch for one pole does behind one for both, and not before it', () => {
    const lamps = (path: string) =>
      lamp(path, 'earth = earth_wire').replace(
        'fuse lamp_fuse',
        'switch main_switch is rocker_double_pole_10a\n  switch lamp_switch is rocker_single_pole_6a\n  fuse lamp_fuse',
      );
    expect(broken(lamps('inlet, main_switch, lamp_fuse, lamp_switch, lamp'))).toEqual([]);
    expect(broken(lamps('inlet, lamp_switch, main_switch, lamp_fuse, lamp'))).toEqual(['mains_switch_single_pole']);
    expect(broken(lamps('inlet, lamp_fuse, lamp_switch, lamp'))).toEqual(['mains_switch_single_pole']);
  });
});

describe('a residual current device', () => {
  // IEC 61008-1, from memory: made for 6 mA to 500 mA; those of North America trip at 4 to 6 mA.
  test('of 0 mA is none that there is', () => {
    expect(mistakes(mat({ inlet: 'residual_current = 0 mA\n    frame_earth = frame_bond' })).join()).toContain(
      'residual_current is meant to be between',
    );
    expect(mistakes(mat())).toEqual([]);
  });

  test('is stated in one place: on the site, or on the inlet', () => {
    const machine = mat({ inlet: 'frame_earth = frame_bond' }).replace('  mains = 230 V\n', '');
    const site = (lines: string) => `site Club {
  mains_voltage = 230 V
  breaker = 16 A
  ${lines}
  ${machine.trimEnd().replace('machine Bench', 'machine bench').replaceAll('\n', '\n  ')}
}
`;
    expect(broken(site(''))).toContain('mains_heater_without_residual_device');
    expect(broken(site('residual_current = 30 mA'))).toEqual([]);
    expect(broken(site('residual_current = 300 mA'))).toContain('mains_heater_without_residual_device');
  });
});

describe('direct voltage that hurts', () => {
  const mats = (voltage: number, rest = '') => `machine Bench {
  ambient = 20 degC
  supply psu {
    voltage = ${voltage} V
    power = 600 W
  }
  board controller is board_5_axis
  wire earth_wire {
    area = 1.5 mm^2
    length = 0.5 m
  }
  heater mat {
    power = 200 W
    voltage = ${voltage} V
    size = 300 mm x 300 mm
  }
  circuit mat_power {
    wire {
      area = 1.5 mm^2
      length = 0.9 m
      insulation = silicone
      moves = yes
      strands = finest
      ${rest.includes('earth') ? 'held_at_both_ends = yes' : ''}
    }
    path = [psu, wire, mat]
    ${rest}
  }
}
`;
  const shock = (text: string) => broken(text).filter((rule) => /earth|held/.test(rule));

  // IEC 62368-1, energy class 1, and IEC 60364-4-41, 414.4.5, both from memory: 60 V DC may be touched.
  test('above 60 V is treated as what can kill', () => {
    expect(shock(mats(110))).toEqual(['load_without_earth', 'mains_wire_not_held']);
    expect(shock(mats(110, 'earth = earth_wire'))).toEqual([]);
    expect(shock(mats(48))).toEqual(['moving_wire_not_held']);
  });
});
