import { describe, expect, test } from 'vitest';
import { delta } from './good-arrangements.ts';
import { generator, mean, oracle } from './oracle.ts';
import { allValuesOf, broken, valuesOf } from './values.ts';

// Three towers, as a delta stands in: against bars in space, by NumPy and SciPy (towers-oracle.py).

const random = generator(211);
const given = Array.from({ length: 24 }, (_, i) => ({
  E: 7e10,
  h: random(0.4, 1.1),
  side: random(0.2, 0.5),
  inward: random(0.5, 10) * 1e-8,
  around: random(0.5, 10) * 1e-8,
  Ib: random(0.5, 10) * 1e-8,
  corner: random(300, 30000),
  mc: random(0.4, 1.8),
  mb: random(0.4, 1.8),
  top: random(0.5, 3),
  fixed: i % 4 !== 3,
  way: random(0, 6.28),
}));

const text = given
  .map(
    (c, i) => `part column_${i} is section {
  width = 20 mm
  height = 40 mm
  second_moment_upright = ${c.inward * 1e8} cm^4
  second_moment_flat = ${c.around * 1e8} cm^4
  mass_by_length = ${c.mc} kg/m
}
part beam_${i} is section {
  width = 20 mm
  height = 20 mm
  second_moment_upright = ${c.Ib * 1e8} cm^4
  mass_by_length = ${c.mb} kg/m
}
machine Bench_${i} {
  ambient = 20 degC
  three_tower_frame frame {
    column = column_${i}
    beam = beam_${i}
    height = ${c.h} m
    side = ${c.side} m
    corner_stiffness = ${c.corner} N*m
    feet_fixed = ${c.fixed ? 'yes' : 'no'}
    top_mass = ${c.top} kg
  }
}
`,
  )
  .join('\n');

describe('a frame of three towers', () => {
  const ours = allValuesOf(text);
  const theirs = oracle<[number, number]>('towers-oracle.py', given);

  test('is as stiff as bars in space, pushed in any direction', () => {
    for (const [i, [stiffness]] of theirs.entries())
      expect((ours[i]?.('frame.stiffness_in_width') as number) / stiffness, `case ${i}`).toBeCloseTo(1, 4);
  });

  // One mass on one spring, where 13/35 of a column stand for its own mass however far its top tilts (33/140 where nothing holds it): within
  // 8 %, where columns weigh more than what they carry.
  test('swings sideways as they do', () => {
    const off = theirs.map(([, frequency], i) => (ours[i]?.('frame.mode_in_width') as number) / frequency - 1);
    for (const each of off) expect(Math.abs(each)).toBeLessThan(0.08);
    expect(Math.abs(mean(off))).toBeLessThan(0.03);
  });
});

describe('the nozzle of a delta', () => {
  const slides = (acceleration: number, frame: string) =>
    `machine Bench {\n ambient = 20 degC\n supply psu is supply_24v_450w\n ${delta(
      220,
      90,
      80,
      'guide is rail_12mm { length = 420 mm }\n belt_drive drive { motor is nema17_48mm\n belt is belt_2mm_6\n pulley is pulley_2mm_16 }',
    ).replace('path_acceleration = 1500 mm/s^2', `path_acceleration = ${acceleration} mm/s^2`)}
  three_tower_frame frame { ${frame}\n side = 260 mm } }`;
  const stiff = 'column = section_20x40\n height = 600 mm';

  // By definition: the force is the nozzle's mass by its acceleration; what swings is nozzle, slides and the share of the bars. As the
  // frame of a portal does, by the same mass and the same force (whose course in time is compared with SciPy's elsewhere).
  test('shakes the towers by its own mass alone, and the slower the stiffer they are', () => {
    const read = valuesOf(slides(1500, stiff));
    expect(read('motion.a.frame_share')).toBeCloseTo(0.15 / read('frame.moved_in_width'), 9);
    expect(read('motion.force_in_width')).toBeCloseTo(0.15 * 1.5, 9);
    expect(read('motion.top_mass')).toBeCloseTo(0.15 + 3 * 0.1, 9);
    expect(read('frame.deflection_in_width')).toBeCloseTo((0.15 * 1.5) / read('frame.stiffness_in_width'), 12);
    const w = 2 * Math.PI * read('motion.a.frame_mode');
    const half = Math.exp((-Math.PI * 0.04) / Math.sqrt(1 - 0.04 ** 2));
    const swing = Math.min((1.5 / w ** 2) * (1 + half), 0.1 / w) + 0.005 / w;
    expect(read('motion.a.frame_ringing')).toBeCloseTo(read('motion.a.frame_share') * swing, 12);
    // Lower than each by itself (Dunkerley), and no lower than both together let it be.
    const [frame, drive] = [read('motion.a.frame_mode'), read('motion.a.drive_mode')];
    expect(read('motion.a.lowest_mode')).toBeLessThan(Math.min(frame, drive));
    expect(read('motion.a.lowest_mode')).toBeGreaterThan(1 / Math.hypot(1 / frame, 1 / drive));
  });

  test('what a slide is off by is more at the nozzle, by its arms', () => {
    const read = valuesOf(slides(1500, stiff));
    const w = 2 * Math.PI * read('motion.a.drive_mode');
    const half = Math.exp((-Math.PI * 0.04) / Math.sqrt(1 - 0.04 ** 2));
    const slope = read('motion.steepest');
    const swing = Math.min(((1.5 * slope) / w ** 2) * (1 + half), (0.1 * slope) / w) + (0.005 * slope) / w;
    expect(read('motion.a.drive_ringing') / swing / read('motion.most_way_by_slide')).toBeCloseTo(1, 6);
  });

  test('rings where towers are thin and tall, and does not where they are stiff', () => {
    const thin = 'column = section_20x20\n height = 1100 mm\n corner_stiffness = 300 N*m\n feet_fixed = no';
    expect(broken(slides(4000, thin))).toContain('tool_rings');
    expect(broken(slides(4000, stiff))).not.toContain('tool_rings');
    expect(broken(slides(1500, stiff))).not.toContain('tool_rings');
    // On soft belts it rings whatever it stands in.
    expect(broken(slides(20000, stiff))).toContain('tool_rings');
  });
});
