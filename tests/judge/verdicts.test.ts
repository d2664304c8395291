import { describe, expect, test } from 'vitest';
import { rulesOn, verdictCell } from '../../language/judge/rule.ts';
import { decide, failedPartsOf, withSearch } from '../../language/judge/verdicts.ts';
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

describe('over a range', () => {
  const messageOf = (lines: string) => judged(beam('a', lines)).findings.map(({ message }) => message);

  test('the worst of several ends at which it fails is told, be it the low one or the high one', () => {
    expect(messageOf('load = 110 N .. 130 N')).toEqual(['a bears 130 N, and is good for 100 N']);
    expect(messageOf('load = 1 N\ndepth = 20 mm .. 30 mm')).toEqual(['a is 20 mm thick']);
    expect(messageOf('load = 110 N .. 130 N\ngood_for = 50 N .. 100 N')).toEqual([
      'a bears 130 N, and is good for 50 N',
    ]);
  });

  test('of ends that are as bad the last is told', () => {
    const named = kinds.replace('{name} bears {load}', '{name} at {air} bears {load}');
    const text = `${named}yard Y {\n  air = 10 degC .. 30 degC\n  beam a {\n    load = 100 N + 1 N/K * abs(air - 20 degC)\n  }\n}\n`;
    expect(findingsOf(machineIn(text))).toEqual(['beam_bends: a at 30 °C bears 110 N, and is good for 100 N']);
  });
});

describe('what is decided of one rule', () => {
  const decided = (lines: string, text = kinds) => {
    const machine = machineIn(`${text}yard Y {\n  beam a {\n    ${lines.replaceAll('\n', '\n    ')}\n  }\n}\n`);
    const instance = machine.tree.all().find(({ name }) => name === 'a');
    if (!instance) throw new Error('there is no beam');
    const rule = rulesOn(instance.kind, machine.scope).find(({ name }) => name === 'beam_bends');
    if (!rule) throw new Error('there is no rule');
    return { machine, said: decide({ rule, instance, cell: verdictCell(rule, instance) }, machine) };
  };

  test('one that holds says how it was looked for', () => {
    expect(decided('load = 90 N').said).toMatchObject({ rule: 'beam_bends', searched: undefined, everyEnd: true });
    expect(decided('load = 80 N .. 90 N').said).toMatchObject({ rule: 'beam_bends', everyEnd: true });
  });

  test('a way out whose numbers are not known is left out', () => {
    const text = kinds.replace(
      '  remedy "take a thicker one than {depth}"',
      '  remedy "take a thicker one than {depth}"\n  remedy "rest it on {rests_on.depth}"',
    );
    const { said } = decided('load = 120 N', text);
    expect(said).toMatchObject({ waysOut: ['take a thicker one than 50 mm'] });
    expect(decided('load = 120 N\nrests_on = a', text).said).toMatchObject({
      waysOut: ['take a thicker one than 50 mm', 'rest it on 50 mm'],
    });
  });

  test('the parts of its condition that fail, where it was found', () => {
    const text = kinds.replace('holds load <= good_for\n', 'holds load <= good_for and depth > 1 mm\n');
    const { machine, said } = decided('load = 90 N .. 120 N', text);
    if (!said || !('message' in said)) throw new Error('nothing is found');
    const parts = failedPartsOf(said, machine);
    expect(parts).toHaveLength(1);
    expect(failedPartsOf({ ...said, declared: undefined, failed: parts }, machine)).toBe(parts);
    expect(failedPartsOf({ ...said, declared: undefined, failed: undefined }, machine)).toEqual([]);
  });
});

test('how the worst was looked for stands behind a line', () => {
  expect(withSearch('It bends', 'at its ends')).toBe('It bends (at its ends)');
  expect(withSearch('It bends', undefined)).toBe('It bends');
});
