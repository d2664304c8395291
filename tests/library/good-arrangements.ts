import { readFileSync } from 'node:fs';

// Good machines of every arrangement: what of a machine moves, alone, and in a machine that is whole. Common practice, no source.

/** A machine with its motion alone. */
export const machine = (motion: string, name = 'Bench') =>
  `machine ${name} {\n ambient = 20 degC\n supply psu is supply_24v_450w\n ${motion}\n}\n`;

const rails = (number: number | string, length: number) =>
  `guide * ${number} is rail_12mm { length = ${length} mm\n reach = 20 mm }`;
const rods = (rod: string, length: number, rest = '') => `guide * 2 is ${rod} { length = ${length} mm\n ${rest} }`;
const belt = 'belt is belt_2mm_6\n pulley is pulley_2mm_20';

const level = (axis: string, guides: string, drive: string, rest = 'drive_beside = 0 mm') =>
  `${axis} { travel = 200 mm\n wanted_speed = 150 mm/s\n wanted_acceleration = 1500 mm/s^2\n ${rest}\n ${guides}\n ${drive} }`;
const bridge = (drive: string) =>
  level('x', rails(1, 260), drive, 'drive_beside = 0 mm\n mass_beside = 30 mm\n mass_below = 15 mm');
const height = (guides: string, drive: string, rest = '') =>
  `z { travel = 200 mm\n wanted_speed = 8 mm/s\n wanted_acceleration = 100 mm/s^2\n drive_beside = 0 mm\n ${/motor \* [34]/.test(drive) ? 'may_tilt = yes' : ''}\n ${rest}\n ${guides}\n ${drive} }`;
const screws = (number: number, rest = `motor * ${number} is nema17_40mm`) =>
  `screw_drive drive { ${rest}\n stepped_at_start = yes\n screw_distance = 250 mm\n screw * ${number} is screw_8x2 { length = 260 mm } }`;
const one = `belt_drive drive { motor is nema17_48mm\n ${belt} }`;
const pair = (motors = '') =>
  `pair is crossed_pair { motor left is nema17_48mm_fast\n motor right is nema17_48mm_fast\n ${motors}\n width_span = 270 mm\n depth_span = 280 mm }`;
const masses = 'carriage_mass = 0.35 kg\n bridge_mass = 0.4 kg\n bed_mass = 1 kg';
const crossing = (rest: string, motors?: string) =>
  `crossed_belts motion { ${masses}\n ${bridge('')}\n ${level('y', rails(2, 280), '')}\n ${pair(motors)}\n ${rest} }`;
const tool = (y: string, z: string, rest = '') =>
  `moving_tool motion { ${masses}\n ${rest}\n ${bridge(one)}\n ${level('y', rails(2, 280), y)}\n ${z} }`;
const slung = (z: string, x = level('x', rods('rod_8mm', 260), one), rest = '') =>
  `moving_bed motion { carriage_mass = 0.4 kg\n gantry_mass = 0.7 kg\n bed_mass = 0.8 kg\n ${rest}\n ${x}\n ${level('y', rods('rod_10mm', 270), one)}\n ${z} }`;
export const delta = (arm: number, spans: number, radius: number, tower: string, rest = '') =>
  `delta motion { carriage_mass = 0.15 kg\n slide_mass = 0.1 kg\n bed_mass = 1 kg\n arm_length = ${arm} mm\n arm_spans = ${spans} mm
  print_radius = ${radius} mm\n print_height = 200 mm\n path_speed = 100 mm/s\n path_acceleration = 1500 mm/s^2\n ${rest}
  ${['a', 'b', 'c'].map((axis) => `${axis} { drive_beside = 0 mm\n ${tower} }`).join('\n')} }`;
const tower = (guides: string) =>
  `${guides}\n belt_drive drive { motor is nema17_48mm\n belt is belt_2mm_6\n pulley is pulley_2mm_16 }`;

