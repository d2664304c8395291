import type { Quantity, Text } from '../grammar/generated/ast.ts';
import { interpolations } from '../grammar/texts.ts';
import { contextWithin } from '../types/situation.ts';
import { isUnit, type UnitSystem } from '../units/units.ts';
import * as op from '../values/operators.ts';
import { refuseSpans } from '../values/span.ts';
import { Fault, Money, missingOf, type Value } from '../values/value.ts';
import type { Code, EvaluateExpression } from './frame.ts';
import { renderText } from './render.ts';

/** A number in its unit; `sign` is -1 where a minus stands before it, so that `-5 degC` is a point of temperature. */
export function quantity(node: Quantity, sign: number): Code {
  const number = sign * Number(node.number);
  const { unit } = node;
  if (!unit) {
    const value = op.finite(number, node);
    return () => value;
  }
  let known: { readonly system: UnitSystem; readonly value: Value } | undefined;
  return ({ scope: { system } }) => {
    if (known?.system !== system) known = { system, value: inUnit(number, unit, system, node) };
    return known.value;
  };
}

function inUnit(number: number, unit: string, system: UnitSystem, node: Quantity): Value {
  const found = system.unit(unit);
  if (!isUnit(found)) return new Fault(`${unit} is not a unit`, node);
  if (found.currency) return new Money(number * found.factor, found.currency);
  return op.finite(number * found.factor + (found.zero ?? 0), node);
}

/** A text with the values in its braces: it is known where all of them are. */
export function text(node: Text, evaluate: EvaluateExpression): Code {
  const parts = interpolations(node);
  if (parts.every((part) => typeof part === 'string')) {
    const plain = parts.join('');
    return () => plain;
  }
  return (frame) => {
    const values = parts.map((part) => (typeof part === 'string' ? part : evaluate(part, frame)));
    refuseSpans(...values);
    const missing = missingOf(...values);
    return missing ?? renderText(node, frame, contextWithin(node, frame.self, frame.scope, frame.mode), evaluate);
  };
}
