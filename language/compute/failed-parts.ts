import type { Binary, Expression } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import type { Type } from '../names/type.ts';
import type { Context } from '../types/context.ts';
import { infer } from '../types/infer.ts';
import { isMissing, type Value } from '../values/value.ts';
import { evaluate } from './evaluate.ts';
import type { Frame } from './frame.ts';
import { type Margin, marginOf, showMargin } from './margin.ts';
import { digitsApart, showText } from './render.ts';

/** An expression in a condition, and what it comes to. */
interface Operand {
  readonly expression: string;
  readonly value: Value;
  readonly type: Type;
  readonly shown: string;
}

/** A part of a condition that makes the whole fail: a comparison, or a yes-or-no by itself. */
export interface FailedPart {
  readonly condition: string;
  /** Both its sides and, after each, the names it is computed from. */
  readonly operands: readonly Operand[];
  /** The same in words: `a is 4.07 min, the limit is 4 min (1.8 % short)`. */
  readonly message: string;
}

/** The parts of a condition that keep it from being what is wanted, in the order they are written; none where it is. */
export function failedParts(node: Expression | undefined, frame: Frame, ctx: Context, wanted = true): FailedPart[] {
  if (!node || evaluate(node, frame) !== !wanted) return [];
  switch (node.$type) {
    case 'Group':
      return failedParts(node.inner, frame, ctx, wanted);
    case 'Unary':
      return failedParts(node.operand, frame, ctx, !wanted);
    case 'Conditional':
      return failedParts(evaluate(node.condition, frame) === true ? node.then : node.else, frame, ctx, wanted);
    case 'Binary':
      if (node.operator === 'and' || node.operator === 'or')
        return [node.left, node.right].flatMap((side) => failedParts(side, frame, ctx, wanted));
      return [node.operator === 'otherwise' ? byItself(node, frame, ctx) : comparison(node, frame, ctx, wanted)];
    default:
      return [byItself(node, frame, ctx)];
  }
}

/** Failed parts in words. */
export function failureWords(parts: readonly Pick<FailedPart, 'message'>[]): string {
  return parts.map(({ message }) => message).join('; ');
}

function byItself(node: Expression, frame: Frame, ctx: Context): FailedPart {
  const operand = operandOf(node, frame, ctx);
  return { condition: operand.expression, operands: [operand], message: isWords(operand) };
}

function comparison(node: Binary, frame: Frame, ctx: Context, wanted: boolean): FailedPart {
  const { left, right, operator } = node;
  const margin = marginOf(node, frame, ctx);
  const digits = margin ? digitsApart(margin, frame, ctx, evaluate) : undefined;
  const sideOf = (side: Expression): Side => ({
    operand: operandOf(side, frame, ctx, digits),
    names: namesIn(side, frame, ctx),
    isLiteral: isLiteral(side, frame),
  });
  const [a, b] = [sideOf(left), sideOf(right)];
  const short = margin && wanted ? ` (${showMargin(margin)})` : '';
  return {
    condition: onOneLine(node),
    operands: [a, b].flatMap(({ operand, names }) => [operand, ...names]),
    message: `${wordsOf([a, b], operator, margin, wanted)}${short}`,
  };
}

interface Side {
  readonly operand: Operand;
  readonly names: readonly Operand[];
  readonly isLiteral: boolean;
}

function wordsOf([a, b]: [Side, Side], operator: string, margin: Margin | undefined, wanted: boolean): string {
  const [named, literal] = a.isLiteral && !b.isLiteral ? [b, a] : [a, b];
  if (!literal.isLiteral) return `${sideWords(a)}, ${sideWords(b)}`;
  if (margin) return `${sideWords(named)}, the limit is ${literal.operand.shown}`;
  return operator === '==' && wanted ? `${sideWords(named)}, not ${literal.operand.shown}` : sideWords(named);
}

function sideWords({ operand, names }: Side): string {
  return `${isWords(operand)}${names.length > 0 ? ` (${names.map(isWords).join(', ')})` : ''}`;
}

function isWords({ expression, shown }: Operand): string {
  return `${expression} is ${shown}`;
}

function operandOf(node: Expression, frame: Frame, ctx: Context, digits?: number): Operand {
  const shown = showText(node, frame, ctx, evaluate, digits);
  return { expression: onOneLine(node), value: evaluate(node, frame), type: infer(node, ctx), shown };
}

/** What the names come to that an expression is computed from; none where it is a name itself. */
function namesIn(node: Expression, frame: Frame, ctx: Context): Operand[] {
  if (isName(node)) return [];
  const found = new Map(namesBelow(node).map((name) => [onOneLine(name), name]));
  return [...found.values()].flatMap((name) => {
    const value = evaluate(name, frame);
    return isMissing(value) || infer(name, ctx).is !== 'quantity' ? [] : [operandOf(name, frame, ctx)];
  });
}

/** Does it name a value of a block, with its arguments where it takes some? */
function isName(node: Expression): boolean {
  return (
    node.$type === 'Reference' || node.$type === 'Access' || (node.$type === 'Call' && node.callee.$type === 'Access')
  );
}

/** The outermost names in an expression. What stands in a question is asked of each, and has no value of its own. */
function namesBelow(node: Expression): Expression[] {
  if (isName(node)) return [node];
  switch (node.$type) {
    case 'Group':
      return namesBelow(node.inner);
    case 'Unary':
      return namesBelow(node.operand);
    case 'Binary':
      return [...namesBelow(node.left), ...namesBelow(node.right)];
    case 'Conditional':
      return [...namesBelow(node.condition), ...namesBelow(node.then), ...namesBelow(node.else)];
    case 'Call':
      return node.arguments.flatMap(({ comprehension, value }) => (comprehension ? [] : namesBelow(value)));
    default:
      return [];
  }
}

/** Is it written out as it comes to? */
function isLiteral(node: Expression, frame: Frame): boolean {
  switch (node.$type) {
    case 'Quantity':
    case 'Text':
    case 'DateValue':
    case 'Truth':
      return true;
    case 'Reference':
      return evaluate(node, frame) === node.name.text;
    case 'Unary':
      return node.operator === '-' && isLiteral(node.operand, frame);
    case 'Binary':
      return node.operator === 'x' && isLiteral(node.left, frame) && isLiteral(node.right, frame);
    default:
      return false;
  }
}

function onOneLine(node: Expression): string {
  return textOf(node).replace(/\s+/g, ' ');
}
