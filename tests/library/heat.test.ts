import { describe, expect, test } from 'vitest';
import { cellOf } from '../../language/compute/cell.ts';
import { machineIn, shown } from '../support.ts';
import { fixture, open } from './fixtures.ts';
import { broken, valuesOf } from './values.ts';

/** The gravest findings of a text, by rule: what people can be hurt by. */
function errors(text: string): string[] {
  const { project, file } = open(text);
  const findings = project.machines(file).flatMap(({ assessment }) => assessment.findings);
  return findings.filter(({ severity }) => severity === 'error').map(({ rule }) => rule);
}

/** What is broken besides: a machine without a bed prints nothing. */
const besides = (text: string) => broken(text).filter((rule) => rule !== 'filament_not_printable');

/** The rules that could not be decided in a text. */
function undecided(text: string): string[] {
  const { project, file } = open(text);
  return project.machines(file).flatMap(({ assessment }) => assessment.undecided.map(({ rule }) => rule));
}

/** A pad that lies by itself on a supply of 24 V, with what the test says of it and of its circuit. */
const alone = ({ pad = '', path = '', more = '', mains = '' } = {}) => `machine Bench {
  ambient = 20 degC
  ${mains}
  supply psu is supply_24v_350w
  ${more}
  heater pad {
    power = 200 W
    voltage = 24 V
    size = 200 mm x 200 mm
    ${pad}
  }
  circuit pad_power {
    fuse is blade_15a
    wire {
      area = 2.5 mm^2
      length = 0.5 m
      insulation = silicone
    }
    path = [psu, fuse, wire, ${path}pad]
  }
}
`;

describe('a heater that nothing holds', () => {
  // Anything of 200 W on 0.055 m^2 in still air passes 200 degC, the limit of silicone rubber.
  test('200 W without a cutoff is an error, and with one it is none', () => {
    expect(errors(alone())).toEqual(['heater_alone_stuck_on']);
    const link = 'cutoff link is thermal_link_133c';
    expect(broken(alone({ more: link, path: 'link, ' }))).toEqual([]);
  });

  test('a cutoff where the heat is not felt does not count, nor does one in no path', () => {
    const sits = (where: string) =>
      errors(alone({ path: 'link, ', more: `cutoff link is thermal_link_133c {\n sits = ${where}\n }` }));
    expect(sits('on_heater')).toEqual([]);
    expect(sits('on_plate')).toEqual([]);
    expect(sits('at_edge')).toEqual(['heater_alone_stuck_on']);
    expect(sits('in_air')).toEqual(['heater_alone_stuck_on']);
    const idle = alone({ more: 'cutoff link is thermal_link_133c' });
    expect(errors(idle).toSorted()).toEqual(['cutoff_in_no_path', 'heater_alone_stuck_on']);
  });

  // ISO 14119, from memory: an interlock belongs to a guard; where nothing gets too hot there is nothing else that it stands in for.
  test('may have a contact at a door, which is no guard against what is stuck on', () => {
    const door = (power: number, path = 'door, ') =>
      errors(
        alone({
          path,
          more: 'cutoff link is thermal_link_133c\n switch door { rated_current = 15 A\n rated_dc_voltage = 30 V\n opened_by_door = yes }',
        }).replace('power = 200 W', `power = ${power} W`),
      ).filter((rule) => rule === 'interlock_is_only_guard');
    expect(door(200)).toEqual(['interlock_is_only_guard']);
    expect(door(200, 'door, link, ')).toEqual([]);
    expect(door(30)).toEqual([]);
  });

  test('at the limit itself it holds, and a kelvin below it does not', () => {
    const most = valuesOf(alone())('pad.rest_alone_at_most') - 273.15;
    expect(errors(alone({ pad: `limit = ${Math.ceil(most)} degC` }))).toEqual([]);
    expect(errors(alone({ pad: `limit = ${Math.ceil(most) - 1} degC` }))).toEqual(['heater_alone_stuck_on']);
  });

  // Correlations of natural convection hold within 15 % (Incropera, chapter 9): 15 % of the rise, at least 10 K.
  test('the margin is 15 % of the rise', () => {
    const read = valuesOf(alone());
    const rise = read('pad.rest_alone') - 293.15;
    expect(read('pad.rest_alone_at_most') - read('pad.rest_alone')).toBeCloseTo(0.15 * rise, 6);
  });

  test('36 V on 24 V give 44 % of the power: no fire, and said', () => {
    const mat = alone({ pad: 'limit = 400 degC' }).replace('    voltage = 24 V\n', '    voltage = 36 V\n');
    expect(errors(mat)).toEqual([]);
    expect(broken(mat)).toEqual(['voltage_too_low']);
    expect(errors(mat.replace('    voltage = 36 V\n', '    voltage = 12 V\n'))).toContain('voltage_mismatch');
    expect(broken(mat.replace('    voltage = 36 V\n', '    voltage = 25 V\n'))).toEqual([]);
  });
});

