import { describe, expect, test } from 'vitest';
import { units } from '../../language/answers/complete-units.ts';
import { library, quantity as of } from '../support.ts';

describe('units', () => {
  const { scope } = library;
  const labels = (name: string) =>
    units({ ctx: { scope } as never, expected: of(name) })
      .toSorted((a, b) => a.rank - b.rank)
      .map(({ label }) => label);

  test('those that a quantity is shown in first, then others of that name, thousandfolds before the rest', () => {
    expect(labels('Length').slice(0, 5)).toEqual(['mm', 'm', 'in', 'ft', 'km']);
    expect(labels('Length').indexOf('cm')).toBeGreaterThan(labels('Length').indexOf('um'));
    expect(labels('Torque')).toContain('N*m');
    expect(labels('Torque')).not.toContain('J');
    expect(labels('Energy')).toContain('kJ');
    expect(labels('Temperature')).toEqual(expect.arrayContaining(['degC']));
    expect(labels('Temperature')).not.toContain('K');
    // Neither a billionth nor a billion is offered.
    expect(labels('Length')).not.toEqual(expect.arrayContaining(['nm']));
    expect(labels('Length')).not.toEqual(expect.arrayContaining(['Gm']));
  });

  test('of anything where any quantity will do, of nothing where none will', () => {
    expect(units({ ctx: { scope } as never }).length).toBeGreaterThan(50);
    expect(units({ ctx: { scope } as never, expected: { is: 'truth' } })).toEqual([]);
    expect(
      units({ ctx: { scope } as never, expected: { is: 'list', of: of('Mass') } }).map(({ label }) => label),
    ).toContain('kg');
  });
});
