import { describe, expect, test } from 'vitest';
import { machineIn, shown } from '../support.ts';

/** What a table of a text's own says of some keys. */
function answer(table: string, call: string, type = 'Ratio'): string {
  return shown(
    machineIn(
      `${table}\nkind hall {\n  toplevel\n  answer: ${type} = ${call} {\n    source defined "a test"\n  }\n}\nhall H\n`,
    ),
    'answer',
  );
}

const between = (how: string) => `table rising(at: Length): Ratio {
  source defined "a test"
${how ? `  interpolation ${how}\n` : ''}  row 1 m: 10
  row 100 m: 1000
  row 10 m: 20
}`;

describe('a table', () => {
  test('is met exactly at its rows, in whatever order they stand', () => {
    for (const how of ['', 'exact', 'linear', 'logarithmic'])
      expect(['1 m', '10 m', '100 m'].map((at) => answer(between(how), `rising(${at}) / 100`))).toEqual([
        '10 %',
        '20 %',
        '10',
      ]);
    // By rounding alone a key is not missed.
    expect(answer(between(''), 'rising((0.1 m + 0.2 m) / 0.3) / 100')).toBe('10 %');
  });

  test('is read between its rows as it says', () => {
    expect(answer(between('linear'), 'rising(5.5 m) / 100')).toBe('15 %');
    expect(answer(between('linear'), 'rising(55 m) / 100')).toBe('5.1');
    // 10^((0 + 1) / 2) m: the root of 10 * 20
    expect(answer(between('logarithmic'), 'rising(10 m ^ 0.5 * 1 m ^ 0.5) / 100', 'Ratio')).toBe('14.1 %');
    expect(answer(between(''), 'rising(5.5 m)')).toContain('cannot be computed');
  });

  test('ends at its outermost rows, and names them', () => {
    for (const at of ['0.9 m', '101 m'])
      expect(answer(between('linear'), `rising(${at})`)).toMatch(
        /cannot be computed: (900 mm|0\.9 m|101 m) is not in the table "rising": it goes from 1 m to 100 m/,
      );
  });

  const two = `table by_name(of: Text, at: Length): Ratio {
  source defined "a test"
  interpolation linear
  row "a", 1 m: 0.1
  row "a", 2 m: 0.2
  row "b", 1 m: 0.5
  row "b", 3 m: 0.9
}
table exactly(of: Text): Ratio {
  source defined "a test"
  row "one": 0.1
  row "two": 0.2
}`;

  test('of several keys: all but the last are met exactly', () => {
    expect(answer(two, 'by_name("a", 1.5 m)')).toBe('15 %');
    expect(answer(two, 'by_name("b", 1.5 m)')).toBe('60 %');
    expect(answer(two, 'by_name("a", 3 m)')).toContain('it goes from 1 m to 2 m');
    expect(answer(two, 'by_name("c", 1 m)')).toContain('in the table "by name": it knows nothing like it');
  });

  test('of words knows those', () => {
    expect(answer(two, 'exactly("two")')).toBe('20 %');
    expect(answer(two, 'exactly("three")')).toBe(
      'cannot be computed: three is not in the table "exactly": it knows one, two',
    );
  });
});
