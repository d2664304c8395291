import { expect, test } from 'vitest';
import { alone, rewrite, rootsOf, treesIn } from '../../language/one-machine.ts';
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

test('another text tells the mistake that it brings, and none that was there before', () => {
  const side = read(text.replace('5 m', '5 A'));
  const before = side.project.mistakes(side.file).map(({ message }) => message);
  expect(before).toHaveLength(1);
  expect(rewrite(side, text.replace('5 m', '5 A').replace('3 m', '4 m'))).toBeUndefined();
  expect(side.file.parsed.text).toContain('4 m');
  const brought = rewrite(side, text.replace('5 m', '5 A').replace('width = 3 m', 'widht = 3 m'));
  expect(brought).toContain('widht');
  expect(before).not.toContain(brought);
});

test('alone, it is read with the texts of other files as they were edited, and with what was not read yet', () => {
  const { project, file } = read({
    'a.gusset': 'use "./b.gusset"\nuse "./c.gusset"\nshed Larch { width = far }\n',
    'b.gusset': 'kind shed {\n  toplevel\n  width: Length default 2 m\n}\n',
    'c.gusset': 'constant far: Length = 3 m\n',
  });
  project.mistakes(file);
  project.update('file:///c.gusset', 'constant far: Length = 4 m\n');
  const own = alone({ project, file, machine: 'Larch' }, ['Larch']);
  expect(own.project.mistakes(own.file)).toEqual([]);
  expect(own.project.file('file:///c.gusset')?.parsed.text).toContain('4 m');
});

test('a note, such as of what is not given yet, is no mistake that a text brings', () => {
  const bare = 'kind shed {\n  toplevel\n  width: Length\n}\nshed Larch {\n  width = 3 m\n}\n';
  expect(rewrite(read(bare), bare.replace('  width = 3 m\n', ''))).toBeUndefined();
});
