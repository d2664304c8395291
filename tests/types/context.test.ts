import { describe, expect, test } from 'vitest';
import { mistakesIn } from '../support.ts';

/** What is said of a formula of a kind that holds an item which may be a lamp, and another. */
const said = (formula: string, type = 'Power') =>
  mistakesIn(`kind item {
}
kind lamp is item {
  power: Power default 1 W
}
kind hall {
  toplevel
  lit: YesNo default yes
  held: item
  other: item
  asked: ${type} = ${formula}
}
`).map((mistake) => mistake.replace(/^\d+: /, ''));

describe('what a condition says of a name is known', () => {
  test.each([
    'if held is lamp then held.power else 0 W',
    'if (held is lamp) then held.power else 0 W',
    'if lit and held is lamp then held.power else 0 W',
    'if held is lamp and lit then held.power else 0 W',
    'if held is lamp and other is lamp then held.power + other.power else 0 W',
    'if held is lamp and held.power > 1 W then 1 W else 0 W',
  ])('%s', (formula) => expect(said(formula)).toEqual([]));

  test('in a question as well', () => {
    expect(said('sum(i.power for i in [held, other] where i is lamp)')).toEqual([]);
  });

  test.each([
    'if held is lamp then 0 W else held.power',
    'if held is lamp or lit then held.power else 0 W',
    'if not (held is lamp) then held.power else 0 W',
    'if other is lamp then held.power else 0 W',
    'if held.power > 1 W and held is lamp then 1 W else 0 W',
  ])('and nowhere else: %s', (formula) => {
    expect(said(formula)).toHaveLength(1);
    expect(said(formula)[0]).toContain('power');
  });
});

test('a mistake is told once, and what it spoils is of any type', () => {
  expect(said('2 * (held.powr + 3 m)')).toHaveLength(1);
});
