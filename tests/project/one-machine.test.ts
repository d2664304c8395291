import { expect, test } from 'vitest';
import { alone, rootsOf, treesIn } from '../../language/one-machine.ts';
import { read } from '../support.ts';

const text = `kind shed {
  toplevel
  /// How wide.
  width: Length default 2 m
}
shed Larch { width = 3 m }
shed Beech is Larch
shed Oak { width = 5 m }
/// The last.
shed Fir is Oak
`;

test('a machine with what it is made of, and without all others, where it stood', () => {
  const side = { ...read(text), machine: 'Beech' };
  expect(treesIn(side).map(({ name }) => name)).toEqual(['Larch', 'Beech', 'Oak', 'Fir']);
  const own = alone(side, ['Beech']);
  const [, beech] = treesIn(own);
  expect(treesIn(own).map(({ name }) => name)).toEqual(['Larch', 'Beech']);
  expect([...rootsOf(beech as never)]).toEqual(['Beech', 'Larch']);
  expect(own.file.parsed.text.indexOf('shed Beech')).toBe(text.indexOf('shed Beech'));
  own.project.update(own.file.uri, '');
  expect(side.file.parsed.text).toBe(text);
});
