import { describe, expect, test } from 'vitest';
import type { Instance } from '../../language/machine/tree.ts';
import { anyType, bareNumber, type Type } from '../../language/names/type.ts';
import {
  Bounds,
  Curve,
  Fault,
  Formula,
  Money,
  Range,
  Sides,
  Unknown,
  type Value,
} from '../../language/values/value.ts';
import { encode, plainValue } from '../../server/cli/values.ts';
import { library, machineIn, quantity as of } from '../support.ts';

const { system } = library.scope;
const { tree } = machineIn('kind hall {\n  toplevel\n  has lamp*\n}\nkind lamp {\n}\nhall H {\n  lamp a\n}\n');
const lamp = tree.children.get('a') as Instance;
const missing = [
  { instance: tree, name: 'width' },
  { instance: lamp, name: 'power' },
];
const said = (value: Value, type: Type) => {
  const { text, ...rest } = encode(value, type, system, 'as people read it') as Record<string, unknown>;
  expect(text).toBe('as people read it');
  return rest;
};

describe('a value as any program reads it', () => {
  test.each<[Value, Type, object]>([
    [0.25, of('Length'), { si: 0.25, unit: 'm' }],
    [0.25, of('Ratio'), { si: 0.25, unit: '1' }],
    [2, bareNumber, { si: 2, unit: '1' }],
    [293.15, of('Temperature'), { si: 293.15, unit: 'K', temperature: 'point' }],
    [5, of('TemperatureDifference'), { si: 5, unit: 'K', temperature: 'difference' }],
    [Number.POSITIVE_INFINITY, of('Length'), { si: null, unit: 'm', error: 'not a finite number' }],
    [true, { is: 'truth' }, { value: true }],
    ['slow', { is: 'text' }, { value: 'slow' }],
    [new Money(12, 'EUR'), of('Price'), { amount: 12, currency: 'EUR' }],
    [new Sides([1, 2]), { is: 'sides', of: of('Length') as never, count: 2 }, { si: [1, 2], unit: 'm' }],
    [new Range(1, 2), of('Length'), { si: null, low: 1, high: 2, unit: 'm' }],
    [new Bounds(1, undefined, missing), of('Length'), { si: null, low: 1, missing: ['width', 'a.power'], unit: 'm' }],
    [new Bounds(1, 2, [], 'EUR'), of('Price'), { amount: null, low: 1, high: 2, missing: [], currency: 'EUR' }],
    [new Unknown(missing), of('Length'), { si: null, unit: 'm', missing: ['width', 'a.power'] }],
    [
      new Unknown([{ instance: tree, name: 'width', unreadable: true }]),
      of('Price'),
      { si: null, missing: [], unreadable: ['width'] },
    ],
    [new Fault('why'), of('Length'), { si: null, unit: 'm', error: 'why' }],
    [tree, anyType, { block: 'H' }],
    [lamp, anyType, { block: 'a' }],
    [
      new Curve([0, 1], [2, 3]),
      { is: 'curve', x: of('Time'), y: of('Speed') },
      { x: [0, 1], y: [2, 3], units: ['s', 'm/s'] },
    ],
    [new Curve([0], [2]), anyType, { x: [0], y: [2], units: ['1', '1'] }],
    [new Formula('rim', () => 1), anyType, { value: 'rim' }],
    [
      [1, 2],
      { is: 'list', of: of('Length') },
      {
        list: [
          { si: 1, unit: 'm', text: '1 m' },
          { si: 2, unit: 'm', text: '2 m' },
        ],
      },
    ],
  ])('%o', (value, type, expected) => expect(said(value, type)).toEqual(expected));

  test('as one plain datum where that says it', () => {
    const plain = (value: Value, type: Type) => plainValue(value, type, system);
    expect(plain(2, of('Length'))).toEqual({ value: 2, unit: 'm' });
    expect(plain(Number.NaN, of('Length'))).toEqual({ value: null, unit: 'm' });
    expect(plain(new Money(2, 'EUR'), of('Price'))).toEqual({ value: 2, unit: 'EUR' });
    expect(plain(false, { is: 'truth' })).toEqual({ value: false });
    expect(plain(lamp, anyType)).toEqual({ value: 'a' });
    expect(plain(new Range(1, 2), of('Length'))).toEqual({ value: null });
  });
});
