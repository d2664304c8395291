// What is drawn of curves: bands over ranges, marks on their axes, units that suit.
import { describe, expect, test } from 'vitest';
import { plotOf } from '../../language/answers/plot.ts';
import { cellOf } from '../../language/compute/cell.ts';
import { machineIn } from '../support.ts';

const kinds = `kind pot {
  toplevel
  start: Temperature default 20 degC
  limit: Temperature default 90 degC
  done: Time default 2 min
  mass: Mass default 1 kg
  warmth(after: Time): Temperature = start + after * 0.5 K/s
  course: curve of Time, Temperature = sampled(of: warmth, from: 0 s, to: 2 min)
  late: curve of Time, Temperature = sampled(of: warmth, from: 1 min, to: 2 min)
  all: list of curve of Time, Temperature = [course, late]
  broken: curve of Time, Temperature = sampled(of: warmth, from: 0 s, to: lid)
  half: list of curve of Time, Temperature = [course, broken]
  lid: Time?
}
`;
const drawn = (lines: string, ...names: string[]) => {
  const machine = machineIn(`${kinds}pot P {\n${lines}\n}\n`);
  return plotOf(
    machine.tree,
    names.flatMap((name) => cellOf(machine.tree, name) ?? []),
    machine,
  );
};

describe('a plot', () => {
  test('has axes in units that suit, and the curve in them', () => {
    const plot = drawn('', 'course');
    expect(plot).toMatchObject({ x: { label: 'time', unit: 'min' }, y: { label: 'temperature', unit: '°C' } });
    const { points } = plot?.bands[0] ?? { points: [] };
    expect(points[0]).toEqual({ x: 0, low: expect.closeTo(20, 9), high: expect.closeTo(20, 9) });
    expect(points.at(-1)).toEqual({ x: expect.closeTo(2, 9), low: expect.closeTo(80, 9), high: expect.closeTo(80, 9) });
  });

  test('is as wide as its ranges make it: both ends are drawn, so that the worse is', () => {
    const { points } = drawn('  start = 10 degC .. 30 degC', 'course')?.bands[0] ?? { points: [] };
    for (const { x, low, high } of points) {
      expect(low).toBeCloseTo(10 + 30 * x, 6);
      expect(high).toBeCloseTo(30 + 30 * x, 6);
    }
    expect(points.length).toBeGreaterThan(20);
  });

  test('ends where the curve of one end of a range does: beyond it the band would be that of the others alone', () => {
    const { points } = drawn('  lid = 1 min .. 2 min\n  start = 10 degC .. 30 degC', 'broken')?.bands[0] ?? {
      points: [],
    };
    expect(points.at(-1)).toEqual({ x: expect.closeTo(1, 6), low: expect.closeTo(40, 6), high: expect.closeTo(60, 6) });
  });

  test('marks what has a place on one of its axes, as wide as it is', () => {
    const marks = drawn('  limit = 80 degC .. 90 degC', 'course', 'limit', 'done', 'mass')?.marks;
    expect(marks).toMatchObject([
      { label: 'limit', axis: 'y', low: expect.closeTo(80, 9), high: expect.closeTo(90, 9), shown: '80 to 90 °C' },
      { label: 'done', axis: 'x', low: expect.closeTo(2, 9), high: expect.closeTo(2, 9), shown: '2 min' },
    ]);
  });

  test('tells the curves of a list by their number', () => {
    expect(drawn('', 'all')?.bands.map(({ label }) => label)).toEqual(['all 1', 'all 2']);
  });

  test('draws a curve where it goes, beside one that goes on', () => {
    const bands = drawn('', 'course', 'late')?.bands ?? [];
    expect(bands.map(({ points }) => points[0]?.x)).toEqual([0, 1]);
  });

  test('is none where no curve is known', () => {
    expect(drawn('', 'broken', 'limit')).toBeUndefined();
    expect(drawn('', 'half', 'limit')?.bands.map(({ label }) => label)).toEqual(['half 1']);
    expect(drawn('', 'mass', 'limit')).toBeUndefined();
  });
});
