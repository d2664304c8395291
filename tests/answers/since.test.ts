import { expect, test } from 'vitest';
import { inOneLine, since, stood } from '../../language/answers/since.ts';
import { machineIn } from '../support.ts';

const kinds = `kind oven {
  toplevel
  power: Power
  current: Current = power / 24 V
  headline current
  has door: door ?
}
kind door {
  inside oven
  width: Length?
  area: Area = width * 1 m
  headline area
}
rule overloaded on oven {
  holds current <= 15 A
  error "{current}"
  source defined "a test"
}
rule wide on door {
  holds width <= 2 m
  warning "{width}"
  source defined "a test"
}
`;
const oven = (power: string, door = 'width = 1 m') =>
  `${kinds}oven O {\n  power = ${power}\n  door {\n    ${door}\n  }\n  require 1 kJ / power <= 5 s\n}\n`;
const change = (before: string, after: string) => since(stood(machineIn(before)), stood(machineIn(after)));

test('what is asked for, what is worth showing and what turned are told in a line, a unit once', () => {
  const found = change(oven('240 W'), oven('480 W'));
  expect(inOneLine(found)).toBe('1 kJ / power 4.17 → 2.08 s, current 10 → 20 A, 1 rule newly fails');
  expect(found.fails).toMatchObject([{ code: 'overloaded', path: '' }]);
  expect(inOneLine(change(oven('480 W'), oven('240 W')))).toContain('1 rule no longer fails');
});

test('of blocks by their paths, in other units as they are', () => {
  expect(change(oven('240 W'), oven('240 W', 'width = 3 m'))).toMatchObject({
    moved: ['door.area 1 → 3 m²'],
    fails: [{ code: 'wide', path: 'door' }],
  });
  expect(change(oven('240 W'), oven('0.24 W')).moved.join()).toMatch(/current 10( A)? → /);
});

test('as many values as fit, and the first in any case; what turned is always told', () => {
  const moved = ['a'.repeat(70), 'b 1 → 2 A', 'c 1 → 2 A'];
  const told = { moved, fails: [], mended: [], undecided: [] };
  expect(inOneLine(told)).toBe(`${moved[0]}, 2 more`);
  expect(inOneLine({ ...told, moved: ['a 1 → 2 A', ...moved] })).toBe('a 1 → 2 A, 3 more');
  expect(inOneLine({ ...told, moved: moved.slice(1) })).toBe('b 1 → 2 A, c 1 → 2 A');
});

test('what can no longer be decided, and nothing where nothing is otherwise', () => {
  expect(inOneLine(change(oven('240 W'), oven('240 W', '')))).toBe('1 rule can no longer be decided');
  expect(inOneLine(change(oven('240 W'), oven('0.24 kW')))).toBeUndefined();
});

test('what stood once is kept though the tree goes on', () => {
  const before = stood(machineIn(oven('240 W')));
  expect([...before.values.values()].every(({ value }) => typeof value !== 'object')).toBe(true);
});
