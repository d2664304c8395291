import type { Expression } from '../grammar/generated/ast.ts';
import { difference, hasSpan, isSpanOrNumber, Opaque, Span } from '../values/span.ts';
import type { Value } from '../values/value.ts';
import type { Cell, Conditions, Ends, Engine } from './cell.ts';

/** What is certain of a value or a verdict over the whole of its ranges. */
export interface Proof {
  /** The combinations of ends that decide it: if a verdict holds at these, it holds everywhere. */
  readonly corners: readonly Ends[];
  /** Is a value least and greatest, and the margin that is shown of a verdict least, among these? */
  readonly isWorst: boolean;
}

/**
 * What bounds prove of a cell: that the sign of every slope over the whole of the ranges is certain, or that nothing changes.
 * Undefined where they do not tell.
 */
export function proofOf(cell: Cell, engine: Engine): Proof | undefined {
  const prove = () =>
    cell.conditions ? verdictProof(cell, cell.conditions(engine), engine) : valueProof(cell, engine);
  return told(() => engine.aside(() => engine.under(engine.everywhere, prove)));
}

/** What bounds prove that a verdict is, wherever ranges are taken; undefined where they do not tell. */
export function provedVerdict(cell: Cell, engine: Engine): Value | undefined {
  const whole = told(() => engine.aside(() => engine.under(engine.everywhere, () => engine.value(cell))));
  if (whole !== undefined) return whole;
  const worst = proofOf(cell, engine)?.corners ?? [];
  const values = engine.aside(() => worst.map((at) => engine.under(at, () => engine.value(cell))));
  return values.length > 0 && values.every((value) => value === true) ? true : undefined;
}

/** What bounds tell; undefined where they do not. */
function told<T>(work: () => T): T | undefined {
  try {
    return work();
  } catch (thrown) {
    if (thrown instanceof Opaque) return undefined;
    throw thrown;
  }
}

function valueProof(cell: Cell, engine: Engine): Proof {
  const value = engine.value(cell);
  if (value instanceof Span) return { corners: [lowest(value, engine), highest(value, engine)], isWorst: true };
  if (hasSpan(value)) throw new Opaque();
  return { corners: [], isWorst: true };
}

function verdictProof(cell: Cell, conditions: Conditions, engine: Engine): Proof {
  const { when, holds, evaluate, showsMargin } = conditions;
  const whole = told(() => engine.value(cell));
  if (whole !== undefined && (whole !== true || !showsMargin)) return { corners: [], isWorst: true };
  // What decides whether it applies must be the same everywhere.
  if (!when.every((guard) => evaluate(guard) === true)) throw new Opaque();
  const worst = (ofMargin: boolean) => holds.flatMap((part) => worstOf(part, conditions, engine, ofMargin));
  const exact = showsMargin ? told(() => worst(true)) : undefined;
  return exact ? { corners: exact, isWorst: true } : { corners: worst(false), isWorst: !showsMargin };
}

/**
 * The combinations of ends at which the comparisons of a condition, all of which must hold, are the worst: by what is between
 * both sides or, if so asked, by the margin, which is a share of the limit.
 */
function worstOf(node: Expression | undefined, conditions: Conditions, engine: Engine, ofMargin: boolean): Ends[] {
  const { evaluate } = conditions;
  if (node?.$type === 'Group') return worstOf(node.inner, conditions, engine, ofMargin);
  if (node?.$type === 'Binary' && node.operator === 'and')
    return [node.left, node.right].flatMap((side) => worstOf(side, conditions, engine, ofMargin));
  const isOrder = node?.$type === 'Binary' && ['<', '<=', '>', '>='].includes(node.operator);
  const isCertain = node !== undefined && told(() => evaluate(node)) !== undefined;
  if (isCertain && !(ofMargin && node.$type === 'Binary' && (isOrder || node.operator === 'or'))) return [];
  if (node?.$type !== 'Binary' || !isOrder || !node.left || !node.right) throw new Opaque();
  const [left, right] = [evaluate(node.left), evaluate(node.right)];
  if (!isSpanOrNumber(left) || !isSpanOrNumber(right) || (ofMargin && right instanceof Span)) throw new Opaque();
  const gap = node.operator.startsWith('<') ? difference(right, left) : difference(left, right);
  return [lowest(gap, engine)];
}

function lowest({ slopes }: Span, engine: Engine): Ends {
  return cornerOf(slopes, engine, -1);
}

function highest({ slopes }: Span, engine: Engine): Ends {
  return cornerOf(slopes, engine, 1);
}

/** The combination of ends in which slopes of a certain sign lead. */
function cornerOf(slopes: Span['slopes'], engine: Engine, direction: 1 | -1): Ends {
  const high: Cell[] = [];
  for (const [range, { low, high: most }] of slopes) {
    if (low < 0 && most > 0) throw new Opaque();
    const rises = low >= 0 ? (most > 0 ? 1 : 0) : -1;
    if (rises === direction) high.push(range as Cell);
  }
  return engine.atHighEnds(high);
}
