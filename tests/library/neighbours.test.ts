import { expect, test } from 'vitest';
import { breaks, type Pair } from './neighbouring.ts';

// Common practice, no source: beside each mistake the good design that is nearest to it. Of a rule three mistakes at least are caught, in machines
// of different sorts, and their neighbours are spared.

const moving = (layout: string, body: string, rest = '') =>
  `supply psu is supply_24v_450w
  ${layout} motion {
    carriage_mass = 0.6 kg
    bed_mass = 1 kg
    ${body}
  }
  ${rest}`;

const level = (axis: string, rest: string) =>
  `${axis} { travel = 200 mm\n wanted_speed = 100 mm/s\n wanted_acceleration = 1500 mm/s^2\n ${rest} }`;

const belted = (axis: string, rest: string, pulley = '', motors = 'motor is nema17_40mm') =>
  level(axis, `belt_drive drive { ${motors}\n belt is belt_2mm_6\n pulley is pulley_2mm_20 { ${pulley} }\n ${rest} }`);

const lifted = (rest: string, motors = 'motor is nema17_40mm') =>
  `z { travel = 250 mm\n wanted_speed = 10 mm/s\n wanted_acceleration = 100 mm/s^2\n screw_drive drive { ${motors}\n ${rest} } }`;

const crossed = (width: number, rest = '') =>
  moving(
    'crossed_belts',
    `${level('x', '')}\n ${level('y', '')}
    pair is crossed_pair { width_span = ${width} mm\n depth_span = 320 mm\n ${rest} }`,
  );

const printing = (
  rest: string,
  nozzle = '',
  target: number | string = 220,
  parts: number | string = '',
  filament = 'pla',
) =>
  `extruder { filament = ${filament}\n motor is nema17_34mm\n drive_gear is wheel_pair_11mm
  hot_end is hot_end_24v_40w { target = ${target} degC\n nozzle { ${nozzle} }\n ${parts} }\n ${rest} }`;

/** What is to be printed, where the nozzle goes 220 mm by 200 mm by 180 mm over a bed of 230 mm. */
const wanted = (job: string, reach = '220 mm x 200 mm x 180 mm', layout = '') =>
  `${layout}
  bed { plate { size = 230 mm x 230 mm } }
  envelope { travel = ${reach} }
  ${printing('')}
  job thing { volume = 100 cm^3\n ${job} }`;

/** A bed that a probe looks for. */
const lying = (plate: string, above: string, probe = 'bed_probe is probe_inductive') =>
  `bed { target = 60 degC\n plate { size = 200 mm x 200 mm\n thickness = 4 mm\n material = ${plate} }\n ${above} }
  levelling { supports = 160 mm x 160 mm\n ${probe} }`;

/** A probe over a hot bed, in air of a temperature. */
const over = (bed: number, air: number) =>
  `${lying('cast_aluminium', '', 'bed_probe is probe_inductive { place = tool }').replace('60 degC', `${bed} degC`)}
  tool { temperature = ${air} degC }`;

/** A tool of a mass that hangs beside one guide of an axis, and below it. */
const hanging = (layout: string, mass: number, beside: number, below: number, guide: string) =>
  moving(
    layout,
    `${level('x', `drive_beside = 0 mm\n mass_beside = ${beside} mm\n mass_below = ${below} mm\n ${guide}`)}
    ${layout === 'moving_bed' ? '' : level('y', '')}`,
  ).replace('0.6 kg', `${mass} kg`);

/** A rail on a bar, in air of a temperature. */
const warm = (bar: string, air: number, rest = '') =>
  moving(
    'moving_bed',
    `place = tool\n ${level('x', `guide is rail_12mm { length = 400 mm\n carrier = ${bar}\n ${rest} }`)}`,
    `tool { temperature = ${air} degC }`,
  );

/** What an output of a board switches. */
const switching = (output: string, load: string) =>
  `${printing('')}\n ${lying('cast_aluminium', 'heater { power = 60 W\n voltage = 24 V }')}
  supply psu is supply_24v_450w\n board controller is board_5_axis\n light lamp { power = 5 W\n voltage = 24 V }
  circuit { fuse is blade_5a\n path = [psu, fuse, controller.${output}, ${load}] }`;

/** A wire and the connector that it ends at. */
const joined = (connector: string, rest: string) =>
  `supply psu is supply_24v_450w\n light lamp { power = 5 W\n voltage = 24 V }
  circuit { connector is ${connector}\n wire { area = 1 mm^2\n length = 0.5 m\n ${rest} }
    path = [psu, connector, wire, lamp] }`;

/** What is printed from a filament, with fans for it. */
const cooled = (filament: string, fans: string, rest: string, target = 240) =>
  `${fans}\n ${printing(`print_fans = [part_fan]\n ${rest}`, '', target, '', filament)}`;

/** A machine with a fan at the cold side, fed by an output, and one for the print. */
const blown = (board: string, output: string, rest = 'print_fans = [part_fan]', filament = 'pla') =>
  `supply psu is supply_24v_450w\n board controller is ${board}
  fan sink_fan is fan_24v_40mm\n fan part_fan is fan_24v_50mm_blower
  circuit sink_fan_power is fan_circuit { path = [controller.fan_output, fuse, connector, wire, sink_fan] }
  circuit part_fan_power is fan_circuit { path = [${output}, fuse, connector, wire, part_fan] }
  ${printing(rest, '', 240, 'heat_sink { fan = sink_fan }', filament)}`;

/** A chain that leads a wire of an area to what a motion moves. */
const chained = (layout: string, chain: string, area: number, rest = '') =>
  `${moving(layout, level('x', ''))}\n light lamp is strip_24v_300mm
  cable_chain chain is ${chain} { length = 300 mm\n follows = motion.x\n carries = [lamp_power.wire]\n ${rest} }
  circuit lamp_power { fuse is blade_1a\n wire { area = ${area} mm^2\n length = 1 m }\n path = [psu, fuse, wire, lamp] }`;

/** A bed on a plate of a material, with a side in millimetres, heated by some watts. */
const bent = (material: string, side: number, power: number, target: number, rest = '') =>
  `bed { target = ${target} degC\n plate { size = ${side} mm x ${side} mm\n thickness = 4 mm\n material = ${material} }
  heater { power = ${power} W\n voltage = 24 V\n material = silicone_rubber }\n sensor is ntc_100k\n ${rest} }`;

/** A hot end whose heater a board feeds by a wire and a plug, in which what is said sits. */
const heated = (target: number, wire: string, plug: string, cartridge = '', rest = '') =>
  `supply psu is supply_24v_450w\n board controller is board_5_axis\n connector plug is two_row_4_2mm { ${plug} }
  ${printing('', '', target, `cartridge { ${cartridge} }`)}
  circuit board_power is board_circuit_10a { wire { length = 0.3 m }\n path = [psu, fuse, wire, controller] }
  circuit tool_power is tool_circuit { wire { length = 1 m\n ${wire} }
    path = [controller.tool_output, fuse, plug, wire, extruder.hot_end.cartridge] }\n ${rest}`;

const lamp = 'power = 5 W\n voltage = 24 V';

