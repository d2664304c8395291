import { expect, test } from 'vitest';
import { parse } from '../../language/grammar/parser.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { numerics } from '../../language/numerics/index.ts';

test('every numeric that the library declares is there under its name, with as many arguments, and no other', () => {
  const declared = libraryFiles.flatMap(({ text }) =>
    parse(text).file.items.flatMap((item) =>
      item.$type === 'Declaration' && item.what === 'numeric' ? [[item.name.text, item.parameters.length]] : [],
    ),
  );
  const made = Object.entries(numerics).map(([name, { length }]) => [name, length]);
  expect(declared.length).toBeGreaterThan(15);
  expect(made.toSorted()).toEqual(declared.toSorted());
});
