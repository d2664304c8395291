import { expect, test } from 'vitest';
import type { Declaration, Expression } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import type { Context } from '../../language/types/context.ts';
import { literal, quantityText } from '../../language/types/literal.ts';
import { library } from '../support.ts';

const expression = (text: string): Expression =>
  (parse(`constant c: Length = ${text}\n`).file.items[0] as Declaration).value as Expression;
const ctx: Context = { scope: library.scope, mode: 'kind', kind: undefined, report: () => {} };

test.each([
  ['3 mm', 0.003],
  ['-3 mm', -0.003],
  ['20 degC', 293.15],
  ['-20 degC', 253.15],
  ['5', 5],
  ['-5', -5],
  ['50 %', 0.5],
  ['3 furlong', undefined],
  ['1 mm + 2 mm', undefined],
  ['width', undefined],
  ['-(3 mm)', undefined],
])('%s stands for %s', (text, number) => {
  const found = literal(expression(text), ctx);
  if (number === undefined) expect(found).toBeUndefined();
  else expect(found).toBeCloseTo(number, 12);
});

test('nothing stands for nothing', () => expect(literal(undefined, ctx)).toBeUndefined());

test.each(['3 mm', '-3 mm', '5', '-5'])('%s as written', (text) => expect(quantityText(expression(text))).toBe(text));
