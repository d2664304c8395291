import { describe, expect, test } from 'vitest';
import { excluding } from '../../language/judge/excluding.ts';

describe('the fewest things that rule out everything', () => {
  test('one that rules out all, before two that do together', () => {
    expect(excluding([['a', 'c'], ['b', 'c'], ['c']])).toEqual(['c']);
  });

  test('two where no single one does; of as many those that rule out more, then by their names', () => {
    expect(excluding([['a'], ['b'], ['a', 'b']])).toEqual(['a', 'b']);
    expect(excluding([['a', 'z'], ['b'], ['b', 'z'], ['z']])).toEqual(['z', 'b']);
    expect(excluding([['d'], ['a', 'b']])).toEqual(['a', 'd']);
  });

  test('in whichever order they come', () => {
    const failing = [['a', 'c'], ['b'], ['c', 'b'], ['a']];
    expect(excluding(failing.toReversed().map((keys) => keys.toReversed()))).toEqual(excluding(failing));
  });

  test('more than four that each rule out one are found one after the other', () => {
    const five = ['a', 'b', 'c', 'd', 'e'];
    expect(excluding(five.map((key) => [key])).toSorted()).toEqual(five);
  });
});
