import type { Call, Expression } from '../grammar/generated/ast.ts';
import { noBlocks } from '../machine/tree.ts';
import type { FunctionName } from '../types/functions.ts';
import { hasSpan, isSpanOrNumber, Opaque, spanArithmetic, spanFunctions } from '../values/span.ts';
import { Unknown, type Value, type ValueList } from '../values/value.ts';
import { comprehend } from './evaluate-questions.ts';
import { type Code, type Evaluation, valuesOf } from './frame.ts';
import { builtins } from './functions.ts';

function given(node: Call, codeOf: Evaluation['codeOf']): Code {
  const argument = node.arguments[0]?.value;
  const code = codeOf(argument);
  return (frame) => {
    const value = code(frame);
    // A role for any number of blocks that no block fills is not given.
    if (!(value instanceof Unknown)) return value !== noBlocks;
    // In a block whose part is still to be chosen, that part may bring the block: then it is not known whether there is one.
    if (value.missing.some(({ instance }) => instance.open)) return value;
    // Where it rests on what has a mistake in it, it may come to something or to nothing.
    if (value.missing.some(({ name, unreadable }) => unreadable && name !== nameOf(argument))) return value;
    return !(value.absent || isDirect(value, argument));
  };
}

/** A call of one of the language's own functions: with a question, or with arguments. */
export function languageCall(node: Call, name: FunctionName, { codeOf, evaluate }: Evaluation): Code {
  if (name === 'given') return given(node, codeOf);
  const builtin = builtins[name];
  const first = node.arguments[0];
  const question = first?.comprehension;
  if (question)
    return (frame) => {
      const counted = comprehend(first.value, question, frame, evaluate, !reckons.has(name));
      if (frame.engine.scenario === frame.engine.everywhere && Array.isArray(counted)) {
        const items = counted.map(({ value, weight, isUnsure }) => ({ value, weight, isUnsure }));
        if (hasSpan(items.map(({ value }) => value)) && !picks.has(name)) return overSpans(name, items);
      }
      return builtin.overList?.(counted, frame, node) ?? new Unknown([]);
    };
  const args = node.arguments.map((a) => codeOf(a.value));
  return (frame) => {
    const values = valuesOf(args, frame);
    if (frame.engine.scenario === frame.engine.everywhere && hasSpan(values) && !picks.has(name)) {
      const list = values.length === 1 && Array.isArray(values[0]) ? (values[0] as ValueList) : values;
      return overSpans(
        name,
        list.map((value) => ({ value, weight: 1 })),
      );
    }
    return builtin.call(values, frame, node);
  };
}

/** Functions that reckon with each of what a question goes through, copies of a block among them. */
const reckons: ReadonlySet<FunctionName> = new Set(['sum', 'min', 'max', 'any', 'all', 'count']);
/** Functions that give one of their arguments as it is, without reckoning with it. */
const picks: ReadonlySet<FunctionName> = new Set(['first', 'last', 'each', 'chain']);

/** A function of the language over bounds, and numbers beside them; opaque where it is not made for them. */
function overSpans(name: FunctionName, items: readonly { value: Value; weight: number; isUnsure?: boolean }[]): Value {
  const compute = spanFunctions[name];
  const values = items.map(({ value, weight, isUnsure }) => {
    if (!isSpanOrNumber(value) || isUnsure) throw new Opaque();
    return name === 'sum' && weight !== 1 ? spanArithmetic('*', value, weight) : value;
  });
  if (!compute) throw new Opaque();
  return compute(values);
}

function isDirect(value: Unknown, node: Expression | undefined): boolean {
  const [only, ...others] = value.missing;
  return others.length === 0 && only?.name === nameOf(node) && !only?.unreadable;
}

/** What is asked for by name. */
function nameOf(node: Expression | undefined): string | undefined {
  return node?.$type === 'Reference' ? node.name.text : node?.$type === 'Access' ? node.member?.text : undefined;
}
