import { expect, test } from 'vitest';
import { memberDoc, typeWithUnits } from '../../language/answers/docs.ts';
import { library, quantity as of, read } from '../support.ts';

test('a subkind that declares a value anew need not document it again', () => {
  const { scope } = read(
    'kind a {\n  /// How wide.\n  width: Length\n  depth: Length\n}\nkind b is a {\n  width: Length default 1 m\n}\nkind c is b {\n  /// Wider.\n  width: Length\n  depth: Length\n}\n',
  ).file;
  const doc = (kind: string, value: string) => memberDoc(scope.kindNamed(kind)?.members.get(value) as never);
  expect([doc('a', 'width'), doc('b', 'width'), doc('c', 'width'), doc('c', 'depth')]).toEqual([
    'How wide.',
    'How wide.',
    'Wider.',
    '',
  ]);
});

test('a type with the units that it is given in, three at most', () => {
  const { scope } = library;
  expect(typeWithUnits(of('Length'), scope)).toBe('a length, in mm or m');
  expect(typeWithUnits(of('Length'), scope, ['um'])).toBe('a length, in um');
  expect(typeWithUnits(of('Length'), scope, ['um', 'mm', 'cm', 'm'])).toBe('a length, in um or mm or cm');
  expect(typeWithUnits(of('Count'), scope)).toBe('a count');
  expect(typeWithUnits({ is: 'truth' }, scope)).toBe('yes or no');
  expect(typeWithUnits({ is: 'sides', of: of('Length') as never, count: 2 }, scope)).toBe(
    'a size of 2 sides, in mm or m',
  );
});
