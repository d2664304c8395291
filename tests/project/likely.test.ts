import { expect, test } from 'vitest';
import { usual } from '../../language/likely.ts';
import type { Member } from '../../language/names/kind.ts';
import { read } from '../support.ts';

const { project } = read('');
const kind = (name: string) => {
  const found = project.library.scope.kindNamed(name);
  if (!found) throw new Error(`there is no kind ${name}`);
  return found;
};
const member = (of: string, name: string) => kind(of).members.get(name) as Member;

test('what the machines to begin with give is likely, what most of them give first', () => {
  const { library } = project;
  expect(usual({ library }).values(member('machine', 'mains'))[0]).toBe('230 V');
  expect(usual({ library }).values(member('machine', 'ambient'))[0]).toMatch(/degC \.\. \d+ degC$/);
  expect(usual({ library }).times(member('bed', 'heater'))).toBeGreaterThan(1);
  expect(usual({ library }).times(kind('site'))).toBe(0);
  expect(usual({ library })).toBe(usual({ library }));
});

test('parts that they take are known, others are not', () => {
  const { parts } = usual(project);
  expect(parts.size).toBeGreaterThan(20);
  expect(parts.has('supply_48v_480w')).toBe(false);
});
