import type { Binary, Expression } from '../grammar/generated/ast.ts';
import { Instance } from '../machine/tree.ts';
import * as op from '../values/operators.ts';
import { refuseSpans } from '../values/span.ts';
import { Fault, isMissing, Money, missingOf, Sides, Unknown, type Value } from '../values/value.ts';
import { builtinMember, own } from './evaluate-names.ts';
import type { Code, Evaluation, Frame } from './frame.ts';

/** `if C then A else B`: only the branch that is taken is computed. */
export function conditional(condition: Code, then: Code, otherwise: Code): Code {
  return (frame) => {
    const value = condition(frame);
    if (typeof value !== 'boolean') return isMissing(value) ? value : new Unknown([]);
    return (value ? then : otherwise)(frame);
  };
}

/** Two sides with an operator between them. */
export function binary(node: Binary, codeOf: Evaluation['codeOf']): Code {
  const { operator } = node;
  const [left, right] = [codeOf(node.left), codeOf(node.right)];
  switch (operator) {
    case 'and':
    case 'or':
      return (f) =>
        op.junction(
          operator,
          () => left(f),
          () => right(f),
        );
    case 'otherwise':
      return (f) => {
        const value = left(f);
        return value instanceof Unknown && value.absent ? right(f) : value;
      };
    case 'is':
      return (f) => {
        const value = left(f);
        const kind = node.right?.$type === 'Reference' ? f.scope.kindNamed(node.right.name.text) : undefined;
        return value instanceof Instance ? value.kind.isA(kind) : isMissing(value) ? value : false;
      };
    case 'x':
      return (f) => op.sides(left(f), right(f));
    case '..':
      return (f) => op.range(left(f), right(f), node);
    default: {
      const ofNumbers = op.ofNumbers[operator];
      return (f) => {
        const a = left(f);
        const b = right(f);
        return typeof a === 'number' && typeof b === 'number' && ofNumbers
          ? ofNumbers(a, b, node)
          : op.binary(operator, a, b, f, node);
      };
    }
  }
}

/** What stands behind a dot: what a block has, a side of a size, the currency of a price. */
export function access(object: Value, name: string, frame: Frame, node: Expression): Value {
  if (object instanceof Instance) return own(object, name, frame) ?? builtinMember(object, name) ?? new Unknown([]);
  if (object instanceof Sides) {
    const side = object.sides[['width', 'depth', 'height'].indexOf(name)];
    return side ?? new Fault(`this size has no ${name}`, node);
  }
  if (object instanceof Money && name === 'currency') return object.code;
  return isMissing(object) ? object : new Unknown([]);
}

/** `LIST[2]`, counted from 1; a fault where there is no such element. */
export function indexed(list: Value, index: Value, node: Expression): Value {
  refuseSpans(index);
  if (!Array.isArray(list) || typeof index !== 'number') return missingOf(list, index) ?? new Unknown([]);
  return list[index - 1] ?? new Fault(`the list has ${list.length} elements; there is no number ${index}`, node);
}
