import { expect, test } from 'vitest';
import { breaks, type Pair } from './neighbouring.ts';

// As in neighbours.test.ts, of what moves, melts and is fetched: beside each mistake the good design that is nearest to it. Common practice,
// no source.

const moving = (layout: string, body: string, rest = '') =>
  `supply psu is supply_24v_450w
  ${layout} motion { carriage_mass = 0.5 kg\n bed_mass = 1 kg\n ${body} }
  ${rest}`;

const level = (axis: string, rest: string, speed = 120, acceleration = 1500) =>
  `${axis} { travel = 200 mm\n wanted_speed = ${speed} mm/s\n wanted_acceleration = ${acceleration} mm/s^2\n drive_beside = 0 mm\n ${rest} }`;
const belted = (axis: string, belt: string, speed?: number, acceleration?: number, motor = 'nema17_48mm') =>
  level(
    axis,
    `belt_drive drive { motor is ${motor}\n belt is ${belt}\n pulley is pulley_2mm_20_wide }`,
    speed,
    acceleration,
  );
const upright = (screw: string, rest: string, motors = 'motor is nema17_40mm', drive = '') =>
  `z { travel = 250 mm\n wanted_speed = 8 mm/s\n wanted_acceleration = 100 mm/s^2\n ${rest}
    screw_drive drive { ${motors}\n ${screw}\n ${drive} } }`;
const racked = (axis: string, length: number, rest = 'pinion_teeth = 20\n module = 0.5 mm') =>
  level(axis, `rack_drive drive { motor is nema17_48mm\n ${rest}\n backlash = 0 mm\n rack_length = ${length} mm }`);
const portal = (column: string, height: number) =>
  `portal_frame frame { column = ${column}\n height = ${height} mm\n width = 400 mm\n depth = 400 mm }`;
const towers = (column: string, height: number, rest = '') =>
  `three_tower_frame frame { column = ${column}\n height = ${height} mm\n side = 260 mm\n ${rest} }`;
const delta = (belt: string, acceleration: number, frame: string) => {
  const slide = `drive_beside = 0 mm\n belt_drive drive { motor is nema17_48mm\n belt is ${belt}\n pulley is pulley_2mm_20_wide }`;
  return `supply psu is supply_24v_450w\n delta motion { carriage_mass = 0.25 kg\n slide_mass = 0.1 kg\n bed_mass = 1 kg\n arm_length = 220 mm\n arm_spans = 90 mm
    print_radius = 80 mm\n print_height = 200 mm\n path_speed = 100 mm/s\n path_acceleration = ${acceleration} mm/s^2
    ${['a', 'b', 'c'].map((axis) => `${axis} { ${slide} }`).join('\n')} }\n ${frame}`;
};
/** What is usual, but for what is said. */
const besides = (usual: Readonly<Record<string, string>>, said: string) =>
  [
    ...Object.entries(usual).flatMap(([name, value]) => (said.includes(`${name} =`) ? [] : [`${name} = ${value}`])),
    said,
  ].join('\n');
const fetching = (layout: string, coupling: string, depth = 260, width = 280) =>
  `supply psu is supply_24v_450w
  envelope { room = 500 mm x 500 mm x 500 mm\n tool = 60 mm x 60 mm x 80 mm\n bed = 200 mm x 200 mm\n bench = 800 mm x 800 mm }
  ${layout} motion { carriage_mass = 0.4 kg\n bed_mass = 1 kg\n tools = one_at_a_time
    tool_coupling { ${besides({ pull: '80 N', holds_unpowered: 'yes', heaviest: '0.25 kg', docks: '3' }, coupling)} }
    ${level('x', '').replace('200 mm', `${width} mm`)}\n ${level('y', '').replace('200 mm', `${depth} mm`)}
    z { travel = 200 mm } }`;
const zones = (path: string, power: number, target: number, rest = '') =>
  `supply psu is supply_24v_450w
  circuit bed_power { fuse is blade_15a\n wire { area = 2.5 mm^2\n length = 0.9 m }\n path = [psu, fuse, wire, bed.cutoff, bed.heater] }
  circuit rim_power { fuse is blade_15a\n wire { area = 2.5 mm^2\n length = 0.9 m }\n path = ${path} }
  cutoff second is thermal_link_133c
  bed { target = ${target} degC\n plate { size = 230 mm x 230 mm\n thickness = 3 mm\n material = cast_aluminium }
    heater { size = 230 mm x 115 mm\n power = ${power} W\n voltage = 24 V }
    heater outer_heater { size = 230 mm x 115 mm\n power = ${power} W\n voltage = 24 V\n ${rest} }
    sensor is ntc_100k\n cutoff is thermal_link_133c }`;
