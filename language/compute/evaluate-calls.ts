import type { Argument, Call } from '../grammar/generated/ast.ts';
import { Instance } from '../machine/tree.ts';
import { matchArguments } from '../types/arguments.ts';
import type { Binding } from '../types/bind.ts';
import { Formula, isMissing, Unknown, type Value } from '../values/value.ts';
import { callCell } from './call-cell.ts';
import { type Cell, cellOf } from './cell.ts';
import { invoke, parametersOf } from './evaluate-declared.ts';
import { languageCall } from './evaluate-functions.ts';
import { bindingOf, holderOf, type MemberBinding } from './evaluate-names.ts';
import { type Code, type Evaluation, type Frame, valuesOf } from './frame.ts';

/** A call, by what its name leads to. */
export function call(node: Call, evaluation: Evaluation): Code {
  const { callee } = node;
  if (callee?.$type !== 'Reference') return memberCall(node, evaluation);
  const whatever = anyCall(node, evaluation);
  const bindingOfCallee = bindingOf(callee, true);
  // How a call is made is the same while its name means the same.
  let plan: { binding: Binding | undefined; code: Code } | undefined;
  return (frame) => {
    const binding = bindingOfCallee(frame);
    if (!plan || plan.binding !== binding) plan = { binding, code: planned(node, binding, evaluation) ?? whatever };
    return plan.code(frame);
  };
}

/** How what a name leads to is called; undefined where it is nothing with arguments of its own. */
function planned(node: Call, binding: Binding | undefined, evaluation: Evaluation): Code | undefined {
  if (binding?.is === 'function') return languageCall(node, binding.name, evaluation);
  if (binding?.is === 'member')
    return binding.member.parameters.length > 0 ? memberPlan(node, binding, evaluation) : undefined;
  if (binding?.is !== 'declared' || binding.node.$type !== 'Declaration') return undefined;
  const { node: declaration, scope } = binding;
  if (declaration.what !== 'function' && declaration.what !== 'table' && declaration.what !== 'numeric')
    return undefined;
  const args = inOrder(node.arguments, parametersOf(declaration), evaluation);
  return (frame) => {
    frame.engine.lookedUp(declaration.name.text, frame.scope, declaration);
    return invoke(declaration, scope, valuesOf(args, frame), frame, evaluation.evaluate);
  };
}

function memberPlan(node: Call, binding: MemberBinding, evaluation: Evaluation): Code {
  const { member } = binding;
  const args = inOrder(
    node.arguments,
    member.parameters.map((p) => p.name),
    evaluation,
  );
  return (frame) => {
    const holder = holderOf(binding, frame);
    return holder ? calledMember(holder, member.name, args, frame) : new Unknown([], true);
  };
}

/** A call of what a block has: `bed.loss(at: 60 degC)`. */
function memberCall(node: Call, evaluation: Evaluation): Code {
  const { callee } = node;
  if (callee?.$type !== 'Access') return anyCall(node, evaluation);
  const [object, name] = [evaluation.codeOf(callee.object), callee.member?.text ?? ''];
  return (frame) => {
    const holder = object(frame);
    if (isMissing(holder)) return holder;
    const member = holder instanceof Instance ? holder.member(name) : undefined;
    if (!(holder instanceof Instance) || !member?.parameters.length) return anyCall(node, evaluation)(frame);
    return calledMember(
      holder,
      name,
      inOrder(
        node.arguments,
        member.parameters.map((p) => p.name),
        evaluation,
      ),
      frame,
    );
  };
}

/** A call of whatever the callee turns out to be. */
function anyCall(node: Call, evaluation: Evaluation): Code {
  return (frame) => {
    const formula = evaluation.evaluate(node.callee, frame);
    if (!(formula instanceof Formula)) return isMissing(formula) ? formula : new Unknown([]);
    return formula.call(...inOrder(node.arguments, formula.parameters, evaluation).map((arg) => arg(frame)));
  };
}

/** A call's arguments in the order of the parameters; where their names are not known, in their own. */
function inOrder(args: readonly Argument[], names: readonly string[], { codeOf }: Evaluation): Code[] {
  if (names.length === 0) return args.map((argument) => codeOf(argument.value));
  const matched = matchArguments(
    args,
    names.map((name) => ({ name })),
  );
  return matched.arguments.map((index) => codeOf(index === undefined ? undefined : args[index]?.value));
}

/** A derived value with arguments, called. Inside a numeric, which calls with many values, results are not kept. */
function calledMember(holder: Instance, name: string, args: readonly Code[], frame: Frame): Value {
  const cell = cellOf(holder, name) as Cell;
  const values = valuesOf(args, frame);
  const kept = frame.locals?.hasNumber() ? undefined : callCell(cell, values);
  if (kept) return frame.engine.value(kept);
  const formula = frame.engine.value(cell);
  return formula instanceof Formula ? formula.call(...values) : formula;
}
