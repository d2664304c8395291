import { describe, expect, test } from 'vitest';
import { fitRecording, type Recording } from '../../language/explore/recorded.ts';
import { read } from '../support.ts';

/** What warms towards an end, by its rise and its lag. */
const kettle = (room = '20 degC', more = '') => `kind kettle {
  toplevel
  /// How warm the room is.
  room: Temperature
  /// How much it warms in the end.
  rise: TemperatureDifference {
    varies 20 %
  }
  /// How slow it is.
  lag: Time default 100 s {
    varies 30 %
    within 1 s .. 1 h
  }
  /// How hot it is after a time.
  at_time(after: Time): Temperature = room + rise * (1 - exp(-after / lag)) {
    source defined "Newton's law of cooling"
  }
  /// Its course.
  course: curve of Time, Temperature = sampled(of: at_time, from: 0 s, to: 10 min) {
    source defined "its course"
  }
}
kettle k {
  room = ${room}
  rise = 80 K
${more}}
`;
const side = (text: string) => ({ ...read(text), machine: 'k' });
/** Newton's law of cooling in closed form. */
const recorded = (
  room: number,
  rise: number,
  lag: number,
  units: Recording['units'] = ['s', 'degC'],
  scale = 1,
): Recording => ({
  units,
  rows: Array.from({ length: 21 }, (_, i): [number, number] => [
    (i * 20) / scale,
    room + rise * (1 - Math.exp((-i * 20) / lag)),
  ]),
});
const number = (text: string | undefined, name: string) =>
  Number(new RegExp(`${name} ([\\d.]+)`).exec(text ?? '')?.[1]);

