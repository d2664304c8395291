import { describe, expect, test } from 'vitest';
import { closeness, distance } from '../../language/answers/complete-closeness.ts';
import type { Kind, Member } from '../../language/names/kind.ts';
import { anyType, type Type, textType, truthType } from '../../language/names/type.ts';
import { someQuantity } from '../../language/types/situation.ts';
import { quantity as of, read } from '../support.ts';
import { kinds, order } from './hall.ts';

describe('what fits better comes first', () => {
  test('of one name before one of the same dimension', () => {
    expect(order(`${kinds}kind k is hall {\n  t: Torque = <|>\n}\n`, 'torque', 'energy')).toEqual(['torque', 'energy']);
    expect(order(`${kinds}kind k is hall {\n  t: Energy = <|>\n}\n`, 'torque', 'energy')).toEqual(['energy', 'torque']);
  });

  test('one’s own before what is declared further up, headlines before all', () => {
    expect(order(`${kinds}kind k is big_hall {\n  t: Length = <|>\n}\n`, 'further', 'width', 'deep', 'box')).toEqual([
      'deep',
      'further',
      'width',
      'box',
    ]);
  });
});

describe('how well a type fits where another is expected', () => {
  const { scope } = read(kinds).file;
  const block = (name: string): Type => ({ is: 'instance', kind: scope.kindNamed(name) });
  const list = (type: Type): Type => ({ is: 'list', of: type });
  const [length, sides] = [of('Length'), { is: 'sides', of: of('Length'), count: 2 } as Type];
  const formula = (result: Type): Type => ({ is: 'formula', parameters: [], result });
  const choice: Type = { is: 'choice', options: ['dim'] };

  test.each<[string, Type, Type | undefined, number | undefined]>([
    ['the same', length, length, 0],
    ['of another name', of('Torque'), of('Energy'), 1],
    ['of another dimension', of('Mass'), length, undefined],
    ['a difference for a point', of('TemperatureDifference'), of('Temperature'), undefined],
    ['a size for one of its sides', sides, length, 2],
    ['what a formula gives', formula(length), length, 0],
    ['a formula for a formula', formula(length), formula(length), 0],
    ['anything, where nothing is known of it', anyType, length, 1],
    ['anything, where all will do', of('Mass'), anyType, 1],
    ['where nothing is expected', length, undefined, 1],
    ['yes or no', truthType, truthType, 0],
    ['what can be compared, for yes or no', length, truthType, 1],
    ['a word, for yes or no', choice, truthType, 1],
    ['a text, for yes or no', textType, truthType, 2],
    ['a text for a length', textType, length, undefined],
    ['a block of the kind', block('big_hall'), block('hall'), 0],
    ['a block of a wider kind', block('hall'), block('big_hall'), undefined],
    ['a block where its kind is not known', block('hall'), block('nothing'), 0],
    ['a list of what fits', list(of('Torque')), list(of('Energy')), 1],
    ['a list of what does not', list(block('lamp')), list(block('hall')), undefined],
    ['a text for a text', textType, textType, 0],
    ['some quantity', length, someQuantity, 0],
    ['a formula that gives some quantity', formula(length), someQuantity, 0],
    ['a size, for some quantity', sides, someQuantity, 2],
    ['anything, for some quantity', anyType, someQuantity, 1],
    ['a text, for some quantity', textType, someQuantity, undefined],
  ])('%s', (_, type, expected, fits) => expect(closeness(type, expected)).toBe(fits));

  test('what is declared further up is further, a headline nearer', () => {
    const kind = scope.kindNamed('big_hall') as Kind;
    const far = (name: string) => distance(kind.members.get(name) as Member, kind);
    expect(far('further')).toBe(0);
    expect(far('width')).toBeCloseTo(0.1, 9);
    expect(far('deep')).toBeCloseTo(-0.2, 9);
    expect(distance(kind.members.get('width') as Member, undefined)).toBe(0);
  });
});