/** A bed on 24 V, with what the test says of it, of the path of its circuit, and of the machine. */
const bed = ({
  target = 60,
  power = 100,
  path = '',
  more = '',
  inside = '',
  wire = 'silicone',
  altitude = 0,
} = {}) => `machine Bench {
  ambient = 20 degC
  altitude = ${altitude} m
  supply psu is supply_24v_450w
  ${more}
  bed {
    target = ${target} degC
    plate {
      size = 230 mm x 230 mm
      thickness = 3 mm
      material = cast_aluminium
    }
    heater {
      power = ${power} W
      voltage = 24 V
    }
    ${inside || 'sensor is ntc_100k'}
  }
  circuit bed_power {
    fuse is blade_15a
    wire {
      area = 2.5 mm^2
      length = 0.9 m
      insulation = ${wire}
    }
    path = [psu, fuse, wire, ${path}bed.heater]
  }
}
`;

describe('a bed whose heater stays on', () => {
  test('spoils a wire that ends at it, whatever its own parts bear', () => {
    const rest = valuesOf(bed())('bed.stuck_on_at_most') - 273.15;
    // Silicone rubber bears 200 degC, and wire with silicone 180; PVC bears 70.
    expect(rest).toBeGreaterThan(100);
    expect(rest).toBeLessThan(180);
    expect(broken(bed())).toEqual([]);
    // At 60 degC PVC carries 0.58 of 17.4 A (IEC 60204-1, tables 6 and D.1), for which 15 A of a fuse are too many as well.
    expect(errors(bed({ wire: 'pvc' }))).toEqual(['stuck_on_unprotected', 'wire_unprotected']);
  });

  test('spoils the wire that comes back from it, and the leads of its sensor', () => {
    const back = (insulation: string) =>
      bed()
        .replace('[psu, fuse, wire, bed.heater]', '[psu, fuse, wire, bed.heater]\n    way_back = [tail]')
        .replace(
          '    path',
          `    wire tail {
      area = 2.5 mm^2
      length = 0.9 m
      insulation = ${insulation}
    }
    path`,
        );
    expect(broken(back('silicone'))).toEqual([]);
    expect(errors(back('pvc'))).toEqual(['stuck_on_unprotected']);
    const leads = (insulation: string) => bed({ inside: `sensor is ntc_100k {\n lead_insulation = ${insulation}\n }` });
    expect(broken(leads('silicone'))).toEqual([]);
    expect(errors(leads('pvc'))).toEqual(['stuck_on_unprotected']);
  });

  test('is stopped by no cutoff that sits elsewhere, though its circuit goes through it', () => {
    const guarded = (place: string) =>
      bed({
        power: 250,
        path: 'link, ',
        more: `box { rise = 10 K\n }\n cutoff link is thermal_link_133c { ${place} }`,
      });
    expect(errors(guarded(''))).toEqual([]);
    expect(errors(guarded('place = bed'))).toEqual([]);
    expect(errors(guarded('place = box'))).toEqual(['stuck_on_unprotected']);
    expect(errors(guarded('sits = in_air'))).toEqual(['stuck_on_unprotected']);
  });

  test('spoils what sits beneath it', () => {
    const part = (limit: number) =>
      `light lamp {\n voltage = 24 V\n power = 1 W\n limit = ${limit} degC\n place = bed.beneath\n }`;
    expect(errors(bed({ more: part(60) }))).toEqual(['stuck_on_unprotected']);
    expect(broken(bed({ more: part(130) }))).toEqual([]);
  });

  const chamber = (material: string) => `chamber {
    size = 400 mm x 400 mm x 400 mm
    wall {
      thickness = 4 mm
      material = ${material}
      flame_retardant = yes
    }
  }`;
  test('warms the chamber around it', () => {
    const closed = (material: string) =>
      bed({
        power: 230,
        target: 60,
        more: chamber(material),
        path: 'bed.cutoff, ',
        inside:
          'sensor is ntc_100k\n cutoff {\n opens_at = 250 degC\n rated_current = 20 A\n rated_dc_voltage = 30 V\n }',
      });
    const read = valuesOf(closed('acrylic'));
    expect(read('chamber.with_beds_on') - 273.15).toBeGreaterThan(80);
    // The same power given off in it by anything else warms it as much.
    const other = `machine Bench {\n  ambient = 20 degC\n  ${chamber('acrylic').replace('wall {', `other_heat = ${read('bed.heater.power') * 1.21 * 0.99} W\n    wall {`)}\n}\n`;
    expect(valuesOf(other)('chamber.steady_temperature') / read('chamber.with_beds_on')).toBeCloseTo(1, 1);
    // Its bed is hotter for it than in the room.
    expect(read('bed.stuck_on_temperature')).toBeGreaterThan(
      valuesOf(bed({ power: 230 }))('bed.stuck_on_temperature') + 20,
    );
    const small = (material: string) => bed({ power: 90, more: chamber(material).replaceAll('400 mm', '260 mm') });
    expect(errors(small('acrylic'))).toContain('stuck_on_unprotected');
  });

  // 200 degC for a bed: polymers decompose; where a bed is made for that, 50 K above its target. From memory.
  test('is an error above the ceiling, even where every part bears it', () => {
    const ceramic = (target: number) =>
      bed({ target, power: 350, inside: 'sensor is pt1000', wire: 'glass_braid' }).replace(
        '      voltage = 24 V\n',
        '      voltage = 24 V\n      limit = 500 degC\n',
      );
    const read = valuesOf(ceramic(100));
    expect(read('bed.lowest_limit') - 273.15).toBeCloseTo(200, 6);
    expect(valuesOf(ceramic(180))('bed.lowest_limit') - 273.15).toBeCloseTo(230, 6);
  });

  test('has one margin: 187 against 189 degC is not enough, and a cutoff is asked for', () => {
    const near = (limit: number) =>
      bed({ inside: `sensor is ntc_100k\n surface is pei_film {\n limit = ${limit} degC\n thickness = 0.01 mm\n }` });
    const rest = valuesOf(near(300))('bed.stuck_on_temperature') - 273.15;
    expect(errors(near(Math.ceil(rest) + 2))).toEqual(['stuck_on_unprotected']);
    const most = valuesOf(near(300))('bed.stuck_on_at_most') - 273.15;
    expect(errors(near(Math.ceil(most)))).toEqual([]);
    expect(errors(near(Math.ceil(most) - 1))).toEqual(['stuck_on_unprotected']);
  });

  // Ra grows as the square of the air's density, Nu as its fourth to third root; at 3000 m air has 70 % of its density (ISO 2533, from memory 0.742).
  test('gets hotter in thin air', () => {
    const [sea, high] = [0, 3000].map((altitude) => valuesOf(bed({ altitude }))('bed.stuck_on_temperature'));
    expect(high).toBeGreaterThan((sea ?? 0) + 5);
    expect(high).toBeLessThan((sea ?? 0) + 25);
  });

  const boards = (first: string, second: string) => `board controller is board_4_axis {
    ${first}
    sensor_input bed_input {
      lowest_plausible = 0 degC
      highest_plausible = 90 degC
    }
  }
  board other is board_4_axis {
    ${second}
  }`;
  test('is watched by the board that reads its sensor, and by no other', () => {
    const read = 'sensor is ntc_100k {\n input = controller.bed_input\n }';
    const [own, other] = [boards('heating_fault_watch = yes', ''), boards('', 'heating_fault_watch = yes')].map(
      (more) => {
        const { project, file } = open(bed({ power: 250, target: 60, more, inside: read }));
        const [machine] = project.machines(file);
        const cell = cellOf(machine?.tree.children.get('bed'), 'watch_acts');
        return cell && machine?.engine.value(cell);
      },
    );
    expect([own, other]).toEqual([true, false]);
  });
});

describe('heaters side by side', () => {
  test('in one body add their powers, and share an output', () => {
    const more = 'board controller is board_5_axis';
    const path = 'controller.bed_output, ';
    const mat = (count: string, power: number, width: number) =>
      bed({ more, path }).replace(
        /heater \{[^}]*\}/,
        `heater ${count} {\n power = ${power} W\n voltage = 24 V\n size = ${width} mm x 200 mm\n }`,
      );
    const [two, one] = [mat('* 2', 75, 100), mat('', 150, 200)];
    for (const path of ['bed_power.current', 'bed.stuck_on_temperature', 'bed.heater_excess', 'bed.heat_capacity'])
      expect(valuesOf(two)(path)).toBeCloseTo(valuesOf(one)(path), 6);
    expect(broken(two)).not.toContain('output_shared');
    expect(errors(two)).toEqual(errors(one));
    expect(errors(mat('* 2', 150, 100))).toContain('stuck_on_unprotected');
  });

  test('of which one is no block of the body that it sits at are not added, and that is said', () => {
    const second = (place: string) =>
      bed({ more: `heater second {\n power = 100 W\n voltage = 24 V\n size = 230 mm x 230 mm\n ${place}\n }` }).replace(
        '  circuit bed_power',
        `  circuit second_power {
    fuse is blade_15a
    wire {
      area = 2.5 mm^2
      length = 0.9 m
      insulation = silicone
    }
    path = [psu, fuse, wire, second]
  }
  circuit bed_power`,
      );
    expect(broken(second(''))).toEqual([]);
    expect(broken(second('place = bed'))).toEqual(['heater_beside_its_body']);
  });

  test('in one hot end add theirs', () => {
    const [two, one] = [
      'cartridge * 2 is cartridge_24v_40w {\n power = 20 W\n mass = 2.5 g\n }',
      'cartridge is cartridge_24v_40w',
    ].map((text) => valuesOf(hot().replace('cartridge is self_limiting_24v_40w', text)));
    for (const path of ['stuck_on_temperature', 'heat_capacity', 'warm_up_time'])
      expect(two?.(`extruder.hot_end.${path}`)).toBeCloseTo(one?.(`extruder.hot_end.${path}`) ?? 0, 6);
  });
});

