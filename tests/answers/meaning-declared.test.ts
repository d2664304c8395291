import { expect, test } from 'vitest';
import { dimensionOrUnit } from '../../language/answers/meaning-declared.ts';
import { meaningsAt } from '../../language/answers/meanings-at.ts';
import { read } from '../support.ts';
import { lines, meanings } from './meaning-of.ts';

test.each([
  ['kind |drum', ['kind']],
  ['is |component', ['kind']],
  ['100 |mm', ['unit']],
  ['is |small_drum', ['part']],
  ['accept |drum_wide', ['rule']],
])('what %s means', (piece, expected) => {
  expect(meanings(piece)).toEqual(expected);
});

test('a kind and a rule are found', () => {
  expect(lines('kind |drum')).toHaveLength(6);
  expect(lines('rule |drum_wide')).toEqual(['rule drum_wide on drum {', 'accept drum_wide because "so"']);
});

test('each declaration is of its sort, in its head and where it is named', () => {
  const text =
    'kind crate {\n  toplevel\n  w: Length\n}\npart small is crate {\n}\nfunction twice(of: Length): Length = 2 * of\nunit rod_of_tests: Length = 5 m\nrule wide on crate {\n  holds w < deep\n  error "x"\n}\nconstant deep: Length = 1 m\ncrate C is small {\n}\n';
  const { file } = read(text);
  const sorts = (piece: string) =>
    meaningsAt(file, text.indexOf(piece.replace('|', '')) + piece.indexOf('|')).map(({ sort, kind }) => [
      sort,
      kind?.name,
    ]);
  expect(sorts('kind |crate')).toEqual([['kind', 'crate']]);
  expect(sorts('part |small')).toEqual([['part', 'crate']]);
  expect(sorts('small is |crate')).toEqual([['kind', 'crate']]);
  expect(sorts('function |twice')).toEqual([['declaration', undefined]]);
  expect(sorts('unit |rod_of_tests')).toEqual([['unit', undefined]]);
  expect(sorts('rule |wide')).toEqual([['rule', undefined]]);
  expect(sorts('wide on |crate')).toEqual([['kind', 'crate']]);
  expect(sorts('w < |deep')).toEqual([['declaration', undefined]]);
  expect(sorts('C is |small')).toEqual([['part', 'crate']]);
});

test('among the units of the library a name is a dimension or a unit; elsewhere neither is looked for', () => {
  const { project, file } = read('');
  const sort = (name: string) => dimensionOrUnit(name, project.library.scope)?.sort;
  expect([sort('Length'), sort('mm'), sort('nothing')]).toEqual(['declaration', 'unit', undefined]);
  expect(dimensionOrUnit('Length', file.scope)).toBeUndefined();
});
