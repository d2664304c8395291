import { describe, expect, test } from 'vitest';
import { fixture, open } from './fixtures.ts';
import { broken as brokenBy, textsOf, valuesOf } from './values.ts';

/** A machine on mains, with what the test says of it. */
function bench(
  lines: string,
  inlet = 'residual_current = 30 mA\n    residual_type = a\n    frame_earth = frame_bond',
): string {
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
    `switch main_switch is rocker_double_pole_10a { touch_proof = yes }
  board controller is board_5_axis
  cutoff link is thermal_link_152c
  heater mat {
    power = 400 W
    voltage = 230 V
    size = 400 mm x 400 mm
  }
  ${more}
  circuit mat_power {
    fuse is cartridge_4a { touch_proof = yes }
    relay is relay_ac_40a {
      touch_proof = yes
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
  ${path.includes('lamp_fuse') ? 'fuse lamp_fuse is cartridge_2a { touch_proof = yes }' : ''}
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
    bench(`${path.includes('mains_fuse') ? 'fuse mains_fuse is cartridge_4a { touch_proof = yes }' : ''}
  supply psu is ${part} {
    touch_proof = yes
    earthed = neither
  }
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
      `switch main_switch is rocker_double_pole_10a { touch_proof = yes }
  board controller is board_5_axis
  fuse tool_fuse is cartridge_2a { touch_proof = yes }
  cutoff link is thermal_link_152c
  relay tool_relay is relay_ac_40a {
    touch_proof = yes
    control = controller.tool_output
  }
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
    const asked = (text: string) => broken(text).filter((rule) => rule.startsWith('mains') || rule.includes('earth'));
    // Its earth goes along with the hot end.
    expect(asked(whole)).toEqual(['mains_wire_not_held']);
    expect(asked(whole.replace('wire earth_wire {', 'wire earth_wire {\n    held_at_both_ends = yes'))).toEqual([]);
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
        'switch main_switch is rocker_double_pole_10a { touch_proof = yes }\n  switch lamp_switch is rocker_single_pole_6a { touch_proof = yes }\n  fuse lamp_fuse',
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

describe('a machine that stands on a site of its file', () => {
  const machine = mat({ inlet: 'frame_earth = frame_bond' });
  const club = (stated: string, stands = 'machine printer * 2 is Bench') => `site Club {
  mains_voltage = 230 V
  breaker = 16 A
  ${stated}
  ${stands}
}
`;
  const missing = 'mains_heater_without_residual_device';
  const messages = (text: string) => {
    const { project, file } = open(text);
    const findings = project.machines(file).flatMap(({ assessment }) => assessment.findings);
    return findings.filter(({ rule }) => rule === missing).map(({ message }) => message);
  };

  test('is judged on it, though it states its mains itself', () => {
    expect(broken(machine + club('residual_current = 30 mA'))).toEqual([]);
    expect(broken(club('residual_current = 30 mA') + machine)).toEqual([]);
    expect(broken(machine + club(''))).toEqual([missing, missing]);
  });

  test('is judged by itself where it stands on none, or only a variant of it does, and says so', () => {
    const alone = /none is stated, and no site in this file has inlet$/;
    expect(messages(machine)).toEqual([expect.stringMatching(alone)]);
    const variant = club('residual_current = 30 mA', 'machine printer is Bench {\n    hot_surfaces_marked = yes\n  }');
    expect(messages(machine + variant)).toEqual([expect.stringMatching(alone)]);
    expect(messages(machine + club(''))[0]).toMatch(/none is stated, neither by it nor by its site$/);
  });

  test('is judged on the first of two sites, and on each by the site itself', () => {
    const second = club('').replace('Club', 'Shed');
    const { project, file } = open(machine + club('residual_current = 30 mA') + second);
    const rules = project
      .machines(file)
      .map(({ tree, assessment }) => [tree.name, ...assessment.findings.map((f) => f.rule)]);
    expect(rules).toEqual([['Bench'], ['Club'], ['Shed', missing]]);
  });

  test('is judged on that site from within what stands on it', () => {
    const shelf = 'kind shelf {\n  toplevel\n  inside site\n  has machine*\n}\n';
    const house = `shelf Left {
  machine printer is Bench
}
${club('residual_current = 30 mA', 'shelf left is Left')}`;
    expect(broken(shelf + machine + house)).toEqual([]);
    expect(broken(shelf + machine + house.replace('30 mA', '300 mA'))).toEqual([missing, missing, missing]);
  });

  test('follows each edit of either', () => {
    const { project, file } = open(machine + club('residual_current = 30 mA'));
    const rules = (text: string) => {
      project.update(file.uri, text);
      const kept = project.machines(file).map(({ assessment }) => assessment.findings.map((f) => f.rule));
      expect(kept).toEqual(
        open(text)
          .project.machines(open(text).file)
          .map((m) => m.assessment.findings.map((f) => f.rule)),
      );
      return kept.flat();
    };
    expect(rules(machine + club('residual_current = 300 mA'))).toEqual([missing, missing]);
    expect(rules(machine + club('residual_current = 10 mA'))).toEqual([]);
    expect(rules(machine)).toEqual([missing]);
    expect(rules(machine + club('residual_current = 10 mA', 'machine printer is Bench'))).toEqual([]);
    expect(rules(machine.replace('area = 1.5 mm^2', 'area = 0.5 mm^2') + club('residual_current = 30 mA'))).toEqual([
      'frame_earth_too_thin',
      'frame_earth_too_thin',
    ]);
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
    expect(shock(mats(48))).toEqual([]);
  });
});

describe('line and neutral', () => {
  const back = (lines: string, wayBack: string, path?: string) =>
    mat({
      ...(path && { path }),
      more: `wire neutral {
    area = 1 mm^2
    length = 0.9 m
    insulation = silicone
  }
  ${lines}`,
      rest: `way_back = [${wayBack}]`,
    });

  // IEC 60364-4-46, 461.2, and 60364-4-43, 431.2, both from memory: a neutral is not opened before its line.
  test('nothing stands in the neutral alone', () => {
    expect(broken(back('', 'neutral'))).toEqual([]);
    const second = 'relay second is relay_ac_40a {\n touch_proof = yes\n control = controller.tool_output\n }';
    expect(broken(back(second, 'neutral, second'))).toEqual(['neutral_opened_alone']);
    expect(broken(back('fuse second is cartridge_4a { touch_proof = yes }', 'neutral, second'))).toEqual([
      'neutral_opened_alone',
    ]);
    expect(broken(back('cutoff second is thermal_link_152c', 'neutral, second'))).toEqual(['neutral_opened_alone']);
    // A switch of two poles opens both together, wherever it is named.
    expect(broken(back('', 'neutral, main_switch'))).toEqual([]);
  });

  // NEC 240.15 and 404.2, from memory: each line has its fuse, and all lines open together.
  test('of two live lines both are fused, and both are switched', () => {
    const lines = (text: string) =>
      text
        .replace('mains = 230 V', 'mains = 240 V\n  mains_colours = nec')
        .replace('voltage = 230 V', 'voltage = 240 V')
        .replace('inlet is inlet_10a {', 'inlet is inlet_10a {\n    live_lines = 2');
    expect(broken(lines(mat()))).toEqual(['second_line_stays_live']);
    expect(broken(lines(back('', 'neutral')))).toEqual(['second_line_stays_live']);
    const fused = back('fuse second is cartridge_4a { touch_proof = yes }', 'neutral, second');
    expect(broken(lines(fused))).toEqual([]);
    expect(broken(lines(fused.replace('rocker_double_pole_10a', 'rocker_single_pole_6a')))).toEqual([
      'mains_switch_single_pole',
      'second_line_stays_live',
    ]);
  });

  // IEC 60445, 6.2.2 and 6.2.3 (read in excerpts); NEC 200.6 and 250.119, from memory.
  test.each([
    ['iec_60445', 'brown', 'blue', []],
    ['iec_60445', 'grey', 'blue', []],
    ['iec_60445', 'blue', 'brown', ['mains_colours_mislead']],
    ['iec_60445', 'black', 'white', ['mains_colours_mislead']],
    ['nec', 'black', 'white', []],
    ['nec', 'red', 'grey', []],
    ['nec', 'brown', 'blue', ['mains_colours_mislead']],
    ['nec', 'white', 'black', ['mains_colours_mislead']],
  ])('by %s, %s out and %s back', (code, out, home, rules) => {
    const text = mat({ wire: `colour_out = ${out}\n      colour_back = ${home}` });
    expect(broken(text.replace('mains = 230 V', `mains = 230 V\n  mains_colours = ${code}`))).toEqual(rules);
  });

  test('an earth may be plain green where that is the rule, which a site says as well', () => {
    const green = mat().replaceAll('length = 0.5 m', 'length = 0.5 m\n    colour_out = green');
    expect(severities(green)).toEqual({ earth_not_green_yellow: 'warning' });
    const site = `site Hall {
  mains_voltage = 230 V
  breaker = 16 A
  building_colours = nec
  ${green.replace('machine Bench', 'machine bench').replace('  mains = 230 V\n', '')}
}
`;
    expect(broken(site)).toEqual([]);
    const live = mat({ wire: 'colour_out = green' }).replace('mains = 230 V', 'mains = 230 V\n  mains_colours = nec');
    expect(severities(live)).toEqual({ green_yellow_not_earth: 'error' });
  });

  test('where no colours are given, those of the place are taken', () => {
    const text = textsOf(mat().replace('mains = 230 V', 'mains = 230 V\n  mains_colours = nec'));
    expect([text('mat_power.wire.colour_out'), text('mat_power.wire.colour_back')]).toEqual(['black', 'white']);
    const iec = textsOf(mat());
    expect([iec('mat_power.wire.colour_out'), iec('mat_power.wire.colour_back')]).toEqual(['brown', 'blue']);
  });
});

describe('what parts people and boards from a mains mat', () => {
  const bed = ({ plate = 'cast_aluminium', heater = '', rest = '' } = {}) =>
    fixture('sensor_on_mains_heater', 'Keeps')
      ?.replace(/ *sensor_sits = .*\n/, '')
      .replace('material = cast_aluminium', `material = ${plate}`)
      .replace('limit = 200 degC', `limit = 200 degC\n      ${heater}`)
      .replace('cutoff is', `${rest}\n    cutoff is`) ?? '';
  const shock = (text: string) => broken(text).filter((rule) => /earth|sensor_on/.test(rule));

  // IEC 61140, from memory: basic insulation and an earth, or reinforced insulation.
  test('an earth drawn to glass is none', () => {
    expect(shock(bed())).toEqual([]);
    expect(shock(bed({ plate: 'borosilicate_glass' }))).toEqual(['bed_cannot_be_earthed']);
    expect(shock(bed({ plate: 'borosilicate_glass', heater: 'earthed_layer = yes' }))).toEqual([]);
    expect(shock(bed({ plate: 'borosilicate_glass', heater: 'insulated = reinforced' }))).toEqual([]);
  });

  test('a mat of class 2 is declared to be insulated twice', () => {
    const glass = (fixture('bed_cannot_be_earthed', 'Breaks') ?? '').replaceAll(/^.*\^\^.*\n/gm, '');
    expect(shock(glass)).toEqual(['bed_cannot_be_earthed']);
    const declared = glass.replace(/(heater \{\n)/, '$1      protective_class = class_2\n');
    expect(declared).not.toBe(glass);
    expect(shock(declared)).toEqual([]);
  });

  test('a sensor does not sit on the mat, unless more than its own insulation lies between', () => {
    expect(shock(bed({ rest: 'sensor_sits = on_heater' }))).toEqual(['sensor_on_mains_heater']);
    expect(shock(bed({ rest: 'sensor_sits = on_heater', heater: 'insulated = reinforced' }))).toEqual([]);
    expect(shock(bed({ rest: 'sensor_sits = on_heater', heater: 'earthed_layer = yes' }))).toEqual([]);
  });
});

describe('what lies beside the mains', () => {
  const beside = (wire: string, said: string, lead = '') =>
    mat({
      wire: said,
      more: `wire probe_wire {
    area = 0.5 mm^2
    length = 0.9 m
    insulation = thin_sleeve
    ${wire}
  }
  ntc_100k_sensor`.replace(
        'ntc_100k_sensor',
        `sensor bead is ntc_100k {
    ${lead}
  }`,
      ),
    }).replace(
      'machine Bench',
      'part thin_sleeve is wire_insulation {\n  limit = 150 degC\n  rated_voltage = 50 V\n}\n\nmachine Bench',
    );
  const near = (text: string) => broken(text).filter((rule) => rule === 'mains_beside_low_voltage');

  // IEC 60204-1, 13.1.3, from memory: all in one duct is insulated for the highest voltage in it.
  test('is found wherever it is said', () => {
    expect(near(beside('', ''))).toEqual([]);
    expect(near(beside('', 'runs_with = [probe_wire]'))).toEqual(['mains_beside_low_voltage']);
    expect(near(beside('runs_with = [mat_power.wire]', ''))).toEqual(['mains_beside_low_voltage']);
    // In one bundle by way of a third.
    const third = `wire third {\n area = 0.5 mm^2\n length = 0.9 m\n insulation = pvc_105\n runs_with = [mat_power.wire, probe_wire]\n }`;
    expect(near(beside('', '').replace('sensor bead', `${third}\n sensor bead`))).toEqual(['mains_beside_low_voltage']);
    const good = (text: string) => text.replace('insulation = thin_sleeve', 'insulation = pvc_105');
    expect(near(good(beside('runs_with = [mat_power.wire]', '')))).toEqual([]);
  });

  test('may be the leads of a sensor', () => {
    const along = 'runs_with = [bead]';
    expect(near(beside('', along, 'lead_insulation = thin_sleeve'))).toEqual(['mains_beside_low_voltage']);
    expect(near(beside('', along, 'lead_insulation = fep'))).toEqual([]);
    const { project, file } = open(beside('', along));
    const undecided = project.machines(file).flatMap(({ assessment }) => assessment.undecided.map(({ rule }) => rule));
    expect(undecided).toContain('mains_beside_low_voltage');
  });
});

describe('earths', () => {
  const earth = (lines: string) => mat().replace('wire earth_wire {', `wire earth_wire {\n    ${lines}`);

  // IEC 60335-1, 25.15, from memory, for strain relief; fine strands: common practice, no source.
  test('that move are judged as live wires are', () => {
    expect(severities(earth('moves = yes\n    strands = solid'))).toEqual({
      mains_wire_not_held: 'error',
      mains_wire_too_stiff: 'error',
    });
    expect(broken(earth('moves = yes\n    strands = finest\n    held_at_both_ends = yes'))).toEqual([]);
    expect(broken(earth('strands = solid'))).toEqual([]);
  });

  // IEC 60204-1, 8.2.3, from memory.
  test('bond one part each', () => {
    expect(broken(mat().replace('frame_earth = frame_bond', 'frame_earth = earth_wire'))).toEqual(['earth_in_a_row']);
    // Two circuits of one load bond it once.
    const twice = mat({
      rest: '',
      more: 'circuit second { path = [inlet, main_switch, mat_power.fuse, mat_power.relay, mat_power.wire, link, mat]\n    earth = earth_wire }',
    });
    expect(broken(twice)).not.toContain('earth_in_a_row');
    // Two halves of a mat under one plate are one part.
    expect(broken(mat().replace('heater mat {', 'heater mat * 2 {'))).not.toContain('earth_in_a_row');
  });
});

describe('the minus of a supply on mains', () => {
  const supply = (lines: string, part = 'supply_24v_150w') =>
    bench(`supply psu is ${part} {
    touch_proof = yes
    ${lines}
  }
  fuse mains_fuse is cartridge_4a { touch_proof = yes }
  circuit mains_side {
    path = [inlet, mains_fuse, psu]
    earth = earth_wire
  }`);

  // IEC 60204-1, 9.4.3, from memory: control circuits are earthed on one side, or watched.
  test('is said to be earthed or free, whatever it feeds', () => {
    expect(severities(supply(''))).toEqual({ output_earth_not_said: 'advice' });
    for (const side of ['negative', 'positive', 'neither']) expect(broken(supply(`earthed = ${side}`))).toEqual([]);
    expect(broken(supply('', 'desktop_supply_24v_120w'))).toEqual([]);
  });
});

describe('a residual current device and electronics', () => {
  const supply = (
    inlet: string,
    load = 'supply psu is supply_24v_150w {\n touch_proof = yes\n earthed = negative\n }',
  ) =>
    bench(
      `fuse mains_fuse is cartridge_4a { touch_proof = yes }
  ${load}
  circuit mains_side {
    path = [inlet, mains_fuse, psu]
    earth = earth_wire
  }`,
      `residual_current = 30 mA\n    frame_earth = frame_bond\n    ${inlet}`,
    );

  // IEC 60364-5-53, 531.3.3, and IEC 61008-1, both from memory: type AC sees alternating currents only.
  test('is of type A, where supplies are fed', () => {
    expect(severities(supply('residual_type = ac'))).toEqual({ residual_device_blind: 'warning' });
    expect(severities(supply(''))).toEqual({ residual_type_not_said: 'advice' });
    expect(broken(supply('residual_type = a'))).toEqual([]);
    const lamp = 'light psu {\n    voltage = 230 V\n    power = 40 W\n  }';
    expect(broken(supply('residual_type = ac', lamp))).toEqual([]);
  });
});

describe('an earth', () => {
  // IEC 60364-5-54, table 54.2, from memory: as thick as the line that it belongs to, which begins at the fuse.
  test('is as thick as the wires behind the fuse', () => {
    const tapped = (area: string, path: string) =>
      mat({ more: `wire tap {\n    area = ${area}\n    length = 100 mm\n  }`, path }).replaceAll(
        'area = 1.5 mm^2',
        'area = 2.5 mm^2',
      );
    const thin = (text: string) =>
      text.replace(/wire earth_wire \{\n {4}area = 2.5 mm/, 'wire earth_wire {\n    area = 1 mm');
    expect(broken(thin(tapped('2.5 mm^2', 'inlet, tap, main_switch, fuse, relay, wire, link, mat')))).toEqual([]);
    expect(broken(thin(tapped('2.5 mm^2', 'inlet, main_switch, fuse, tap, relay, wire, link, mat')))).toEqual([
      'earth_too_thin',
    ]);
  });
});

describe('a main switch', () => {
  const reversed = 'inlet, fuse, relay, main_switch, wire, link, mat';

  // IEC 60204-1, 5.3, from memory: what disconnects stands where the supply comes in.
  test('stands before all but the fuse of the inlet', () => {
    expect(severities(mat({ path: reversed }))).toEqual({ mains_heater_without_switch: 'warning' });
    expect(broken(mat({ path: 'inlet, fuse, main_switch, relay, wire, link, mat' }))).toEqual([]);
  });

  test('does so all the more where no plug disconnects', () => {
    const fixed = 'residual_current = 30 mA\n    frame_earth = frame_bond\n    fixed = yes';
    expect(severities(mat({ path: reversed, inlet: fixed }))).toEqual({ mains_without_isolator: 'error' });
    expect(broken(mat({ path: 'inlet, fuse, main_switch, relay, wire, link, mat', inlet: fixed }))).toEqual([]);
  });

  // IEC 60204-1, 5.3.5, from memory: what stays on is marked.
  test('leaves nothing live, or says so', () => {
    const lamp = (path: string) =>
      mat({
        more: `light lamp {\n    voltage = 230 V\n    power = 40 W\n    protective_class = class_2\n  }
  fuse lamp_fuse is cartridge_2a { touch_proof = yes }
  circuit lamp_power { path = [${path}] }`,
      });
    expect(severities(lamp('inlet, lamp_fuse, lamp'))).toEqual({ left_live_by_main_switch: 'advice' });
    expect(broken(lamp('inlet, main_switch, lamp_fuse, lamp'))).toEqual([]);
  });
});

describe('what lies bare on mains', () => {
  const bare = (part: string) => mat().replace(new RegExp(`(${part}.*?)\\{\\s*touch_proof = yes`), '$1{');
  const boxed = (text: string) =>
    text.replace('board controller', 'box {\n    rise = 10 K\n    opens = with_tool\n  }\n  board controller');

  // IEC 60204-1, 6.2.2, from memory: what is live lies within an enclosure.
  test.each(['rocker_double_pole_10a', 'cartridge_4a', 'relay_ac_40a'])(
    '%s sits in a box, or behind a cover',
    (part) => {
      expect(severities(bare(part))).toEqual({ live_parts_within_reach: 'error' });
      // A box beside it is no cover.
      expect(severities(boxed(bare(part)))).toEqual({ live_parts_within_reach: 'error' });
      expect(broken(boxed(bare(part).replace(`is ${part} {`, `is ${part} {\n place = box\n`)))).toEqual([]);
      expect(broken(mat())).toEqual([]);
    },
  );

  test('is one finding, however much it is, and none on what cannot hurt', () => {
    const all = mat().replaceAll('touch_proof = yes', '');
    const { project, file } = open(all);
    const messages = project.machines(file).flatMap(({ assessment }) => assessment.findings.map((f) => f.message));
    expect(messages.filter((m) => m.includes('sits in no box'))).toEqual([
      expect.stringContaining('the same goes for 2 more'),
    ]);
    // A fuse and a relay lie bare in it, at 24 V.
    const harmless = fixture('relay_near_limit', 'Keeps') ?? '';
    expect(harmless).toContain('relay is relay_dc_25a');
    expect(broken(harmless)).not.toContain('live_parts_within_reach');
  });
});

describe('covers, entries and connectors', () => {
  const boxed = (lines: string) =>
    mat({ more: `box {\n    rise = 10 K\n    ${lines}\n  }` }).replace(
      'relay is relay_ac_40a {',
      'relay is relay_ac_40a {\n      place = box',
    );

  // IEC 60204-1, 6.2.2, from memory: opening asks for a key or a tool.
  test('a cover over mains asks for a tool', () => {
    expect(severities(boxed('opens = by_hand'))).toEqual({ mains_cover_opens_by_hand: 'error' });
    expect(severities(boxed(''))).toEqual({ mains_cover_not_known: 'advice' });
    expect(broken(boxed('opens = with_tool'))).toEqual([]);
    // A box with low voltage alone may open as it likes.
    expect(broken(boxed('opens = by_hand').replace('place = box', ''))).toEqual([]);
  });

  const cord = (lines: string) =>
    mat()
      .replace('wire {\n      area', `cord {\n      ${lines}\n      area`)
      .replace('relay, wire, link', 'relay, cord, link')
      .replace('insulation = silicone', '');

  // IEC 60335-1, 25.9 and 25.11, from memory.
  test('a cord is guarded where it enters', () => {
    expect(broken(cord('held_at_both_ends = yes'))).toEqual(['cord_entry_bare']);
    expect(broken(cord('held_at_both_ends = yes\n      guarded_entry = yes'))).toEqual([]);
  });

  const plug = (lines: string) =>
    mat({
      path: 'inlet, main_switch, fuse, relay, plug, wire, link, mat',
      more: `connector plug is screw_plug_5_08mm {\n    ${lines}\n  }`,
    });

  // IEC 60204-1, 8.2.4 and 13.4.5, and IEC 60529, all from memory.
  test('a connector on mains is touch-proof, and its earth makes first', () => {
    expect(broken(plug(''))).toEqual(['mains_connector_touchable']);
    expect(broken(plug('touch_proof = yes\n    earth_contact = level'))).toEqual(['connector_earth_not_first']);
    expect(broken(plug('touch_proof = yes\n    earth_contact = first'))).toEqual([]);
    expect(broken(plug('touch_proof = yes'))).toEqual([]);
  });
});

describe('a filter behind a plug', () => {
  const filter = (lines: string, inlet?: string) =>
    mat({
      path: 'inlet, line_filter, main_switch, fuse, relay, wire, link, mat',
      more: `mains_filter line_filter {\n    touch_proof = yes\n    rated_current = 10 A\n    ${lines}\n  }`,
      ...(inlet && { inlet }),
    });
  const micro = (uF: number, Mohm?: number) =>
    `capacitance = ${uF} uF${Mohm ? `\n    bleed_resistance = ${Mohm} Mohm` : ''}`;

  // u = U exp(-t / (R C)), U the crest of 253 V, t 1 s; IEC 60204-1, 6.2.4, from memory: 60 V after 1 s.
  test.each([
    [0.47, 1],
    [1, 0.47],
    [1, 1],
    [0.1, 2],
  ])('%d uF and %d Mohm', (uF, Mohm) => {
    const left = 253 * Math.SQRT2 * Math.exp(-1 / (uF * Mohm));
    const value = valuesOf(filter(micro(uF, Mohm)));
    expect(value('line_filter.pin_voltage')).toBeCloseTo(left, 6);
    expect(broken(filter(micro(uF, Mohm)))).toEqual(left > 60 ? ['plug_stays_charged'] : []);
    const needed = value('line_filter.bleed_needed') / 1e6;
    expect(253 * Math.SQRT2 * Math.exp(-1 / (uF * needed))).toBeCloseTo(60, 6);
  });

  test('without a resistor keeps all of it, which matters where there is a plug', () => {
    expect(valuesOf(filter(micro(0.1)))('line_filter.pin_voltage')).toBeCloseTo(253 * Math.SQRT2, 6);
    expect(broken(filter(micro(0.1)))).toEqual(['plug_stays_charged']);
    const fixed = 'residual_current = 30 mA\n    frame_earth = frame_bond\n    fixed = yes';
    expect(broken(filter(micro(0.1), fixed))).toEqual([]);
  });
});

describe('cautions', () => {
  const cautions = (rule: string) => {
    const { project, file } = open(fixture(rule, 'Breaks') ?? '');
    const findings = project.machines(file).flatMap(({ assessment }) => assessment.findings);
    return findings.flatMap((finding) => (finding.rule === rule ? [finding.caution] : []));
  };

  test.each(['fuse_never_opens', 'supply_overloaded', 'converter_overloaded', 'output_shared'])(
    '%s has one',
    (rule) => {
      expect(cautions(rule)[0]).toMatch(/^Fire/);
    },
  );

  test('show values, and an unknown name in one is told where it stands', () => {
    const rule = (name: string) => `/// Nothing weighs more than a kilogram.
rule heavy on component {
  when given(mass)
  holds mass <= 1 kg
  warning "{name} weighs {mass}"
  caution "It falls on feet: {${name}} hurt."
}

machine Bench {
  ambient = 20 degC
  heater slab {
    power = 10 W
    voltage = 24 V
    size = 100 mm x 100 mm
    mass = 2 kg
  }
}
`;
    const { project, file } = open(rule('mass'));
    const findings = project.machines(file).flatMap(({ assessment }) => assessment.findings);
    expect(findings.find((finding) => finding.rule === 'heavy')?.caution).toBe('It falls on feet: 2 kg hurt.');
    expect(mistakes(rule('weight')).join()).toContain('weight');
  });

  test('speak of mains where mains are, and not on 24 V', () => {
    const thin = mat().replace('area = 1 mm^2', 'area = awg_28');
    expect(mistakes(thin)).toEqual([]);
    const { project, file } = open(thin);
    const found = project.machines(file).flatMap(({ assessment }) => assessment.findings);
    expect(found.find((finding) => finding.rule === 'wire_unprotected')?.caution).toMatch(
      /the fuse\. On mains, local codes and a licensed electrician decide\.$/,
    );
    expect(new Set(cautions('wire_unprotected'))).toEqual(new Set(['Fire: in a short circuit the wire is the fuse.']));
  });
});

describe('parts', () => {
  // IEC 60320-1, from memory: cold conditions 70 degC at the pins, hot 120, very hot 155.
  test.each([
    ['inlet_10a', 10, 70],
    ['inlet_10a_hot', 10, 120],
    ['inlet_16a', 16, 70],
    ['inlet_16a_hot', 16, 155],
  ])('%s: %d A, pins of up to %d degC', (part, current, limit) => {
    const value = valuesOf(mat().replace('inlet_10a', part));
    expect(value('inlet.rated_current')).toBe(current);
    expect(value('inlet.limit') - 273.15).toBeCloseTo(limit, 6);
  });

  test('an inlet is judged by its place', () => {
    const at = (part: string) =>
      broken(
        mat({ more: 'box warm { rise = 60 K\n    opens = with_tool }' }).replace(
          'inlet is inlet_10a {',
          `inlet is ${part} {\n    place = warm`,
        ),
      );
    expect(at('inlet_10a')).toContain('enclosure_too_hot');
    // In no box, it is one of the parts on mains: what it can do then is said.
    const open = mat({ more: 'place warm {\n temperature = 72 degC\n }' }).replace(
      'inlet is inlet_10a {',
      'inlet is inlet_10a {\n place = warm',
    );
    expect(broken(open)).toEqual(['mains_part_too_hot']);
    expect(at('inlet_10a_hot')).toEqual([]);
  });
});
