import { describe, expect, test } from 'vitest';
import { SpreadError, spreadOf } from '../../language/explore/spreading.ts';
import { read } from '../support.ts';

/** A row of springs, each of 10 mm within 1 mm. */
const row = (springs: number, more = '') => `kind spring {
  /// How long it is.
  length: Length
}
kind row {
  toplevel
  has spring*
  /// How warm it is.
  warm: Temperature default 20 degC
  /// All of them, and a millimetre more for each kelvin over 20 degC.
  total: Length = sum(s.length for s in every spring) + 1 mm/K * (warm - 20 degC) {
    source defined "their sum"
  }
}
row r {
${Array.from({ length: springs }, (_, i) => `  spring s${i} { length = 10 mm { varies 1 mm } }`).join('\n')}
${more}}
`;
const of = (text: string, draws = 4000, seed = 1) => spreadOf({ ...read(text), machine: 'r' }, 'total', draws, seed);

/** How far a share of so many draws lies from the true one, three standard errors of the binomial distribution. */
const near = (share: number, draws: number) => 3 * Math.sqrt((share * (1 - share)) / draws);

/**
 * The chance that a sum of n numbers, each as likely anywhere between 0 and 1, is at most x.
 * Source: Irwin (1927) and Hall (1927), Biometrika 19; Johnson, Kotz and Balakrishnan, "Continuous Univariate Distributions" 2, 26.9.
 */
function irwinHall(n: number, x: number): number {
  const factorial = (k: number): number => (k < 2 ? 1 : k * factorial(k - 1));
  let sum = 0;
  for (let k = 0; k <= Math.floor(x); k++) sum += ((-1) ** k * (x - k) ** n) / (factorial(k) * factorial(n - k));
  return sum;
}

describe('sums of what is drawn, against their closed form', () => {
  for (const [springs, x] of [
    [1, 0.3],
    [2, 0.5],
    [3, 0.75],
    [3, 1.5],
    [4, 3],
  ] as const)
    test(`${springs} drawn, at most ${x} of ${springs}`, () => {
      const limit = 9 * springs + 2 * x;
      const { requirements, samples } = of(row(springs, `  require total <= ${limit} mm\n`));
      const expected = irwinHall(springs, x);
      const [requirement] = requirements;
      expect(Math.abs((requirement?.share ?? 0) - expected)).toBeLessThan(near(expected, samples.length));
      const counted = samples.filter(([, high]) => high <= limit / 1000).length / samples.length;
      expect(requirement?.share).toBeCloseTo(counted, 12);
    });

  test('the variance of a sum is that of each together', () => {
    const { samples } = of(row(3));
    const mean = samples.reduce((sum, [low]) => sum + low, 0) / samples.length;
    const variance = samples.reduce((sum, [low]) => sum + (low - mean) ** 2, 0) / samples.length;
    // Of one that is as likely anywhere in a width w it is w²/12.
    expect(variance / (3 * (0.002 ** 2 / 12))).toBeCloseTo(1, 1);
    expect(mean).toBeCloseTo(0.03, 4);
  });
});

test('the worst case stands beside, and a range stays at its worst', () => {
  const text = row(2, '  warm = 20 degC .. 25 degC\n  require total <= 26 mm\n  require total <= 28 mm\n');
  const { nominal, worst, drawn, requirements, tolerances } = of(text, 500);
  expect([nominal, worst]).toEqual(['20 to 25 mm', '18 to 27 mm']);
  expect(drawn).toMatch(/^18\.\d+ to 26\.\d+ mm$/);
  expect(tolerances.map(({ path, shown }) => `${path} ${shown}`)).toEqual([
    's0.length 9 to 11 mm',
    's1.length 9 to 11 mm',
  ]);
  // At 25 degC the springs together may be 21 mm: half of what exceeds the middle by half.
  expect(Math.abs((requirements[0]?.share ?? 0) - irwinHall(2, 1.5))).toBeLessThan(near(irwinHall(2, 1.5), 500));
  expect(requirements[1]).toEqual({ text: 'total <= 28 mm', share: 1, atWorst: true });
  expect(requirements[0]?.atWorst).toBe(false);
});

test('the same seed draws the same, another one others', () => {
  const [a, b, c] = [of(row(2), 5, 7), of(row(2), 5, 7), of(row(2), 5, 8)];
  expect(a.samples).toEqual(b.samples);
  expect(a.samples).not.toEqual(c.samples);
});

test('no tolerance, and no number, are told', () => {
  expect(() => of(row(0))).toThrow('no value of r has a tolerance');
  expect(() => spreadOf({ ...read(row(1)), machine: 'r' }, 'totl', 5, 1)).toThrow(SpreadError);
});

test('what is only known from below has no spread', () => {
  expect(() => of(row(1, '  spring open\n'), 10)).toThrow('total is no number that is known');
});
