import type { Expression } from '../grammar/generated/ast.ts';
import * as op from '../values/operators.ts';
import { Unknown, type Value, type ValueList } from '../values/value.ts';
import { call } from './evaluate-calls.ts';
import { quantity, text } from './evaluate-literals.ts';
import { reference } from './evaluate-names.ts';
import { access, binary, conditional, indexed } from './evaluate-operators.ts';
import type { Code, Evaluation, Frame } from './frame.ts';

const compiled = new WeakMap<Expression, Code>();

/** The value of an expression. Never throws: what cannot be computed is a `Fault`, what is not given an `Unknown`. */
export function evaluate(node: Expression | undefined, frame: Frame): Value {
  return node && frame.scope.isSpoiled(node) ? new Unknown([]) : codeOf(node)(frame);
}

const nothing: Code = () => new Unknown([]);

function codeOf(node: Expression | undefined): Code {
  if (!node) return nothing;
  let code = compiled.get(node);
  if (!code) {
    code = compile(node);
    compiled.set(node, code);
  }
  return code;
}

const evaluation: Evaluation = { codeOf, evaluate };

/** Makes an expression ready: what can be decided from its text alone is decided once. */
function compile(node: Expression): Code {
  switch (node.$type) {
    case 'Quantity':
      return quantity(node, 1);
    case 'Text':
      return text(node, evaluate);
    case 'DateValue':
      return () => node.date;
    case 'Truth':
      return () => node.value === 'yes';
    case 'Open':
      return () => new Unknown([]);
    case 'Group':
      return codeOf(node.inner);
    case 'List': {
      const elements = node.elements.map((e) => codeOf(e.value));
      return (frame) => elements.map((element) => element(frame)) as ValueList;
    }
    case 'Reference':
      return reference(node, evaluate);
    case 'Access': {
      const [object, name] = [codeOf(node.object), node.member?.text ?? ''];
      return (frame) => access(object(frame), name, frame, node);
    }
    case 'Index': {
      const [object, index] = [codeOf(node.object), codeOf(node.index)];
      return (frame) => indexed(object(frame), index(frame), node);
    }
    case 'Unary': {
      if (node.operator === '-' && node.operand?.$type === 'Quantity') return quantity(node.operand, -1);
      const operand = codeOf(node.operand);
      return node.operator === 'not' ? (f) => op.not(operand(f)) : (f) => op.negate(operand(f));
    }
    case 'Conditional':
      return conditional(codeOf(node.condition), codeOf(node.then), codeOf(node.else));
    case 'Binary':
      return binary(node, codeOf);
    case 'Call':
      return call(node, evaluation);
    default:
      return nothing;
  }
}
