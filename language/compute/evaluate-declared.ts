import type { Declaration, Entry } from '../grammar/generated/ast.ts';
import { buildPart, buildTree, type Instance } from '../machine/tree.ts';
import type { Declared, Scope } from '../names/scope.ts';
import { numerics, numericsOverRanges } from '../numerics/index.ts';
import * as op from '../values/operators.ts';
import { refuseSpans } from '../values/span.ts';
import { Fault, Formula, missingOf, Unknown, type Value } from '../values/value.ts';
import type { Engine } from './cell.ts';
import { stepped } from './evaluate-steps.ts';
import { type EvaluateExpression, type Frame, Locals, ofDeclared } from './frame.ts';
import { lookUpInTable } from './table.ts';

/** The one instance that stands for a part, or for another block that stands alone in its file, in a machine's evaluation. */
export function blockStandingFor(node: Declaration | Entry, scope: Scope, engine: Engine): Instance | undefined {
  if (!engine.standing.has(node))
    engine.standing.set(node, node.$type === 'Entry' ? buildTree(node, scope) : buildPart(node, scope));
  return engine.standing.get(node);
}

/** The value of what a file declares: a part or a machine as a block, a constant, and what is called as a formula. */
export function declared(node: Declared, scope: Scope, frame: Frame, evaluate: EvaluateExpression): Value {
  const { engine, self } = frame;
  if (node.$type === 'Entry')
    return node === self.root.node ? self.root : (blockStandingFor(node, scope, engine) ?? new Unknown([]));
  switch (node.what) {
    case 'part':
      return blockStandingFor(node, scope, engine) ?? new Unknown([]);
    case 'constant':
      return constant(node, ofDeclared(frame, scope), evaluate);
    case 'function':
    case 'table':
    case 'numeric':
      return new Formula(
        node.name.text,
        (...args) => invoke(node, scope, args, { engine, self }, evaluate),
        parametersOf(node),
      );
    default:
      return new Unknown([]);
  }
}

function constant(node: Declaration, frame: Frame, evaluate: EvaluateExpression): Value {
  return frame.scope.once(node, () =>
    frame.engine.calling(node, () => evaluate(node.value, stepped(node.value, frame, evaluate))),
  );
}

/** Standard sizes, in the order they are declared in. */
export function sizeValues(node: Declaration, frame: Frame, evaluate: EvaluateExpression): readonly Value[] {
  return frame.scope.once(node, () => {
    const value = frame.engine.aside(() => evaluate(node.value, ofDeclared(frame, frame.scope)));
    return Array.isArray(value) ? value : [];
  });
}

const parameters = new WeakMap<Declaration, readonly string[]>();

/** The names of a declaration's parameters, in their order. */
export function parametersOf(node: Declaration): readonly string[] {
  let names = parameters.get(node);
  if (!names) {
    names = node.parameters.map((p) => p.name?.text ?? '');
    parameters.set(node, names);
  }
  return names;
}

/** Calls a function, a table or a numeric with its arguments in the order of its parameters. */
export function invoke(
  node: Declaration,
  scope: Scope,
  args: Value[],
  { engine, self }: Pick<Frame, 'engine' | 'self'>,
  evaluate: EvaluateExpression,
): Value {
  if (node.what === 'function') {
    const locals = new Locals(parametersOf(node), args);
    const frame = stepped(node.value, { engine, self, scope, mode: 'kind', locals }, evaluate);
    return engine.calling(node, () => evaluate(node.value, frame));
  }
  const missing = missingOf(...args);
  if (missing) return missing;
  const isEverywhere = engine.scenario === engine.everywhere;
  const overRanges = isEverywhere && node.what === 'numeric' ? numericsOverRanges[node.name.text] : undefined;
  if (overRanges) return overRanges(...args);
  refuseSpans(...args);
  if (node.what === 'table') return lookUpInTable(node, args, { engine, self, scope, mode: 'kind' }, evaluate);
  const numeric = numerics[node.name.text];
  if (!numeric) return new Fault(`the numeric ${node.name.text} has no implementation`, node);
  const value = numeric(...(isEverywhere ? args.map(plainly) : args));
  return typeof value === 'number' ? op.finite(value, node) : value;
}

/** A formula as a numeric may call it: what it gives are no bounds. */
function plainly(arg: Value): Value {
  if (!(arg instanceof Formula)) return arg;
  const call = (...args: Value[]) => {
    const value = arg.call(...args);
    refuseSpans(value);
    return value;
  };
  return new Formula(arg.name, call, arg.parameters);
}
