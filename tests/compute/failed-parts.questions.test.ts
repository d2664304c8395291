import { describe, expect, test } from 'vitest';
import { failedPartsOf } from '../../language/judge/verdicts.ts';
import { machineIn } from '../support.ts';

const text = (requirements: string, rule = '') => `kind drum {
  inside rig
  width: Length
  is_held: YesNo default yes
}
kind rig {
  toplevel
}
${rule}
rig R {
  drum a {
    width = 40 mm
  }
  drum b {
    width = 90 mm
    is_held = no
  }
  drum c {
    width = 70 mm
  }
${requirements}
}
`;

/** What is said of a requirement that fails. */
function said(condition: string): string {
  const [finding] = machineIn(text(`  require ${condition}`)).assessment.findings;
  return finding?.message.split('does not hold: ')[1] ?? '';
}

describe('a condition that is asked of several blocks names those that fail, with their numbers', () => {
  test.each([
    ['all(d.width <= 80 mm for d in every drum)', 'b: width is 90 mm, the limit is 80 mm (12 % short)'],
    [
      'all(d.width <= 60 mm for d in every drum)',
      'b: width is 90 mm, the limit is 60 mm (50 % short); c: width is 70 mm, the limit is 60 mm (17 % short)',
    ],
    ['all(d.is_held for d in every drum)', 'b: is_held is no'],
    [
      'all(d.is_held and d.width > 50 mm for d in every drum)',
      'a: width is 40 mm, the limit is 50 mm (20 % short); b: is_held is no',
    ],
    ['not any(d.width > 80 mm for d in every drum)', 'b: width is 90 mm, the limit is 80 mm'],
    [
      'any(d.width > 1 m for d in every drum where d.is_held)',
      'a: width is 40 mm, the limit is 1 m (96 % short); c: width is 70 mm, the limit is 1 m (93 % short)',
    ],
    [
      'all(all(d.width >= e.width for e in every drum where e.is_held) for d in every drum where d.is_held)',
      'c: a.width is 40 mm, width is 70 mm (43 % short)',
    ],
    ['all(d.width <= 100 mm for d in every drum)', ''],
    [
      'max(d.width for d in every drum) <= 80 mm',
      'max(d.width for d in every drum) is 90 mm at b, the limit is 80 mm (12 % short)',
    ],
    [
      'min(d.width for d in every drum) >= 50 mm',
      'min(d.width for d in every drum) is 40 mm at a, the limit is 50 mm (20 % short)',
    ],
    [
      'count(d for d in every drum where d.width > 60 mm) <= 1',
      'count(d for d in every drum where d.width > 60 mm) is 2: b and c, the limit is 1 (100 % short)',
    ],
    [
      'count(d.is_held for d in every drum) <= 1',
      'count(d.is_held for d in every drum) is 2: a and c, the limit is 1 (100 % short)',
    ],
    [
      'max(w for w in [70 mm, 90 mm]) <= 80 mm',
      'max(w for w in [70 mm, 90 mm]) is 90 mm, the limit is 80 mm (12 % short)',
    ],
    [
      '(max(d.width for d in every drum)) <= 80 mm',
      '(max(d.width for d in every drum)) is 90 mm at b, the limit is 80 mm (12 % short)',
    ],
    // The neighbours: one that holds, and a list without blocks, says none.
    ['all(w <= 80 mm for w in [70 mm, 90 mm])', 'w is 90 mm, the limit is 80 mm (12 % short)'],
    [
      'any(d.is_held for d in every drum where d.width > 1 m)',
      'any(d.is_held for d in every drum where d.width > 1 m) is no',
    ],
  ])('%s', (condition, words) => {
    expect(said(condition)).toBe(words);
  });

  test('a rule gives them as data', () => {
    const rule = `rule too_wide on rig {
  holds all(d.width <= 80 mm for d in every drum)
  error "a drum is too wide"
  source defined "a test"
}
`;
    const machine = machineIn(text('', rule));
    const [finding] = machine.assessment.findings;
    const parts = finding ? failedPartsOf(finding, machine) : [];
    expect(parts).toEqual([expect.objectContaining({ of: 'b', condition: 'd.width <= 80 mm' })]);
    expect(parts[0]?.operands.map(({ shown }) => shown)).toEqual(['90 mm', '80 mm']);
  });
});
