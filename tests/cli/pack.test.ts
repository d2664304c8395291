// One file instead of several: what is said of its machines stays the same, and where it would not, nothing is printed.
import { afterAll, expect, test } from 'vitest';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const kinds = `/// A thing that is carried.
kind parcel {
  toplevel
  /// What it weighs.
  weight: Mass
  /// What it may weigh.
  limit: Mass default 5 kg {
    source practice "as handles go"
  }
}

/// It can be carried.
rule too_heavy on parcel {
  holds weight <= limit
  error "{name} weighs {weight}"
  source defined "weight and limit"
}
`;

const files = {
  'kinds.gusset': kinds,
  'stock.gusset': `use "./kinds.gusset"
/// The heavy one.
part crate is parcel {
  weight = 8 kg
}
`,
  'box.gusset': `use "./stock.gusset"
use "./kinds.gusset"
// What stands in the yard.
parcel box is crate
parcel chest is crate {
  limit = lid_limit // a better handle
}
constant lid_limit: Mass = 20 kg {
  source practice "a better handle"
}
`,
};

const withoutPlace = (out: string) => {
  const { machines, findings } = JSON.parse(out);
  const bare = ({ file, line, column, endLine, endColumn, ...rest }: Record<string, unknown>) => rest;
  return { machines: machines.map(bare), findings: findings.map(bare) };
};

test('it stands alone, and what is said of it is the same', async () => {
  folder.write(files);
  const { status, out, err } = await folder.run('pack', 'box.gusset');
  expect([status, err]).toEqual([0, '']);
  expect(out).not.toContain('use ');
  for (const kept of [
    '// What stands in the yard.',
    '/// The heavy one.',
    '// a better handle',
    '// From kinds.gusset.',
  ])
    expect(out).toContain(kept);
  folder.write({ 'alone/all.gusset': out });
  const check = async (path: string) => withoutPlace((await folder.run('check', '--format', 'json', path)).out);
  const before = await check('box.gusset');
  expect(before.findings).toMatchObject([{ code: 'too_heavy', message: 'box weighs 8 kg' }]);
  expect(await check('alone/all.gusset')).toEqual(before);
  expect((await folder.run('pack', 'alone/all.gusset')).out).toBe(out);
  expect((await folder.run('format', '--check', 'alone/all.gusset')).status).toBe(0);
});

const weighed = {
  ...files,
  'weights.gusset': `use "./kinds.gusset"

/// What the heavy one weighs.
constant heavy: Mass = 8 kg {
  source practice "on a scale"
}

/// Nobody asks for it.
constant spare: Mass = 1 kg {
  source practice "none"
}

/// Seen from here alone.
rule never_light on parcel {
  holds weight >= 100 kg
  error "{name} is light"
  source defined "weight"
}
`,
  'stock.gusset': `use "./kinds.gusset"
use "./weights.gusset"

part crate is parcel {
  weight = heavy
}
`,
  'yard.gusset': 'use "./stock.gusset"\nuse "./kinds.gusset"\n\nparcel box is crate\n',
};

test('what is used by what is used comes along only where it is needed: its rules were not heard before', async () => {
  folder.write(weighed);
  const { status, out, err } = await folder.run('pack', 'yard.gusset');
  expect([status, err]).toEqual([0, '']);
  expect(out).toContain('constant heavy');
  expect(out).not.toMatch(/spare|never_light/);
});

test('two things of one name in files that do not see each other are told, and nothing is printed', async () => {
  const constant = (mass: string) => `constant lid_limit: Mass = ${mass} {\n  source practice "none"\n}\n`;
  folder.write({
    ...files,
    'stock.gusset': 'use "./lids.gusset"\nuse "./kinds.gusset"\npart crate is parcel {\n  weight = lid_limit\n}\n',
    'lids.gusset': constant('3 kg'),
  });
  const { status, out, err } = await folder.run('pack', 'box.gusset');
  expect([status, out]).toEqual([2, '']);
  expect(err).toBe(
    'gusset: It cannot be packed: lids.gusset and box.gusset each have a lid_limit of their own; give one of them another name.\n',
  );
});

test('where something else would be said, it is named, and nothing is printed', async () => {
  // A rule comes along because a comment names it: in one file it would be asked.
  const stock = weighed['stock.gusset'].replace('heavy', 'heavy // not never_light');
  folder.write({ ...weighed, 'stock.gusset': stock });
  const { status, out, err } = await folder.run('pack', 'yard.gusset');
  expect([status, out]).toEqual([2, '']);
  expect(err).toBe(
    'gusset: yard.gusset cannot be packed: in one file something else would be said of it: box: error never_light: box is light\n',
  );
});

test('a file that is not there is told', async () => {
  folder.write({ 'lonely.gusset': 'use "./nowhere.gusset"\n' });
  const { status, err } = await folder.run('pack', 'lonely.gusset');
  expect([status, err]).toEqual([
    2,
    'gusset: It cannot be packed: use "./nowhere.gusset" leads to no file that can be read.\n',
  ]);
});

test('files that use each other in a ring are told', async () => {
  folder.write({
    'a.gusset': `use "./b.gusset"\n${kinds}\nparcel box is crate\n`,
    'b.gusset': 'use "./a.gusset"\npart crate is parcel {\n  weight = 1 kg\n}\n',
  });
  const { status, out, err } = await folder.run('pack', 'a.gusset');
  expect([status, out]).toEqual([2, '']);
  expect(err).toContain('These files use each other in a ring: a.gusset → b.gusset → a.gusset.');
});
