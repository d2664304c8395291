import { describe, expect, test } from 'vitest';
import { generator } from './oracle.ts';
import { broken, valuesOf } from './values.ts';

// Belts and racks over their travel: against statics and geometry that are reckoned anew here, without the library's formulas.

const random = generator(307);
const cases = <Case>(make: () => Case): Case[] => Array.from({ length: 30 }, make);

/** A root by halving: of a function that grows. */
function root(of: (x: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  for (let i = 0; i < 200; i++) {
    const middle = (a + b) / 2;
    if (of(middle) > 0) b = middle;
    else a = middle;
  }
  return (a + b) / 2;
}

const axis = (drive: string, rest = '') => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_450w
  moving_tool motion {
    carriage_mass = 0.4 kg
    bed_mass = 1 kg
    x {
      travel = 200 mm
      wanted_speed = 100 mm/s
      wanted_acceleration = 1000 mm/s^2
      ${rest}
      ${drive}
    }
  }
}
`;
const belt = (rest: string, part = 'belt_2mm_6', pulley = 'pulley_2mm_20') =>
  axis(`belt_drive drive { motor is nema17_40mm\n belt is ${part}\n pulley is ${pulley}\n ${rest} }`);

describe('a belt whose clamps stand beside its line', () => {
  // Statics: a belt of one length, unstretched, around pulley and idler and to both clamps; its tension is found twice by what it is
  // stretched by, once for the middle, where it is set, and once for the end of the travel.
  test('is tighter at the end of the travel by what its strands are longer there', () => {
    for (const { span, beside, tension, near } of cases(() => ({
      span: random(0.25, 0.5),
      beside: random(0.001, 0.012),
      tension: random(15, 40),
      near: random(0.015, 0.05),
    }))) {
      const text = belt(`span = ${span} m
        clamp_beside = ${beside} m
        tension = ${tension} N
        shortest_strand = ${near} m`).replace('belt_2mm_6', 'belt_2mm_6 { stiffness_by_width = 4 kN/mm }');
      const read = valuesOf(text);
      const EA = read('motion.x.drive.belt.spring_force');
      const way = (at: number) => span + Math.hypot(at, beside) + Math.hypot(span - at, beside);
      const stretch = (length: number, slack: number) => EA * (length / slack - 1);
      const slack = root((length) => tension - stretch(way(span / 2), length), 0.5 * span, way(span / 2));
      const more = stretch(way(near), slack) - tension;
      // Hooke's law by the length that is set, not by the unstretched one: within the stretch itself, under 1 %.
      expect(read('motion.x.drive.tension_change') / more).toBeCloseTo(1, 1.9);
      expect(broken(text).includes('belt_tightens_at_end'), text).toBe(more > 0.2 * tension);
    }
  });
});

describe('a belt that runs askew', () => {
  // Geometry: the angle between the line from pulley to idler and the pulley's plane, by their dot product. A quarter of a degree from memory.
  test('by the angle between its way and the plane of its pulley', () => {
    for (const { span, out } of cases(() => ({ span: random(0.25, 0.8), out: random(0.0002, 0.006) }))) {
      const text = belt(`span = ${span} m\n out_of_plane = ${out} m`);
      const angle = Math.acos(span / Math.hypot(span, out));
      expect(valuesOf(text)('motion.x.drive.belt_askew') / angle).toBeCloseTo(1, 3);
      if (Math.abs(angle / 0.25 / (Math.PI / 180) - 1) > 0.01)
        expect(broken(text).includes('belt_runs_askew'), text).toBe(angle > (0.25 * Math.PI) / 180);
    }
  });
});

describe('a belt that is bent', () => {
  // From memory: DIN 7721, least numbers of teeth of 10 for a pitch of 2.5 and 5 mm; makers' tables of 2 and 3 mm say 10 to 14. The circle
  // around which so many teeth go once, by a polygon of very many sides.
  const around = (teeth: number, pitch: number) => {
    const sides = 1e5;
    return root((d) => sides * d * Math.sin(Math.PI / sides) - teeth * pitch, 0, 1000);
  };
  test.each([
    ['belt_2mm_6', 2],
    ['belt_3mm_9', 3],
  ])('%s around the circle of its least teeth', (part, pitch) => {
    const pulley = pitch === 2 ? 'pulley_2mm_20' : 'pulley_3mm_20';
    const read = valuesOf(belt('', part, pulley));
    const teeth = read('motion.x.drive.belt.least_teeth');
    expect(teeth).toBeGreaterThanOrEqual(10);
    expect(teeth).toBeLessThanOrEqual(14);
    const least = around(teeth, pitch);
    expect(read('motion.x.drive.belt.least_diameter') * 1000).toBeCloseTo(least, 4);
    const on = (diameter: number) => broken(belt(`idler { runs_on = ${diameter} mm }`, part, pulley));
    expect(on(least * 0.97)).toContain('belt_bent_too_tight');
    expect(on(least * 1.02)).not.toContain('belt_bent_too_tight');
  });
});

describe('two belts that cross', () => {
  const pair = (rest: string) => `machine Bench {
  ambient = 20 degC
  supply psu is supply_24v_450w
  crossed_belts motion {
    carriage_mass = 0.4 kg
    bed_mass = 1 kg
    x { travel = 200 mm
      wanted_speed = 100 mm/s
      wanted_acceleration = 1500 mm/s^2 }
    y { travel = 200 mm
      wanted_speed = 100 mm/s
      wanted_acceleration = 1500 mm/s^2 }
    pair is crossed_pair { width_span = 280 mm
      depth_span = 280 mm
      ${rest} }
  }
}
`;
  // Statics: both are laid along one way, and stretched to it from what each was cut to.
  test('are unlike tight by what one is longer than the other', () => {
    for (const { longer, tension } of cases(() => ({ longer: random(-4e-4, 4e-4), tension: random(15, 40) }))) {
      const text = pair(`other_longer = ${longer} m\n tension = ${tension} N`);
      const read = valuesOf(text);
      const [EA, way] = [read('motion.pair.belt.spring_force'), read('motion.pair.belt_length')];
      const one = root((length) => tension - EA * (way / length - 1), way / 2, way);
      const other = Math.max(0, EA * (way / (one + longer) - 1));
      // By the length that is set, not by the unstretched one: within the stretch itself, under 1 %.
      expect(Math.abs(read('motion.pair.other_tension') - other)).toBeLessThan(0.01 * Math.abs(other - tension) + 1e-9);
    }
  });

  test('one tooth more is told, and as many teeth are not', () => {
    expect(broken(pair('other_longer = 2 mm'))).toContain('belts_pull_unlike');
    expect(broken(pair('other_longer = 0 mm'))).not.toContain('belts_pull_unlike');
    // Each tightened by itself to one tone.
    expect(broken(pair('other_longer = 2 mm\n tension = 25 N\n other_tension = 25 N'))).not.toContain(
      'belts_pull_unlike',
    );
  });
});

describe('a rack', () => {
  // Involute teeth of 20 degrees (ISO 53): the flanks touch along a line from where the rack's tips cross it to where the pinion's do. How
  // far that is along the rack, of pinions of 12 to 200 teeth, by stepping along the line.
  test('has a pitch beyond the travel at each end, which no contact reaches past', () => {
    const flank = (20 * Math.PI) / 180;
    for (const teeth of [12, 20, 60, 200]) {
      const [pitchCircle, tips] = [teeth / 2, teeth / 2 + 1];
      let along = 0;
      const inside = (s: number) => Math.hypot(s * Math.cos(flank), pitchCircle - s * Math.sin(flank)) <= tips;
      const inRack = (s: number) => s * Math.sin(flank) <= 1;
      for (let s = 0; inside(-s) || inRack(s); s += 1e-3) along = s * Math.cos(flank);
      expect(along).toBeLessThan(Math.PI);
      expect(along).toBeGreaterThan(1.5);
    }
    const rack = (length: number) =>
      axis(
        `rack_drive drive { motor is nema17_40mm\n pinion_teeth = 20\n module = 0.5 mm\n rack_length = ${length} mm }`,
      );
    expect(valuesOf(rack(210))('motion.x.drive.needed_rack') * 1000).toBeCloseTo(200 + 2 * Math.PI * 0.5, 6);
    expect(broken(rack(203.2))).not.toContain('rack_shorter_than_travel');
    expect(broken(rack(203.1))).toContain('rack_shorter_than_travel');
    // Nobody is told of a rack whose length is not said.
    expect(broken(rack(210).replace('rack_length = 210 mm', ''))).not.toContain('rack_shorter_than_travel');
  });
});
