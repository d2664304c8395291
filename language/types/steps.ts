import type { Declaration, Entry, Step } from '../grammar/generated/ast.ts';
import { naming } from '../mistakes/naming.ts';
import { placing } from '../mistakes/placing.ts';
import type { Context } from './context.ts';
import { infer, typeIn } from './infer.ts';
import { tell } from './tell.ts';

const known = new WeakMap<Entry | Declaration, readonly Step[]>();

/** The `where` lines under a formula, in their order. */
export function stepsOf(node: Entry | Declaration): readonly Step[] {
  let steps = known.get(node);
  if (!steps) {
    steps = (node.body?.members ?? []).filter((member) => member.$type === 'Step');
    known.set(node, steps);
  }
  return steps;
}

/** What a formula sees with its steps; for a step, with those above it. */
export function withSteps(node: Entry | Declaration, ctx: Context, until?: Step): Context {
  let seen = ctx;
  for (const step of stepsOf(node)) {
    if (step === until) break;
    if (step.name) seen = { ...seen, locals: new Map(seen.locals).set(step.name.text, typeIn(step.value, seen)) };
  }
  return seen;
}

/** Checks the steps of a formula, each with those above it, and gives what the formula sees. */
export function checkSteps(node: Entry | Declaration, ctx: Context): Context {
  for (const step of stepsOf(node)) {
    const seen = withSteps(node, ctx, step);
    infer(step.value, seen);
    if (!node.value) tell(ctx.report, step, placing.not_here.step(step.name?.text ?? ''));
    else if (step.name && seen.locals?.has(step.name.text))
      tell(ctx.report, step.name, naming.said_twice.step(step.name.text));
  }
  return withSteps(node, ctx);
}
