import { describe, expect, test } from 'vitest';
import { machineIn, shown } from '../support.ts';
import { answer, asking } from './asking.ts';

const beside = `/// Half of it.
function half(of: Length, less: Length): Length = of / 2 - less {
  source defined "a test"
}
`;

describe('arguments', () => {
  test.each([
    ['half(of: 10 mm, less: 1 mm)', '4 mm'],
    ['half(less: 1 mm, of: 10 mm)', '4 mm'],
    ['half(10 mm, 1 mm)', '4 mm'],
  ])('%s is %s: by their names, or in their order', (formula, expected) =>
    expect(answer(formula, { type: 'Length', beside })).toBe(expected),
  );

  test('a derived value with arguments keeps one result for each', () => {
    const has =
      'scaled(of: Length, by: Count): Length = of * by + base {\n    source defined "a test"\n  }\n  base: Length default 1 mm';
    expect(answer('scaled(of: 2 mm, by: 3) + scaled(of: 2 mm, by: 4)', { type: 'Length', has })).toBe('16 mm');
    expect(answer('self.scaled(by: 3, of: 2 mm)', { type: 'Length', has })).toBe('7 mm');
    expect(answer('scaled(of: 2 mm, by: 3)', { type: 'Length', has, says: 'base = 5 mm' })).toBe('11 mm');
  });

  test('a derived value with a mistake in it is not computed', () => {
    const has = 'scaled(of: Length, by: Count): Length = of * by + 1 A {\n    source defined "a test"\n  }';
    expect(shown(machineIn(asking('scaled(of: 2 mm, by: 3)', { type: 'Length', has })), 'answer')).toBe('not known');
  });

  test('an argument that is handed on is called by its own name', () => {
    const twice = `${beside}
/// What it comes to at a place.
function twice_at(of: (Length) -> Length, at: Length): Length = 2 * of(at) {
  source defined "a test"
}
`;
    const has =
      'longer(by: Length): Length = base + by {\n    source defined "a test"\n  }\n  base: Length default 1 mm';
    expect(answer('twice_at(of: longer, at: 4 mm)', { type: 'Length', has, beside: twice })).toBe('10 mm');
  });
});
