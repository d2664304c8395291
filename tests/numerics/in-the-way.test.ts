import { expect, test } from 'vitest';
import { inTheWay } from '../../language/numerics/in-the-way.ts';
import { Formula, Unknown, type Value } from '../../language/values/value.ts';

// Orders found by hand: each part behind all that comes off before it.

const before = (of: Readonly<Record<string, readonly string[]>>) =>
  new Formula('before', (part) => [...(of[String(part)] ?? [])]);

test.each<[string, string[], Record<string, string[]>, string[]]>([
  ['nothing', [], {}, []],
  ['one by one', ['duct'], { duct: ['shroud'], shroud: ['door'] }, ['door', 'shroud', 'duct']],
  ['side by side, in the order in which they are named', ['lid', 'duct'], {}, ['lid', 'duct']],
  ['what is named and comes before another that is named', ['duct', 'lid'], { duct: ['lid'] }, ['lid', 'duct']],
  ['what two have before them, once', ['left', 'right'], { left: ['top'], right: ['top'] }, ['top', 'left', 'right']],
  ['a diamond with a tail', ['d'], { d: ['b', 'c'], b: ['a'], c: ['a'], a: ['z'] }, ['z', 'a', 'b', 'c', 'd']],
])('%s', (_, first, waits, order) => {
  expect(inTheWay(first, before(waits))).toEqual(order);
});

test('in a ring each is told once, and so the one that is asked for as well', () => {
  expect(inTheWay(['shroud'], before({ shroud: ['lid'], lid: ['shroud'] }))).toEqual(['lid', 'shroud']);
  expect(inTheWay(['lid'], before({ lid: ['lid'] }))).toEqual(['lid']);
});

test('of what is not given, or not known, nothing is told', () => {
  const unknown = new Unknown([]);
  expect(inTheWay(unknown, before({}))).toBe(unknown);
  expect(inTheWay(['lid'], unknown)).toBe(unknown);
  expect(inTheWay([unknown as Value], before({}))).toBe(unknown);
  expect(inTheWay(['lid'], new Formula('before', () => unknown))).toBe(unknown);
  expect(inTheWay(['lid'], new Formula('before', () => [unknown]))).toBe(unknown);
  expect(inTheWay('lid', before({}))).toBeInstanceOf(Unknown);
  expect(inTheWay(['lid'], 'lid')).toBeInstanceOf(Unknown);
  expect(inTheWay(['lid'], new Formula('before', () => 'lid'))).toBeInstanceOf(Unknown);
});
