import { expect, test } from 'vitest';
import { check, format } from '../../server/api.ts';

const kinds = 'kind hall {\n  toplevel\n  width: Length\n  half: Length = width / 2\n}\n';

test('texts are checked by their paths, and find each other by these', () => {
  const files = {
    'a.gusset': 'use "./deep/b.gusset"\nhall H {\n  width = 1 m\n  require width < 0.5 m\n}\n',
    'deep/b.gusset': `${kinds}hall Other {\n  width = 3 W\n}\n`,
  };
  const report = check(files);
  expect(report.machines.map(({ name, file }) => [name, file])).toEqual([
    ['H', 'a.gusset'],
    ['Other', 'deep/b.gusset'],
  ]);
  expect(report.findings.map(({ code, file }) => [code, file])).toEqual(
    expect.arrayContaining([
      ['requirement', 'a.gusset'],
      ['wrong_dimension', 'deep/b.gusset'],
    ]),
  );
  expect(check(files, { only: ['a.gusset'] }).machines.map(({ name }) => name)).toEqual(['H']);
  expect(() => check(files, { only: ['c.gusset'] })).toThrow(
    'There is no text for c.gusset among the files that are given.',
  );
});

test('all values where they are wanted', () => {
  const files = { './a.gusset': `${kinds}hall H {\n  width = 1 m\n}\n` };
  expect(Object.keys(check(files, { values: true }).machines[0]?.values ?? {})).not.toEqual([]);
  expect(check(files).machines[0]?.values).toBeUndefined();
});

test('a text is laid out; one whose brackets do not match stays', () => {
  expect(format('kind hall {\n toplevel\n}\n')).toBe('kind hall {\n  toplevel\n}\n');
  expect(format('kind hall {\n toplevel\n')).toBe('kind hall {\n toplevel\n');
});
