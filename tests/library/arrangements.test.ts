import { describe, expect, test } from 'vitest';
import { open } from './fixtures.ts';
import { delta, good, machine, whole } from './good-arrangements.ts';
import { broken, valuesOf } from './values.ts';

// How machines are put together: what each motor moves, and that good ones of every sort stay without a finding. Common practice, no
// source, where nothing else is said.

test('there are twenty of them at least', () => expect(Object.keys(good).length).toBeGreaterThanOrEqual(20));

test.each(Object.keys(good))('%s: nothing is found', (name) => {
  const { project, file } = open(machine(good[name] as string));
  expect(project.mistakes(file).filter((m) => m.severity !== 'note')).toEqual([]);
  const said = project
    .machines(file)
    .flatMap(({ assessment }) => assessment.findings.map((f) => `${f.rule}: ${f.message}`));
  expect(said).toEqual([]);
});

// A machine that is whole: bed, hot end, mains, box and wires of the small example, a frame, and a board that drives so many motors.
test.each(Object.keys(good))(
  '%s: nothing is found in a whole machine that moves so, and nothing is left undecided',
  (name) => {
    const { project, file } = open(whole(good[name] as string));
    expect(project.mistakes(file).filter((m) => m.severity !== 'note')).toEqual([]);
    const [machine] = project.machines(file);
    expect(machine?.assessment.findings.map((f) => `${f.rule}: ${f.message}`)).toEqual([]);
    expect(machine?.assessment.undecided.map(({ rule, instance }) => `${rule} ${instance.path}`)).toEqual([]);
  },
);

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
