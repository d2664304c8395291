import { describe, expect, test } from 'vitest';
import type { Instance } from '../../language/machine/tree.ts';
import {
  Bounds,
  Curve,
  Fault,
  Formula,
  isMissing,
  type Missing,
  Money,
  mergeMissing,
  missingOf,
  Range,
  Sides,
  sameValue,
  Unknown,
  type Value,
} from '../../language/values/value.ts';

const [one, other] = ['one', 'other'].map((name) => ({ name }) as unknown as Instance) as [Instance, Instance];
const mass: Missing = { instance: one, name: 'mass' };
const width: Missing = { instance: one, name: 'width' };
const otherMass: Missing = { instance: other, name: 'mass' };

describe('results are the same', () => {
  // Each twice, made anew: the same by what is in it, and unlike every other.
  const made = (): [string, Value][] => [
    ['1', 1],
    ['2', 2],
    ['yes', true],
    ['text', 'yes'],
    ['money', new Money(2, 'EUR')],
    ['more money', new Money(3, 'EUR')],
    ['other money', new Money(2, 'USD')],
    ['sides', new Sides([1, 2])],
    ['other sides', new Sides([1, 3])],
    ['more sides', new Sides([1, 2, 3])],
    ['range', new Range(1, 2)],
    ['lower range', new Range(0, 2)],
    ['higher range', new Range(1, 3)],
    ['curve', new Curve([1, 2], [3, 4])],
    ['curve at other points', new Curve([1, 3], [3, 4])],
    ['other curve', new Curve([1, 2], [3, 5])],
    ['fault', new Fault('why')],
    ['other fault', new Fault('why not')],
    ['fault of a place', new Fault('why', one as never)],
    ['unknown', new Unknown([mass])],
    ['absent', new Unknown([mass], true)],
    ['other unknown', new Unknown([width])],
    ['unknown of another block', new Unknown([otherMass])],
    ['more unknown', new Unknown([mass, width])],
    ['unreadable', new Unknown([{ ...mass, unreadable: true }])],
    ['bounds', new Bounds(1, 2, [mass])],
    ['bounds from below', new Bounds(1, undefined, [mass])],
    ['bounds from above', new Bounds(undefined, 2, [mass])],
    ['bounds of money', new Bounds(1, 2, [mass], 'EUR')],
    ['bounds that lack another', new Bounds(1, 2, [width])],
    ['list', [1, 2]],
    ['longer list', [1, 2, 3]],
    ['other list', [1, 3]],
    ['list of a list', [[1, 2]]],
    ['list of money', [new Money(2, 'EUR')]],
  ];
  test.each(made().map(([name], i) => [name, i] as const))('%s, and no other', (_, i) => {
    const first = made()[i]?.[1];
    expect(made().flatMap(([name, second]) => (sameValue(first, second) ? [name] : []))).toEqual([made()[i]?.[0]]);
  });

  test('what has no inside is the same only as itself', () => {
    const formula = new Formula('f', () => 1);
    expect(sameValue(formula, formula)).toBe(true);
    expect(sameValue(formula, new Formula('f', () => 1))).toBe(false);
    expect(sameValue(undefined, undefined)).toBe(true);
    expect(sameValue(1, undefined)).toBe(false);
    expect(sameValue(undefined, 1)).toBe(false);
    expect(sameValue(Number.NaN, Number.NaN)).toBe(true);
    expect(sameValue([1], 1)).toBe(false);
  });
});

describe('what is missing', () => {
  test('of several values: the first fault, or all that is not given, each once', () => {
    const fault = new Fault('why');
    expect(missingOf(1, true, 'a')).toBeUndefined();
    expect(missingOf(1, new Unknown([mass]), fault, new Fault('later'))).toBe(fault);
    expect(missingOf(new Unknown([mass]), 1, new Unknown([mass, width]))).toEqual(new Unknown([mass, width]));
    expect(missingOf(new Bounds(1, 2, [mass]))).toBeUndefined();
  });

  test('that the very thing was left out is told of that thing alone', () => {
    expect(missingOf(new Unknown([mass], true))).toEqual(new Unknown([mass], false));
  });

  test('lists are put together without saying a thing twice', () => {
    expect(mergeMissing([mass], [otherMass, mass, width])).toEqual([mass, otherMass, width]);
    const list = [mass, width];
    expect(mergeMissing(list, [width])).toBe(list);
  });

  test('unknown and faulty are, bounds are not', () => {
    expect([new Unknown([]), new Fault('why')].every(isMissing)).toBe(true);
    expect([1, false, 'a', [], new Bounds(1, 2, []), new Money(1, 'EUR')].some(isMissing)).toBe(false);
  });
});
