import { describe, expect, test } from 'vitest';
import { mistakesIn } from '../support.ts';

const said = (formula: string, type = 'Count') =>
  mistakesIn(`kind hall {
  toplevel
  width: Length default 1 m
  widths: list of Length default [1 m]
  has lamp*
  has cellar?
  asked: ${type} = ${formula}
}
kind lamp {
  power: Power default 1 W
}
kind cellar {
  has lamp*
}
`).map((mistake) => mistake.replace(/^\d+: /, ''));

describe('a question goes through', () => {
  test.each([
    ['every block of a kind', 'sum(l.power for l in every lamp)', 'Power'],
    ['those in a block', 'sum(l.power for l in every lamp of cellar)', 'Power'],
    ['a list', 'sum(w for w in widths)', 'Length'],
    ['a list that is written out', 'sum(w for w in [1 m, 2 m])', 'Length'],
    ['a role for any number', 'sum(l.power for l in lamp)', 'Power'],
    ['a role for one', 'count(c for c in cellar)', 'Count'],
  ])('%s', (_, formula, type) => expect(said(formula, type)).toEqual([]));

  test.each([
    ['a kind that there is not', 'count(l for l in every lamb)', 'There is no kind called lamb. Did you mean lamp?'],
    ['a kind that is near to none', 'count(l for l in every zeppelin)', 'There is no kind called zeppelin.'],
    [
      'a quantity',
      'count(w for w in width)',
      'A question goes through every block of a kind, or through a list; width is a length.',
    ],
    ['a block that there is not', 'count(l for l in every lamp of attic)', 'Nothing is called attic in hall'],
  ])('not %s', (_, formula, message) => {
    const mistakes = said(formula);
    expect(mistakes).toHaveLength(1);
    expect(mistakes[0]).toContain(message);
  });
});

test('what it goes through has the type of its elements', () => {
  expect(said('sum(w for w in widths)', 'Power')).toEqual([
    expect.stringContaining('Expected a power, this is a length'),
  ]);
  expect(said('sum(l.power for l in every lamp)', 'Length')).toHaveLength(1);
});