export const good: Readonly<Record<string, string>> = {
  'a gantry lifted by four motors on four screws, over a bed that stands still': crossing(
    `lifts = gantry\n ${height(rails(4, 260), screws(4))}`,
  ),
  'a gantry lifted by four belts with brakes': crossing(
    `lifts = gantry\n ${height(rails(4, 260), `belt_drive drive { motor * 4 is nema17_48mm\n reduction = 5\n brake = 10 N*cm\n belt * 4 is belt_2mm_6\n pulley * 4 is pulley_2mm_16 }`)}`,
  ),
  'a lifted gantry of which each axis has its own belt': tool(
    `belt_drive drive { motor * 2 is nema17_48mm\n belt * 2 is belt_2mm_6\n pulley * 2 is pulley_2mm_20 }`,
    height(rails(4, 260), screws(4)),
    'lifts = gantry\n gantry_mass = 1.5 kg',
  ),
  'a small delta on rails': delta(220, 90, 80, tower(rails(1, 420))),
  'a large delta on rails': delta(360, 160, 140, tower(rails(1, 560))),
  'a delta on pairs of rods': delta(240, 100, 90, tower(rods('rod_8mm', 460))),
  'a beam held and lifted at one side, by one screw between its rods': slung(
    height(rods('rod_10mm', 300, 'offset = 60 mm\n bearing_spacing = 80 mm'), screws(1)),
  ),
  'the same with an outrigger that a second guide runs on': slung(
    height(
      `${rods('rod_10mm', 300, 'offset = 20 mm')}\n guide outrigger is rod_8mm { length = 300 mm\n offset = 0 mm }`,
      screws(1),
    ),
  ),
  'two belts for one axis, joined by a shaft': tool(
    `belt_drive drive { motor is nema17_48mm\n belts_on_shaft = 1\n belt * 2 is belt_2mm_6\n pulley * 2 is pulley_2mm_20 }`,
    height(rails(2, 260), screws(2)),
  ),
  'two belts for one axis, each with a motor': tool(
    `belt_drive drive { motor * 2 is nema17_40mm\n belt * 2 is belt_2mm_6\n pulley * 2 is pulley_2mm_20 }`,
    height(rails(2, 260), screws(2)),
  ),
  'four motors on crossed belts': crossing(
    height(rails(3, 260), screws(3)),
    'motor third is nema17_48mm_fast\n motor fourth is nema17_48mm_fast',
  ),
  'a bed on three screws with three motors, on three rails': crossing(height(rails(3, 260), screws(3))),
  'a bed on three screws that a belt joins': crossing(
    height(rails(3, 260), screws(3, 'motor is nema17_48mm\n screws_joined = yes')),
  ),
  'a bed lifted by two belts through a worm': crossing(
    height(
      rails(2, 260),
      `belt_drive drive { motor is nema17_40mm\n reduction = 20\n efficiency = 50 %\n brake = 5 N*cm\n belt * 2 is belt_2mm_6\n pulley * 2 is pulley_2mm_16 }`,
    ),
  ),
  'a bed lifted by two belts, with a brake': crossing(
    height(
      rails(2, 260),
      `belt_drive drive { motor * 2 is nema17_48mm\n reduction = 3\n brake = 15 N*cm\n belt * 2 is belt_2mm_6\n pulley * 2 is pulley_2mm_16 }`,
    ),
  ),
  'rods that cross, pulled at both of their ends': `moving_tool motion { carriage_mass = 0.3 kg\n bridge_mass = 0.5 kg\n bed_mass = 1 kg
    ${level('x', rods('rod_8mm', 260), `belt_drive drive { motor is nema17_40mm\n belts_on_shaft = 1\n belt * 2 is belt_2mm_6\n pulley * 2 is pulley_2mm_20 }`)}
    ${level('y', rods('rod_10mm', 270), `belt_drive drive { motor is nema17_40mm\n belts_on_shaft = 1\n belt * 2 is belt_2mm_6\n pulley * 2 is pulley_2mm_20 }`)}
    ${height(rods('rod_10mm', 290), screws(2))} }`,
  'a machine that fetches one of its tools at a time': crossing(
    `tools = one_at_a_time\n tool_coupling { pull = 60 N\n holds_unpowered = yes\n heaviest = 0.25 kg }\n ${height(rails(3, 260), screws(3))}`,
  ),
  'a portal lifted by two screws': slung(height(rods('rod_8mm', 300), screws(2))),
  'a portal lifted by two screws that a belt joins': slung(
    height(rods('rod_8mm', 300), screws(2, 'motor is nema17_40mm\n screws_joined = yes')),
  ),
  'a carriage on wheels': slung(
    height(rods('rod_8mm', 300), screws(2)),
    level(
      'x',
      'wheel_guide guide { carrier = section_20x40\n length = 300 mm }',
      one,
      'drive_beside = 0 mm\n mass_beside = 25 mm',
    ),
  ),
  'two carriages on one beam': `twin_carriages motion { carriage_mass = 0.45 kg\n second_carriage_mass = 0.4 kg\n bridge_mass = 0.8 kg\n bed_mass = 1 kg
    ${level('x', rails(1, 340), one, 'drive_beside = 0 mm\n mass_beside = 30 mm\n mass_below = 15 mm')}
    ${level('second', rails(1, 340), one, 'drive_beside = 0 mm\n mass_beside = 30 mm\n mass_below = 15 mm')}
    ${level('y', rails(2, 280), `belt_drive drive { motor * 2 is nema17_48mm\n belt * 2 is belt_2mm_10\n pulley * 2 is pulley_2mm_20_wide }`).replace('150 mm/s', '120 mm/s').replace('1500 mm/s^2', '1200 mm/s^2')}
    ${height(rails(3, 260), screws(2))} }`,
  'a belt that is the bed, under a plane that leans': `endless_bed motion { carriage_mass = 0.4 kg\n bridge_mass = 0.7 kg\n bed_mass = 0.5 kg
    ${bridge(one)}
    ${level('y', rails(2, 300), `belt_drive drive { motor * 2 is nema17_48mm\n reduction = 3\n brake = 15 N*cm\n belt * 2 is belt_2mm_10\n pulley * 2 is pulley_2mm_20_wide }`).replace('150 mm/s', '60 mm/s').replace('travel = 200 mm', 'travel = 220 mm')}
    ${level('z', rails(2, 280), one).replace('150 mm/s', '20 mm/s').replace('1500 mm/s^2', '200 mm/s^2')} }`,
  'a bridge driven by a rack at both sides': tool(
    `rack_drive drive { motor * 2 is nema17_48mm\n pinion_teeth = 20\n module = 0.5 mm\n backlash = 0 mm }`,
    height(rails(2, 260), screws(2)),
  ),
};