const printing = (rest: string, filament = 'pla', target = 220, motor = 'nema17_34mm', current = '') =>
  `extruder { filament = ${filament}\n motor is ${motor} { voltage = 24 V\n ${current} }\n drive_gear is wheel_pair_11mm
    hot_end is hot_end_24v_40w { target = ${target} degC }\n ${rest} }`;
const warm = (inner: string, outer: string, target = 100) =>
  zones('[psu, fuse, wire, second, bed.outer_heater]', 125, target)
    .replace('length = 0.9 m }', `length = 0.9 m\n insulation = ${inner} }`)
    .replace('length = 0.9 m }', `length = 0.9 m\n insulation = ${outer} }`);
/** A nozzle behind a duct, and what holds that. */
const behind = (screws: number, before: string, said = '') =>
  `cover door { screws_out = 2 }\n cover side { screws_out = 2 }\n cover shroud\n ${said}
  cover duct { screws_out = ${screws}\n ${before} }\n ${printing('').replace('degC }', 'degC\n nozzle { off_first = [duct] } }')}`;
const fed = (before: string, screws: number) =>
  `supply psu is supply_24v_450w\n light lamp is strip_24v_300mm\n cover lid { screws_out = ${screws} }
  circuit power { fuse is blade_2a { off_first = [${before}] }\n wire { area = 1 mm^2\n length = 1 m }\n path = [psu, fuse, wire, lamp] }`;
const driven = (drives: string, motion: string) =>
  `board controller is board_6_axis { driver first_driver { drives = ${drives}\n joined = series }\n driver second_driver { no drives } }\n ${motion}`;

