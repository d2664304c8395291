import type { Argument, Binary, Call, Expression } from '../grammar/generated/ast.ts';
import { textOf } from '../grammar/syntax.ts';
import { Instance } from '../machine/tree.ts';
import { listed } from '../mistakes/sentence.ts';
import type { Type } from '../names/type.ts';
import { calledBy, withName } from '../types/calls.ts';
import type { Context } from '../types/context.ts';
import type { FunctionName } from '../types/functions.ts';
import { infer, inference } from '../types/infer.ts';
import { domainType } from '../types/question.ts';
import { isMissing, type Value } from '../values/value.ts';
import { evaluate } from './evaluate.ts';
import { comprehend } from './evaluate-questions.ts';
import { type Counted, type Frame, Locals, withLocals } from './frame.ts';
import { type Margin, marginOf, showMargin } from './margin.ts';
import { digitsApart, showText } from './render.ts';

/** An expression in a condition, and what it comes to. */
interface Operand {
  readonly expression: string;
  readonly value: Value;
  readonly type: Type;
  readonly shown: string;
  /** Of which blocks, where a question picks some. */
  readonly where?: string;
}

/** A part of a condition that makes the whole fail: a comparison, or a yes-or-no by itself. */
export interface FailedPart {
  /** The block of which it fails, where the condition is asked of several. */
  readonly of?: string;
  readonly condition: string;
  /** Both its sides and, after each, the names it is computed from. */
  readonly operands: readonly Operand[];
  /** How far it fails; undefined where nothing is compared by size. */
  readonly margin?: Margin;
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
    case 'Call': {
      const failing = failingElements(node, frame, ctx, wanted);
      return failing.length > 0 ? failing : [byItself(node, frame, ctx)];
    }
    default:
      return [byItself(node, frame, ctx)];
  }
}

/** Failed parts in words. */
export function failureWords(parts: readonly Pick<FailedPart, 'message'>[]): string {
  const words = parts.map(({ message }) => message);
  return (words.length > most ? [...words.slice(0, most), `${words.length - most} more`] : words).join('; ');
}
/** So many parts are told in words; all are told as data. */
const most = 6;

// ---- questions ----

/** A call of one of the language's functions with a question. */
interface Question {
  readonly name: FunctionName;
  readonly body: Expression;
  readonly over: NonNullable<Argument['comprehension']>;
}

function questionOf(node: Call, ctx: Context): Question | undefined {
  const called = calledBy(node.callee, ctx, inference);
  const { value: body, comprehension: over } = node.arguments[0] ?? {};
  return called?.is === 'function' && body && over ? { name: called.name, body, over } : undefined;
}

/** What a question comes to for each that it goes through; none where it cannot be asked. */
function answers({ body, over }: Question, frame: Frame): readonly Counted[] {
  const counted = comprehend(body, over, frame, evaluate);
  return Array.isArray(counted) ? counted : [];
}

/** For `all` and `any`: the parts that fail of each element that keeps the whole from being what is wanted. */
function failingElements(node: Call, frame: Frame, ctx: Context, wanted: boolean): FailedPart[] {
  const question = questionOf(node, ctx);
  if (question?.name !== 'all' && question?.name !== 'any') return [];
  const { body, over } = question;
  const inner = withName(over, domainType(over.domain, ctx, inference), ctx);
  const variable = over.variable?.text ?? '';
  return answers(question, frame).flatMap(({ item }) => {
    const bound = withLocals(frame, new Locals([variable], [item], frame.locals));
    return failedParts(body, bound, inner, wanted).map((part) => ofElement(part, item, variable));
  });
}

/** Says of which block a part fails: `z.motor: current is 2.1 A`. */
function ofElement(part: FailedPart, item: Value, variable: string): FailedPart {
  if (!(item instanceof Instance)) return part;
  // In a question within a question the inner block is the one it fails of, and the outer one goes by its name.
  const { of = item.label, message } = part;
  const own = message.replaceAll(new RegExp(`(?<![\\w.])${variable}\\.`, 'g'), part.of ? `${item.label}.` : '');
  return { ...part, of, message: part.of ? own : `${of}: ${own}` };
}

/** Which blocks make a count what it is, or have the greatest or the least: ` at z.motor`; empty for other questions. */
function elementWords(node: Expression, value: Value, frame: Frame, ctx: Context): string {
  if (node.$type === 'Group') return elementWords(node.inner, value, frame, ctx);
  const question = node.$type === 'Call' ? questionOf(node, ctx) : undefined;
  if (!question || isMissing(value)) return '';
  const isPicked = { count: () => true, max: (each: Value) => each === value, min: (each: Value) => each === value };
  const picks = Object.hasOwn(isPicked, question.name) ? isPicked[question.name as keyof typeof isPicked] : undefined;
  const labels = answers(question, frame).flatMap((each) =>
    picks?.(each.value) && each.value !== false && each.item instanceof Instance ? [each.item.label] : [],
  );
  if (labels.length === 0) return '';
  return question.name === 'count' ? `: ${listed(labels)}` : ` at ${listed(labels)}`;
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
    ...(margin && wanted && { margin }),
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

function isWords({ expression, shown, where = '' }: Operand): string {
  return `${expression} is ${shown}${where}`;
}

function operandOf(node: Expression, frame: Frame, ctx: Context, digits?: number): Operand {
  const shown = showText(node, frame, ctx, evaluate, { digits });
  const value = evaluate(node, frame);
  const where = elementWords(node, value, frame, ctx);
  return { expression: onOneLine(node), value, type: infer(node, ctx), shown, ...(where && { where }) };
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

/** Is an expression written as the value that it comes to, so that showing both would say the same twice? */
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
