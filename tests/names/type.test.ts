import { describe, expect, test } from 'vitest';
import { describeType, kindOfListedBlocks, type Type } from '../../language/names/type.ts';
import { library, mistakesIn, read } from '../support.ts';

const { system } = library.scope;

/** The type that a value of a kind of its own is declared with. */
function typeOf(written: string): Type {
  const text = `/// A crate.\nkind wooden_crate {\n}\nkind asked {\n  toplevel\n  value: ${written}\n}\n`;
  const type = read(text).file.scope.kindNamed('asked')?.members.get('value')?.type;
  if (!type) throw new Error(`${written} is no type`);
  return type;
}

describe('a type in a sentence', () => {
  test.each([
    ['Length', 'a length'],
    ['Area', 'an area'],
    ['Energy', 'an energy'],
    ['Torque', 'a torque'],
    ['Temperature', 'a temperature'],
    ['TemperatureDifference', 'a temperature difference'],
    ['Price', 'a price'],
    ['Count', 'a count'],
    ['YesNo', 'yes or no'],
    ['Text', 'a text in quotes'],
    ['Date', 'a date'],
    ['one of slow, fast', 'one of slow, fast'],
    ['wooden_crate', 'a wooden crate'],
    ['list of Mass', 'a list: [ … ] of mass'],
    ['list of wooden_crate', 'a list: [ … ] of wooden crate'],
    ['list of YesNo', 'a list: [ … ] of yes or no'],
    ['Length x Length', 'a size of 2 sides'],
    ['Length x Length x Length', 'a size of 3 sides'],
    ['curve of Time, Temperature', 'a curve of temperature over time'],
    ['(Time) -> Speed', 'a formula that takes a time and gives a speed'],
    ['(Time, Area) -> Speed', 'a formula that takes a time and an area and gives a speed'],
  ])('%s is %s', (written, words) => expect(describeType(typeOf(written), system)).toBe(words));

  test.each<[Type, string]>([
    [{ is: 'any' }, 'anything'],
    [{ is: 'variable', name: 'X' }, 'any quantity X'],
    [{ is: 'instance', kind: undefined }, 'a block'],
    [{ is: 'formula', parameters: [], result: { is: 'truth' } }, 'a formula that takes nothing and gives yes or no'],
  ])('%o is %s', (type, words) => expect(describeType(type, system)).toBe(words));

  test('of a number that carries no name', () => {
    const { dimension } = system.dimensions.get('Temperature') ?? {};
    if (!dimension) throw new Error('the library declares no temperature');
    expect(describeType({ is: 'quantity', dimension, points: true }, system)).toBe('a temperature');
    const none = system.dimensions.get('Ratio')?.dimension as typeof dimension;
    expect(describeType({ is: 'quantity', dimension: none, bare: true }, system)).toBe('a bare number');
  });
});

describe('what a declaration writes', () => {
  test('one side is a quantity, two are a size', () => {
    expect(typeOf('Length')).toMatchObject({ is: 'quantity', points: false, money: false });
    expect(typeOf('Length x Length')).toMatchObject({ is: 'sides', count: 2, of: { is: 'quantity' } });
    expect(typeOf('Temperature')).toMatchObject({ points: true });
    expect(typeOf('Price')).toMatchObject({ money: true });
  });

  test('a name that is neither a quantity nor a kind is told, wherever it stands', () => {
    for (const written of ['Lenght', 'list of Lenght', 'curve of Time, Lenght', '(Lenght) -> Time', '(Time) -> Lenght'])
      expect(mistakesIn(`kind k {\n  a: ${written}\n}\n`), written).toEqual([
        '2: Lenght is neither a quantity nor a kind. Did you mean Length?',
      ]);
  });

  test('`any X` stands for one quantity wherever X stands again', () => {
    const { scope } = read('').file;
    const found = scope.find('balance');
    if (found?.node.$type !== 'Declaration') throw new Error('the library has no such numeric');
    const { parameters, result } = found.scope.signatureOf(found.node);
    expect(parameters.map(({ name }) => name)).toEqual(['net', 'low', 'high']);
    expect(parameters[0]?.type).toEqual({
      is: 'formula',
      parameters: [{ is: 'variable', name: 'X' }],
      result: { is: 'variable', name: 'Y' },
    });
    expect(parameters[1]?.type).toEqual({ is: 'variable', name: 'X' });
    expect(result).toEqual({ is: 'variable', name: 'X' });
    const curve = scope.find('value_at');
    if (curve?.node.$type !== 'Declaration') throw new Error('the library has no such numeric');
    expect(curve.scope.signatureOf(curve.node).parameters[0]?.type).toMatchObject({
      is: 'curve',
      x: { is: 'variable' },
      y: { is: 'variable' },
    });
  });

  test('the kind of the blocks that a list is of', () => {
    expect(kindOfListedBlocks(typeOf('list of wooden_crate'))?.name).toBe('wooden_crate');
    expect(kindOfListedBlocks(typeOf('list of Mass'))).toBeUndefined();
    expect(kindOfListedBlocks(typeOf('wooden_crate'))).toBeUndefined();
  });
});

test('arguments that are half typed are read as far as they go', () => {
  for (const half of ['list of', 'curve of Time,', 'curve of', '(Time) ->', '(', 'any', '']) {
    const { scope: own } = read(`function f(x: ${half}): Length = 1 m\n`).file;
    const node = own.find('f')?.node;
    expect(node?.$type === 'Declaration' && own.signatureOf(node).parameters[0]?.name, half).toBe('x');
  }
});