describe('a cutoff', () => {
  const guarded = (cutoff: string, target = 60) =>
    bed({
      target,
      power: 250,
      path: 'bed.cutoff, ',
      inside: `sensor is ntc_100k\n cutoff {\n ${cutoff}\n rated_current = 15 A\n rated_dc_voltage = 30 V\n }`,
    });

  // IEC 60691: T_h lies below T_f; 13 to 40 K in data sheets, from memory.
  test('whose holding and opening temperatures cannot be is said to be so', () => {
    expect(errors(guarded('opens_at = 133 degC\n holds_at = 300 degC'))).toEqual(['cutoff_holds_too_near']);
    expect(errors(guarded('opens_at = 133 degC\n holds_at = 124 degC'))).toEqual(['cutoff_holds_too_near']);
    expect(broken(guarded('opens_at = 133 degC\n holds_at = 123 degC'))).toEqual([]);
  });

  test('of which no holding temperature is given holds 40 K less than it opens at', () => {
    expect(valuesOf(guarded('opens_at = 133 degC'))('bed.cutoff.holds_at') - 273.15).toBeCloseTo(93, 6);
    expect(broken(guarded('opens_at = 133 degC', 90))).toContain('cutoff_opens_in_use');
  });

  test('is itself one of the parts that must bear what comes after it has opened', () => {
    expect(errors(guarded('opens_at = 133 degC\n holds_at = 118 degC\n limit = 140 degC'))).toEqual([
      'cutoff_opens_too_late',
    ]);
    expect(errors(guarded('opens_at = 133 degC\n holds_at = 118 degC\n limit = 165 degC'))).toEqual([]);
  });

  // T_m of IEC 60691: beyond it a link that has opened may close again.
  test('on a pad by itself bears what comes after it has opened', () => {
    const link = (bears: number) =>
      alone({ more: `cutoff link is thermal_link_133c {\n limit = ${bears} degC\n }`, path: 'link, ' });
    const hottest = valuesOf(link(300))('pad.hottest_alone') - 273.15;
    expect(errors(link(Math.ceil(hottest)))).toEqual([]);
    expect(errors(link(Math.floor(hottest)))).toEqual(['heater_alone_stuck_on']);
  });

  test('that opens before another in the same path is the one that counts, whichever is named first', () => {
    const both = (path: string, target = 60) =>
      bed({
        target,
        power: 250,
        path,
        more: 'cutoff link is thermal_link_144c {\n place = bed\n }',
        inside:
          'sensor is ntc_100k\n cutoff {\n opens_at = 115 degC\n holds_at = 100 degC\n rated_current = 15 A\n rated_dc_voltage = 30 V\n }',
      });
    const opened = ['link, bed.cutoff, ', 'bed.cutoff, link, '].map((path) =>
      valuesOf(both(path))('bed.temperature_when_opened'),
    );
    expect(opened[0]).toBe(opened[1]);
    expect((opened[0] ?? 0) - 273.15).toBeLessThan(130);
    expect(broken(both('link, bed.cutoff, ', 95))).toContain('cutoff_opens_in_use');
  });

  test('that opens in use is never bridged: its rules say so', () => {
    const { project, file } = open(guarded('opens_at = 133 degC\n holds_at = 100 degC', 110));
    const finding = project.machines(file)[0]?.assessment.findings.find(({ rule }) => rule === 'cutoff_opens_in_use');
    expect(finding?.caution).toContain('never bridge');
  });
});

