import { describe, expect, test } from 'vitest';
import { machineIn, shown } from '../support.ts';
import { answer, asking } from './asking.ts';

describe('an expression', () => {
  test.each([
    ['(2)', 'Count', '2'],
    ['((1 mm))', 'Length', '1 mm'],
    ['[1 mm, 2 mm]', 'list of Length', '[1 mm, 2 mm]'],
    ['not yes', 'YesNo', 'no'],
    ['-(2 mm)', 'Length', '-2 mm'],
    ['[1, 2][1]', 'Count', '1'],
    ['(1 mm x 2 mm).depth', 'Length', '2 mm'],
    ['if yes then name else "none"', 'Text', 'a'],
  ])('%s, a %s, is %s', (formula, type, expected) => expect(answer(formula, { type })).toBe(expected));

  test('with a mistake anywhere in it is not computed', () => {
    for (const formula of ['1 mm + 2 A', '[1 mm, 2 A][1]', 'if yes then 1 mm else 2 A', '(1 mm)(2)', 'wat'])
      expect(shown(machineIn(asking(formula, { type: 'Length' })), 'answer')).toBe('not known');
  });
});
