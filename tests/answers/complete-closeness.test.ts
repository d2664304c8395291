import { describe, expect, test } from 'vitest';
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
