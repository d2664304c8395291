import { describe, expect, test } from 'vitest';
import type { Rewriting } from '../../language/answers/rewriting.ts';
import { valuesOf } from '../../language/compute/show-cell.ts';
import { withEdits } from '../../language/mistakes/mistake.ts';
import type { Project, SourceFile } from '../../language/project.ts';
import { rewritings, withAtEnd } from '../../language/rewriting.ts';
import { bench, read } from '../support.ts';

const uri = 'file:///a.gusset';

/** Every value of the machines of a file, by its path; of lists which they are, for what stands in another file comes in another order. */
function valuesIn(project: Project): Map<string, string> {
  const values = new Map<string, string>();
  for (const machine of project.machines(project.file(uri) as SourceFile))
    for (const { cell, value } of valuesOf(machine)) {
      // Sixteen digits of a number depend on the unit that it was read in.
      const plain = (each: unknown) =>
        typeof each === 'number'
          ? Math.abs(each) < 1e-9
            ? '0'
            : each.toPrecision(12)
          : ((each as { path?: string } | undefined)?.path ?? `${each}`);
      values.set(cell.path, Array.isArray(value) ? value.map(plain).sort().join() : plain(value));
    }
  return values;
}

/** What comes of a rewriting, of all files. */
function made({ edits, elsewhere }: Rewriting, files: Record<string, string>): Record<string, string> {
  const after = { ...files, 'a.gusset': withEdits(edits, files['a.gusset'] as string) };
  if (!elsewhere) return after;
  const name = elsewhere.uri.slice('file:///'.length);
  return { ...after, [name]: withAtEnd(files[name] as string, elsewhere.text) };
}

/** All that is offered anywhere in a text, with where: once each. */
function everywhere(files: Record<string, string>): Rewriting[] {
  const { project, file } = read(files);
  const offsets = [...(files['a.gusset'] as string).matchAll(/[\w.]+/g)].map(({ index }) => index);
  const found = offsets.flatMap((offset) => rewritings(file, offset, project));
  return found.filter((each, i) => found.findIndex((other) => JSON.stringify(other) === JSON.stringify(each)) === i);
}

const stock = `/// A mat of our own.
part our_mat is heater {
  // As printed on it.
  power = 200 W
  voltage = 24 V
  price = 30 EUR
}
`;
const files = {
  'a.gusset': `use "./stock.gusset"

/// A mat to move.
part strong_mat is our_mat {
  power = 250 W
}

${bench.replace('heater {\n      power = 250 W\n      voltage = 24 V\n    }', 'heater is strong_mat')}`,
  'stock.gusset': stock,
};

describe('whatever is offered anywhere in a machine', () => {
  const all = everywhere(files);

  test('is of every sort', () => {
    expect(new Set(all.map(({ sort }) => sort))).toEqual(new Set(['extract', 'inline', 'move', 'rewrite']));
    expect(all.length).toBeGreaterThan(30);
  });

  test('leaves each value, and what is found, as it was', () => {
    const { project } = read(files);
    const before = valuesIn(project);
    for (const each of all) {
      for (const [name, text] of Object.entries(made(each, files))) project.update(`file:///${name}`, text);
      const after = valuesIn(project);
      const other = [...before].flatMap(([path, value]) => (after.get(path) === value ? [] : [path]));
      expect([each.title, other]).toEqual([each.title, []]);
      expect(project.mistakes(project.file(uri) as SourceFile)).toEqual([]);
    }
  }, 60_000);
});

describe('a part that goes to the file that is used', () => {
  const moved = () => {
    const { project, file } = read(files);
    const [move] = rewritings(file, files['a.gusset'].indexOf('part strong'), project);
    return { title: move?.title, after: move && made(move, files) };
  };

  test('goes with what is said above it', () => {
    const { title, after } = moved();
    expect(title).toBe('Move strong_mat to stock.gusset');
    expect(after?.['a.gusset']).toMatch(/^use "\.\/stock\.gusset"\n\nmachine Bench/);
    expect(after?.['stock.gusset']).toBe(
      `${stock}\n/// A mat to move.\npart strong_mat is our_mat {\n  power = 250 W\n}\n`,
    );
  });

  test('is not tried where there is no time', () => {
    const { project, file } = read(files);
    expect(rewritings(file, files['a.gusset'].indexOf('part strong'), project, undefined, () => false)).toEqual([]);
  });

  test('stays where it rests on what only its own file has', () => {
    const own = {
      ...files,
      'a.gusset': files['a.gusset'].replace('250 W\n}', 'strength\n}\nconstant strength: Power = 250 W'),
    };
    const { project, file } = read(own);
    expect(project.mistakes(file)).toEqual([]);
    expect(rewritings(file, own['a.gusset'].indexOf('part strong'), project)).toEqual([]);
  });
});

describe('what was changed since a file was saved', () => {
  const saved = `${bench}\nmachine Other is Bench {\n}\n`;
  const changed = saved
    .replace('power = 250 W', 'power = 180 W')
    .replace('fuse is blade_15a', 'fuse is blade_10a')
    .replace('target = 100 degC', 'target = 90 degC\n    // As thick as it comes.\n    adhesive is double_sided_tape');
  const variant = (text: string, before: string) => {
    const { project, file } = read(text);
    const found = rewritings(file, text.indexOf('Bench'), project, before).filter(({ title }) => /variant/.test(title));
    return found.map((each) => ({ title: each.title, text: withEdits(each.edits, text) }));
  };

  test('is a variant of the machine as it was, with the values as they were changed', () => {
    const [{ title, text } = { title: '', text: '' }] = variant(changed.replace(/\n.*As thick.*\n.*tape/, ''), saved);
    expect(title).toBe('Make a variant of what was changed since the file was saved: Bench_changed');
    expect(text).toContain(`machine Bench_changed is Bench {
  bed {
    target = 90 degC
    heater {
      power = 180 W
    }
  }
  circuit bed_power {
    fuse is blade_10a
  }
}`);
    expect(text.startsWith(bench.trimEnd())).toBe(true);
    const { project } = read(text);
    const { project: edited } = read(changed.replace(/\n.*As thick.*\n.*tape/, ''));
    const [is, wanted] = [valuesIn(project), valuesIn(edited)];
    const inBench = [...wanted].filter(([path]) => path.startsWith('Bench.'));
    expect(inBench.length).toBeGreaterThan(100);
    const other = inBench.filter(([path, value]) => {
      const now = is.get(path.replace('Bench.', 'Bench_changed.'));
      return now?.replaceAll('Bench_changed', 'Bench') !== value;
    });
    expect(other).toEqual([]);
  });

  test('can take a block away, but not a value', () => {
    expect(variant(saved.replace(/ {2}ambient = .*\n/, ''), saved)).toEqual([]);
    expect(variant(saved, saved)).toEqual([]);
    const less = `${bench.replace('bed.cutoff, ', '')}`;
    const [{ text } = { text: '' }] = variant(less.replace(/ {4}cutoff is .*\n/, ''), less);
    expect(text).toContain('machine Bench_changed is Bench {\n  bed {\n    no cutoff\n  }\n}');
  });
});
