import { describe, expect, test } from 'vitest';
import { toldOf } from '../support.ts';
import { beam, judged, yard } from './yard.ts';

test('the kinds of these tests have no mistake', () => {
  expect(toldOf(yard(beam('a', 'load = 1 N'))).filter(({ severity }) => severity !== 'note')).toEqual([]);
});

describe('findings', () => {
  test('several stand in the order of the text', () => {
    const two = `${beam('b', 'load = 130 N\ndepth = 30 mm')}\n${beam('a', 'load = 120 N')}`;
    expect(judged(two).findings.map(({ rule, instance }) => `${instance.name} ${rule}`)).toEqual([
      'b beam_thin',
      'b beam_bends',
      'a beam_bends',
    ]);
  });

  test('of rules, requirements and what cannot be computed stand beside each other', () => {
    const text = `${beam('a', 'load = 120 N')}\n${beam('b', 'load = 10 N / (1 - 1)')}\nrequire a.depth >= 60 mm`;
    expect(judged(text).findings.map(({ rule }) => rule)).toEqual(['beam_bends', 'not_computable', 'requirement']);
    const { held, undecided } = judged(text);
    expect(held).toBe(2);
    expect(undecided.map(({ rule }) => rule)).toEqual(['beam_bends']);
  });
});
