import { describe, expect, test } from 'vitest';
import { effectOn } from '../../language/judge/effect.ts';
import { machineIn } from '../support.ts';

const text = (body: string, holds = 'area <= most') => `kind hall {
  toplevel
  width: Length default 2 m
  most: Area default 3 m^2
  at_least: Area default 1 m^2
  lit: YesNo default yes
  area: Area = width * width
}
rule r on hall {
  when lit
  holds ${holds}
  error "x"
}
hall H {
${body}
}
`;
const effect = (before: string, after: string, holds?: string) => {
  const [was, now] = [machineIn(text(before, holds)), machineIn(text(after, holds))];
  const finding = was.assessment.findings.find(({ rule }) => rule === 'r');
  if (!finding) throw new Error('the rule holds');
  return effectOn(finding, was, now);
};

describe('what a change did to the numbers of a finding', () => {
  test('what is compared, or its limit where that stayed', () => {
    expect(effect('', '  width = 1 m')).toBe('area 4 m² → 1 m²');
    expect(effect('', '  most = 5 m^2')).toBe('most 3 m² → 5 m²');
  });

  test('of both the one that changed more', () => {
    expect(effect('', '  width = 1 m\n  most = 3.1 m^2')).toBe('area 4 m² → 1 m²');
  });

  test('over a range what it is where it comes nearest, and a name of several words as words', () => {
    expect(effect('', '  width = 1 m .. 1.5 m')).toBe('area 4 m² → 2.25 m²');
    expect(effect('  width = 2 m .. 3 m', '  width = 1 m')).toBe('area 9 m² → 1 m²');
    expect(
      effect('', '  at_least = 1 m^2\n  width = 1 m', 'area <= 3 m^2 * at_least / at_least and at_least >= 0.5 m^2'),
    ).toBe('area 4 m² → 1 m²');
    expect(effect('', '  at_least = 5 m^2', 'at_least >= 4 m^2')).toBe('at least 1 m² → 5 m²');
  });

  test('none of a formula, which has no name, nor of a rule that is not there any more', () => {
    expect(effect('', '  width = 1 m', 'width * width <= most')).toBeUndefined();
    const was = machineIn(text(''));
    const [finding] = was.assessment.findings;
    if (!finding) throw new Error('the rule holds');
    expect(effectOn(finding, was, machineIn(text('').replace('rule r', 'rule s')))).toBeUndefined();
    expect(effectOn(finding, was, machineIn(text('').replace('hall H', 'hall I')))).toBeUndefined();
  });

  test('of a requirement, which is known by its block and its words', () => {
    const required = (width: string, words = 'area <= 3 m^2') =>
      machineIn(text(`  width = ${width}\n  require ${words}\n  require width >= 0.1 m`, 'yes'));
    const [was, now] = [required('2 m'), required('1 m')];
    const [finding] = was.assessment.findings;
    if (!finding?.target) throw new Error('it is met');
    expect(effectOn(finding, was, now)).toBe('area 4 m² → 1 m²');
    expect(effectOn(finding, was, required('1 m', 'area <= 2 m^2'))).toBeUndefined();
  });

  test('none where it still fails, does not apply any more, or compares nothing', () => {
    expect(effect('', '  width = 1.9 m')).toBeUndefined();
    expect(effect('', '  lit = no\n  width = 1 m')).toBeUndefined();
    expect(effect('', '  most = 4 m^2', 'most == 4 m^2')).toBeUndefined();
  });
});
