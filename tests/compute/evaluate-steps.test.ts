import { expect, test } from 'vitest';
import { machineIn, mistakesIn, shown } from '../support.ts';
import { own, springs } from '../types/hung-plate.ts';

// 2 kg by 9.80665 m/s^2 (ISO 80000-3) is 19.6 N; two springs of 1 N/mm go down by half of that: 9.81 mm.
test('a step sees those above it, and a question goes on inside it', () => {
  const text = own(
    `${springs}
    where times = sum(1 for h in every hung_plate where h.mass * free_fall == weight)`,
    'times * weight / both',
  );
  expect(mistakesIn(text)).toEqual([]);
  expect(shown(machineIn(text), 'hung_plate.sag')).toBe('9.81 mm');
});

test('a derived value with arguments, a function and a constant have steps too', () => {
  const rest = `  sag_under(load: Force): Length = share * load {
    where share = sag / weight_of(mass)
    source defined "in proportion"
  }
`;
  const text = `${own(springs, 'weight / both', rest)}
function weight_of(mass: Mass): Force = mass * pull {
  where pull = free_fall
  source defined "weight"
}
`;
  expect(mistakesIn(text)).toEqual([]);
  expect(shown(machineIn(text), 'hung_plate.sag_under(load: 10 N)')).toBe('5 mm');
});

test('a step that is not needed may be missing, and one that is makes the whole not known', () => {
  const unused = `${springs}\n    where spare = missing_mass * free_fall`;
  const rest = '  missing_mass: Mass\n';
  expect(shown(machineIn(own(unused, 'weight / both', rest)), 'hung_plate.sag')).toBe('9.81 mm');
  expect(shown(machineIn(own(unused, 'spare / both', rest)), 'hung_plate.sag')).toBe('not known');
});

test('a step that leads back to itself is not known', () => {
  const text = own('    where weight = 2 * weight\n    where both = 2 * stiffness');
  expect(mistakesIn(text)).not.toEqual([]);
  expect(shown(machineIn(text), 'hung_plate.sag')).toBe('not known');
});
