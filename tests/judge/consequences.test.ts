import { describe, expect, test } from 'vitest';
import { findingsOf, machineIn } from '../support.ts';
import { beam, judged, yard } from './yard.ts';

describe('consequences', () => {
  const two = (more = '') => `${beam('a', `load = 120 N${more}`)}\n${beam('b', 'load = 1 N\nrests_on = a')}`;

  test('stand under their root, where that rule fails there', () => {
    expect(findingsOf(machineIn(yard(two())))).toEqual([
      'beam_bends: a bears 120 N, and is good for 100 N -> beam_crooked',
    ]);
  });

  test('keep their own severity', () => {
    const [finding] = judged(two()).findings;
    expect([finding?.severity, finding?.consequences[0]?.severity]).toEqual(['warning', 'advice']);
  });

  test('of what is accepted are listed by themselves: they were not accepted with it', () => {
    expect(findingsOf(machineIn(yard(two('\naccept beam_bends at 120 N because "so"'))))).toEqual([
      'beam_bends: a bears 120 N, and is good for 100 N',
      'beam_crooked: b is crooked',
    ]);
  });

  test('of an acceptance that lapsed stand under it again', () => {
    expect(findingsOf(machineIn(yard(two('\naccept beam_bends at 105 N because "so"'))))).toEqual([
      'beam_bends: a bears 120 N, and is good for 100 N -> beam_crooked',
    ]);
  });

  test('stand alone where the root is another block’s', () => {
    const three = `${two()}\n${beam('c', 'load = 150 N')}`;
    expect(findingsOf(machineIn(yard(three)))).toEqual([
      'beam_bends: a bears 120 N, and is good for 100 N -> beam_crooked',
      'beam_bends: c bears 150 N, and is good for 100 N',
    ]);
  });
});
