import { describe, expect, test } from 'vitest';
import { joinsOf } from '../../language/numerics/joins.ts';
import { Fault, Unknown } from '../../language/values/value.ts';

/** Circuits, each as `out > load < back`: what it flows out through, its source first; `2` behind it: through second conductors. */
function joins(...circuits: string[]): unknown {
  const read = circuits.map((text) => {
    const [, out = '', load = '', back = '', paired] = /^([\w ]+) > (\w+)(?: <([\w ]*?))?( 2)?$/.exec(text) ?? [];
    const words = (list: string) => list.split(' ').filter(Boolean);
    return { out: words(out), load, back: words(back), paired: paired !== undefined };
  });
  return joinsOf(
    read.map(({ out }) => out[0] as string),
    read.map(({ out }) => out),
    read.map(({ back }) => back),
    read.map(({ paired }) => paired),
    read.map(({ load }) => load),
  );
}

// Each circuit is to close one ring more: edges - nodes + parts (Kirchhoff 1847), counted by hand.
describe('a network in which the paths tell every current', () => {
  test('circuits that share a way from the source on, and branch', () => {
    expect(joins('psu trunk > a', 'psu trunk branch > b', 'psu trunk branch twig > c')).toEqual([0, 0, 0]);
  });

  test('that share the way back', () => {
    expect(joins('psu wire > a < ground', 'psu other > b < ground')).toEqual([0, 0]);
    expect(joins('psu wire > a < near ground', 'psu other > b < ground')).toEqual([0, 0]);
  });

  test('by second conductors', () => {
    expect(joins('psu trunk one > a <trunk one 2', 'psu trunk two > b <trunk two 2')).toEqual([0, 0]);
  });

  test('two that have nothing in common', () => {
    expect(joins('psu wire > a', 'other lead > b')).toEqual([0, 0]);
  });
});

describe('the place where a circuit joins a way that is there already', () => {
  test('a load that is another circuit’s too', () => {
    expect(joins('psu one > a', 'psu two > a')).toEqual([0, 3]);
    expect(joins('psu one > a', 'psu two three > a')).toEqual([0, 4]);
  });

  test('a wire that is come to from another side', () => {
    expect(joins('psu one > a', 'psu two one > b')).toEqual([0, 3]);
    expect(joins('psu one two > a', 'psu three two > b')).toEqual([0, 3]);
  });

  test('a way back that is come to from another side', () => {
    expect(joins('psu one > a < first last', 'psu two > b < last first')).toEqual([0, 4]);
  });

  test('what follows is told by the ways that are left', () => {
    expect(joins('psu one > a', 'psu two > a', 'psu three > b')).toEqual([0, 3, 0]);
  });
});

test('what is not known joins nothing, and a list that is not known leaves all so', () => {
  const unknown = new Unknown([]);
  expect(
    joinsOf(
      ['p', 'p'],
      [
        ['p', 'w'],
        ['p', unknown],
      ],
      [[], []],
      [false, false],
      ['a', 'a'],
    ),
  ).toEqual([0, 0]);
  expect(
    joinsOf(
      ['p', unknown],
      [
        ['p', 'w'],
        ['p', 'v'],
      ],
      [[], []],
      [false, false],
      ['a', 'a'],
    ),
  ).toEqual([0, 0]);
  expect(joinsOf(unknown, [], [], [], [])).toEqual(new Unknown([]));
  const fault = new Fault('not there');
  expect(joinsOf([], [], [], [], fault)).toBe(fault);
});
