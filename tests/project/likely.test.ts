import { expect, test } from 'vitest';
import { usual } from '../../language/likely.ts';
import type { Member } from '../../language/names/kind.ts';
import { treesIn } from '../../language/one-machine.ts';
import { starts } from '../../language/starts.ts';
import { read } from '../support.ts';

const { project } = read('');
/** What is usual, found out anew: it is kept for a library, and this is another one with the same in it. */
const anew = () => usual({ library: { ...project.library } });
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

/** All that the texts give for a name, each once, in their order. */
const given = (name: string) => {
  const lines = starts.flatMap(({ text }) => [...text.matchAll(new RegExp(`^ +${name} = (.*)$`, 'gm'))]);
  return [...new Set(lines.map(([, value]) => value as string))];
};

test('numbers are told as they are written, ends and sides as well, each once; words and names are not', () => {
  const found = anew();
  const values = (of: Member) => found.values(of);
  const times = (of: Member) => found.times(of);
  expect(values(member('envelope', 'bench'))).toEqual(given('bench'));
  expect(values(member('machine', 'ambient'))).toEqual(given('ambient'));
  expect(given('bench')).toHaveLength(3);
  expect(times(member('envelope', 'bench'))).toBe(3);
  expect(values(member('plate', 'material'))).toEqual([]);
  expect(times(member('plate', 'material'))).toBeGreaterThan(0);
  expect(values(member('board', 'stays_off'))).toEqual([]);
});

test('a default stands first, and is told once; what nobody gives is told by its default alone', () => {
  const found = anew();
  const values = (of: string, name: string) => found.values(member(of, name));
  expect(values('extruder', 'bead_speed')).toEqual(['60 mm/s', ...given('bead_speed')]);
  expect(values('levelling_screw', 'pitch')).toEqual(['0.7 mm', '0.5 mm']);
  expect(found.times(member('levelling_screw', 'pitch'))).toBe(2);
  expect(values('extruder', 'gap')).toEqual(['4 mm']);
  expect(found.times(member('extruder', 'gap'))).toBe(0);
  // What is computed is not given.
  expect(values('bed', 'warm_up_time')).toEqual([]);
});

test('three are told at most, and each block that gives one counts', () => {
  const texts = Object.fromEntries(starts.map(({ name, text }) => [`${name}.gusset`, text]));
  const { project: all } = read(texts);
  const outputs = Object.keys(texts).flatMap((name) => {
    const file = all.file(`file:///${name}`);
    const trees = file ? treesIn({ project: all, file }) : [];
    return trees.flatMap((tree) => tree.all()).flatMap((each) => (each.kind.isA(kind('output')) ? [each] : []));
  });
  const found = anew();
  expect(found.times(member('output', 'rated_current'))).toBe(outputs.length);
  expect(found.values(member('component', 'mass'))).toHaveLength(3);
});

test('blocks are counted by their role, and what stands alone by its kind', () => {
  const machines = starts.flatMap(({ text }) => text.match(/^machine /gm) ?? []);
  const found = anew();
  expect(found.times(kind('machine'))).toBe(machines.length);
  expect(found.times(kind('bed'))).toBe(0);
  expect(found.times(member('machine', 'bed'))).toBe(machines.length);
  const named = starts.flatMap(({ text }) =>
    [...text.matchAll(/^[^/\n]* is (\w+)(?: \{)?$/gm)].map(([, part]) => part as string),
  );
  expect(named.filter((part) => !found.parts.has(part))).toEqual([]);
});
