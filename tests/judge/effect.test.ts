import { describe, expect, test } from 'vitest';
import { effectOn } from '../../language/judge/effect.ts';
import { machineIn } from '../support.ts';

const text = (body: string, holds = 'area <= most') => `kind hall {
  toplevel
  width: Length default 2 m
  most: Area default 3 m^2
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

  test('none where it still fails, does not apply any more, or compares nothing', () => {
    expect(effect('', '  width = 1.9 m')).toBeUndefined();
    expect(effect('', '  lit = no\n  width = 1 m')).toBeUndefined();
    expect(effect('', '  most = 4 m^2', 'most == 4 m^2')).toBeUndefined();
  });
});
