import { expect, test } from 'vitest';
import { PackingError, pack } from '../../language/packing.ts';
import { mistakesIn, read } from '../support.ts';

const packed = (files: Record<string, string>) => {
  const { project, file } = read(files);
  return pack(file, project, ({ uri }) => uri.slice('file:///'.length));
};
const kinds = '/// A hall.\nkind hall {\n  toplevel\n  width: Length default reach\n}\n';

test('a file and all that it needs of others is one file', () => {
  const one = packed({
    'a.gusset': 'use "./b.gusset"\n\nhall H {\n}\n',
    'b.gusset': `use "./c.gusset"\n\n${kinds}hall Other {\n}\n`,
    'c.gusset': 'constant reach: Length = 1 m\nconstant unneeded: Length = 2 m\n',
  });
  expect(one).toBe(`// In one file: c.gusset, b.gusset and a.gusset.

// From c.gusset.

constant reach: Length = 1 m

// From b.gusset.

/// A hall.
kind hall {
  toplevel
  width: Length default reach
}

// From a.gusset.

hall H {
}
`);
  expect(mistakesIn(one)).toEqual([]);
});

test('a rule of a used file goes along, though nothing names it', () => {
  const rule =
    'rule hall_wide on hall {\n  holds width < 9 m\n  warning "{name} is {width} wide"\n  source practice "a test"\n}\n';
  const one = packed({
    'a.gusset': 'use "./b.gusset"\n\nhall H {\n}\n',
    'b.gusset': `/// A hall.\nkind hall {\n  toplevel\n  width: Length default 2 m\n}\n/// Not too wide.\n${rule}`,
  });
  expect(one).toContain(rule);
  expect(mistakesIn(one)).toEqual([]);
});

test('of machines only those come along that another begins with, and a used file that gives nothing is not named', () => {
  const one = packed({
    'a.gusset': 'use "./b.gusset"\nuse "./empty.gusset"\n\nhall H is Larch {\n}\n',
    'b.gusset': 'kind hall {\n  toplevel\n}\nhall Larch {\n}\nhall b {\n}\nhall gusset {\n}\n',
    'empty.gusset': 'machine E {\n}\n',
  });
  expect(one).toMatch(/^\/\/ In one file: b.gusset and a.gusset\.\n/);
  expect(one).toContain('hall Larch');
  // The name of a file that is used is no name of what it has.
  expect(one).not.toMatch(/hall b|hall gusset|empty/);
});

test('files that use each other in a ring are put together once each', () => {
  const one = packed({
    'a.gusset': 'use "./b.gusset"\nhall H {\n}\n',
    'b.gusset': 'use "./a.gusset"\nkind hall {\n  toplevel\n}\n',
  });
  expect(one.match(/kind hall/g)).toHaveLength(1);
  expect(one.match(/hall H/g)).toHaveLength(1);
});

test('documentation comes along line by line, an empty one as well', () => {
  const one = packed({
    'a.gusset': 'use "./b.gusset"\nhall H {\n}\n',
    'b.gusset': '/// A hall.\n///\n/// It is wide.\nkind hall {\n  toplevel\n}\n',
  });
  expect(one).toContain('/// A hall.\n///\n/// It is wide.\nkind hall {');
});

test('one that uses none stays as it is', () => {
  const text = 'kind hall {\n  toplevel\n}\n';
  expect(packed({ 'a.gusset': text })).toBe(text);
});

test('the version of the language is said once, above all else: the latest that a file is written in', () => {
  const one = packed({
    'a.gusset': 'gusset 1\nuse "./b.gusset"\n\nhall H {\n}\n',
    'b.gusset': `gusset 2\n\n${kinds.replace(' default reach', '?')}`,
  });
  expect(one).toMatch(/^gusset 2\n\n\/\/ In one file: b.gusset and a.gusset.\n/);
  expect(one.match(/^gusset /gm)).toHaveLength(1);
  expect(mistakesIn(one)).toEqual([expect.stringContaining('written in version 2')]);
});

test('a file that is not there, and two things of one name, cannot be put together', () => {
  expect(() => packed({ 'a.gusset': 'use "./b.gusset"\n' })).toThrow(PackingError);
  expect(() => packed({ 'a.gusset': 'use "./b.gusset"\n' })).toThrow('"./b.gusset" leads to no file that can be read');
  const clash = {
    'a.gusset': 'use "./b.gusset"\nuse "./c.gusset"\npart p is lamp {\n}\npart q is torch {\n}\n',
    'b.gusset': 'use "./d.gusset"\nkind lamp is item {\n}\n',
    'c.gusset': 'kind item {\n}\nkind torch is item {\n}\n',
    'd.gusset': 'kind item {\n}\n',
  };
  expect(() => packed(clash)).toThrow('each have a item of their own; give one of them another name');
});

test('a kind and a part may have one name, and what one file has twice is for that file to mend', () => {
  const one = packed({
    'a.gusset': 'use "./b.gusset"\nuse "./c.gusset"\nhall H {\n}\n',
    'b.gusset': 'kind hall {\n  toplevel\n}\nkind lamp {\n}\n',
    'c.gusset': 'kind torch {\n}\npart lamp is torch {\n}\npart lamp is torch {\n}\n',
  });
  expect(one).toContain('kind lamp');
  expect(one).toContain('part lamp is torch');
});