const petrel = readFileSync(new URL('../../examples/petrel.gusset', import.meta.url), 'utf8');

/** What stands between two lines of the small example, of which the second is left out. */
const between = (from: string, to: string) => petrel.slice(petrel.indexOf(from), petrel.indexOf(to));

/** What of the small example has nothing to do with how it moves: bed, hot end, box, mains, wires. */
const rest =
  `${between('  ambient', '  // ---- motion and frame')}${between('  levelling {', '  // ---- what the keeper wants')}`
    .replace('ambient = 8 degC .. 30 degC', 'ambient = 25 degC')
    .replaceAll(/ {4}driver \w+ \{\n.*\n {4}\}\n/g, '')
    .replace('board_4_axis', 'board_6_axis')
    .replace('blade_10a', 'blade_15a')
    .replaceAll('area = 1 mm^2', 'area = 2.5 mm^2')
    .replace('supply_24v_350w', 'supply_24v_450w')
    .replace('supports = 120 mm x 120 mm', 'supports = 120 mm x 120 mm\n reach_of_nozzle = 150 mm x 150 mm')
    .replace(
      'fan sink_fan is fan_24v_40mm { place = tool }',
      'fan sink_fan is fan_24v_40mm {\n place = tool\n watched = yes\n }',
    );

const drivers = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth'];

/** A whole machine that moves in one of these ways: of several motors that are alike one driver drives all, one after the other. */
export function whole(motion: string): string {
  const ended = motion
    .replaceAll(/\b([abcxy]) \{/g, '$1 { limit_switch\n')
    .replaceAll(/\bz \{/g, 'z { end_found_by = pin_signal\n');
  const joined = [...motion.matchAll(/motor (\w+ )?(\* \d )?is/g)].flatMap(([, , several], i) =>
    several ? [`driver ${drivers[i]}_driver { joined = series }`] : [],
  );
  const bars = motion.startsWith('delta')
    ? 'three_tower_frame frame { column = section_20x40\n height = 620 mm\n side = 460 mm }'
    : `${motion.startsWith('moving_bed') ? 'portal_frame' : 'box_frame'} frame { column = section_20x40\n height = 420 mm\n width = 380 mm\n depth = 380 mm }`;
  // What hangs by arms is light: its filament is pushed through a tube.
  const pushed = motion.startsWith('delta') ? 'extruder { guide_tube is tube_4x2 { length = 400 mm }' : 'extruder {';
  return `machine Whole {
  ${rest.replace('extruder {', pushed).replace('board_6_axis {', `board_6_axis {\n ${joined.join('\n ')}`)}
  ${ended}
  ${bars}
  envelope { tool = 50 mm x 70 mm x 80 mm\n bench = 700 mm x 800 mm }
}
`;
}
