import { describe, expect, test } from 'vitest';
import { type Cell, cellOf } from '../../language/compute/cell.ts';
import { Project } from '../../language/project.ts';
import { library, machineIn, shown } from '../support.ts';
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

  test('what is called of another block is a value of that block for these arguments', () => {
    const has = 'other: asker\n  scaled(of: Length): Length = of * 2';
    const machine = machineIn(asking('other.scaled(2 mm) + scaled(3 mm)', { type: 'Length', has, says: 'other = a' }));
    const answered = cellOf(machine.tree, 'answer') as Cell;
    expect(machine.engine.value(answered)).toBeCloseTo(0.01, 12);
    expect(machine.engine.inputs(answered).map(({ name }) => name)).toEqual([
      'other',
      'scaled(0.002)',
      'scaled(0.003)',
    ]);
  });

  test('a function that is declared otherwise after an edit is called as it is then', () => {
    const project = new Project(library, { read: () => undefined });
    const said = (function_: string) => {
      const text = asking('half(of: 10 mm, less: 1 mm)', { type: 'Length', beside: function_ });
      const [machine] = project.machines(project.update('file:///a.gusset', text));
      return machine && shown(machine, 'answer');
    };
    expect(said(beside)).toBe('4 mm');
    expect(said(beside.replace('of / 2', 'of / 4'))).toBe('1.5 mm');
    expect(said(beside.replace('of / 2', 'of'))).toBe('9 mm');
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
