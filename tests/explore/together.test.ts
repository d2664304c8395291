import { describe, expect, test } from 'vitest';
import { leastSets } from '../../language/explore/together.ts';
import { read } from '../support.ts';

/** A lamp that burns where what guards it is off, by a formula of five guards. */
const lamp = (burns: string, more = '') => `kind lamp {
  toplevel
  inside rack
${['a', 'b', 'c', 'd', 'e'].map((name) => `  /// A guard.\n  ${name}: YesNo default yes\n  /// ${name} is off\n  defect ${name}_off {\n    alters ${name} = no\n    odds 1 %\n    how "Look"\n  }`).join('\n')}
  /// How warm it is.
  warm: Temperature default 20 degC
  /// Whether it burns.
  burning: YesNo = ${burns} { source defined "so be it" }
  /// It burns
  symptom burns {
    when given(warm)
    shows burning
    how "At {warm}"
  }
${more}}
lamp l
`;
const sets = (burns: string, most = 2, text = lamp(burns)) =>
  leastSets({ ...read(text), machine: 'l' }, 'burns', most, []).map((each) =>
    each.sets.map((set) =>
      set
        .map(({ path }) => path[0])
        .sort()
        .join(''),
    ),
  );

/** All sets that make it burn, of which none can do without one: by trying all 32. */
function counted(burns: (off: string) => boolean, most: number): string[] {
  const all = Array.from({ length: 32 }, (_, n) => [...'abcde'].filter((_, i) => n & (1 << i)).join(''));
  const least = all.filter((set) => burns(set) && [...set].every((one) => !burns(set.replace(one, ''))));
  return least.filter(({ length }) => length <= most).sort((x, y) => x.length - y.length || (x < y ? -1 : 1));
}

describe('the least sets of defects, against trying all of them', () => {
  test.each<[string, (off: string) => boolean]>([
    ['not a', (off) => off.includes('a')],
    ['not a and not b', (off) => off.includes('a') && off.includes('b')],
    ['not (a or (b and c))', (off) => off.includes('a') && (off.includes('b') || off.includes('c'))],
    [
      'not a or (not b and not (c or d))',
      (off) => off.includes('a') || ['b', 'c', 'd'].every((one) => off.includes(one)),
    ],
    ['not (a or b or c)', (off) => ['a', 'b', 'c'].every((one) => off.includes(one))],
  ])('%s', (formula, burns) => {
    for (const most of [1, 2, 3])
      expect(sets(formula, most)[0]?.toSorted((x, y) => x.length - y.length || (x < y ? -1 : 1))).toEqual(
        counted(burns, most),
      );
  });
});

describe('what is told of each block', () => {
  const of = (text: string, at: readonly string[] = []) => leastSets({ ...read(text), machine: 'l' }, 'burns', 1, at);
  test('what shows as it is written needs nothing else', () => {
    expect(of(lamp('a'))).toEqual([{ path: 'l', what: 'At 20 °C', already: true, sets: [], tried: 0 }]);
  });

  test('each in words, and how many were tried', () => {
    expect(of(lamp('not b'))).toEqual([
      { path: 'l', what: 'At 20 °C', already: false, sets: [[{ path: 'b_off', title: 'b is off' }]], tried: 1 },
    ]);
  });

  test('a range counts wherever it is worst, unless it is said where it is', () => {
    const hot = lamp('not a and warm > 35 degC').replace(/lamp l$/m, 'lamp l { warm = 10 degC .. 40 degC }');
    expect(of(hot)[0]?.sets).toHaveLength(1);
    expect(of(hot, ['warm = 20 degC'])[0]?.sets).toEqual([]);
  });

  test('blocks that cannot have it are left out', () => {
    expect(of(lamp('not a').replace('when given(warm)', 'when warm > 100 degC'))).toEqual([]);
  });
});
