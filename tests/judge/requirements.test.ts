import { describe, expect, test } from 'vitest';
import { requirementOutcome } from '../../language/judge/requirements.ts';
import { findingsOf, read } from '../support.ts';
import { beam, judged } from './yard.ts';

describe('requirements', () => {
  const required = (condition: string, lines = 'load = 80 N') => judged(`${beam('a', lines)}\nrequire ${condition}`);

  test.each([
    // (limit - value) / limit
    ['a.load <= 100 N', true, 0.2, '80 N'],
    ['a.load < 100 N', true, 0.2, '80 N'],
    ['a.load >= 40 N', true, 1, '80 N'],
    ['a.load > 40 N', true, 1, '80 N'],
    ['a.load <= 40 N', false, -1, '80 N'],
    ['a.load >= 100 N', false, -0.2, '80 N'],
    ['(a.load <= 100 N)', true, 0.2, '80 N'],
    ['a.load <= 100 N and a.depth <= 51 mm', true, 1 / 51, '50 mm'],
    ['a.load <= 100 N or a.depth <= 51 mm', true, 0.2, '80 N'],
    // Of points of temperature the margin is in kelvin; beside others 100 K count as the whole.
    ['air <= 25 degC', true, 5, '20 °C'],
    ['air <= 25 degC and a.load <= 100 N', true, 5, '20 °C'],
    ['air <= 50 degC and a.load <= 100 N', true, 0.2, '80 N'],
    ['a.load - 80 N <= 0 N', true, 0, '0 N'],
    // Of a limit of zero the value itself is the whole.
    ['a.load <= 0 N', false, -1, '80 N'],
  ])('%s: %s, margin %d of %s', (condition, holds, margin, shown) => {
    const [requirement] = required(condition).requirements;
    expect(requirement).toMatchObject({ text: condition, holds, shown, missing: [] });
    expect(requirement?.margin?.amount).toBeCloseTo(margin, 9);
  });

  test.each([
    ['a.load <= 40 N', false, -1, '80 N', 'at a.load 80 N'],
    ['a.load >= 100 N', false, -0.5, '50 N', 'at a.load 50 N'],
    ['a.load <= 100 N', true, 0.2, '80 N', 'at a.load 80 N'],
    ['a.load >= 40 N', true, 0.25, '50 N', 'at a.load 50 N'],
    ['a.load <= 60 N', false, -1 / 3, '80 N', 'at a.load 80 N'],
    ['a.load >= 60 N', false, -1 / 6, '50 N', 'at a.load 50 N'],
  ])('%s, of 50 to 80 N: %s, margin %d of %s, %s', (condition, holds, margin, shown, worst) => {
    const [requirement] = required(condition, 'load = 50 N .. 80 N').requirements;
    expect(requirement).toMatchObject({ holds, shown, worst });
    expect(requirement?.margin?.amount).toBeCloseTo(margin, 9);
  });

  test('one that is not known at one end of a range does not hold, and fails where it fails at another', () => {
    const over = (rest: string) => required(`a.load <= ${rest}`, 'load = 50 N .. 80 N\ndepth = 50 mm').requirements[0];
    const unknownAbove = 'if a.load > 60 N then a.rests_on.load else';
    expect(over(`(${unknownAbove} 60 N)`)?.holds).toBeUndefined();
    expect(over(`(${unknownAbove} 40 N)`)?.holds).toBe(false);
  });

  test('one that does not hold is a finding, with what it comes to and by how much it is short', () => {
    expect(findingsOf({ assessment: required('a.load <= 40 N') } as never)).toEqual([
      'requirement: a.load <= 40 N does not hold: a.load is 80 N, the limit is 40 N (100 % short)',
    ]);
    expect(findingsOf({ assessment: required('air <= 15 degC') } as never)).toEqual([
      'requirement: air <= 15 degC does not hold: air is 20 °C, the limit is 15 °C (5 K short)',
    ]);
    expect(required('a.load <= 40 N').findings[0]?.severity).toBe('warning');
  });

  test('one that cannot be decided names what is missing, and is no finding', () => {
    const { requirements, findings } = required('a.load <= 40 N', 'depth = 50 mm');
    expect(requirements[0]).toMatchObject({ holds: undefined, missing: ['a.load'] });
    expect(findings).toEqual([]);
  });

  test('one with a mistake in it is not computed', () => {
    const { requirements, findings } = required('a.load <= 40 W');
    expect(requirements[0]?.holds).toBeUndefined();
    expect(findings).toEqual([]);
  });
});

describe('a requirement that lacks a value', () => {
  const shelf = (condition: string) => `/// A shelf.
kind shelf {
  toplevel
  /// How long it is.
  length: Length {
    within 0.1 m .. 3 m
  }
}
shelf S {
  require ${condition}
}
`;
  const stands = (condition: string) => {
    const { project, file } = read(shelf(condition));
    for (const _ of project.searchDeeper(file));
    const [requirement] = project.machines(file).flatMap(({ assessment }) => assessment.requirements);
    return [requirement?.holds, requirement && requirementOutcome(requirement)];
  };

  test('is decided where that makes no difference, and says over what', () => {
    expect(stands('length <= 4 m')).toEqual([true, 'holds: for any length from 0.1 to 3 m']);
    expect(stands('length <= 50 mm')[0]).toBe(false);
    expect(stands('length <= 2 m')).toEqual([undefined, 'undecided: length is not given']);
  });
});
