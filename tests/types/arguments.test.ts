import { expect, test } from 'vitest';
import type { Name } from '../../language/grammar/generated/ast.ts';
import { matchArguments } from '../../language/types/arguments.ts';

const parameters = ['speed', 'factor', 'by'].map((name) => ({ name }));
/** Arguments by their names, `-` for one without; told by the names of the parameters that they go to. */
function matched(...names: string[]) {
  const args = names.map((name) => ({ name: name === '-' ? undefined : ({ text: name } as Name) }));
  const { parameters: to, arguments: from, repeated } = matchArguments(args, parameters);
  return { to: to.map((parameter) => parameter?.name), from, repeated };
}

test('arguments without a name go by their place', () => {
  expect(matched('-', '-')).toEqual({ to: ['speed', 'factor'], from: [0, 1, undefined], repeated: [] });
});

test('those with one by it, in whatever order', () => {
  expect(matched('by', 'speed', 'factor')).toEqual({
    to: ['by', 'speed', 'factor'],
    from: [1, 2, 0],
    repeated: [],
  });
  // One without a name goes by its place in the call, named ones before it counted.
  expect(matched('by', '-')).toEqual({ to: ['by', 'factor'], from: [undefined, 1, 0], repeated: [] });
});

test('what is for none goes to none', () => {
  expect(matched('sped', '-', '-', '-').to).toEqual([undefined, 'factor', 'by', undefined]);
});

test('a parameter that is given twice keeps its first', () => {
  expect(matched('-', 'speed', 'speed')).toEqual({
    to: ['speed', 'speed', 'speed'],
    from: [0, undefined, undefined],
    repeated: [1, 2],
  });
});
