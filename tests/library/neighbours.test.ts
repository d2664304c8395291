import { expect, test } from 'vitest';
import { rulesOn, verdictCell } from '../../language/judge/rule.ts';
import { decide } from '../../language/judge/verdicts.ts';
import { open } from './fixtures.ts';

// Common practice, no source: beside each mistake the good design that is nearest to it. Of a rule three mistakes at least are caught, in machines
// of different sorts, and their neighbours are spared.

/** A mistake, and its neighbour: what machines say of themselves. */
type Pair = readonly [wrong: string, right: string];

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

const printing = (rest: string) =>
  `extruder { filament = pla\n motor is nema17_34mm\n drive_gear is wheel_pair_11mm\n hot_end is hot_end_24v_40w\n ${rest} }`;

const pairs: Readonly<Record<string, readonly Pair[]>> = {
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
};

/** Whether each machine of a text breaks a rule. */
function breaks(rule: string, bodies: readonly string[]): boolean[] {
  const text = bodies.map((body, i) => `machine M${i} {\n ambient = 20 degC\n ${body}\n}\n`).join('\n');
  const { project, file } = open(text);
  expect(project.mistakes(file).filter((m) => m.severity !== 'note')).toEqual([]);
  return [...file.roots.values()].map(({ machine }) =>
    machine.tree.all().some((instance) =>
      rulesOn(instance.kind, machine.scope)
        .filter(({ node }) => node.name?.text === rule)
        .some((each) => {
          const now = decide({ rule: each, instance, cell: verdictCell(each, instance) }, machine);
          return now !== undefined && 'message' in now;
        }),
    ),
  );
}

test.each(Object.keys(pairs))('%s catches three mistakes, and spares their neighbours', (rule) => {
  const those = pairs[rule] ?? [];
  expect(those.length).toBeGreaterThanOrEqual(3);
  expect(breaks(rule, those.flat())).toEqual(those.flatMap(() => [true, false]));
});