const pairs: Readonly<Record<string, readonly Pair[]>> = {
  tool_rings: [
    [
      moving('moving_bed', belted('x', 'belt_2mm_6', 120, 3000), portal('section_20x20', 700)),
      moving('moving_bed', belted('x', 'belt_2mm_6', 120, 3000), portal('section_40x40', 400)),
    ],
    [
      moving('moving_tool', belted('y', 'belt_2mm_6', 120, 9000)),
      moving('moving_tool', belted('y', 'belt_2mm_10', 120, 3000)),
    ],
    [
      delta('belt_2mm_10', 3000, towers('section_20x20', 1000, 'feet_fixed = no')),
      delta('belt_2mm_10', 3000, towers('section_20x40', 560)),
    ],
    [delta('belt_2mm_6', 15_000, ''), delta('belt_2mm_6', 3000, '')],
  ],
  rack_shorter_than_travel: [
    [moving('moving_tool', racked('x', 200)), moving('moving_tool', racked('x', 204))],
    [moving('moving_bed', racked('y', 180)), moving('moving_bed', racked('y', 250))],
    [
      moving(
        'crossed_belts',
        racked('z', 205, 'pinion_teeth = 15\n module = 1 mm').replace('z {', 'z {\n vertical = yes\n'),
      ),
      moving(
        'crossed_belts',
        racked('z', 207, 'pinion_teeth = 15\n module = 1 mm').replace('z {', 'z {\n vertical = yes\n'),
      ),
    ],
  ],
  // A beam that is lifted at one of its ends: what hangs at the other tilts it.
  edge_droops: [
    [
      moving(
        'moving_bed',
        upright(
          'screw is screw_8x2',
          'drive_beside = 0 mm\n mass_beside = 140 mm\n guide * 2 is rod_8mm { length = 320 mm\n reach = 300 mm }',
        ),
      ),
      moving(
        'moving_bed',
        upright(
          'screw is screw_8x2',
          'drive_beside = 0 mm\n mass_beside = 140 mm\n guide * 2 is rod_12mm { length = 320 mm\n reach = 120 mm }',
        ),
      ),
    ],
    [
      moving(
        'moving_bed',
        upright(
          'screw is screw_8x2',
          'drive_beside = 20 mm\n mass_beside = 150 mm\n guide * 2 is rod_8mm { length = 300 mm\n reach = 250 mm }',
        ),
      ),
      moving(
        'moving_bed',
        upright(
          'screw * 2 is screw_8x2',
          'drive_beside = 0 mm\n mass_beside = 0 mm\n guide * 2 is rod_8mm { length = 300 mm\n reach = 250 mm }',
          'motor * 2 is nema17_40mm',
        ),
      ),
    ],
    [
      moving(
        'crossed_belts',
        upright(
          'screw is screw_8x2',
          'drive_beside = 0 mm\n mass_beside = 110 mm\n guide * 2 is rod_8mm { length = 320 mm\n reach = 220 mm }',
        ),
      ),
      moving(
        'crossed_belts',
        upright(
          'screw is screw_8x2',
          'drive_beside = 0 mm\n mass_beside = 0 mm\n guide * 2 is rod_8mm { length = 320 mm\n reach = 110 mm }',
        ),
      ),
    ],
  ],
  guide_binds: [
    [
      moving(
        'moving_bed',
        upright(
          'screw is screw_8x2',
          'drive_beside = 0 mm\n mass_beside = 140 mm\n guide * 2 is rod_10mm { length = 320 mm\n bearing_spacing = 30 mm }',
        ),
      ),
      moving(
        'moving_bed',
        upright(
          'screw is screw_8x2',
          'drive_beside = 0 mm\n mass_beside = 140 mm\n guide * 2 is rod_10mm { length = 360 mm\n bearing_spacing = 80 mm }',
        ),
      ),
    ],
    [
      moving(
        'moving_tool',
        level('y', 'guide * 2 is rod_10mm { length = 300 mm\n bearing_spacing = 40 mm }').replace(
          'drive_beside = 0 mm',
          'drive_beside = 250 mm',
        ),
      ),
      moving('moving_tool', level('y', 'guide * 2 is rod_10mm { length = 300 mm\n bearing_spacing = 40 mm }')),
    ],
    [
      moving(
        'crossed_belts',
        upright(
          'screw is screw_8x2',
          'drive_beside = 120 mm\n mass_beside = 0 mm\n guide * 2 is rod_12mm { length = 320 mm\n bearing_spacing = 35 mm }',
        ),
      ),
      moving(
        'crossed_belts',
        upright(
          'screw is screw_8x2',
          'drive_beside = 120 mm\n mass_beside = 0 mm\n guide * 2 is rod_12mm { length = 420 mm\n bearing_spacing = 90 mm }',
        ),
      ),
    ],
  ],
  falls_without_power: [
    [
      moving('moving_bed', upright('screw is screw_8x8', '').replace('z {', 'z {\n')).replace('0.5 kg', '2 kg'),
      moving('moving_bed', upright('screw is screw_8x2', '')).replace('0.5 kg', '2 kg'),
    ],
    [
      moving('crossed_belts', upright('screw * 2 is ball_screw_12x4', '', 'motor * 2 is nema17_40mm')).replace(
        'bed_mass = 1 kg',
        'bed_mass = 3 kg',
      ),
      moving(
        'crossed_belts',
        upright('screw * 2 is ball_screw_12x4', '', 'motor * 2 is nema17_40mm', 'brake = 10 N*cm'),
      ).replace('bed_mass = 1 kg', 'bed_mass = 3 kg'),
    ],
    [
      moving(
        'moving_tool',
        `lifts = gantry\n gantry_mass = 3 kg\n ${upright('screw * 4 is screw_8x8', '', 'motor * 4 is nema17_34mm')}`,
      ),
      moving(
        'moving_tool',
        `lifts = gantry\n gantry_mass = 3 kg\n ${upright('screw * 4 is screw_8x2', '', 'motor * 4 is nema17_34mm')}`,
      ),
    ],
  ],
  motor_stalls: [
    [
      moving('moving_bed', belted('y', 'belt_2mm_10', 600, 9000)),
      moving('moving_bed', belted('y', 'belt_2mm_10', 200, 3000)),
    ],
    [
      moving('moving_tool', upright('screw is screw_8x2 { length = 300 mm }', '').replace('= 8 mm/s', '= 60 mm/s')),
      moving('moving_tool', upright('screw is screw_8x8 { length = 300 mm }', '').replace('= 8 mm/s', '= 20 mm/s')),
    ],
    [
      delta('belt_2mm_6', 3000, '').replaceAll('nema17_48mm', 'nema14_28mm').replace('0.25 kg', '1.2 kg'),
      delta('belt_2mm_6', 3000, ''),
    ],
  ],
  tool_lifts_off: [
    [fetching('crossed_belts', 'pull = 30 N'), fetching('crossed_belts', '')],
    [
      fetching('moving_tool', 'heaviest = 0.9 kg'),
      fetching('moving_tool', 'heaviest = 0.9 kg\n seat_radius = 40 mm\n pull = 150 N'),
    ],
    [fetching('moving_bed', 'tool_ahead = 110 mm'), fetching('moving_bed', 'tool_ahead = 50 mm')],
  ],
  tool_falls_without_power: [
    [fetching('crossed_belts', 'holds_unpowered = no'), fetching('crossed_belts', '')],
    [fetching('moving_tool', 'holds_unpowered = no\n pull = 300 N'), fetching('moving_tool', 'pull = 300 N')],
    [fetching('moving_bed', 'holds_unpowered = no'), fetching('moving_bed', '')],
  ],
  tool_seats_loosely: [
    [fetching('crossed_belts', 'repeats_to = 0.15 mm'), fetching('crossed_belts', 'repeats_to = 0.03 mm')],
    [fetching('moving_tool', 'repeats_to = 0.06 mm'), fetching('moving_tool', '')],
    [fetching('moving_bed', 'allowed_shift = 0.01 mm'), fetching('moving_bed', 'allowed_shift = 0.02 mm')],
  ],
  docks_beyond_travel: [
    [fetching('crossed_belts', 'docks = 6'), fetching('crossed_belts', 'docks = 5')],
    [fetching('moving_tool', 'dock_distance = 150 mm'), fetching('moving_tool', 'dock_distance = 140 mm')],
    [fetching('moving_bed', '', 260, 130), fetching('moving_bed', 'docks = 2', 260, 130)],
  ],
  docks_over_print: [
    [fetching('crossed_belts', '', 220), fetching('crossed_belts', '', 250)],
    [fetching('moving_tool', 'dock_depth = 90 mm'), fetching('moving_tool', 'dock_depth = 60 mm')],
    [fetching('moving_bed', '', 240), fetching('moving_bed', 'depth_wanted = 190 mm', 240)],
  ],
  nut_forced_askew: [
    ['moving_bed', 'screw_8x2', 'bend = 0.9 mm', ''],
    ['crossed_belts', 'screw_10x2', 'nut_length = 40 mm\n bend = 0.3 mm', 'bend = 0.3 mm'],
    ['moving_tool', 'ball_screw_12x4', 'bend = 0.5 mm', 'bend = 0.5 mm\n nut_floats = yes'],
  ].map(([layout = '', screw, bent, straight]): Pair => {
    const at = (rest: unknown) => moving(layout, upright(`screw is ${screw} { length = 300 mm\n ${rest} }`, ''));
    return [at(bent), at(straight)];
  }),
  driver_turns_two_things: [
    [
      driven(
        '[motion.x.drive.motor, motion.y.drive.motor]',
        moving('moving_tool', `${belted('x', 'belt_2mm_6')}\n ${belted('y', 'belt_2mm_6')}`),
      ),
      driven(
        '[motion.x.drive.motor]',
        moving('moving_tool', `${belted('x', 'belt_2mm_6')}\n ${belted('y', 'belt_2mm_6')}`),
      ),
    ],
    [
      driven(
        '[motion.z.drive.motor, extruder.motor]',
        `${moving('moving_bed', upright('screw is screw_8x2', ''))}\n ${printing('')}`,
      ),
      // Two motors of one axis, one after the other.
      driven(
        '[motion.z.drive.one, motion.z.drive.other]',
        `${moving('moving_bed', upright('screw * 2 is screw_8x2', '', 'motor one is nema17_40mm\n motor other is nema17_40mm'))}\n ${printing('')}`,
      ),
    ],
    [
      driven(
        '[first.motor, second.motor]',
        `supply psu is supply_24v_450w\n ${printing('').replace('extruder', 'extruder first')}\n ${printing('').replace('extruder', 'extruder second')}`,
      ),
      driven(
        '[first.motor]',
        `supply psu is supply_24v_450w\n ${printing('').replace('extruder', 'extruder first')}\n ${printing('').replace('extruder', 'extruder second')}`,
      ),
    ],
  ],
  load_resistance_unread: [
    ['fan blower is fan_24v_40mm { resistance = 240 ohm }', 'fan blower is fan_24v_40mm'],
    ['computer host is computer_5v_15w { resistance = 2 ohm }', 'computer host is computer_5v_15w'],
    // What is a resistance draws by it.
    [
      'board controller is board_5_axis { resistance = 1 ohm }',
      'light lamp is strip_24v_300mm { resistance = 100 ohm }',
    ],
  ],
  bed_wire_ends_too_hot: [
    // The wire of either heater.
    [warm('pvc', 'silicone'), warm('silicone', 'silicone')],
    [warm('silicone', 'pvc'), warm('silicone', 'silicone')],
    [warm('pvc', 'pvc'), warm('pvc', 'pvc', 50)],
  ],
  reached_through_too_much: [
    [behind(4, 'off_first = [door, side, shroud]'), behind(4, 'off_first = [door, side]')],
    [behind(9, ''), behind(9, '', 'most_screws_off = 9')],
    [fed('lid', 10), fed('lid', 8)],
  ],
  stands_in_its_own_way: [
    ['cover lid { off_first = [lid] }', 'cover lid'],
    [
      behind(4, 'off_first = [door]').replace('door {', 'door { off_first = [duct]\n'),
      behind(4, 'off_first = [door]').replace('door {', 'door { off_first = [side]\n'),
    ],
    // Something stands before both of two: no ring.
    [
      'cover top { off_first = [left] }\n cover left { off_first = [right] }\n cover right { off_first = [top] }',
      'cover top\n cover left { off_first = [top] }\n cover right { off_first = [top, left] }',
    ],
  ],
  outer_heater_unprotected: [
    [
      zones('[psu, fuse, wire, bed.outer_heater]', 125, 100),
      zones('[psu, fuse, wire, second, bed.outer_heater]', 125, 100),
    ],
    // One that opens later than that of the other.
    [
      zones('[psu, fuse, wire, second, bed.outer_heater]', 125, 90).replace(
        'cutoff second is thermal_link_133c',
        'cutoff second is thermal_link_133c { opens_at = 152 degC\n holds_at = 120 degC }',
      ),
      zones('[psu, fuse, wire, second, bed.outer_heater]', 125, 90),
    ],
    // So weak that it harms nothing with both stuck on.
    [zones('[psu, fuse, wire, bed.outer_heater]', 90, 60), zones('[psu, fuse, wire, bed.outer_heater]', 12, 60)],
  ],
  outer_heater_limit_below_target: [
    [
      zones('[psu, fuse, wire, second, bed.outer_heater]', 125, 100, 'limit = 105 degC'),
      zones('[psu, fuse, wire, second, bed.outer_heater]', 125, 100),
    ],
    [
      zones('[psu, fuse, wire, second, bed.outer_heater]', 60, 110, 'limit = 120 degC'),
      zones('[psu, fuse, wire, second, bed.outer_heater]', 60, 60, 'limit = 120 degC'),
    ],
    [
      zones('[psu, fuse, wire, second, bed.outer_heater]', 300, 110, 'limit = 140 degC'),
      zones('[psu, fuse, wire, second, bed.outer_heater]', 40, 110, 'limit = 140 degC'),
    ],
  ],
  retraction_loses_steps: [
    [
      printing('gear_train is strain_wave_100\n retraction { speed = 40 mm/s }'),
      printing('gear_train is planetary_5\n retraction { speed = 40 mm/s }'),
    ],
    [
      printing('gear_train is strain_wave_100\n retraction { speed = 15 mm/s\n length = 1 mm }'),
      printing('gear_train is gears_18_53\n retraction { speed = 40 mm/s }'),
    ],
    [
      printing('retraction { acceleration = 200 m/s^2\n speed = 200 mm/s\n length = 1 mm }'),
      printing('retraction { acceleration = 2 m/s^2 }'),
    ],
  ],
  flow_beyond_limit: [
    [printing('bead_speed = 140 mm/s'), printing('bead_speed = 100 mm/s')],
    [printing('bead_speed = 100 mm/s', 'pla', 195), printing('bead_speed = 60 mm/s', 'pla', 200)],
    // A small motor without gears, and with them.
    [
      printing('bead_speed = 90 mm/s', 'pla', 220, 'nema14_28mm'),
      printing('bead_speed = 90 mm/s\n gear_train is gears_18_53', 'pla', 220, 'nema14_28mm'),
    ],
  ],
  drive_softens_filament: [
    ['1.3 A', 45, '', '0.7 A', 25, ''],
    ['1 A', 50, '', '1 A', 50, 'gear_train is gears_18_53'],
    ['1.3 A', 50, 'gear_train is planetary_5', '0.6 A', 25, 'gear_train is planetary_5'],
  ].map(([hot, warm, train, cool, air, other]): Pair => {
    const at = (current: unknown, around: unknown, rest: unknown) =>
      `${printing(`place = oven\n ${rest}`, 'pla', 220, 'nema17_34mm', `set_current = ${current}`)}\n place oven { temperature = ${around} degC }`;
    return [at(hot, warm, train), at(cool, air, other)];
  }),
};

test.each(Object.keys(pairs))('%s catches three mistakes, and spares their neighbours', (rule) => {
  const those = pairs[rule] ?? [];
  expect(those.length).toBeGreaterThanOrEqual(3);
  expect(breaks(rule, those.flat())).toEqual(those.flatMap(() => [true, false]));
});
