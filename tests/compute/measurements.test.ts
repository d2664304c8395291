import { describe, expect, test } from 'vitest';
import { deviationsOf } from '../../language/compute/measurements.ts';
import { machineIn } from '../support.ts';

const kinds = `kind hall {
  toplevel
  has lamp*
  width: Length default 4 m
  warm: Temperature = 60 degC
  half: Length = width / 2
  gap: Length?
  slit: Length = gap / 2
  zero: Length = 0 m
}
kind lamp {
  power: Power = 5 W
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
  ])('%s: %s', (measured, text, amount) => {
    const [deviation] = deviations(`  measured ${measured} on 2026-01-02`);
    expect(deviation?.text.replace('0 mm', '0 m')).toBe(text);
    expect(deviation?.amount).toBeCloseTo(amount, 9);
    expect(deviation).toMatchObject({ date: '2026-01-02', inPlace: false });
  });

  test('with its path, and where it stands', () => {
    const [deviation] = deviations('  lamp a {\n    measured power = 6 W on 2026-01-02\n  }');
    expect(deviation).toMatchObject({ path: 'a.power', measured: 6, computed: 5, inKelvin: false });
    expect(deviation?.tooltip).toBe('Noted beside the computed value, 5 W.');
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
