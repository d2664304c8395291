import { describe, expect, test } from 'vitest';
import { leastMargin, type Margin, rankOf, showMargin, verdictAsNumber } from '../../language/compute/margin.ts';
import { Fault, Unknown } from '../../language/values/value.ts';
import { machineIn } from '../support.ts';

const kinds = `kind hall {
  toplevel
  width: Length default 4 m
  warmth: Temperature default 60 degC
  price: Price default 8 EUR
  none: Length default 0 m
  missing: Length
  lamp: YesNo default yes
}
`;
const margin = (condition: string, lines = ''): Margin | undefined =>
  machineIn(`${kinds}hall H {\n${lines}\n  require ${condition}\n}\n`).assessment.requirements[0]?.margin;
const amount = (condition: string, lines?: string) => margin(condition, lines)?.amount;

describe('how far a comparison is from failing', () => {
  test('as a share of its limit, from either side', () => {
    expect(amount('width <= 5 m')).toBeCloseTo(0.2, 12);
    expect(amount('width < 3 m')).toBeCloseTo(-1 / 3, 12);
    expect(amount('width >= 3 m')).toBeCloseTo(1 / 3, 12);
    expect(amount('width > 5 m')).toBeCloseTo(-0.2, 12);
    expect(amount('price <= 10 EUR')).toBeCloseTo(0.2, 12);
    // Of a negative limit its size counts.
    expect(amount('width >= -2 m')).toBeCloseTo(3, 12);
  });

  test('as a share of a number that stands before what is compared', () => {
    for (const [turned, plain] of [
      ['5 m >= width', 'width <= 5 m'],
      ['3 m > width', 'width < 3 m'],
      ['3 m <= width', 'width >= 3 m'],
      ['-2 m < width', 'width > -2 m'],
    ] as const) {
      const [a, b] = [margin(turned), margin(plain)];
      expect(a?.amount, turned).toBeCloseTo(b?.amount as number, 12);
      expect(a?.operator, turned).toBe(b?.operator);
    }
    expect(margin('70 degC >= warmth')).toMatchObject({ inKelvin: true, amount: expect.closeTo(10, 9) });
    // Of two names, and of two numbers, that on the right is the limit.
    expect(amount('none <= width')).toBeCloseTo(1, 12);
    expect(amount('2 m <= 4 m')).toBeCloseTo(0.5, 12);
  });

  test('of points of temperature in kelvin', () => {
    expect(margin('warmth <= 70 degC')).toMatchObject({ inKelvin: true, amount: expect.closeTo(10, 9) });
    expect(amount('warmth >= 70 degC')).toBeCloseTo(-10, 9);
    expect(margin('width <= 5 m')?.inKelvin).toBe(false);
  });

  test('of a limit of nothing as a share of the value, and of nothing at all in its unit', () => {
    expect(amount('width <= none')).toBeCloseTo(-1, 12);
    expect(amount('none <= none')).toBe(0);
  });

  test('of two that must both hold the less, of two of which one must the better', () => {
    expect(amount('width <= 5 m and width >= 1 m')).toBeCloseTo(0.2, 12);
    expect(amount('(width >= 1 m) and (width <= 5 m)')).toBeCloseTo(0.2, 12);
    expect(amount('width <= 5 m or width >= 1 m')).toBeCloseTo(3, 12);
    expect(amount('width >= 1 m or width <= 5 m')).toBeCloseTo(3, 12);
    expect(amount('width <= 5 m and lamp')).toBeCloseTo(0.2, 12);
    expect(amount('lamp and width <= 5 m')).toBeCloseTo(0.2, 12);
    // 20 K count as 20 %.
    expect(margin('width <= 5.5 m and warmth <= 80 degC')?.inKelvin).toBe(true);
    expect(margin('width <= 4.5 m and warmth <= 80 degC')?.inKelvin).toBe(false);
  });

  test('of two of which one must, over ranges: at each end the better, and of all ends the least', () => {
    const over = (condition: string, lines: string) => amount(condition, lines);
    // At 3 m 40 % below 5 m, at 5 m 25 % above 4 m: the less counts, though each alone fails or touches somewhere.
    expect(over('width <= 5 m or width >= 4 m', 'width = 3 m .. 5 m')).toBeCloseTo(0.25, 12);
    expect(over('width >= 4 m or width <= 5 m', 'width = 3 m .. 5 m')).toBeCloseTo(0.25, 12);
    // Worst where both are low: 3 m is 25 % below 4 m, 20 K count as 20 %, and are more.
    const both = 'width = 3 m .. 5 m\nwarmth = 50 degC .. 60 degC';
    expect(margin('width >= 4 m or warmth <= 80 degC', both)).toMatchObject({
      inKelvin: true,
      amount: expect.closeTo(20, 9),
    });
    expect(margin('width >= 4 m and warmth <= 80 degC', both)).toMatchObject({
      inKelvin: false,
      amount: expect.closeTo(-0.25, 9),
    });
    // Neither holds at the low end: by the better of the two it fails.
    expect(over('width >= 4 m or width >= 6 m', 'width = 3 m .. 5 m')).toBeCloseTo(-0.25, 12);
  });

  test('of what is only known from one side by that side, where it is the one that counts', () => {
    const shelves = (condition: string) =>
      machineIn(`${kinds.replace(
        '  lamp: YesNo',
        `  has shelf*
  total: Length = sum(s.long for s in every shelf) {
    source defined "a test"
  }
  lamp: YesNo`,
      )}kind shelf {
  long: Length
}
hall H {
  shelf known { long = 5 m }
  shelf open
  require ${condition}
}
`).assessment.requirements[0]?.margin?.amount;
    expect(shelves('width <= total')).toBeCloseTo(0.2, 12);
    expect(shelves('total >= 4 m')).toBeCloseTo(0.25, 12);
    expect(shelves('width >= total')).toBeUndefined();
    expect(shelves('total <= 4 m')).toBeUndefined();
  });

  test('what is no comparison of an order has none', () => {
    for (const condition of [
      'lamp',
      'width == 4 m',
      'width != 5 m',
      'not (width > 5 m)',
      'missing <= 5 m',
      'width <= missing',
    ])
      expect(margin(condition), condition).toBeUndefined();
  });
});

