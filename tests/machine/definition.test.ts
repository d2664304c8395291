import { expect, test } from 'vitest';
import { textOf } from '../../language/grammar/syntax.ts';
import { definitionOf } from '../../language/machine/definition.ts';
import type { Instance } from '../../language/machine/tree.ts';
import type { Member } from '../../language/names/kind.ts';
import { machineIn } from '../support.ts';

const kinds = `kind hall {
  toplevel
  has lamp*
}
kind lamp {
  needed: Power
  optional: Power?
  preset: Power default 1 W
  derived: Power = 2 W
}
part bright is lamp {
  needed = 10 W
  preset = 11 W
}
`;

/** Where a value of the first lamp comes from, and by which text. */
function defined(lines: string, name: string, { is = '', variant = '', parts = '' } = {}): string {
  const text = `${kinds}${parts}hall H {\n  lamp l${is} {\n${lines}\n  }\n}\n${variant}`;
  const { tree } = machineIn(text, variant ? 'V' : 'H');
  const lamp = tree.children.get('l');
  if (!lamp) throw new Error('there is no lamp');
  const { origin, expression, mode, spoiled } = definitionOf(lamp, lamp.member(name) as Member);
  return [origin, expression ? textOf(expression) : '-', mode, spoiled ? 'spoiled' : ''].filter(Boolean).join(' ');
}

test('what nobody gives is missing, or by default, or derived', () => {
  expect(defined('', 'needed')).toBe('missing - kind');
  expect(defined('', 'optional')).toBe('missing - kind');
  expect(defined('', 'preset')).toBe('default 1 W kind');
  expect(defined('', 'derived')).toBe('derived 2 W kind');
});

test('what is given counts, in the block before the part and in the part before the kind', () => {
  expect(defined('needed = 3 W', 'needed')).toBe('given 3 W block');
  expect(defined('preset = 3 W', 'preset')).toBe('given 3 W block');
  expect(defined('needed = 3 W', 'needed', { is: ' is bright' })).toBe('given 3 W block');
  expect(defined('', 'needed', { is: ' is bright' })).toBe('given 10 W block');
  expect(defined('', 'preset', { is: ' is bright' })).toBe('given 11 W block');
});

test('an open choice is open, and a value that is not written yet is missing', () => {
  expect(defined('needed = ?', 'needed')).toBe('open ? block');
  expect(defined('needed = ', 'needed')).toBe('missing - block');
});

test('a formula stays in force, whatever is given', () => {
  expect(defined('derived = 3 W', 'derived')).toBe('derived 2 W kind');
});

test('a measurement in its place outranks all that is computed or given, one beside it nothing', () => {
  const measured = 'measured derived = 2.5 W on 2026-01-02';
  expect(defined(`${measured} in place`, 'derived')).toBe('measured 2.5 W block');
  expect(defined(measured, 'derived')).toBe('derived 2 W kind');
  expect(defined('needed = 3 W\nmeasured needed = 2.5 W on 2026-01-02 in place', 'needed')).toBe(
    'measured 2.5 W block',
  );
});

test('what was measured of a part counts wherever it is used', () => {
  const parts = 'part tried is lamp {\n  measured derived = 2.5 W on 2026-01-02 in place\n}\n';
  expect(defined('', 'derived', { is: ' is tried', parts })).toBe('measured 2.5 W block');
});

test('what was measured belongs to the machine that was built, not to a variant of it', () => {
  const variant = 'hall V is H {\n}\n';
  expect(defined('measured derived = 2.5 W on 2026-01-02 in place', 'derived', { variant })).toBe('derived 2 W kind');
  expect(defined('needed = 3 W\nmeasured needed = 2.5 W on 2026-01-02 in place', 'needed', { variant })).toBe(
    'given 3 W block',
  );
});

test('what has a mistake in it is spoiled', () => {
  expect(defined('needed = 3 m', 'needed')).toBe('given 3 m block spoiled');
});

test('what the library says of a value is kept once for all machines, and of a kind of the file anew for each', () => {
  const both = (text: string) => ['A', 'B'].map((name) => machineIn(text, name).tree) as [Instance, Instance];
  const [a, b] = both('machine A {\n}\nmachine B is A {\n}\n');
  const values = [...a.kind.members.values()].filter(({ role }) => role !== 'child');
  expect(values.length).toBeGreaterThan(10);
  const one = machineIn('machine A {\n}\nmachine B is A {\n}\n', 'A');
  const other = one.scope.kindNamed(a.kind.name)?.members ?? new Map<string, Member>();
  for (const member of values) expect(other.get(member.name)).toBe(member);
  for (const member of values) expect(definitionOf(b, member)).toBe(definitionOf(a, member));
  const [c, d] = both(`${kinds}hall A {\n  lamp\n}\nhall B {\n  lamp\n}\n`).map((tree) => tree.children.get('lamp'));
  const member = c?.member('derived') as Member;
  expect(definitionOf(c as Instance, member)).toEqual(definitionOf(d as Instance, member));
  expect(definitionOf(c as Instance, member)).not.toBe(definitionOf(d as Instance, member));
});