describe('a recorded curve', () => {
  test('two inputs are found that made it', () => {
    const { best, offNumber, points } = fitRecording(side(kettle()), 'course', recorded(20, 88, 125), []);
    const said = best?.inputs.map(({ change }) => change).join();
    expect(number(said, 'rise')).toBeCloseTo(88, 0);
    expect(number(said, 'lag') * 60).toBeCloseTo(125, -1);
    expect(best?.offNumber).toBeLessThan(0.3);
    expect(offNumber).toBeGreaterThan(3);
    expect(points).toBe(21);
    expect(best?.inputs.map(({ record }) => record).sort()[1]).toMatch(/^measured rise = 8[78](\.\d)? K$/);
    expect(best?.inputs.some(({ atEnd }) => atEnd)).toBe(false);
  });

  test('one input is told where a second makes it no better', () => {
    const { best } = fitRecording(side(kettle()), 'course', recorded(20, 72, 100), []);
    expect(best?.inputs.map(({ path }) => path)).toEqual(['rise']);
    expect(best?.off).toBe('0 K');
    expect(best?.inputs[0]?.title).toBe('rise: how much it warms in the end, within its tolerance');
  });

  test('none goes beyond what its tolerance lets it be, and the end is told', () => {
    const { best } = fitRecording(side(kettle()), 'course', recorded(20, 60, 100), []);
    expect(best?.inputs.find(({ path }) => path === 'rise')).toMatchObject({
      atEnd: true,
      change: 'rise 64 K instead of 80 K',
    });
  });

  test('a range is what the first point tells, or what is said', () => {
    const warm = side(kettle('10 degC .. 30 degC'));
    expect(fitRecording(warm, 'course', recorded(14, 80, 100), []).at).toEqual(['room 14 °C']);
    expect(fitRecording(warm, 'course', recorded(14, 80, 100), []).offNumber).toBeLessThan(0.3);
    expect(fitRecording(warm, 'course', recorded(14, 80, 100), ['room = 20 degC']).at).toEqual([]);
  });

  test('a range that the first point tells nothing of is taken in its middle', () => {
    const ranged = kettle().replace('  rise = 80 K\n', '  rise = 60 K .. 100 K\n');
    const fit = fitRecording(side(ranged), 'course', recorded(20, 80, 100), []);
    expect(fit.at).toEqual(['rise 80 K']);
    expect(fit.offNumber).toBeLessThan(0.3);
    // Nor does one that is not known at one of its ends.
    const half = kettle('10 degC .. 30 degC')
      .replace('= room + rise *', '= (if room > 25 degC then gap else room) + rise *')
      .replace('  /// How slow', '  gap: Temperature?\n  /// How slow');
    expect(fitRecording(side(half), 'course', recorded(14, 80, 100), []).at).toEqual(['room 20 °C']);
  });

  test('of two ranges that the first point tells, the first is taken by it with the other in its middle', () => {
    const lifted = kettle('10 degC .. 40 degC', '  lift = 0 K .. 10 K\n')
      .replace('  /// How slow', '  lift: TemperatureDifference\n  /// How slow')
      .replace('= room + rise *', '= room + lift + rise *');
    const { at } = fitRecording(side(lifted), 'course', recorded(30, 80, 100), []);
    // 30 °C are a room of 25 °C and 5 K, whichever of both comes first.
    expect(at.toSorted()).toEqual(['lift 5 K', 'room 25 °C']);
  });

  test('units are those that the recording is in, and its first point is the beginning', () => {
    const minutes = recorded(20, 72, 100, ['min', 'degC'], 60);
    const later = { ...minutes, rows: minutes.rows.map(([x, y]): [number, number] => [x + 7, y]) };
    const { best } = fitRecording(side(kettle()), 'course', later, []);
    expect(best?.inputs.map(({ path }) => path)).toEqual(['rise']);
    expect(best?.offNumber).toBeLessThan(0.3);
  });

  test('a temperature in kelvins is the same as one in degrees', () => {
    const kelvins = recorded(20, 72, 100);
    const rows = kelvins.rows.map(([x, y]): [number, number] => [x, y + 273.15]);
    const inKelvins = fitRecording(side(kettle()), 'course', { units: ['s', 'K'], rows }, []);
    expect(inKelvins).toEqual(fitRecording(side(kettle()), 'course', kelvins, []));
  });

  test('what was recorded further than is computed is held against where it ends', () => {
    const short = kettle().replace('to: 10 min', 'to: 2 min');
    const { offNumber, off } = fitRecording(
      side(short),
      'course',
      { units: ['s', 'degC'], rows: [0, 120, 240, 360].map((x) => [x, x === 0 ? 20 : 80]) },
      [],
    );
    // At 120 s it is 20 + 80 * (1 - exp(-1.2)) = 75.90 °C, and stays there: three are off by 4.10 K, of four.
    expect(offNumber).toBeCloseTo(Math.sqrt((3 * (80 - (20 + 80 * (1 - Math.exp(-1.2)))) ** 2) / 4), 2);
    expect(off).toBe('3.55 K');
  });

  test('pairs that a recording does not tell apart are told, the others not', () => {
    const twice = kettle()
      .replace(
        '  /// How slow',
        '  /// What is lost.\n  kept: Ratio default 95 % {\n    varies 20 %\n  }\n  /// How slow',
      )
      .replace('room + rise *', 'room + kept / 95 % * rise *');
    const { best, others } = fitRecording(side(twice), 'course', recorded(20, 88, 125), []);
    const pairs = [best, ...others].map((each) =>
      each?.inputs
        .map(({ path }) => path)
        .sort()
        .join(),
    );
    expect(pairs.sort()).toEqual(['kept,lag', 'lag,rise']);
    // One explains this alone: what is a little better with two is no better.
    const alone = fitRecording(side(twice), 'course', recorded(20, 72, 100), []);
    expect(alone.best?.inputs).toHaveLength(1);
  });

  test('nothing is told where nothing can be otherwise', () => {
    const fixed = kettle().replace(/ {4}varies .*\n/g, '');
    expect(fitRecording(side(fixed), 'course', recorded(20, 72, 100), []).best).toBeUndefined();
  });

  test('what cannot be fitted says why', () => {
    const fitting =
      (path: string, recording: Recording, text = kettle()) =>
      () =>
        fitRecording(side(text), path, recording, []);
    expect(fitting('rise', recorded(20, 72, 100))).toThrow('rise is no curve of k');
    expect(fitting('course', recorded(20, 72, 100, ['s', 'V']))).toThrow(
      'what was recorded is in V, which is not what the curve is in',
    );
    const first = (n: number) => ({ ...recorded(20, 72, 100), rows: recorded(20, 72, 100).rows.slice(0, n) });
    expect(fitting('course', first(3))).toThrow('3 points say too little: at least 4 are needed');
    expect(fitting('course', first(4))).not.toThrow();
    expect(fitting('course', recorded(20, 72, 100, ['m', 'degC']))).toThrow('what was recorded is in m');
    expect(fitting('course', recorded(20, 72, 100, ['s', 'nothing']))).toThrow('what was recorded is in nothing');
    expect(fitting('nothing', recorded(20, 72, 100))).toThrow('nothing is no curve of k');
    expect(fitting('course', recorded(20, 72, 100), kettle().replace('  rise = 80 K\n', ''))).toThrow(
      'course is not known',
    );
  });
});
