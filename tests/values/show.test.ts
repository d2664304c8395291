import { describe, expect, test } from 'vitest';
import type { Instance } from '../../language/machine/tree.ts';
import { anyType, bareNumber, type Type } from '../../language/names/type.ts';
import { cannotBe, coherentUnit, showValue, unitFor } from '../../language/values/show.ts';
import { Span } from '../../language/values/span.ts';
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
import { library, quantity as of } from '../support.ts';

const { system } = library.scope;
const lacking = [{ instance: {} as Instance, name: 'mass' }];
const size: Type = { is: 'sides', of: of('Length') as never, count: 2 };
const plain = { ...(of('Torque') as Extract<Type, { is: 'quantity' }>), named: undefined };

describe('a value as people read it', () => {
  test.each<[Value, Type, string]>([
    [0.0123, of('Length'), '12.3 mm'],
    [293.15, of('Temperature'), '20 °C'],
    [20, of('TemperatureDifference'), '20 K'],
    [0.25, of('Ratio'), '25 %'],
    [3, of('Count'), '3'],
    [3, bareNumber, '3'],
    [2, plain, '2 J'],
    [true, { is: 'truth' }, 'yes'],
    [false, { is: 'truth' }, 'no'],
    ['very_slow', { is: 'choice', options: ['very_slow'] }, 'very slow'],
    ['very_slow', { is: 'text' }, 'very_slow'],
    [new Money(12, 'EUR'), of('Price'), '12 EUR'],
    [new Money(12.5, 'EUR'), of('Price'), '12.50 EUR'],
    [new Range(0.001, 0.002), of('Length'), '1 to 2 mm'],
    [new Range(0.001, 2), of('Length'), '0.001 to 2 m'],
    [new Range(293.15, 303.15), of('Temperature'), '20 to 30 °C'],
    [new Range(0.001, 0.0010001), of('Length'), '1 mm'],
    [new Range(1, 2), bareNumber, '1 to 2'],
    [new Span(0.001, 0.002, new Map()), of('Length'), '1 to 2 mm'],
    [new Sides([0.23, 0.1]), size, '230 mm x 100 mm'],
    [new Sides([0.235, 0.1]), anyType, '0.235 x 0.1'],
    [new Bounds(0.004, undefined, lacking), of('Length'), 'at least 4 mm'],
    [new Bounds(undefined, 0.004, lacking), of('Length'), 'at most 4 mm'],
    [new Bounds(0.004, 0.005, lacking), of('Length'), 'at least 4 mm, at most 5 mm'],
    // A search that ended there.
    [new Bounds(0.004, undefined, []), of('Length'), 'more than 4 mm'],
    [new Bounds(undefined, 0.004, []), of('Length'), 'less than 4 mm'],
    [new Bounds(undefined, undefined, lacking), of('Length'), 'not known'],
    [new Bounds(4, 5.5, [], 'EUR'), of('Price'), '4 to 5.50 EUR'],
    [new Bounds(4, undefined, lacking, 'EUR'), of('Price'), 'at least 4 EUR'],
    [new Unknown([]), of('Length'), 'not known'],
    [new Fault('this divides by zero'), of('Length'), 'cannot be computed: this divides by zero'],
    [new Curve([0, 1], [2, 3]), anyType, '2 at 0, 3 at 1'],
    [
      new Curve(
        [0, 10, 20, 30, 40, 50, 60, 70, 80],
        [0, 1, 2, 3, 4, 5, 6, 7, 8].map((mm) => mm / 1000),
      ),
      { is: 'curve', x: of('Time'), y: of('Length') },
      '0 mm at 0 s, 2 mm at 20 s, 4 mm at 40 s, 6 mm at 1 min, 8 mm at 1.33 min',
    ],
    [new Formula('rim', () => 1), anyType, 'rim'],
    [[0.001, 0.002], { is: 'list', of: of('Length') }, '[1 mm, 2 mm]'],
    [[0.001, 0.002], of('Length'), '[1 mm, 2 mm]'],
    [[], { is: 'list', of: of('Length') }, '[]'],
  ])('%o', (value, type, text) => expect(showValue(value, type, system)).toBe(text));

  test('with as many digits as are asked for, in units to choose from', () => {
    expect(showValue(0.0123456, of('Length'), system, { digits: 5 })).toBe('12.346 mm');
    expect(showValue(0.0123456, of('Length'), system, { shown: ['m'] })).toBe('0.0123 m');
    expect(showValue(new Range(0.0123456, 0.02), of('Length'), system, { shown: ['m'], digits: 2 })).toBe(
      '0.012 to 0.02 m',
    );
    expect(showValue([0.0123456], { is: 'list', of: of('Length') }, system, { shown: ['m'] })).toBe('[0.0123 m]');
    expect(showValue(0.5, of('Ratio'), system, { shown: ['%'] })).toBe('50 %');
  });

  test('what cannot be is said so', () => expect(cannotBe('it is')).toBe('cannot be computed: it is'));
});

describe('the unit that a number is shown in', () => {
  test('of the name where it has one, of the dimension where not', () => {
    expect(unitFor(1, of('Torque'), system)?.text).toBe('N*m');
    expect(unitFor(1, plain, system)?.text).toBe('J');
    expect(unitFor(1, { is: 'truth' }, system)).toBeUndefined();
    expect(unitFor(1, bareNumber, system)?.text ?? '1').toBe('1');
  });

  test('of a dimension without a name: its coherent one', () => {
    const unit = system.unit('kg*m^3');
    if (!('dimension' in unit)) throw new Error('it is no unit');
    expect(unitFor(1, { is: 'quantity', dimension: unit.dimension }, system)).toEqual({
      factor: 1,
      symbol: 'm^3*kg',
      text: 'm^3*kg',
    });
  });

  test('a difference is in no unit of a point, and a point in none of a difference', () => {
    const { dimension } = system.dimensions.get('Temperature') ?? {};
    if (!dimension) throw new Error('the library declares no temperature');
    expect(unitFor(5, { is: 'quantity', dimension }, system)?.text).toBe('K');
    expect(unitFor(300, { is: 'quantity', dimension, points: true }, system)?.text).toBe('degC');
  });
});

test('the coherent unit, for programs', () => {
  const units = ['Length', 'Temperature', 'TemperatureDifference', 'Torque', 'Energy', 'RotationSpeed', 'Ratio'];
  expect(units.map((name) => coherentUnit(of(name), system))).toEqual(['m', 'K', 'K', 'N*m', 'J', '1/s', '1']);
  expect(coherentUnit(plain, system)).toBe('m^2*kg/s^2');
  expect(coherentUnit({ is: 'text' }, system)).toBe('');
});
