import type { Call } from '../grammar/generated/ast.ts';
import type { Counted, Frame } from './evaluate.ts';
import { exchange, statedRates } from './money.ts';
import { binary, junction } from './operators.ts';
import { Bounds, Fault, isMissing, Money, mergeMissing, missingOf, Unknown, type Value } from './value.ts';

/** What a function of the language takes and gives, for the checks; see `check.ts`. */
export type Shape =
  | 'same as its arguments'
  | 'number to number'
  | 'angle to number'
  | 'root'
  | 'temperature to difference'
  | 'list to element'
  | 'to list'
  | 'truth'
  | 'count'
  | 'anything to truth';

export interface Builtin {
  readonly doc: string;
  readonly shape: Shape;
  call(args: Value[], frame: Frame, node: Call): Value;
  /** What it does with `… for x in …`. */
  overList?(counted: Counted[] | Unknown | Fault, frame: Frame): Value;
}

function ofNumber(shape: Shape, doc: string, f: (x: number) => number): Builtin {
  const call = (args: Value[], _frame: Frame, node: Call): Value => {
    const x = args[0] ?? new Unknown([]);
    if (typeof x !== 'number') return isMissing(x) ? x : new Unknown([]);
    const y = f(x);
    return Number.isNaN(y) ? new Fault('this number has no such result', node) : y;
  };
  return { doc, shape, call };
}

function extreme(doc: string, wantsFirst: '<' | '>'): Builtin {
  const pick = (values: Value[], frame: Frame, node: Call): Value => {
    const missing = missingOf(...values);
    if (missing) return missing;
    let best = values[0];
    for (const value of values) {
      if (best !== undefined && binary(wantsFirst, value, best, frame, node as never) === true) best = value;
    }
    return best ?? new Unknown([]);
  };
  return {
    doc,
    shape: 'same as its arguments',
    call: (args, frame, node) =>
      args.length === 1 && Array.isArray(args[0]) ? pick([...args[0]], frame, node) : pick(args, frame, node),
    overList: (counted, frame) =>
      Array.isArray(counted)
        ? pick(
            counted.map((c) => c.value),
            frame,
            undefined as never,
          )
        : counted,
  };
}

function total(counted: Counted[] | Unknown | Fault, frame: Frame): Value {
  if (!Array.isArray(counted)) return counted;
  let sum = 0;
  let code: string | undefined;
  let missing: Bounds['missing'] = [];
  let negative = false;
  let known = false;
  for (const { value, weight } of counted) {
    if (value instanceof Fault) return value;
    known ||= !(value instanceof Unknown);
    if (value instanceof Unknown) missing = mergeMissing(missing, value.missing);
    else if (value instanceof Bounds) {
      missing = mergeMissing(missing, value.missing);
      sum += (value.low ?? 0) * weight;
      code ??= value.code;
    } else if (value instanceof Money) {
      code ??= value.code;
      const amount = exchange(value, code, statedRates(frame));
      if (!amount)
        return new Fault(
          `${code} and ${value.code} are summed here without a stated rate: write "rate 1 ${value.code} = … ${code} on DATE"`,
        );
      sum += amount.amount * weight;
    } else if (typeof value === 'number') {
      sum += value * weight;
      negative ||= value < 0;
    }
  }
  if (missing.length > 0) return negative || !known ? new Unknown(missing) : new Bounds(sum, undefined, missing, code);
  return code ? new Money(sum, code) : sum;
}

function counting(counted: Counted[] | Unknown | Fault): Value {
  if (!Array.isArray(counted)) return counted;
  let [sure, most] = [0, 0];
  let missing: Bounds['missing'] = [];
  for (const { value, weight, isUnsure } of counted) {
    if (value === false) continue;
    if (isUnsure && value instanceof Fault) return value;
    if (isUnsure && value instanceof Unknown) missing = mergeMissing(missing, value.missing);
    else sure += weight;
    most += weight;
  }
  return most === sure ? sure : new Bounds(sure, most, missing, undefined);
}