describe('a sensor', () => {
  const read = (input: string, board = '') =>
    bed({
      power: 100,
      path: 'controller.bed_output, ',
      more: `board controller is board_4_axis {\n ${board}\n sensor_input bed_input {\n ${input}\n }\n }`,
      inside: 'sensor is ntc_100k {\n input = controller.bed_input\n }',
    });

  test('whose controller believes 240 degC on a mat for 200 is an error', () => {
    expect(errors(read('lowest_plausible = 0 degC\n highest_plausible = 240 degC'))).toEqual([
      'plausible_limit_too_high',
    ]);
    const limit = Math.floor(valuesOf(read('lowest_plausible = 0 degC'))('bed.lowest_limit') - 273.15);
    expect(broken(read(`lowest_plausible = 0 degC\n highest_plausible = ${limit} degC`))).toEqual([]);
  });

  test('without limits is as grave as with wrong ones, where the heater then heats on', () => {
    const none = 'no lowest_plausible\n no highest_plausible';
    expect(errors(read(none))).toEqual(['break_not_seen']);
    expect(errors(read('lowest_plausible = -100 degC\n highest_plausible = 90 degC'))).toEqual(['break_not_seen']);
    expect(errors(read(none, 'heating_fault_watch = yes'))).toEqual([]);
    expect(broken(read(none, 'heating_fault_watch = yes'))).toEqual(['plausible_limits_missing']);
  });

  // Worked by hand: the target and 20 K, where what sits there bears more; what bears least, where it does not.
  test('has limits that are computed: colder than any room, and an overshoot above the target, no hotter than is borne', () => {
    const of = (text: string) =>
      ['lowest', 'highest'].map((end) => valuesOf(text)(`controller.bed_input.${end}_plausible`) - 273.15);
    const [lowest, highest] = of(read(''));
    const target = valuesOf(read(''))('bed.target') - 273.15;
    expect(lowest).toBeCloseTo(0, 9);
    expect(highest).toBeCloseTo(target + 20, 9);
    expect(broken(read(''))).toEqual([]);
    const frail = read('').replace('sensor is ntc_100k {', 'adhesive is acrylic_tape\n sensor is ntc_100k {');
    expect(of(frail)[1]).toBeLessThanOrEqual(valuesOf(frail)('bed.lowest_limit') - 273.15 + 1e-9);
  });

  test('is read by the input that the controller switches its heater by, unless it says another, or none', () => {
    const without = read('').replace('\n input = controller.bed_input', '');
    expect(without).not.toBe(read(''));
    const input = (text: string) => shown(machineIn(text), 'bed.sensor.input');
    expect(input(without)).toBe('controller.bed_input');
    expect(input(without.replace('sensor is ntc_100k {', 'sensor is ntc_100k {\n no input'))).toBe('not known');
  });
});