/** A board on a supply, with a light on a path, and what else a machine says. */
const lit = (board: string, path: string, rest = '', light = lamp, psu = '') =>
  `supply psu is supply_24v_450w { ${psu} }\n board controller is ${board}\n light lamp { ${light} }
  circuit board_power is board_circuit_10a { wire { length = 0.3 m }\n path = [psu, fuse, wire, controller] }
  circuit lamp_power is fan_circuit { path = [${path}, fuse, connector, wire, lamp] }\n ${rest}`;

/** A probe on a path, that a board's input reads. */
const probing = (board: string, path: string, rest = '', psu = '') =>
  `supply psu is supply_24v_450w { ${psu} }\n board controller is ${board}\n probe finder is probe_pulling_down { input = controller.z_input }
  circuit board_power is board_circuit_10a { wire { length = 0.3 m }\n path = [psu, fuse, wire, controller] }
  circuit finder_power is fan_circuit { path = [${path}, fuse, connector, wire, finder] }\n ${rest}`;

const pairs: Readonly<Record<string, readonly Pair[]>> = {
  held_too_loosely: [
    ['moving_bed', 'x', 'guide is rod_10mm', 'guide * 2 is rod_8mm'],
    ['moving_tool', 'y', 'may_tilt = yes\n guide * 2 is rail_12mm', 'guide * 2 is rail_12mm'],
    [
      'crossed_belts',
      'z',
      'may_tilt = yes\n guide * 3 is rail_12mm\n screw_drive drive { screw * 2 is screw_8x2 }',
      'may_tilt = yes\n guide * 3 is rail_12mm\n screw_drive drive { screw * 3 is screw_8x2 }',
    ],
  ].map(([layout = '', axis = '', loose = '', held = '']): Pair => {
    const at = (rest: string) => moving(layout, level(axis, rest));
    return [at(loose), at(held)];
  }),
  tilted_against_guides: [
    ['moving_tool', 3, 'may_tilt = no\n guide * 4 is rod_12mm', 'may_tilt = yes\n guide * 3 is rod_12mm'],
    ['crossed_belts', 4, 'may_tilt = no\n guide * 4 is rail_12mm', 'may_tilt = yes\n guide * 3 is rail_12mm'],
    // A belt joins the screws: nothing tilts.
    [
      'moving_bed',
      3,
      'may_tilt = no\n guide * 3 is rod_10mm',
      'may_tilt = no\n guide * 3 is rod_10mm',
      'screws_joined = yes',
    ],
  ].map(([layout, number, stiff, free, joined = '']): Pair => {
    const at = (guides: unknown, rest: unknown) =>
      moving(
        `${layout}`,
        lifted(`screw * ${number} is screw_8x2\n ${rest}`, `motor * ${number} is nema17_40mm`).replace(
          'z {',
          `z { ${guides}\n`,
        ),
      );
    return [at(stiff, ''), at(free, joined)];
  }),
  guides_not_parallel: [
    ['moving_tool', 'y', 'set_by_runner = no\n guide * 2 is rail_12mm', 'guide * 2 is rail_12mm'],
    ['moving_bed', 'x', 'set_by_runner = no\n guide * 2 is rod_8mm', 'parallel_error = 0.05 mm\n guide * 2 is rod_8mm'],
    [
      'crossed_belts',
      'y',
      'parallel_error = 0.4 mm\n wheel_guide guide * 2 { carrier = section_20x40 }',
      'set_by_runner = no\n wheel_guide guide * 2 { carrier = section_20x40 }',
    ],
  ].map(([layout = '', axis = '', wrong = '', right = '']): Pair => {
    const at = (rest: string) => moving(layout, level(axis, rest));
    return [at(wrong), at(right)];
  }),
  guides_too_many: [
    ['moving_tool', 'z', 'guide * 8 is rod_12mm', 'guide * 4 is rod_12mm'],
    ['crossed_belts', 'y', 'guide * 6 is rail_12mm', 'guide * 2 is rail_12mm { blocks = 3 }'],
    ['moving_bed', 'y', 'guide * 5 is rod_8mm', 'guide * 3 is rod_8mm'],
  ].map(([layout = '', axis = '', many = '', few = '']): Pair => {
    const at = (rest: string) => moving(layout, level(axis, rest));
    return [at(many), at(few)];
  }),
  nut_plays: [
    ['moving_bed', 'x', 'screw_8x8', 'ball_screw_12x4'],
    ['moving_tool', 'y', 'screw_10x2', 'screw_10x2 { nut_play = 0 mm }'],
    // What is lifted presses its nuts to one side, unless it is flung.
    ['crossed_belts', 'z', 'screw_8x2', 'screw_8x2'],
  ].map(([layout = '', axis = '', wrong = '', right = '']): Pair => {
    const at = (screw: string, acceleration: number) =>
      moving(layout, level(axis, `screw_drive drive { motor is nema17_40mm\n screw is ${screw} }`)).replace(
        '1500 mm/s^2',
        `${acceleration} mm/s^2`,
      );
    return axis === 'z' ? [at(wrong, 11_000), at(right, 1500)] : [at(wrong, 1500), at(right, 1500)];
  }),
  screw_wobbles: [
    ['moving_bed', 'ball_screw_12x4', 'ends = fixed_fixed', 'ends = fixed_free', 'rod_12mm'],
    ['moving_tool', 'screw_10x2', 'ends = fixed_fixed', 'ends = fixed_fixed\n nut_floats = yes', 'rod_8mm'],
    ['crossed_belts', 'screw_10x2', 'bend = 0.3 mm', 'bend = 0.05 mm', 'rod_8mm'],
  ].map(([layout = '', screw = '', wrong = '', right = '', rod = '']): Pair => {
    const at = (rest: string) =>
      moving(
        layout,
        lifted(`screw * 2 is ${screw} { length = 300 mm\n ${rest} }`, 'motor * 2 is nema17_40mm').replace(
          'z {',
          `z { guide * 2 is ${rod} { length = 330 mm }\n`,
        ),
      );
    return [at(wrong), at(right)];
  }),
  first_layer_drifts: [
    [220, 'ambient', 'found_when = cold', 'found_when = heated'],
    [285, 'ambient', 'found_when = cold', 'found_when = cold\n first_layer = 0.6 mm'],
    [260, 'tool', 'found_when = heated', 'found_when = soaked'],
  ].map(([target, air, wrong, right]): Pair => {
    const at = (found: unknown) =>
      `${lying('cast_aluminium', 'heater { power = 200 W\n voltage = 24 V }').replace('bed_probe is', `${found}\n bed_probe is`)}
      ${printing('', '', `${target}`)}
      ${moving('crossed_belts', `${air === 'tool' ? 'place = tool\n' : ''} z { travel = 300 mm\n screw_drive drive { screw is screw_8x2 } }`)}
      tool { temperature = 60 degC }
      box_frame frame { column = section_20x20\n height = 400 mm\n width = 400 mm\n depth = 400 mm }`;
    return [at(wrong), at(right)];
  }),
  guide_wears_out: [
    [
      'moving_bed',
      'x',
      'guide * 2 is rod_8mm_plain { worn_after = 100 km }',
      'guide * 2 is rod_8mm_plain { worn_after = 3000 km }',
    ],
    ['moving_tool', 'y', 'guide is rail_7mm { rated_load = 15 N }', 'guide is rail_7mm'],
    [
      'crossed_belts',
      'x',
      'wheel_guide guide { carrier = section_20x40\n rated_load = 0.5 N }',
      'wheel_guide guide { carrier = section_20x40 }',
    ],
  ].map(([layout = '', axis = '', wrong = '', right = '']): Pair => {
    const at = (rest: string) => moving(layout, level(axis, rest));
    return [at(wrong), at(right)];
  }),
  nut_wears_out: [
    ['moving_bed', 'x', 'screw_8x2 { wear_resistance = 1e8 MPa }', 'screw_8x8'],
    ['moving_tool', 'y', 'screw_8x2 { wear_resistance = 1e8 MPa }', 'screw_8x2'],
    [
      'crossed_belts',
      'x',
      'screw_8x2 { nut_length = 5 mm\n wear_resistance = 3e8 MPa }',
      'screw_8x2 { nut_length = 30 mm\n wear_resistance = 3e8 MPa }',
    ],
  ].map(([layout = '', axis = '', wrong = '', right = '']): Pair => {
    const at = (screw: string) =>
      moving(layout, level(axis, `screw_drive drive { motor is nema17_40mm\n screw is ${screw} }`));
    return [at(wrong), at(right)];
  }),
  printed_part_creeps: [
    ['pla', 60, 40, 6, 'pla', 60, 40, 10],
    ['petg', 30, 50, 5, 'petg', 30, 25, 5],
    ['abs_polymer', 100, 30, 8, 'polycarbonate', 60, 30, 8],
  ].map((numbers): Pair => {
    const at = ([filament, force, lever, thick]: readonly (number | string)[]) =>
      `printed_part bracket { filament = ${filament}\n steady_force = ${force} N\n lever = ${lever} mm
      bent_width = 20 mm\n bent_thickness = ${thick} mm }`;
    return [at(numbers.slice(0, 4)), at(numbers.slice(4))];
  }),
  belt_slackens_on_print: [
    ['moving_bed', 'y', 'petg', 6, 14],
    ['moving_tool', 'x', 'pla', 5, 14],
    ['crossed_belts', '', 'abs_polymer', 6, 30],
  ].map(([layout, axis, filament, thin, thick]): Pair => {
    const drive = axis ? `motion.${axis}.drive` : 'motion.pair';
    const at = (thickness: unknown) =>
      `${axis ? moving(`${layout}`, belted(`${axis}`, 'tension = 12 N')) : crossed(320, 'tension = 22 N\n motor a is nema17_40mm\n motor b is nema17_40mm')}
      printed_part bracket { filament = ${filament}\n holds_belt_of = ${drive}\n lever = 30 mm
      bent_width = 40 mm\n bent_thickness = ${thickness} mm }`;
    return [at(thin), at(thick)];
  }),
  belt_tightens_at_end: [
    ['moving_bed', 'x', 'clamp_beside = 6 mm', 'clamp_beside = 1 mm'],
    [
      'moving_tool',
      'y',
      'clamp_beside = -10 mm\n shortest_strand = 60 mm',
      'clamp_beside = -10 mm\n shortest_strand = 148 mm',
    ],
    [
      'moving_bed',
      'y',
      'clamp_beside = 3 mm\n shortest_strand = 10 mm',
      'clamp_beside = 3 mm\n shortest_strand = 75 mm',
    ],
  ].map(
    ([layout = '', axis = '', wrong = '', right = '']): Pair => [
      moving(layout, belted(axis, wrong)),
      moving(layout, belted(axis, right)),
    ],
  ),
  belt_runs_askew: [
    [
      moving('moving_bed', belted('x', 'out_of_plane = 2 mm')),
      moving('moving_bed', belted('x', 'out_of_plane = 1 mm')),
    ],
    [
      moving('moving_tool', belted('y', 'out_of_plane = -3 mm')),
      moving('moving_tool', belted('y', 'span = 800 mm\n out_of_plane = -3 mm')),
    ],
    [crossed(320, 'out_of_plane = 5 mm'), crossed(320, 'out_of_plane = 2 mm')],
  ],
  belts_pull_unlike: [
    [crossed(320, 'other_tension = 20 N'), crossed(320, 'other_tension = 17 N')],
    [crossed(320, 'tension = 22 N\n other_tension = 16 N'), crossed(320, 'tension = 22 N')],
    [crossed(300, 'other_tension = 12 N'), crossed(300, 'other_tension = 15 N')],
  ],
  carriages_meet: [
    [300, 380, 60, 440, 60],
    [200, 310, 70, 310, 50],
    [400, 500, 60, 560, 80],
  ].map(([travel, short, wide, long, narrow]): Pair => {
    const at = (length: unknown, width: unknown) =>
      `twin_carriages motion { carriage_mass = 0.4 kg\n carriage_width = ${width} mm
      x { travel = ${travel} mm\n guide is rail_12mm { length = ${length} mm } }\n second { travel = ${travel} mm } }`;
    return [at(short, wide), at(long, narrow)];
  }),
  guide_shorter_than_travel: [
    ['moving_bed', 'x', 'guide is rod_8mm { length = 240 mm }', 'guide is rod_8mm { length = 250 mm }'],
    ['crossed_belts', 'y', 'guide is rail_12mm { length = 220 mm }', 'guide is rail_12mm { length = 240 mm }'],
    [
      'moving_tool',
      'x',
      'wheel_guide guide { length = 230 mm\n carrier = section_20x40 }',
      'wheel_guide guide { length = 240 mm\n carrier = section_20x40 }',
    ],
  ].map(
    ([layout = '', axis = '', short = '', long = '']): Pair => [
      moving(layout, level(axis, `${short}`)),
      moving(layout, level(axis, `${long}`)),
    ],
  ),
  screw_shorter_than_travel: ['moving_bed', 'crossed_belts', 'moving_tool'].map(
    (layout): Pair => [
      moving(layout, lifted('screw is screw_8x2 { length = 240 mm }')),
      moving(layout, lifted('screw is screw_8x2 { length = 270 mm }')),
    ],
  ),
  belt_shorter_than_travel: [
    [moving('moving_bed', belted('y', 'span = 250 mm')), moving('moving_bed', belted('y', 'span = 265 mm'))],
    [
      moving('moving_tool', belted('x', 'span = 240 mm')),
      moving('moving_tool', belted('x', 'span = 240 mm\n carriage_length = 40 mm')),
    ],
    [crossed(250), crossed(320)],
  ],
  belt_bent_too_tight: [
    [moving('moving_bed', belted('x', '', 'teeth = 10')), moving('moving_bed', belted('x', '', 'teeth = 16'))],
    [
      moving('moving_tool', belted('y', 'idler_diameter = 5 mm')),
      moving('moving_tool', belted('y', 'idler_diameter = 9 mm')),
    ],
    [crossed(320, 'pulley * 2 is pulley_t25_20 { teeth = 10 }'), crossed(320)],
  ],
  motors_step_unlike: [
    ['motor a is nema17_40mm\n motor b is nema17_40mm { full_steps = 400 }', 'motor * 2 is nema17_40mm'],
    [
      'motor a is nema17_40mm\n motor b is nema17_40mm { microsteps = 32 }',
      'motor a is nema17_40mm { microsteps = 32 }\n motor b is nema17_40mm { microsteps = 32 }',
    ],
    [
      'motor a is nema17_40mm\n motor b is nema17_40mm { full_steps = 400 }',
      'motor a is nema17_40mm\n motor b is nema17_40mm { full_steps = 400\n microsteps = 8 }',
    ],
  ].map(([unlike = '', alike = ''], i): Pair => {
    const layout = ['moving_bed', 'crossed_belts', 'moving_tool'][i] as string;
    const screws = 'screw * 2 is screw_8x2 { length = 300 mm }';
    return [moving(layout, lifted(screws, unlike)), moving(layout, lifted(screws, alike))];
  }),
  motors_turn_apart: [
    ['motor a is nema17_40mm\n motor b is nema17_40mm { reversed = yes }', 'motor * 2 is nema17_40mm'],
    [
      'motor a is nema17_40mm\n motor b is nema17_40mm { faces_back = yes\n reversed = no }',
      'motor a is nema17_40mm\n motor b is nema17_40mm { faces_back = yes }',
    ],
    [
      'motor * 2 is nema17_40mm { reversed = yes }\n motor c is nema17_40mm',
      'motor * 2 is nema17_40mm { reversed = yes }\n motor c is nema17_40mm { reversed = yes }',
    ],
  ].map(([apart = '', together = ''], i): Pair => {
    const layout = ['moving_bed', 'crossed_belts', 'moving_tool'][i] as string;
    const screws = 'screw * 2 is screw_8x2 { length = 300 mm }';
    return [moving(layout, lifted(screws, apart)), moving(layout, lifted(screws, together))];
  }),
  switch_at_other_end: [
    ['moving_bed', 'x', 'limit_switch { stands_at = far_end }', 'limit_switch { stands_at = beginning }'],
    [
      'moving_tool',
      'z',
      'end_found_at = far_end\n limit_switch { stands_at = beginning }',
      'limit_switch { stands_at = beginning }',
    ],
    [
      'crossed_belts',
      'y',
      'limit_switch { stands_at = far_end }',
      'end_found_at = far_end\n limit_switch { stands_at = far_end }',
    ],
  ].map(
    ([layout = '', axis = '', wrong = '', right = '']): Pair => [
      moving(layout, level(axis, wrong)),
      moving(layout, level(axis, right)),
    ],
  ),
  motors_pull_unlike: [
    ['motor a is nema17_40mm\n motor b is nema17_34mm', 'motor * 2 is nema17_40mm'],
    ['motor a is nema17_48mm\n motor b is nema17_40mm', 'motor a is nema17_48mm\n motor b is nema17_48mm_fast'],
    ['motor a is nema23_56mm\n motor b is nema17_48mm', 'motor * 2 is nema23_56mm'],
  ].map(([unlike = '', alike = ''], i): Pair => {
    const layout = ['moving_bed', 'crossed_belts', 'moving_tool'][i] as string;
    const screws = 'screw * 2 is screw_8x2 { length = 300 mm }';
    return [moving(layout, lifted(screws, unlike)), moving(layout, lifted(screws, alike))];
  }),
  screws_lead_unlike: [
    ['screw_8x2', 'screw_8x4'],
    ['screw_8x8', 'screw_8x2'],
    ['screw_10x2', 'ball_screw_12x4'],
  ].map(([one, other], i): Pair => {
    const layout = ['moving_bed', 'crossed_belts', 'moving_tool'][i] as string;
    const with_ = (second?: string) =>
      lifted(
        `screw a is ${one} { length = 300 mm }\n screw b is ${second} { length = 300 mm }`,
        'motor * 2 is nema17_40mm',
      );
    return [moving(layout, with_(other)), moving(layout, with_(one))];
  }),
  pulleys_move_unlike: [
    [
      moving('moving_bed', level('y', 'belt_drive drive { pulley a is pulley_2mm_20\n pulley b is pulley_2mm_16 }')),
      moving(
        'moving_bed',
        level('y', 'belt_drive drive { pulley a is pulley_2mm_20\n pulley b is pulley_2mm_20_wide }'),
      ),
    ],
    [
      moving('moving_tool', level('y', 'belt_drive drive { pulley a is pulley_2mm_20\n pulley b is pulley_t25_20 }')),
      moving(
        'moving_tool',
        level('y', 'belt_drive drive { pulley a is pulley_2mm_20\n pulley b is pulley_t25_20 { teeth = 16 } }'),
      ),
    ],
    [
      crossed(320, 'no pulley\n pulley a is pulley_t25_20\n pulley b is pulley_t25_20 { teeth = 18 }'),
      crossed(320, 'no pulley\n pulley a is pulley_t25_20\n pulley b is pulley_t25_20'),
    ],
  ],
  speed_never_reached: [
    ['moving_bed', 'x { travel = 100 mm\n wanted_speed = 400 mm/s', '1500 mm/s^2', '1600 mm/s^2'],
    ['crossed_belts', 'y { travel = 300 mm\n wanted_speed = 600 mm/s', '1000 mm/s^2', '3000 mm/s^2'],
    ['moving_tool', 'z { travel = 80 mm\n wanted_speed = 100 mm/s', '100 mm/s^2', '200 mm/s^2'],
  ].map(
    ([layout = '', axis = '', slow = '', quick = '']): Pair => [
      moving(layout, `${axis}\n wanted_acceleration = ${slow} }`),
      moving(layout, `${axis}\n wanted_acceleration = ${quick} }`),
    ],
  ),
  steps_too_fast: [
    [
      moving('moving_bed', belted('x', '', '', 'motor is nema17_40mm { microsteps = 256 }'), 'board is board_4_axis'),
      moving('moving_bed', belted('x', '', '', 'motor is nema17_40mm { microsteps = 64 }'), 'board is board_4_axis'),
    ],
    [
      moving(
        'crossed_belts',
        lifted('screw is screw_8x2', 'motor is nema17_40mm { microsteps = 32 }'),
        'board is board_4_axis { greatest_step_rate = 20 kHz }',
      ),
      moving(
        'crossed_belts',
        lifted('screw is screw_8x8', 'motor is nema17_40mm { microsteps = 32 }'),
        'board is board_4_axis { greatest_step_rate = 20 kHz }',
      ),
    ],
    [
      moving(
        'moving_tool',
        belted('y', '', '', 'motor is nema17_40mm'),
        'board is board_4_axis { greatest_step_rate = 5 kHz }',
      ),
      moving(
        'moving_tool',
        belted('y', '', '', 'motor is nema17_40mm'),
        'board is board_4_axis { greatest_step_rate = 10 kHz }',
      ),
    ],
  ],
  carriage_lighter_than_tool: ['moving_bed', 'crossed_belts', 'moving_tool'].map(
    (layout): Pair => [
      `${printing('')}\n ${layout} motion { carriage_mass = 0.2 kg }`,
      `${printing(layout === 'moving_bed' ? '' : 'guide_tube is tube_4x2 { length = 400 mm }')}
    ${layout} motion { carriage_mass = ${layout === 'moving_bed' ? 0.4 : 0.2} kg }`,
    ],
  ),
  layer_heights_differ: ['moving_bed', 'crossed_belts', 'moving_tool'].map(
    (layout): Pair => [
      `${printing('layer_height = 0.3 mm')}\n ${layout} motion { layer_height = 0.2 mm }`,
      `${printing('layer_height = 0.3 mm')}\n ${layout} motion { first_layer = 0.2 mm }`,
    ],
  ),
  bead_faster_than_axes: ['moving_bed', 'crossed_belts', 'moving_tool'].map((layout): Pair => {
    const speeds = (speed: number) =>
      `${printing('bead_speed = 120 mm/s')}\n ${layout} motion { x { wanted_speed = ${speed} mm/s }\n y { wanted_speed = ${speed} mm/s } }`;
    return [speeds(80), speeds(layout === 'crossed_belts' ? 120 : 90)];
  }),
  layer_too_thick_for_nozzle: [
    [printing('layer_height = 0.35 mm'), printing('layer_height = 0.32 mm')],
    [printing('', 'bore = 0.2 mm'), printing('', 'bore = 0.25 mm')],
    [printing('layer_height = 0.6 mm', 'bore = 0.6 mm'), printing('layer_height = 0.6 mm', 'bore = 0.8 mm')],
  ],
  bead_does_not_suit_nozzle: [
    [printing('bead_width = 0.9 mm'), printing('bead_width = 0.6 mm')],
    [printing('bead_width = 0.4 mm', 'bore = 0.8 mm'), printing('bead_width = 0.5 mm', 'bore = 0.6 mm')],
    [printing('bead_width = 0.44 mm', 'bore = 0.2 mm'), printing('', 'bore = 0.2 mm')],
  ],
  print_not_cooled: [
    [blown('board_4_axis', 'controller.second_fan_output', ''), blown('board_4_axis', 'controller.second_fan_output')],
    [blown('board_5_axis', 'psu', '', 'petg'), blown('board_5_axis', 'psu', 'print_fans = [part_fan]', 'petg')],
    [blown('board_6_axis', 'psu', '', 'tpu_95a'), blown('board_6_axis', 'psu', '', 'abs_polymer')],
  ],
  print_fan_stops_cold_side: [
    [blown('board_4_axis', 'controller.fan_output'), blown('board_4_axis', 'controller.second_fan_output')],
    [blown('board_5_axis', 'psu', 'print_fans = [part_fan, sink_fan]'), blown('board_5_axis', 'psu')],
    [
      blown('board_6_axis', 'controller.fan_output', 'print_fans = [part_fan]', 'petg'),
      blown('board_6_axis', 'controller.third_fan_output', 'print_fans = [part_fan]', 'petg'),
    ],
  ],
  print_air_too_slow: [
    ['pla', 'fan part_fan is fan_24v_30mm', 'duct_loss = 6', 'duct_loss = 1'],
    ['pla', 'fan part_fan is fan_24v_40mm_blower', 'duct_outlet = 300 mm^2', 'duct_outlet = 100 mm^2'],
    ['petg', 'fan part_fan is fan_24v_40mm', 'duct_reach = 10 %', 'duct_reach = 20 %'],
  ].map(
    ([filament = '', fans = '', wrong = '', right = '']): Pair => [
      cooled(filament, fans, wrong),
      cooled(filament, fans, right),
    ],
  ),
  print_air_too_little: [
    ['pla', 'fan part_fan is fan_24v_40mm', 'duct_outlet = 10 mm^2', 'duct_outlet = 60 mm^2'],
    [
      'petg',
      'fan part_fan is fan_24v_40mm_blower',
      'bead_speed = 200 mm/s\n duct_outlet = 30 mm^2',
      'bead_speed = 60 mm/s\n duct_outlet = 60 mm^2',
    ],
    [
      'tpu_95a',
      'fan part_fan is fan_24v_30mm',
      'layer_height = 0.3 mm\n duct_outlet = 20 mm^2',
      'layer_height = 0.3 mm\n bead_speed = 20 mm/s\n duct_outlet = 30 mm^2',
    ],
  ].map(
    ([filament = '', fans = '', wrong = '', right = '']): Pair => [
      cooled(filament, fans, wrong),
      cooled(filament, fans, right),
    ],
  ),
  layers_too_quick: [
    ['pla', 'fan part_fan is fan_24v_50mm_blower', 'layer_time = 4 s', 'layer_time = 10 s'],
    ['abs_polymer', 'fan part_fan is fan_24v_40mm', 'layer_time = 10 s', 'layer_time = 40 s'],
    [
      'petg',
      'fan part_fan is fan_24v_40mm_blower',
      'layer_height = 0.3 mm\n layer_time = 8 s',
      'layer_height = 0.1 mm\n layer_time = 8 s',
    ],
  ].map(
    ([filament = '', fans = '', wrong = '', right = '']): Pair => [
      cooled(filament, fans, wrong),
      cooled(filament, fans, right),
    ],
  ),
  print_too_high: [
    [wanted('height = 181 mm'), wanted('height = 180 mm')],
    [wanted('height = 200 mm', '200 mm x 200 mm x 150 mm'), wanted('height = 150 mm', '200 mm x 200 mm x 150 mm')],
    [wanted('height = 250 mm'), wanted('height = 250 mm', '220 mm x 200 mm x 260 mm')],
  ],
  print_too_wide: [
    [wanted('height = 20 mm\n size = 205 mm x 205 mm'), wanted('height = 20 mm\n size = 200 mm x 220 mm')],
    [
      wanted('height = 20 mm\n size = 230 mm x 40 mm', '200 mm x 225 mm x 180 mm'),
      wanted('height = 20 mm\n size = 225 mm x 40 mm', '200 mm x 225 mm x 180 mm'),
    ],
    [
      wanted('height = 20 mm\n size = 100 mm x 900 mm'),
      wanted('height = 20 mm\n size = 900 mm x 100 mm', '220 mm x 200 mm x 180 mm', 'endless_bed motion { }'),
    ],
  ],
  spool_runs_out: [
    [
      printing('spool is spool_250g }\n job a { mass = 250 g\n height = 50 mm'),
      printing('spool is spool_250g }\n job a { mass = 240 g\n height = 50 mm'),
    ],
    [
      printing('spool is spool_1kg }\n job a { volume = 850 cm^3\n height = 99 mm', '', 220, '', 'petg'),
      printing('spool is spool_2_5kg }\n job a { volume = 850 cm^3\n height = 99 mm', '', 220, '', 'petg'),
    ],
    [
      printing('spool is spool_1kg }\n job a { mass = 1 kg\n waste = 30 %\n height = 99 mm'),
      printing('spool is spool_1kg }\n filament_sensor f { }\n job a { mass = 1 kg\n waste = 30 %\n height = 99 mm'),
    ],
  ],
  spool_drags_too_much: [
    [printing('spool_drag = 40 N'), printing('spool_drag = 5 N')],
    [
      printing('spool is spool_2_5kg { way_friction = 40 %\n bend = 450 deg }'),
      printing('spool is spool_2_5kg { bend = 450 deg }'),
    ],
    [
      printing('spool is spool_1kg { turning_diameter = 180 mm\n way_friction = 30 %\n bend = 720 deg }'),
      printing('spool is spool_1kg { turns_on = rollers\n way_friction = 30 %\n bend = 720 deg }'),
    ],
  ],
  filling_clogs_nozzle: [
    [printing('', '', 220, '', 'pla_wood'), printing('', 'bore = 0.5 mm', 220, '', 'pla_wood')],
    [
      printing('layer_height = 0.1 mm', 'bore = 0.25 mm', 260, '', 'petg_carbon'),
      printing('', '', 260, '', 'petg_carbon'),
    ],
    [printing('layer_height = 0.1 mm', 'bore = 0.3 mm', 220, '', 'pla_carbon'), printing('', 'bore = 0.3 mm')],
  ],
  filling_wears_nozzle: [
    [printing('', '', 230, '', 'pla_carbon'), printing('', 'soft = no', 230, '', 'pla_carbon')],
    [printing('', '', 260, '', 'petg_carbon'), printing('', '', 260, '', 'petg')],
    [printing('', '', 280, '', 'polyamide_carbon'), printing('', 'soft = no', 280, '', 'polyamide_carbon')],
  ],
  chain_too_short: ['moving_bed', 'crossed_belts', 'moving_tool'].map(
    (layout, i): Pair => [
      chained(layout, 'chain_10x10', 0.5, `off_middle = ${120 + 10 * i} mm`),
      chained(layout, 'chain_10x10', 0.5, `off_middle = ${20 * i} mm`),
    ],
  ),
  chain_bends_too_tight: ['moving_bed', 'crossed_belts', 'moving_tool'].map(
    (layout, i): Pair => [
      chained(layout, 'chain_10x10', 2.5 + 1.5 * i),
      chained(layout, i === 0 ? 'chain_10x20' : 'chain_15x30', 2.5 + 1.5 * i),
    ],
  ),
  chain_too_full: [
    [chained('moving_bed', 'chain_10x10', 4, 'inner_width = 2 mm'), chained('moving_bed', 'chain_10x10', 4)],
    [chained('crossed_belts', 'chain_10x10', 1, 'inner_height = 2 mm'), chained('crossed_belts', 'chain_10x10', 1)],
    [
      chained('moving_tool', 'chain_10x10', 10, 'inner_height = 5 mm'),
      chained('moving_tool', 'chain_10x10', 10, 'inner_height = 8 mm'),
    ],
  ],
  plate_bends_in_use: [
    [bent('window_glass', 250, 200, 90), bent('borosilicate_glass', 250, 200, 90)],
    [bent('window_glass', 350, 300, 60), bent('window_glass', 150, 100, 60)],
    [bent('borosilicate_glass', 400, 600, 100), bent('cast_aluminium', 400, 600, 100)],
  ],
  plate_bends_while_heating: [
    [bent('window_glass', 150, 170, 60), bent('window_glass', 150, 170, 60, 'soak_time = 5 min')],
    [bent('borosilicate_glass', 300, 500, 60), bent('borosilicate_glass', 300, 200, 60)],
    [bent('window_glass', 120, 200, 80), bent('aluminium', 300, 600, 80)],
  ],
  probe_finds_no_metal: [
    [lying('borosilicate_glass', ''), lying('borosilicate_glass', 'surface is pei_steel_sheet')],
    [lying('borosilicate_glass', 'surface is pei_film'), lying('cast_aluminium', 'surface is pei_film')],
    [
      lying('borosilicate_glass', 'sheet { material = borosilicate_glass\n thickness = 3 mm }'),
      lying('borosilicate_glass', '', 'bed_probe is probe_pin'),
    ],
  ],
  probe_notices_too_late: [
    [
      lying('cast_aluminium', 'sheet { material = borosilicate_glass\n thickness = 4 mm }'),
      lying('cast_aluminium', 'sheet { material = borosilicate_glass\n thickness = 1.5 mm }'),
    ],
    [
      lying('cast_aluminium', '', 'bed_probe is probe_inductive { senses_from = 3 mm }'),
      lying('cast_aluminium', 'surface is pei_steel_sheet', 'bed_probe is probe_inductive { senses_from = 3 mm }'),
    ],
    [
      lying('cast_aluminium', '', 'bed_probe is probe_inductive { face_above = 4 mm }'),
      lying('cast_aluminium', '', 'bed_probe is probe_inductive { face_above = 3 mm }'),
    ],
  ],
  probe_drags_over_print: [0, -1, 0.3].map(
    (above): Pair => [
      lying('cast_aluminium', '', `bed_probe is probe_inductive { face_above = ${above} mm }`),
      lying('cast_aluminium', '', `bed_probe is probe_inductive { face_above = ${above + 1.6} mm }`),
    ],
  ),
  too_hot_where_it_sits: [
    [over(120, 60), over(80, 45)],
    [over(150, 50), over(110, 30)],
    [over(100, 65), over(60, 65)],
  ],
  arms_too_flat: [
    [220, 110, 100, 260, 110, 100],
    [300, 150, 140, 320, 150, 140],
    [250, 120, 125, 250, 120, 110],
  ].map((numbers): Pair => {
    const at = ([arm, spans, radius]: readonly number[]) =>
      `delta motion { carriage_mass = 0.2 kg\n slide_mass = 0.1 kg\n bed_mass = 1 kg\n arm_length = ${arm} mm\n arm_spans = ${spans} mm
      print_radius = ${radius} mm\n print_height = 200 mm\n path_speed = 100 mm/s\n path_acceleration = 2 m/s^2 }`;
    return [at(numbers.slice(0, 3)), at(numbers.slice(3))];
  }),
  bearings_tipped: [
    ['moving_bed', 3, 160, 0, 'guide is rail_9mm { length = 300 mm }', 1, 60],
    ['moving_tool', 4, 90, 200, 'guide is rail_9mm { length = 300 mm\n blocks = 1 }', 1.5, 30],
    ['crossed_belts', 6, 60, 60, 'wheel_guide guide { carrier = section_20x20\n length = 300 mm }', 0.6, 30],
  ].map(([layout, mass, beside, below, guide, less, nearer]): Pair => {
    const at = (mass: unknown, beside: unknown) =>
      hanging(`${layout}`, Number(mass), Number(beside), Number(below), `${guide}`);
    return [at(mass, beside), at(less, nearer)];
  }),
  tool_nods: [
    ['moving_bed', 60, 0, 'guide is rail_9mm { length = 400 mm\n carrier = section_20x20 }', 20],
    ['moving_tool', 60, 60, 'wheel_guide guide { carrier = section_20x20\n length = 400 mm }', 20],
    ['crossed_belts', 0, 120, 'guide is rail_12mm { length = 450 mm\n carrier = section_20x20\n reach = 120 mm }', 40],
  ].map(([layout, beside, below, guide, nearer]): Pair => {
    const at = (beside: number, below: number) => hanging(`${layout}`, 0.6, beside, below, `${guide}`);
    return Number(beside) > 0
      ? [at(Number(beside), Number(below)), at(Number(nearer), Math.min(Number(below), 20))]
      : [at(0, Number(below)), at(0, Number(nearer)).replace('reach = 120', 'reach = 40')];
  }),
  rail_bows_when_warm: [
    [warm('section_20x20', 55), warm('section_20x20', 30)],
    [warm('section_20x40', 60), warm('tube_40x20x2', 60)],
    [warm('section_30x30', 60), warm('section_30x30', 60, 'balanced = yes')],
  ],
  output_meant_for_other: [
    ['tool_output', 'bed.heater', 'bed_output', 'bed.heater'],
    ['bed_output', 'extruder.hot_end.cartridge', 'tool_output', 'extruder.hot_end.cartridge'],
    ['tool_output', 'bed.heater', 'tool_output', 'lamp'],
  ].map(
    ([wrong = '', wrongly = '', right = '', rightly = '']): Pair => [
      switching(wrong, wrongly),
      switching(right, rightly),
    ],
  ),
  nozzle_does_not_suit_filament: [
    [printing('printed_at = 245 degC', '', 250), printing('printed_at = 230 degC', '', 250)],
    [printing('printed_at = 180 degC', '', 250), printing('', '', 250)],
    [
      printing('printed_at = 255 degC', '', 250, '', 'abs_polymer'),
      printing('printed_at = 255 degC', '', 260, '', 'abs_polymer'),
    ],
  ],
  bed_does_not_suit_filament: [
    ['pla', 100, 100, 60],
    ['tpu_95a', 80, 70, 50],
    ['abs_polymer', 110, 60, 95],
  ].map(([filament, target, wrong, right]): Pair => {
    const on = (bed: string) =>
      `${lying('cast_aluminium', '').replace('60 degC', `${target} degC`)}\n ${printing(bed, '', 250, '', `${filament}`)}`;
    return [on(`bed_printed_at = ${wrong} degC`), on(`bed_printed_at = ${right} degC`)];
  }),
  sensor_error_burns: [
    ['sleeve { limit = 250 degC }\n sensor is ntc_100k', 248, 240],
    ['sleeve { limit = 250 degC }\n sensor is pt1000 { coldness = 5 % }', 242, 235],
    ['no sleeve\n liner\n sensor is ntc_100k', 238, 225],
  ].map(([parts, wrong, right]): Pair => {
    const at = (target?: number | string) => printing('', '', target, parts);
    return [at(wrong), at(right)];
  }),
  prints_beside_surface: [
    ['moving_bed', 'surface is pei_film { size = 150 mm x 150 mm }', 'surface is pei_film { size = 190 mm x 190 mm }'],
    ['crossed_belts', 'sheet is glass_pane { size = 200 mm x 150 mm }', 'sheet is glass_pane'],
    [
      'moving_tool',
      'surface is pei_film { size = 100 mm x 200 mm }',
      'surface * 2 is pei_film { size = 100 mm x 200 mm }',
    ],
  ].map(([layout = '', wrong = '', right = '']): Pair => {
    const under = (above: string) =>
      `${lying('cast_aluminium', above)}\n ${moving(layout, `${level('x', '')}\n ${level('y', '')}\n ${level('z', '')}`)}`;
    return [under(wrong), under(right)];
  }),
  signal_pin_feeds_load: [
    [
      lit('board_4_axis { output fan_output { signal_voltage = 3.3 V } }', 'controller.fan_output'),
      lit('board_4_axis', 'controller.fan_output'),
    ],
    [
      lit('board_5_axis { output second_fan_output { signal_voltage = 5 V } }', 'psu, controller.second_fan_output'),
      lit(
        'board_5_axis { output second_fan_output { signal_voltage = 5 V } }',
        'psu, gate',
        'dc_solid_state_relay gate is relay_dc_10a { control = controller.second_fan_output }',
      ),
    ],
    [
      lit('board_6_axis { output third_fan_output { signal_voltage = 3.3 V } }', 'controller.third_fan_output'),
      lit('board_6_axis { output third_fan_output { signal_voltage = 3.3 V } }', 'controller.fan_output'),
    ],
  ],
  minus_not_common: [
    [
      lit('board_4_axis', 'other, controller.fan_output', 'supply other is supply_24v_150w { minus_with = [] }'),
      lit('board_4_axis', 'other, controller.fan_output', 'supply other is supply_24v_150w { minus_with = [psu] }'),
    ],
    [
      lit('board_5_axis', 'other, controller.fan_output', 'supply other is supply_24v_150w', lamp, 'minus_with = []'),
      lit(
        'board_5_axis',
        'other, gate',
        'supply other is supply_24v_150w\n dc_solid_state_relay gate is relay_dc_10a { control = controller.fan_output }',
        lamp,
        'minus_with = []',
      ),
    ],
    [
      lit(
        'board_6_axis',
        'other, controller.fan_output',
        'supply other is desktop_supply_12v_150w { minus_with = [] }',
        'power = 5 W\n voltage = 12 V',
      ),
      lit(
        'board_6_axis',
        'lower, controller.fan_output',
        `step_down lower is step_down_12v_3a
        circuit lower_power is fan_circuit { path = [psu, fuse, connector, wire, lower] }`,
        'power = 5 W\n voltage = 12 V',
      ),
    ],
  ],
  probe_minus_not_common: [
    [
      probing('board_4_axis', 'other', 'supply other is supply_24v_150w { minus_with = [] }'),
      probing('board_4_axis', 'other', 'supply other is supply_24v_150w { minus_with = [psu] }'),
    ],
    [
      probing('board_5_axis', 'other', 'supply other is supply_24v_150w', 'minus_with = []'),
      probing('board_5_axis', 'other', 'supply other is supply_24v_150w { parallel_with = psu\n minus_with = [] }'),
    ],
    [
      probing('board_6_axis', 'other', 'supply other is desktop_supply_12v_150w { minus_with = [] }'),
      probing(
        'board_6_axis',
        'lower',
        `step_down lower is step_down_12v_3a
        circuit lower_power is fan_circuit { path = [psu, fuse, connector, wire, lower] }`,
      ),
    ],
  ],
  relay_control_reversed: [
    ['board_4_axis', 'relay_dc_10a', 'fan_output', 'plus', 'minus'],
    ['board_5_axis { output fan_output { signal_voltage = 3.3 V } }', 'relay_dc_20a', 'fan_output', 'minus', 'plus'],
    ['board_6_axis { output bed_output { switched_side = positive } }', 'relay_dc_30a', 'bed_output', 'minus', 'plus'],
  ].map(([board = '', relay = '', output = '', wrong = '', right = '']): Pair => {
    const at = (terminal: string) =>
      lit(
        board,
        'psu, gate',
        `dc_solid_state_relay gate is ${relay} { control = controller.${output}\n output_at = ${terminal} }`,
      );
    return [at(wrong), at(right)];
  }),
  open_door_moves: [
    ['does = nothing', 'does = stops_all'],
    ['does = warns', 'does = stops_motion'],
    ['does = warns', 'does = warns } \n switch door is toggle_dc_5a { opened_by_door = yes'],
  ].map(([wrong = '', right = ''], i): Pair => {
    const board = ['board_4_axis', 'board_5_axis', 'board_6_axis'][i];
    const door = (does: string) =>
      `board controller is ${board}\n door_switch lid { input = controller.x_input\n ${does} }`;
    return [door(wrong), door(right)];
  }),
  dimmed_light_flickers: [
    ['switching_frequency = 50 Hz', 'switching_frequency = 1 kHz', 'controller.fan_output'],
    ['switching_frequency = 100 Hz', 'switching_frequency = 200 Hz', 'psu, controller.fan_output'],
    ['switching_frequency = 10 Hz', 'switching_frequency = 20 kHz', 'controller.fan_output'],
  ].map(([wrong = '', right = '', path = ''], i): Pair => {
    const board = ['board_4_axis', 'board_5_axis', 'board_6_axis'][i];
    const at = (rate: string) => lit(`${board} { output fan_output { ${rate} } }`, path, '', `${lamp}\n dimmed = yes`);
    return [at(wrong), at(right)];
  }),
  // What is at a hot end bears its heat: its wires, plugs, leads, and what is printed.
  wire_ends_too_hot: [
    [240, '', 'no lead_insulation', ''],
    [290, 'insulation = silicone', 'no lead_insulation', 'lead_insulation = glass_braid'],
    [195, 'insulation = pvc_105', 'no lead_insulation', 'lead_insulation = fep'],
  ].map(([target, wire, wrong, right]): Pair => {
    const at = (leads: unknown) => heated(Number(target), `${wire}`, '', `${leads}`);
    return [at(wrong), at(right)];
  }),
  wire_insulation_too_hot: [
    [240, 'pvc', 'glass_braid'],
    [195, 'silicone', 'fep'],
    [300, 'fep', 'glass_braid'],
  ].map(([target, wrong, right]): Pair => {
    const at = (insulation: unknown) =>
      heated(Number(target), `place = extruder.hot_end\n insulation = ${insulation}`, '');
    return [at(wrong), at(right)];
  }),
  connector_too_hot: [
    [240, 'place = extruder.hot_end', ''],
    [110, 'place = extruder.hot_end', 'place = extruder.hot_end\n limit = 130 degC'],
    [280, 'place = extruder.hot_end\n limit = 200 degC', 'limit = 200 degC'],
  ].map(([target, wrong, right]): Pair => {
    const at = (plug: unknown) => heated(Number(target), '', `${plug}`);
    return [at(wrong), at(right)];
  }),
  leads_too_hot: [
    [240, 'lead_insulation = pvc', ''],
    [195, 'lead_insulation = silicone', 'lead_insulation = fep'],
    [280, 'lead_insulation = fep', 'lead_insulation = glass_braid'],
  ].map(([target, wrong, right]): Pair => {
    const at = (leads: unknown) => heated(Number(target), '', '', `${leads}`);
    return [at(wrong), at(right)];
  }),
  printed_part_softens: [
    [240, 'filament = petg\n place = extruder.hot_end', 'filament = petg'],
    [220, 'filament = pla\n touches = extruder.motor', 'filament = abs_polymer\n touches = extruder.motor'],
    [110, 'filament = petg\n place = extruder.hot_end', 'filament = polycarbonate\n place = extruder.hot_end'],
  ].map(([target, wrong, right]): Pair => {
    const at = (part: unknown) => heated(Number(target), '', '', '', `printed_part duct { ${part} }`);
    return [at(wrong), at(right)];
  }),
  bolt_too_short: [
    ['bolt_m3', 'length = 10 mm\n clamps = 8 mm', 'length = 10 mm\n clamps = 7 mm'],
    [
      'bolt_m4',
      'length = 12 mm\n clamps = 6 mm\n holds_in = plastic',
      'length = 12 mm\n clamps = 6 mm\n holds_in = insert',
    ],
    ['bolt_m5', 'length = 10 mm\n clamps = 6 mm', 'clamps = 6 mm\n length = 12 mm'],
  ].map(([part, wrong, right], i): Pair => {
    const at = (said: unknown) =>
      i === 1
        ? `box_frame frame { bolt screw is ${part} { ${said} } }`
        : `bolt screw * ${i + 2} is ${part} { ${said} }`;
    return [at(wrong), at(right)];
  }),
  bolt_too_long: [
    ['bolt_m3', 'length = 10 mm\n clamps = 3 mm\n depth = 5.7 mm', 'length = 10 mm\n clamps = 5 mm\n depth = 5.7 mm'],
    ['bolt_m4', 'length = 12 mm\n clamps = 4 mm\n depth = 6 mm', 'clamps = 4 mm\n depth = 6 mm\n length = 10 mm'],
    ['bolt_m5', 'length = 10 mm\n clamps = 2 mm\n depth = 6 mm', 'length = 10 mm\n clamps = 4 mm\n depth = 6 mm'],
  ].map(([part, wrong, right], i): Pair => {
    const at = (said: unknown) =>
      i === 1
        ? `box_frame frame { bolt screw is ${part} { ${said} } }`
        : `bolt screw * ${i + 2} is ${part} { ${said} }`;
    return [at(wrong), at(right)];
  }),
  // Screws, inserts, nuts and bearings in the holes that are made for them.
  does_not_fit: [
    ['bolt screw is bolt_m3 { into = m4 }', 'bolt screw is bolt_m3 { into = m3 }'],
    ['bolt screw is bolt_m4 { through = through_m3 }', 'bolt screw is bolt_m4 { through = through_m4 }'],
    ['slot_nut nut is slot_nut_m5_8mm { slot = slot_6mm }', 'slot_nut nut is slot_nut_m5_8mm { slot = slot_8mm }'],
    [
      'ball_bearing idler is bearing_5x16x5 { sits_on = pin_8mm }',
      'ball_bearing idler is bearing_8x22x7 { sits_on = pin_8mm\n sits_in = seat_22mm }',
    ],
    [
      'threaded_insert bush is insert_m3 { set_into = through_m3 }',
      'threaded_insert bush is insert_m3 { set_into = hole_for_insert_m3 }',
    ],
    [
      `${printing('filament_sensor runout { channel = hole_3mm }')}`,
      `${printing('filament_sensor runout { channel = channel_2mm }')}`,
    ],
  ],
  tinned_end_under_screw: [
    ['screw_plug_5_08mm', 'ends = tinned', 'screw_plug_5_08mm', ''],
    ['screw_plug_5_08mm', 'ends = tinned\n strands = finest', 'screw_plug_5_08mm', 'ends = bare'],
    ['screw_plug_5_08mm', 'ends = tinned\n insulation = silicone', 'two_row_4_2mm', 'ends = tinned'],
  ].map(([wrong = '', tinned = '', right = '', crimped = '']): Pair => [joined(wrong, tinned), joined(right, crimped)]),
};

test.each(Object.keys(pairs))('%s catches three mistakes, and spares their neighbours', (rule) => {
  const those = pairs[rule] ?? [];
  expect(those.length).toBeGreaterThanOrEqual(3);
  expect(breaks(rule, those.flat())).toEqual(those.flatMap(() => [true, false]));
});