const list = (value: Value | undefined): Counted[] | Unknown | Fault => {
  if (Array.isArray(value)) return value.map((item: Value) => ({ item, value: item, weight: 1 }));
  return value !== undefined && isMissing(value) ? value : [];
};

const quantifier = (doc: string, operator: 'and' | 'or'): Builtin => {
  const decide = (counted: Counted[] | Unknown | Fault): Value =>
    Array.isArray(counted)
      ? counted.reduce<Value>(
          (so, c) =>
            junction(
              operator,
              () => so,
              () => c.value,
            ),
          operator === 'and',
        )
      : counted;
  return { doc, shape: 'truth', call: (args) => decide(list(args[0])), overList: decide };
};

const picking = (doc: string, at: (items: Counted[]) => Counted | undefined): Builtin => {
  const pick = (counted: Counted[] | Unknown | Fault): Value => {
    if (!Array.isArray(counted)) return counted;
    const found = at(counted);
    return found ? found.value : new Unknown([], true);
  };
  return { doc, shape: 'list to element', call: (args) => pick(list(args[0])), overList: pick };
};

/** The functions that belong to the language itself. Everything else is declared in the library. */
export const builtins: Readonly<Record<string, Builtin>> = {
  min: extreme('The least of its arguments, or of a list.', '<'),
  max: extreme('The greatest of its arguments, or of a list.', '>'),
  sum: {
    doc: 'The sum over a list or a question; blocks that stand for several count as often. Where something is not given, at least the rest.',
    shape: 'same as its arguments',
    call: (args, frame) => total(list(args[0]), frame),
    overList: total,
  },
  count: {
    doc: 'How many there are, blocks that stand for several counted as often.',
    shape: 'count',
    call: (args) => counting(list(args[0])),
    overList: counting,
  },
  any: quantifier('Yes if it is so for at least one.', 'or'),
  all: quantifier('Yes if it is so for every one.', 'and'),
  first: picking('The first of a list.', (items) => items[0]),
  last: picking('The last of a list.', (items) => items[items.length - 1]),
  each: {
    doc: 'The list of what comes out for each.',
    shape: 'to list',
    call: (args) => args[0] ?? new Unknown([]),
    overList: (counted) => (Array.isArray(counted) ? counted.map((c) => c.value) : counted),
  },
  position: {
    doc: 'Which one of the list or the question it is, counted from 1: `position(c for c in every circuit where c == self)`.',
    shape: 'count',
    call: () => new Unknown([]),
    overList: (counted) => (Array.isArray(counted) ? (counted[0]?.position ?? new Unknown([], true)) : counted),
  },
  the: picking('The only one there is; not given where there is none.', (items) => items[0]),
  given: { doc: 'Yes if this was given.', shape: 'anything to truth', call: () => new Unknown([]) },
  absolute: ofNumber(
    'temperature to difference',
    'The absolute temperature, in kelvin, as radiation needs it.',
    (x) => x,
  ),
  abs: ofNumber('same as its arguments', 'The value without its sign.', Math.abs),
  sqrt: ofNumber('root', 'The square root.', Math.sqrt),
  exp: ofNumber('number to number', 'e to the power of a number.', Math.exp),
  ln: ofNumber('number to number', 'The natural logarithm.', Math.log),
  sin: ofNumber('angle to number', 'The sine of an angle.', Math.sin),
  cos: ofNumber('angle to number', 'The cosine of an angle.', Math.cos),
  tan: ofNumber('angle to number', 'The tangent of an angle.', Math.tan),
  asin: ofNumber('number to number', 'The angle, from -90 to 90 deg, that has this sine.', Math.asin),
  floor: ofNumber('number to number', 'The whole number below.', Math.floor),
  ceil: ofNumber('number to number', 'The whole number above.', Math.ceil),
  round: ofNumber('number to number', 'The nearest whole number.', Math.round),
};
