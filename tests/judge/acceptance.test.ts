import { describe, expect, test } from 'vitest';
import { fixed, machineIn } from '../support.ts';
import { beam, judged, yard } from './yard.ts';

describe('acceptances', () => {
  const accepted = (rule: string, lines: string) => {
    const found = judged(beam('a', lines)).findings;
    return found.find((f) => f.rule === rule)?.accepted;
  };

  test('of an upper limit lapse when the value grows', () => {
    const at = (load: string) => accepted('beam_bends', `load = ${load}\naccept beam_bends at 120 N because "short"`);
    expect(at('120 N')).toMatchObject({ reason: 'short', valueless: false });
    expect(at('120 N')?.lapsed).toBeUndefined();
    expect(at('110 N')?.lapsed).toBeUndefined();
    // What was written is rounded: half a percent more is the same.
    expect(at('120.5 N')?.lapsed).toBeUndefined();
    expect(at('121 N')?.lapsed).toBe('accepted at 120 N, now 121 N');
  });

  test('of a lower limit lapse when the value shrinks', () => {
    const at = (depth: string) =>
      accepted('beam_thin', `load = 1 N\ndepth = ${depth}\naccept beam_thin at 30 mm because "so"`);
    expect(at('30 mm')?.lapsed).toBeUndefined();
    expect(at('35 mm')?.lapsed).toBeUndefined();
    expect(at('29.9 mm')?.lapsed).toBeUndefined();
    expect(at('29 mm')?.lapsed).toBe('accepted at 30 mm, now 29 mm');
  });

  test('without a value could never lapse: the present one is offered', () => {
    const text = yard(beam('a', 'load = 120 N\naccept beam_bends because "short"'));
    expect(machineIn(text).assessment.findings[0]?.accepted).toMatchObject({ reason: 'short', valueless: true });
    expect([...fixed(text).keys()]).toEqual(['Set good_for to 120 N', 'State the value accepted: 120 N']);
    expect(fixed(text).get('State the value accepted: 120 N')).toBe(
      text.replace('accept beam_bends', 'accept beam_bends at 120 N'),
    );
  });

  test('hold for the rule and the block that they name, and no other', () => {
    expect(accepted('beam_bends', 'load = 120 N\naccept beam_thin at 30 mm because "so"')).toBeUndefined();
    const two = `${beam('a', 'load = 120 N')}\n${beam('b', 'load = 120 N\naccept beam_bends at 120 N because "so"')}`;
    expect(judged(two).findings.map((f) => [f.instance.name, f.accepted?.reason])).toEqual([
      ['a', undefined],
      ['b', 'so'],
    ]);
  });

  test('of a finding about people are a note: it is never laid aside', () => {
    const [finding] = judged('lamp {\n  heat = 12 W\n  accept lamp_burns at 12 W because "seldom on"\n}').findings;
    expect(finding).toMatchObject({
      severity: 'error',
      caution: 'Fire: keep paper away.',
      accepted: { reason: 'seldom on' },
    });
  });
});
