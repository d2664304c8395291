// The sheets of machines, as they are handed over on the command line.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { Folder } from './support.ts';

const folder = new Folder();
afterAll(() => folder.remove());

const text = `kind shed {
  toplevel
  /// What it costs.
  cost: Price
  report "Costs", cost
  headline cost
}
shed Larch {
  cost = 3 EUR
}
shed Beech is Larch {
  cost = 4 EUR
}
`;

const report = (...args: string[]) => {
  folder.write({ 'sheds.gusset': text, 'none.gusset': 'kind shed {\n  toplevel\n}\n' });
  return folder.run('report', ...args);
};

test('one sheet is printed; values and places are those of the text', async () => {
  const { status, out } = await report('sheds.gusset', 'Larch', '--format', 'json');
  expect(status).toBe(0);
  expect(JSON.parse(out)).toEqual({
    machine: 'Larch',
    about: '',
    sections: ['At a glance', 'Costs'].map((heading) => ({
      heading,
      parts: [
        {
          is: 'rows',
          rows: [
            {
              label: 'cost',
              shown: '3 EUR',
              about: 'What it costs.',
              place: { file: 'sheds.gusset', line: 9, column: 10 },
            },
          ],
        },
      ],
    })),
  });
});

test('each format is written into a folder that is made for it, for each machine', async () => {
  for (const [format, names] of [
    ['html', ['Beech.html', 'Larch.html']],
    ['markdown', ['Beech.md', 'Larch.md']],
    ['json', ['Beech.json', 'Larch.json']],
    ['csv', ['Beech-At-a-glance.csv', 'Beech-Costs.csv', 'Larch-At-a-glance.csv', 'Larch-Costs.csv']],
  ] as const) {
    const { status, out } = await report('sheds.gusset', '--format', format, '--out', `out/${format}`);
    expect(status).toBe(0);
    expect(readdirSync(join(folder.path, 'out', format)).toSorted()).toEqual(names);
    expect(out.trim().split('\n').toSorted()).toEqual(names.map((name) => `out/${format}/${name}`));
  }
  expect(readFileSync(join(folder.path, 'out/csv/Beech-Costs.csv'), 'utf8')).toBe('what,value\r\ncost,4 EUR\r\n');
  expect(readFileSync(join(folder.path, 'out/markdown/Larch.md'), 'utf8')).toContain('| cost | 3 EUR |');
  expect(readFileSync(join(folder.path, 'out/html/Larch.html'), 'utf8')).toMatch(/^<!doctype html>/);
});

test('a wrong call says what there is', async () => {
  const errors = await Promise.all([
    report('sheds.gusset', 'Elm'),
    report('none.gusset'),
    report('sheds.gusset'),
    report('sheds.gusset', 'Larch', '--out', 'sheds.gusset'),
    report('sheds.gusset', 'Larch', '--format', 'dxf'),
  ]);
  expect(errors.map(({ status }) => status)).toEqual([2, 2, 2, 2, 2]);
  expect(errors.map(({ err }) => err)).toEqual([
    'gusset: sheds.gusset has no machine called Elm. It has Larch and Beech.\n',
    'gusset: none.gusset has no machine in it.\n',
    'gusset: These are 2 files: Larch.html and Beech.html. Name a folder for them with --out.\n',
    expect.stringContaining('gusset: sheds.gusset cannot be written: '),
    'gusset: Nothing is drawn of it: no place and no sides are said of any part.\n',
  ]);
});

test('what cannot be moved on a page is a mistake in the call', async () => {
  const [none, wrong, other, page] = await Promise.all([
    report('sheds.gusset', '--move', 'width = 1 m .. 2 m'),
    report('sheds.gusset', 'Larch', '--move', 'wind = 1 m .. 2 m'),
    report('sheds.gusset', 'Larch', '--format', 'csv', '--move', 'width = 1 m .. 2 m'),
    report('sheds.gusset', 'Larch', '--move', 'cost = [3 EUR, 5 EUR]'),
  ]);
  expect(none.err).toBe('gusset: On which machine are inputs to be moved? Name it.\n');
  expect(wrong.err).toMatch(/^gusset: It cannot be gone through: Larch has no value wind\.\n/);
  expect(other.err).toBe('gusset: Only a page has inputs that can be moved: leave --format away.\n');
  expect(page.status).toBe(0);
  expect(page.out).toContain('<script id="machine-text" type="application/json">');
});
