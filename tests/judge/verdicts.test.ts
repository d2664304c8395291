import { describe, expect, test } from 'vitest';
import { findingsOf, machineIn, undecidedOf } from '../support.ts';
import { beam, judged, kinds, yard } from './yard.ts';

describe('a finding', () => {
  const [finding] = judged(beam('a', 'load = 120 N')).findings;

  test('carries its rule, how grave it is, its numbers, and ways out in words', () => {
    expect(finding).toMatchObject({
      rule: 'beam_bends',
      severity: 'warning',
      message: 'a bears 120 N, and is good for 100 N',
      waysOut: ['take a thicker one than 50 mm'],
      consequences: [],
    });
    expect(finding?.caution).toBeUndefined();
    expect(finding?.accepted).toBeUndefined();
  });

  test('one about people carries its caution', () => {
    expect(judged('lamp { heat = 12 W }').findings[0]?.caution).toBe('Fire: keep paper away.');
  });

  test('where what is compared and its limit would read alike, more digits are shown', () => {
    expect(findingsOf(machineIn(yard(beam('a', 'load = 100.01 N'))))).toEqual([
      'beam_bends: a bears 100.01 N, and is good for 100 N',
    ]);
  });

  test('exactly at the limit there is none, and rules that hold are counted', () => {
    const { findings, held } = judged(beam('a', 'load = 100 N'));
    expect(findings).toEqual([]);
    expect(held).toBe(2);
  });
});

describe('a rule that cannot be decided', () => {
  test('names what is missing, by its path', () => {
    const { findings, undecided } = judged('beam a');
    expect(findings).toEqual([]);
    expect(undecided.map(({ rule, missing }) => [rule, missing])).toEqual([['beam_bends', ['a.load']]]);
  });

  test('a guard that is not known leaves a rule undecided, one that says no does not', () => {
    const guard = (says: string) =>
      machineIn(
        `${kinds}rule beam_wet on beam {\n  when depth > 1 mm and rests_on.depth > 1 mm\n  holds load < 1 N\n  error "wet"\n  source practice "a test"\n}\nyard Y {\n  beam a {\n    load = 9 N\n    ${says}\n  }\n}\n`,
      );
    expect(undecidedOf(guard(''))).toHaveLength(1);
    expect(undecidedOf(guard('depth = 0.5 mm')).filter((u) => u.startsWith('beam_wet'))).toEqual([]);
    expect(findingsOf(guard('rests_on = a')).map((f) => f.split(':')[0])).toEqual(['beam_wet']);
  });
});
