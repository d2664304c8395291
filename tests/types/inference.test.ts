import { expect, test } from 'vitest';
import type { Declaration, Expression } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { anyType, type Type, textType, truthType } from '../../language/names/type.ts';
import type { Context } from '../../language/types/context.ts';
import { Inference } from '../../language/types/inference.ts';
import type { NodeMistake } from '../../language/types/tell.ts';
import { library, quantity as of } from '../support.ts';

const { scope } = library;
const node = (text: string): Expression =>
  (parse(`constant c: Length = ${text}\n`).file.items[0] as Declaration).value as Expression;

/** Types of expressions by their text, as if they had been inferred; each inference is heard. */
function asked(types: Record<string, Type>) {
  const heard: (Type | undefined)[] = [];
  const problems: NodeMistake[] = [];
  const ctx = {
    scope,
    mode: 'kind',
    kind: undefined,
    report: (problem: NodeMistake) => problems.push(problem),
  } as Context;
  const inference = new Inference((of_, within, expected) => {
    heard.push(expected);
    const name = of_?.$type === 'Reference' ? of_.name.text : '';
    if (name === 'wrong')
      within.report({ code: 'odd', severity: 'error', message: 'odd', node: of_ as never, fixes: [] });
    return types[name] ?? anyType;
  });
  return { inference, ctx, heard, told: () => problems.map(({ code, message }) => `${code}: ${message}`) };
}

test('what does not fit what is expected is told, and spoils', () => {
  const { inference, ctx, heard, told } = asked({ a: of('Length'), b: of('Power') });
  expect(inference.expect(node('a'), ctx, of('Length'))).toEqual(of('Length'));
  expect(inference.expect(undefined, ctx, of('Length'))).toEqual(of('Length'));
  expect(told()).toEqual([]);
  expect(inference.expect(node('b'), ctx, of('Length'))).toEqual(anyType);
  expect(told()).toEqual(['wrong_dimension: Expected a length, this is a power.']);
  expect(heard).toEqual([of('Length'), of('Length')]);
});

test('a type can be asked for without a word', () => {
  const { inference, ctx, told } = asked({ wrong: of('Length') });
  expect(inference.typeIn(node('wrong'), ctx, truthType)).toEqual(of('Length'));
  expect(told()).toEqual([]);
  inference.infer(node('wrong'), ctx);
  expect(told()).toHaveLength(1);
});

test('what stands beside each other has a type in common, or is told', () => {
  const { inference, ctx, heard, told } = asked({ a: of('Length'), b: of('Power'), t: textType, none: anyType });
  const joined = (first: Type, other: string | undefined, expected?: Type) =>
    inference.joined('The sides', first, other === undefined ? undefined : node(other), ctx, expected);
  expect(joined(of('Length'), 'a')).toEqual(of('Length'));
  expect(joined(of('Length'), 'none')).toEqual(of('Length'));
  expect(joined(anyType, 'a')).toEqual(of('Length'));
  expect(joined(of('Length'), undefined)).toEqual(of('Length'));
  expect(told()).toEqual([]);
  expect(joined(of('Length'), 'b')).toEqual(anyType);
  expect(joined(of('Length'), 't')).toEqual(anyType);
  expect(joined(textType, 'a')).toEqual(anyType);
  expect(told()).toEqual([
    'wrong_dimension: Expected a length, this is a power.',
    'unlike: The sides must be alike: this is a text in quotes, what stands before is a length.',
    'unlike: The sides must be alike: this is a length, what stands before is a text in quotes.',
  ]);
  // What stands before tells what is expected, but for quantities: their names may differ.
  heard.length = 0;
  joined(textType, 't');
  joined(of('Length'), 'a');
  joined(textType, 't', truthType);
  expect(heard).toEqual([textType, undefined, truthType]);
});
