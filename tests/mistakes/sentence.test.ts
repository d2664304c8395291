import { describe, expect, test } from 'vitest';
import { capital, didYouMean, listed, nearest } from '../../language/mistakes/sentence.ts';

test('a sentence begins with a capital, and asks what was meant where that is known', () => {
  expect([capital('a hot end'), capital('')]).toEqual(['A hot end', '']);
  expect([didYouMean('wire'), didYouMean(undefined), didYouMean(undefined, ' Declare it.')]).toEqual([
    ' Did you mean wire?',
    '',
    ' Declare it.',
  ]);
});

test.each([
  [[], ''],
  [['a'], 'a'],
  [['a', 'b'], 'a and b'],
  [['a', 'b', 'c'], 'a, b and c'],
  [['a', 'b', 'c', 'd'], 'a, b, c and 1 more'],
  [['a', 'b', 'c', 'd', 'e'], 'a, b, c and 2 more'],
])('%o listed, at most three: %s', (names, text) => expect(listed(names, 3)).toBe(text));

describe('what was probably meant', () => {
  test('is the nearest, whatever its case', () => {
    expect(nearest('lenght', ['width', 'length', 'strength'])).toBe('length');
    expect(nearest('LENGTH', ['width', 'Length'])).toBe('Length');
  });

  test('not what is too far, and not the name itself', () => {
    expect(nearest('width', ['depth'])).toBeUndefined();
    expect(nearest('length', ['length'])).toBeUndefined();
    expect(nearest('length', ['length', 'lengths'])).toBe('lengths');
    expect(nearest('a', [])).toBeUndefined();
    // One letter of a short name, a third of a long one.
    expect(nearest('abc', ['abd', 'xyz'])).toBe('abd');
    expect(nearest('abc', ['axd'])).toBeUndefined();
    expect(nearest('abcdef', ['abcdxy'])).toBe('abcdxy');
    expect(nearest('abcdef', ['abcxyz'])).toBeUndefined();
  });
});

test('two letters that changed places are near, however short the name', () => {
  expect(nearest('widht', ['width', 'depth'])).toBe('width');
  expect(nearest('ba', ['ab'])).toBe('ab');
  expect(nearest('bac', ['cab'])).toBeUndefined();
});
