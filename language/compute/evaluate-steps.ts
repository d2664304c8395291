import type { Declaration, Entry, Expression } from '../grammar/generated/ast.ts';
import { stepsOf } from '../types/steps.ts';
import { Unknown, type Value } from '../values/value.ts';
import type { EvaluateExpression, Frame, Steps } from './frame.ts';

/** The frame of a formula, with the steps that stand under it. */
export function stepped(expression: Expression | undefined, frame: Frame, evaluate: EvaluateExpression): Frame {
  const formula = expression?.$container;
  if (formula?.$type !== 'Entry' && formula?.$type !== 'Declaration') return frame;
  const nodes = stepsOf(formula as Entry | Declaration);
  if (nodes.length === 0) return frame;
  const values = new Map<string, Value>();
  const steps: Steps = {
    has: (name) => nodes.some((step) => step.name?.text === name),
    get: (name) => {
      const step = values.has(name) ? undefined : nodes.find((each) => each.name?.text === name);
      if (!step) return values.get(name);
      // One that leads back to itself was reported, and is not known.
      values.set(name, new Unknown([]));
      const value = evaluate(step.value, inner);
      values.set(name, value);
      return value;
    },
  };
  const { engine, self, scope, mode, locals } = frame;
  const inner: Frame = { engine, self, scope, mode, locals, steps };
  return inner;
}
