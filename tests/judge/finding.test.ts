import { expect, test } from 'vitest';
import { isLaidAside } from '../../language/judge/finding.ts';
import { beam, judged } from './yard.ts';

test('a finding is laid aside where it is accepted, has not lapsed, and is not about people', () => {
  const aside = (text: string) => judged(text).findings.map(isLaidAside);
  expect(aside(beam('a', 'load = 120 N'))).toEqual([false]);
  expect(aside(beam('a', 'load = 120 N\naccept beam_bends at 120 N because "so"'))).toEqual([true]);
  expect(aside(beam('a', 'load = 120 N\naccept beam_bends because "so"'))).toEqual([true]);
  expect(aside(beam('a', 'load = 120 N\naccept beam_bends at 110 N because "so"'))).toEqual([false]);
  expect(aside('lamp {\n  heat = 12 W\n  accept lamp_burns at 12 W because "so"\n}')).toEqual([false]);
});
