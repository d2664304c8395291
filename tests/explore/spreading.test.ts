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

/** What stands for several is several: the same draws as of as many blocks, whichever way it is counted. */
describe('copies of a block are drawn by themselves', () => {
  /** A row of springs, of which one block stands for so many. */
  const copied = (count: number, more: string, scatter = '') =>
    row(0, `  spring s * ${count} { length = 10 mm { varies 1 mm${scatter} } }\n${more}`);

  for (const [springs, x] of [
    [2, 0.5],
    [3, 0.75],
    [4, 3],
  ] as const)
    test(`the sum of ${springs} is at most ${x} of ${springs} as often as of blocks apart`, () => {
      const limit = 9 * springs + 2 * x;
      const { requirements, samples, worst } = of(copied(springs, `  require total <= ${limit} mm\n`), 2000);
      const expected = irwinHall(springs, x);
      expect(Math.abs((requirements[0]?.share ?? 0) - expected)).toBeLessThan(near(expected, samples.length));
      // The sum is one number, though each of them is another.
      for (const [low, high] of samples) expect(low).toBe(high);
      expect(worst).toBe(`${9 * springs} to ${11 * springs} mm`);
    });

  test('what asks for each, and what reads one, holds where it holds for all of them: x³ of three', () => {
    // Each is at most 10.6 mm, which is at 0.8 of the way, with a chance of 0.8.
    const { requirements, samples } = of(
      copied(3, '  require all(p.length <= 10.6 mm for p in every spring)\n  require s.length <= 10.6 mm\n'),
      2000,
    );
    for (const { share } of requirements)
      expect(Math.abs(share - 0.8 ** 3)).toBeLessThan(near(0.8 ** 3, samples.length));
    expect(requirements[0]?.share).toBe(requirements[1]?.share);
  });

  test('within copies of what holds them as well: two pairs are four', () => {
    const text = `kind spring {
  /// How long it is.
  length: Length
}
kind pair {
  has spring*
}
kind row {
  toplevel
  has pair*
  /// All of them.
  total: Length = sum(s.length for s in every spring) {
    source defined "their sum"
  }
}
row r {
  pair p * 2 { spring s * 2 { length = 10 mm { varies 1 mm } } }
  require total <= 38 mm
}
`;
    const { requirements, samples } = of(text, 2000);
    const expected = irwinHall(4, 1);
    expect(Math.abs((requirements[0]?.share ?? 0) - expected)).toBeLessThan(near(expected, samples.length));
  });
});

describe('how they scatter within a tolerance', () => {
  const one = (scatter: string, limit: number) =>
    of(
      row(
        0,
        `  spring s { length = 10 mm {\n    varies 3 mm\n    scatters ${scatter}\n  } }\n  require total <= ${limit} mm\n`,
      ),
    );
  const shareOf = (scatter: string, limit: number) => one(scatter, limit).requirements[0]?.share ?? 0;
  /**
   * The normal distribution function.
   * Source: Abramowitz and Stegun, "Handbook of Mathematical Functions", table 26.1: at 1, 2 and 3 standard deviations.
   */
  const normal = [0.5, 0.841344746, 0.977249868, 0.998650102];

  for (const [deviations, at] of normal.entries())
    test(`normal: at most ${deviations} of its three standard deviations above the middle`, () => {
      const beyond = 1 - (normal[3] as number);
      const expected = (at - beyond) / (1 - 2 * beyond);
      expect(Math.abs(shareOf('normal', 10 + deviations) - expected)).toBeLessThanOrEqual(near(expected, 4000));
    });

  test('triangular: as the sum of two, half as wide each', () => {
    for (const limit of [8, 9, 10, 12]) {
      const expected = irwinHall(2, (limit - 7) / 3);
      expect(Math.abs(shareOf('triangular', limit) - expected)).toBeLessThan(near(expected, 4000));
    }
  });

  test('uniform is what is drawn where nothing is said, and each stays within its worst', () => {
    expect(one('uniform', 11).samples).toEqual(
      of(row(0, '  spring s { length = 10 mm { varies 3 mm } }\n  require total <= 11 mm\n')).samples,
    );
    for (const [low] of one('normal', 11).samples) expect(Math.abs(low - 0.01)).toBeLessThanOrEqual(0.003);
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

test('nine of ten lie between the twentieth from below and the twentieth from above', () => {
  const { samples, mostly, drawn } = of(row(1), 41);
  const sorted = samples.map(([low]) => low).sort((a, b) => a - b);
  // Of 41 the third from each end.
  const [low, high] = [sorted[2], sorted[38]].map((each) => ((each as number) * 1000).toPrecision(3));
  expect(mostly).toBe(`${Number(low)} to ${Number(high)} mm`);
  const [least, most] = [sorted[0], sorted[40]].map((each) => ((each as number) * 1000).toPrecision(3));
  expect(drawn).toBe(`${Number(least)} to ${Number(most)} mm`);
  // Of four between two of them: a seventh and a half of the way, and as far from the other end.
  const four = of(row(1), 4);
  const [a, b, c, d] = four.samples.map(([each]) => each * 1000).sort((x, y) => x - y) as [
    number,
    number,
    number,
    number,
  ];
  const shown = [a + 0.15 * (b - a), c + 0.85 * (d - c)].map((each) => Number(each.toPrecision(3)));
  expect(four.mostly).toBe(`${shown[0]} to ${shown[1]} mm`);
});

test('one draw has no width, each is drawn between its ends, and a variant is drawn as that', () => {
  const once = of(row(1), 1);
  expect(once.drawn).toMatch(/^[\d.]+ mm$/);
  expect(of(row(1), 300).samples.every(([low, high]) => low === high && low >= 0.009 && low <= 0.011)).toBe(true);
  const text = `${row(1)}row v is r {\n  warm = 30 degC\n}\n`;
  expect(spreadOf({ ...read(text), machine: 'v' }, 'total', 3, 1).nominal).toBe('20 mm');
});

test('what is paid spreads as well, and a requirement that is not known is met by none', () => {
  const text = row(1, '  spring open\n  require open.length <= 1 m\n').replace(
    '  /// How warm',
    '  /// What it costs.\n  cost: Price = first(s.length for s in every spring) * 1 EUR/mm {\n    source defined "a test"\n  }\n  /// How warm',
  );
  const { nominal, worst, requirements } = spreadOf({ ...read(text), machine: 'r' }, 'cost', 20, 1);
  expect([nominal, worst]).toEqual(['10 EUR', '9.00 to 11 EUR']);
  expect(requirements).toEqual([{ text: 'open.length <= 1 m', share: 0, atWorst: undefined }]);
});