/** A hot end with what the test says of its heater, its sensor and its liner, and of the machine. */
const hot = ({
  cartridge = 'self_limiting_24v_40w',
  sensor = 'pt1000',
  inside = '',
  target = 220,
  more = '',
} = {}) => `machine Bench {
  ambient = 20 degC
  ${more}
  extruder {
    filament = pla
    motor_torque = 0.25 N*m
    motor_mass = 140 g
    drive_gear is wheel_11mm
    hot_end {
      target = ${target} degC
      heat_block is small_block
      nozzle is brass_nozzle
      heat_break is titanium_break
      heat_sink is finned_sink
      cartridge is ${cartridge}
      sensor is ${sensor}
      ${inside}
    }
  }
}
`;

describe('a hot end whose heater stays on', () => {
  test('is an error above the ceiling, and a warning where only a part goes', () => {
    expect(errors(hot({ cartridge: 'cartridge_24v_40w' }))).toEqual(['hot_end_melts_down']);
    expect(errors(hot())).toEqual([]);
    expect(besides(hot())).toEqual([]);
    expect(besides(hot({ sensor: 'ntc_100k' }))).toEqual(['hot_end_stuck_on']);
  });

  test('spoils a liner that the sensor hides: target, what it reads low, and its spread', () => {
    // 23 % of 200 K are 46 K.
    const liner = (coldness: number, target: number) =>
      hot({
        target,
        cartridge: 'self_limiting_24v_40w {\n switches_at = 222 degC\n }',
        sensor: `pt1000 {\n coldness = ${coldness} %\n }`,
        inside: 'liner {\n }',
      });
    expect(errors(liner(23, 220))).toEqual(['liner_too_hot']);
    expect(errors(liner(1, 220))).toEqual([]);
    expect(valuesOf(liner(23, 220))('extruder.hot_end.liner.comes_to') - 273.15).toBeCloseTo(220 + 46, 6);
  });

  test('opens its cutoff with 10 K to spare', () => {
    const guarded = (limit: number) =>
      `${hot({ cartridge: 'cartridge_24v_40w', sensor: `pt1000 {\n hottest = ${limit} degC\n }`, more: 'supply psu is supply_24v_150w\n circuit tool_power {\n fuse is blade_3a\n wire {\n area = 1 mm^2\n length = 0.5 m\n insulation = silicone\n }\n path = [psu, fuse, wire, extruder.hot_end.cutoff, extruder.hot_end.cartridge]\n }\n fan sink_fan is fan_24v_40mm', inside: 'cutoff {\n opens_at = 262 degC\n holds_at = 240 degC\n rated_current = 5 A\n rated_dc_voltage = 30 V\n lag = 3 s\n }' })}`;
    const hottest = valuesOf(guarded(500))('extruder.hot_end.hottest_in_fault') - 273.15;
    expect(errors(guarded(Math.ceil(hottest) + 10))).toEqual([]);
    expect(errors(guarded(Math.floor(hottest) + 9))).toEqual(['hot_end_cutoff_opens_too_late']);
  });
});

