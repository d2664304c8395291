import { describe, expect, test } from 'vitest';
import { deviationsOf } from '../../language/compute/measurements.ts';
import { machineIn } from '../support.ts';

const kinds = `kind hall {
  toplevel
  has lamp*
  has bulb?
  glow: Power = sum(l.power for l in every lamp) * 2
  light: Power = bulb.power * 2
  width: Length default 4 m
  warm: Temperature = 60 degC
  half: Length = width / 2
  gap: Length?
  slit: Length = gap / 2
  zero: Length = 0 m
  slot: Length = 2 mm {
    shown um
  }
}
kind lamp {
  power: Power default 5 W
  twice: Power = 2 * power
}
kind bulb is lamp {
}
`;
const deviations = (lines: string, more = '', name = 'H') =>
  deviationsOf(machineIn(`${kinds}hall H {\n${lines}\n}\n${more}`, name));

describe('what was measured stands beside what was computed', () => {
  test.each([
    ['half = 2.5 m', 'computed 2 m, measured 25 % more', 0.25],
    ['half = 1.5 m', 'computed 2 m, measured 25 % less', -0.25],
    ['half = 2 m', 'computed 2 m, as measured', 0],
    ['warm = 62.5 degC', 'computed 60 °C, measured 2.5 K more', 2.5],
    ['warm = 48 degC', 'computed 60 °C, measured 12 K less', -12],
    ['zero = 1 m', 'computed 0 m, measured 100 % more', 1],
    ['slot = 3 mm', 'computed 2000 µm, measured 50 % more', 0.5],
  ])('%s: %s', (measured, text, amount) => {
    const [deviation] = deviations(`  measured ${measured} on 2026-01-02`);
    expect(deviation?.text.replace('0 mm', '0 m')).toBe(text);
    expect(deviation?.amount).toBeCloseTo(amount, 9);
    expect(deviation).toMatchObject({ date: '2026-01-02', inPlace: false });
  });

  test('with its path, and where it stands', () => {
    const [deviation] = deviations('  lamp a {\n    measured twice = 12 W on 2026-01-02\n  }');
    expect(deviation).toMatchObject({ path: 'a.twice', measured: 12, computed: 10, inKelvin: false });
    expect(deviation?.tooltip).toBe('Noted beside the computed value, 10 W.');
  });

  test('of what is not known there is nothing to compare with', () => {
    expect(deviations('  measured slit = 1 m on 2026-01-02')[0]).toMatchObject({
      text: 'nothing computed to compare with',
      amount: undefined,
    });
  });

  test('over a range it is no share', () => {
    const [deviation] = deviations('  width = 2 m .. 4 m\n  measured half = 1.5 m on 2026-01-02');
    expect(deviation).toMatchObject({ amount: undefined, text: 'computed 1 to 2 m' });
  });

  test('in place of the computed value it is compared with that all the same', () => {
    const [deviation] = deviations('  measured half = 2.5 m on 2026-01-02 in place');
    expect(deviation).toMatchObject({
      inPlace: true,
      computed: 2,
      text: 'computed 2 m, measured 25 % more',
      tooltip: 'Used in place of the computed value.',
    });
  });

  test('in place of a value that rests on a block by its role it is compared with that', () => {
    const [deviation] = deviations('  lamp a\n  measured glow = 20 W on 2026-01-02 in place');
    expect(deviation?.text).toBe('computed 10 W, measured 100 % more');
    const [named] = deviations(
      '  lamp bulb {\n    power = 7 W\n  }\n  bulb a\n  measured light = 20 W on 2026-01-02 in place',
    );
    expect(named?.text).toBe('computed 10 W, measured 100 % more');
  });

  test('of a value that the machine gives it is compared with what it gives', () => {
    const [deviation] = deviations('  width = 3 m\n  measured width = 3.3 m');
    expect(deviation).toMatchObject({ text: 'computed 3 m, measured 10 % more', date: '' });
  });

  test('where no value was read yet, nothing is said', () => {
    expect(deviations('  measured half =')).toEqual([]);
  });

  test('of another value than there is there is none', () => {
    expect(deviations('  measured nothing = 1 m on 2026-01-02')).toEqual([]);
  });
});

test('a variant knows nothing of what was measured of its base', () => {
  const more = 'hall V is H {\n  measured half = 1 m on 2026-01-03\n}\n';
  expect(deviations('  measured half = 2.5 m on 2026-01-02', more, 'V').map(({ date }) => date)).toEqual([
    '2026-01-03',
  ]);
});