test('margins are ranked by what is left, kelvins as if 100 K were the whole', () => {
  const of = (value: number, inKelvin = false) => ({ amount: value, inKelvin }) as Margin;
  expect(rankOf(of(20, true))).toBe(0.2);
  expect(leastMargin([of(0.3), of(20, true), of(0.25)])).toEqual(of(20, true));
  expect(leastMargin([undefined, of(0.3), undefined])).toEqual(of(0.3));
  expect(leastMargin([])).toBeUndefined();
});

test('verdicts are ranked: failing by how much, then what is not known, then what holds by how much', () => {
  const by = (value: number) => () => ({ amount: value, inKelvin: false }) as Margin;
  const none = () => undefined;
  const order = [
    verdictAsNumber(false, none),
    verdictAsNumber(false, by(-0.2)),
    verdictAsNumber(false, by(0)),
    verdictAsNumber(new Unknown([]), none),
    verdictAsNumber(true, by(0)),
    verdictAsNumber(true, by(0.2)),
    verdictAsNumber(true, none),
    verdictAsNumber('not applicable', none),
  ];
  expect(order.toSorted((a, b) => a - b)).toEqual(order);
  expect(order[2]).toBeLessThan(0);
  expect(order[3]).toBe(0);
  expect(order[4]).toBeGreaterThan(0);
  expect(verdictAsNumber(new Fault('why'), none)).toBe(0);
  // A verdict goes before a margin that says otherwise.
  expect(verdictAsNumber(false, by(0.2))).toBeLessThan(0);
  expect(verdictAsNumber(true, by(-0.2))).toBeGreaterThan(0);
});

test('a margin as people read it', () => {
  const shown = (value: number, inKelvin = false) => showMargin({ amount: value, inKelvin } as Margin);
  expect([shown(0.1234), shown(-0.1234), shown(0), shown(5.25, true), shown(-12.6, true), shown(2)]).toEqual([
    '12 % to spare',
    '12 % short',
    '0 % to spare',
    '5.3 K to spare',
    '13 K short',
    '200 % to spare',
  ]);
});