describe('a chamber with a heater', () => {
  const chamber = ({
    size = 'size = 400 mm x 400 mm x 500 mm',
    heater = '300 mm x 300 mm',
    power = 300,
    path = '',
    more = '',
    inside = '',
  } = {}) => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_450w
  fan blower is fan_24v_40mm
  ${more}
  chamber {
    ${size}
    wall {
      thickness = 20 mm
      material = mineral_wool
    }
    heater {
      power = ${power} W
      voltage = 24 V
      size = ${heater}
      fan = blower
    }
    sensor is ntc_100k
    ${inside}
  }
  circuit warm {
    fuse is blade_20a
    wire {
      area = 4 mm^2
      length = 0.5 m
      insulation = silicone
    }
    path = [psu, fuse, wire, ${path}chamber.heater]
  }
}
`;
  const link = (sits: string, opens = 150) =>
    `cutoff {\n opens_at = ${opens} degC\n rated_current = 20 A\n rated_dc_voltage = 30 V\n sits = ${sits}\n }`;
  const given = 'temperature = 60 degC';

  test('without a cutoff on it is an error, whatever its size', () => {
    expect(errors(chamber({ heater: '200 mm x 200 mm' }))).toContain('chamber_heater_stuck_on');
    expect(errors(chamber({ size: given }))).toEqual(['chamber_heater_stuck_on']);
    expect(errors(chamber({ size: given, path: 'chamber.cutoff, ', inside: link('in_air') }))).toEqual([
      'chamber_heater_stuck_on',
    ]);
    expect(errors(chamber({ size: given, path: 'chamber.cutoff, ', inside: link('on_heater') }))).toEqual([]);
    // Out of the path it opens nothing: what follows from that stands below it.
    expect(errors(chamber({ size: given, inside: link('on_heater') }))).toEqual(['cutoff_in_no_path']);
    // So it does where nothing can get too hot: that it is meant to guard is not in question.
    const weak = chamber({ size: given, inside: link('on_heater') }).replace(/power = \d+ W/, 'power = 5 W');
    expect(errors(weak)).toEqual(['cutoff_in_no_path']);
  });

  test('judges its element in the air, in use and with its fan stopped', () => {
    const read = valuesOf(chamber({ size: given, heater: '200 mm x 200 mm' }));
    expect(read('chamber.element_without_fan')).toBeGreaterThan(read('chamber.element_in_use') + 20);
    expect(read('chamber.element_without_fan') - 273.15).toBeGreaterThan(200);
    expect(
      errors(
        chamber({ size: given, heater: '120 mm x 120 mm', path: 'chamber.cutoff, ', inside: link('on_heater', 190) }),
      ),
    ).toContain('chamber_heater_too_hot');
  });

  test('has a sensor that is judged as any other', () => {
    const read = (limits: string) =>
      chamber({
        size: given,
        path: 'controller.tool_output, chamber.cutoff, ',
        inside: link('on_heater'),
        more: `board controller is board_5_axis {\n sensor_input tool_input {\n ${limits}\n }\n }`,
      }).replace('sensor is ntc_100k', 'sensor is ntc_100k {\n input = controller.tool_input\n }');
    expect(errors(read('no lowest_plausible\n no highest_plausible'))).toContain('break_not_seen');
    expect(errors(read('lowest_plausible = 0 degC\n highest_plausible = 80 degC'))).not.toContain('break_not_seen');
    expect(broken(read('lowest_plausible = 0 degC\n highest_plausible = 65 degC'))).toContain('target_taken_for_fault');
  });

  test('has a cutoff that stays closed in use', () => {
    const guarded = (opens: number) =>
      broken(chamber({ size: given, path: 'chamber.cutoff, ', inside: link('on_heater', opens) }));
    expect(guarded(100)).toEqual(['chamber_cutoff_opens_in_use']);
    expect(guarded(150)).toEqual([]);
  });
});

describe('a box', () => {
  const box = (text: string) =>
    `machine Bench {\n  ambient = 20 degC\n  box {\n    ${text}\n  }\n  computer brain is computer_5v_15w {\n    place = box\n    limit = 60 degC\n  }\n}\n`;
  test('without a size is as warm as nobody knows', () => {
    expect(undecided(box(''))).toContain('enclosure_too_hot');
    expect(undecided(box('rise = 15 K'))).toEqual([]);
    expect(undecided(box('size = 200 mm x 150 mm x 80 mm'))).toEqual([]);
  });
});

describe('words', () => {
  test('no rule that speaks of what burns, glows or melts goes without a caution', async () => {
    const { library } = await import('./fixtures.ts');
    const bare = library.scope.rules().flatMap(({ node }) => {
      const members = node.body?.members ?? [];
      const caution = members.some((m) => m.$type === 'Clause' && m.keyword === 'caution');
      const text = members
        .map((m) =>
          m.$type === 'Message' ? JSON.stringify(m, (key, value) => (key.startsWith('$') ? undefined : value)) : '',
        )
        .join(' ');
      return !caution && /\b(burn|burns|glow|glows|char|chars|melt|melts)\b/.test(text) ? [node.name?.text] : [];
    });
    expect(bare).toEqual([]);
  });
});

describe('outputs and the sensors that they are switched by', () => {
  const keeps = fixture('heaters_share_output', 'Keeps') ?? '';
  const swapped = 'heater_regulated_by_other_sensor';
  const meant = 'output_meant_for_other';
  const exchange = (text: string, one: string, other: string) =>
    text.replaceAll(one, '…').replaceAll(other, one).replaceAll('…', other);
  const outputs = (text: string) => exchange(text, 'controller.bed_output', 'controller.tool_output');
  const inputs = (text: string) => exchange(text, 'controller.bed_input', 'controller.tool_input');

  test('that are swapped are an error, and each way alike', () => {
    expect(broken(keeps)).toEqual([]);
    expect(broken(outputs(keeps))).toEqual([swapped, swapped, meant]);
    expect(broken(inputs(keeps))).toEqual([swapped, swapped]);
    // Both swapped go together again; but the board's part says what one of its outputs is for, with limits of its own.
    expect(broken(inputs(outputs(keeps)))).toEqual([meant]);
  });

  test('may be joined otherwise, where the controller is set so', () => {
    const set = `output bed_output {
      regulated_by = tool_input
    }
    output tool_output {
      regulated_by = bed_input
    }
    sensor_input bed_input {`;
    expect(broken(inputs(keeps).replace('sensor_input bed_input {', set))).toEqual([]);
    expect(broken(keeps.replace('sensor_input bed_input {', set))).toEqual([swapped, swapped]);
  });

  test('are found through a relay, in the path or in the way back', () => {
    const relay = `relay is relay_dc_25a {
      control = controller.tool_output
    }
    wire`;
    const [before = '', circuits = ''] = keeps.split('  circuit bed_power');
    const forth = circuits.replace('wire', relay).replace('controller.bed_output', 'relay');
    const text = (lines: string) => `${before}  circuit bed_power${lines}`;
    expect(broken(text(forth))).toContain('heaters_share_output');
    const alone = (lines: string) =>
      text(lines.replace('controller.tool_output, wire, chamber', 'controller.bed_output, wire, chamber'));
    expect(broken(alone(forth)).filter((rule) => rule === swapped)).toHaveLength(2);
    const back = forth.replace('fuse, relay, wire, bed.heater]', 'fuse, wire, bed.heater]\n    way_back = [relay]');
    expect(broken(alone(back)).filter((rule) => rule === swapped)).toHaveLength(2);
  });

  test('are not an input that reads nothing: it looks like a wire that broke', () => {
    const text = fixture('regulating_input_empty', 'Breaks') ?? '';
    expect(broken(text)).toEqual(['regulating_input_empty']);
    // Where the controller takes that for a fault it does not heat, which is no danger, and is told.
    const limits =
      'sensor_input tool_input {\n lowest_plausible = 0 degC\n highest_plausible = 120 degC\n }\n sensor_input spare_input {';
    const refused = text.replace('sensor_input spare_input {', limits);
    expect(refused).not.toBe(text);
    expect(broken(refused)).toEqual(['regulating_input_not_said']);
    expect(broken(fixture('regulating_input_empty', 'Keeps') ?? '')).toEqual([]);
  });

  test('of a board that says nothing of them are asked for; what sits nowhere is left alone', () => {
    const own = keeps.replace(
      'board controller is board_5_axis {',
      `board controller {
    voltage = 24 V
    power = 8 W
    output bed_output { rated_current = 10 A }
    output tool_output { rated_current = 5 A }`,
    );
    expect(broken(own)).toEqual(['regulating_input_not_said', 'regulating_input_not_said']);
    const apart = inputs(keeps).replace(
      / {4}sensor is ntc_100k \{\n {6}input = controller.tool_input\n {4}\}/,
      '    sensor = loose',
    );
    expect(apart).toContain('sensor = loose');
    const loose = apart.replace(
      '  bed {',
      '  sensor loose is ntc_100k {\n    input = controller.tool_input\n  }\n  bed {',
    );
    expect(broken(loose)).not.toContain('regulating_input_not_said');
  });
});
