import { describe, expect, test } from 'vitest';
import { open } from './fixtures.ts';
import { broken, valuesOf } from './values.ts';

// How machines are put together: what each motor moves, and that good ones of every sort stay without a finding. Common practice, no
// source, where nothing else is said.

/** A machine with its motion alone. */
const machine = (motion: string, name = 'Bench') =>
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
  `z { travel = 200 mm\n wanted_speed = 8 mm/s\n wanted_acceleration = 100 mm/s^2\n drive_beside = 0 mm\n ${rest}\n ${guides}\n ${drive} }`;
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
const delta = (arm: number, spans: number, radius: number, tower: string, rest = '') =>
  `delta motion { carriage_mass = 0.15 kg\n slide_mass = 0.1 kg\n bed_mass = 1 kg\n arm_length = ${arm} mm\n arm_spans = ${spans} mm
  print_radius = ${radius} mm\n print_height = 200 mm\n path_speed = 100 mm/s\n path_acceleration = 1500 mm/s^2\n ${rest}
  ${['a', 'b', 'c'].map((axis) => `${axis} { drive_beside = 0 mm\n ${tower} }`).join('\n')} }`;
const tower = (guides: string) =>
  `${guides}\n belt_drive drive { motor is nema17_48mm\n belt is belt_2mm_6\n pulley is pulley_2mm_16 }`;

const good: Readonly<Record<string, string>> = {
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
    `tools = one_at_a_time\n ${height(rails(3, 260), screws(3))}`,
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
  'a bridge driven by a rack at both sides': tool(
    `rack_drive drive { motor * 2 is nema17_48mm\n pinion_teeth = 20\n module = 0.5 mm\n backlash = 0 mm }`,
    height(rails(2, 260), screws(2)),
  ),
};

test('there are twenty of them at least', () => expect(Object.keys(good).length).toBeGreaterThanOrEqual(20));

test.each(Object.keys(good))('%s: nothing is found', (name) => {
  const { project, file } = open(machine(good[name] as string));
  expect(project.mistakes(file).filter((m) => m.severity !== 'note')).toEqual([]);
  const said = project
    .machines(file)
    .flatMap(({ assessment }) => assessment.findings.map((f) => `${f.rule}: ${f.message}`));
  expect(said).toEqual([]);
});

describe('what each motor moves', () => {
  const gantry = machine(good['a gantry lifted by four motors on four screws, over a bed that stands still'] as string);

  // By definition: carriage, bridge and what is lifted with them, and no bed.
  test('a gantry that is lifted is what its height axis moves, and the bed stands still', () => {
    const read = valuesOf(gantry);
    expect(read('motion.z.moved_mass')).toBeCloseTo(0.35 + 0.4 + 2, 9);
    const lifted = valuesOf(gantry.replace('lifts = gantry', ''));
    expect(lifted('motion.z.moved_mass')).toBeCloseTo(1 + 0.3 + 0.5, 9);
    expect(read('motion.top_mass') - lifted('motion.top_mass')).toBeCloseTo(2, 9);
  });

  // By definition: drivers are counted through; four motors on the belts take four.
  test('the first driver of the height is the one after those of the belts', () => {
    expect(valuesOf(gantry)('motion.z.driver')).toBe(3);
    expect(valuesOf(machine(good['four motors on crossed belts'] as string))('motion.z.driver')).toBe(5);
  });

  // Statics: a lifted gantry without brakes comes down, as a bed does.
  test('what belts lift without a brake comes down', () => {
    const text = machine(good['a gantry lifted by four belts with brakes'] as string);
    expect(broken(text)).toEqual([]);
    expect(broken(text.replace('brake = 10 N*cm', '').replace('reduction = 5', ''))).toContain('falls_without_power');
  });
});

/** Solves three linear equations. */
function solve(rows: readonly number[][], right: readonly number[]): number[] {
  const a = rows.map((row, i) => [...row, right[i] as number]);
  for (let i = 0; i < 3; i++) {
    const best = [0, 1, 2].slice(i).reduce((m, k) => (Math.abs(at(a, k, i)) > Math.abs(at(a, m, i)) ? k : m), i);
    [a[i], a[best]] = [a[best] as number[], a[i] as number[]];
    for (let k = 0; k < 3; k++) {
      if (k === i) continue;
      const share = at(a, k, i) / at(a, i, i);
      a[k] = (a[k] as number[]).map((value, j) => value - share * at(a, i, j));
    }
  }
  return a.map((row, i) => (row[3] as number) / (row[i] as number));
}
const at = (rows: readonly number[][], i: number, j: number) => (rows[i] as number[])[j] as number;

/** Where the nozzle hangs, by the heights of three slides: Newton's method on the lengths of the arms. */
function hangs(slides: readonly number[], arm: number, spans: number, start: readonly number[]): number[] {
  let p = [...start];
  for (let i = 0; i < 30; i++) {
    const apart = slides.map((h, k) => {
      const angle = Math.PI / 2 + (k * 2 * Math.PI) / 3;
      return [p[0]! - spans * Math.cos(angle), p[1]! - spans * Math.sin(angle), p[2]! - h];
    });
    const off = apart.map((d) => d.reduce((sum, x) => sum + x * x, 0) - arm ** 2);
    p = p.map(
      (x, k) =>
        x -
        (solve(
          apart.map((d) => d.map((y) => 2 * y)),
          off,
        )[k] as number),
    );
  }
  return p;
}

describe('a delta', () => {
  // Independent of the formulas: the nozzle's place is solved for from three slides, one of which is moved by a micrometre.
  test.each([
    [220, 90, 80],
    [250, 125, 85],
    [360, 160, 140],
    [300, 120, 150],
  ])('arms of %i mm that span %i mm, in a circle of %i mm', (arm, spans, radius) => {
    const read = valuesOf(machine(delta(arm, spans, radius, '')));
    const heightAt = (y: number, tower: number) => {
      const angle = Math.PI / 2 + (tower * 2 * Math.PI) / 3;
      return Math.sqrt(arm ** 2 - (spans * Math.cos(angle)) ** 2 - (y - spans * Math.sin(angle)) ** 2);
    };
    const moved = (y: number) => {
      const slides = [0, 1, 2].map((tower) => heightAt(y, tower));
      const step = 1e-3;
      const up = hangs([slides[0]! + step, slides[1]!, slides[2]!], arm, spans, [0, y, 0]);
      const down = hangs([slides[0]! - step, slides[1]!, slides[2]!], arm, spans, [0, y, 0]);
      return up.map((x, i) => (x - (down[i] as number)) / (2 * step));
    };
    const ways = [0, radius, -radius].map((y) => Math.abs(moved(y)[1] as number));
    expect(read('motion.most_way_by_slide')).toBeCloseTo(Math.max(...ways), 5);
    // A weight at the nozzle loads a slide by as much of it as the nozzle rises by its way: virtual work.
    expect(read('motion.weight_share')).toBeCloseTo(moved(radius)[2] as number, 5);
    const rises = (heightAt(-radius + 1e-3, 0) - heightAt(-radius - 1e-3, 0)) / 2e-3;
    expect(read('motion.steepest')).toBeCloseTo(rises, 5);
    expect(read('motion.tower_travel') * 1000 - 200).toBeCloseTo(
      heightAt(Math.min(radius, spans), 0) - heightAt(-radius, 0),
      6,
    );
    expect(read('motion.a.wanted_speed')).toBeCloseTo(0.1 * rises, 6);
  });
});
