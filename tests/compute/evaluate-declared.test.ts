import { describe, expect, test } from 'vitest';
import { machineIn, shown } from '../support.ts';
import { answer, asking } from './asking.ts';

const beside = `/// Half of it.
function half(of: Length, less: Length): Length = of / 2 - less {
  source defined "a test"
}
/// A step.
constant step: Length = 4 mm {
  source defined "a test"
}
/// By area.
table capacity(area: Area): Current {
  source practice "a test"
  interpolation linear
  row 1 mm^2: 10 A
  row 2 mm^2: 18 A
}
/// Widths.
sizes widths: Length = [narrow = 2 mm, wide = 2 * step] {
  source practice "a test"
}
`;

describe('what a file declares', () => {
  test.each([
    ['half(of: 10 mm, less: 1 mm)', '4 mm'],
    ['2 * step', '8 mm'],
    ['narrow + wide', '10 mm'],
  ])('%s is %s', (formula, expected) => expect(answer(formula, { type: 'Length', beside })).toBe(expected));

  test('a table is read between its rows, and not beyond them', () => {
    const type = 'Current';
    expect(answer('capacity(area: 1.5 mm^2)', { type, beside })).toBe('14 A');
    expect(answer('capacity(area: 2 mm^2)', { type, beside })).toBe('18 A');
    expect(answer('capacity(area: 3 mm^2)', { type, beside })).toContain('3 mm²');
    expect(answer('capacity(area: w)', { type, beside, has: 'w: Area' })).toBe('not known');
  });

  test('a function is handed over by its name', () => {
    const handed = `${beside}
/// What it comes to at a place.
function twice_at(of: (Length, Length) -> Length, at: Length): Length = 2 * of(at, 1 mm) {
  source defined "a test"
}
`;
    expect(answer('twice_at(of: half, at: 10 mm)', { type: 'Length', beside: handed })).toBe('8 mm');
  });

  test('one with a mistake in it is not computed, and neither is what calls it', () => {
    const wrong = beside.replace('of / 2 - less', 'of / 2 - 3 A').replace('= 4 mm', '= 4 mm + 1 A');
    const value = (formula: string) => shown(machineIn(asking(formula, { type: 'Length', beside: wrong })), 'answer');
    expect(value('half(of: 10 mm, less: 1 mm)')).toBe('not known');
    expect(value('step')).toBe('not known');
    expect(value('narrow')).toBe('2 mm');
  });
});

test('a machine, or a part, that is named stands for itself: with its own values, the one that asks for the one that it is', () => {
  const text = `kind hall {
  toplevel
  width: Length default 2 m
  beside: hall?
  spare: lamp?
  total: Length = width + beside.width
  itself: YesNo = beside == self
  glow: Power = spare.power
}
kind lamp {
  power: Power
}
part small is lamp {
  power = 3 W
}
hall G {
  width = 5 m
}
hall H {
  beside = G
  spare = small
}
hall I {
  beside = I
}
`;
  const value = (name: string, path: string) => shown(machineIn(text, name), path);
  expect([value('H', 'total'), value('H', 'itself'), value('H', 'glow')]).toEqual(['7 m', 'no', '3 W']);
  expect([value('I', 'total'), value('I', 'itself')]).toEqual(['4 m', 'yes']);
});
