import type { Call } from '../grammar/generated/ast.ts';
import { Instance, isRoleList } from '../machine/tree.ts';
import type { FunctionName } from '../types/functions.ts';
import { exchange, statedRates } from '../values/money.ts';
import { binary, finite, junction } from '../values/operators.ts';
import { Bounds, Fault, isMissing, Money, mergeMissing, missingOf, Unknown, type Value } from '../values/value.ts';
import type { Counted, Frame } from './frame.ts';

/** How a function of the language is computed. */
interface Builtin {
  call(args: Value[], frame: Frame, node: Call): Value;
  /** What it does with `… for x in …`. */
  overList?(counted: Counted[] | Unknown | Fault, frame: Frame, node: Call): Value;
}

function ofNumber(f: (x: number) => number): Builtin {
  const call = (args: Value[], _frame: Frame, node: Call): Value => {
    const x = args[0] ?? new Unknown([]);
    if (typeof x !== 'number') return isMissing(x) ? x : new Unknown([]);
    const y = f(x);
    return Number.isNaN(y) || y === -Infinity ? new Fault('this number has no such result', node) : finite(y, node);
  };
  return { call };
}

function extreme(wantsFirst: '<' | '>'): Builtin {
  const pick = (values: Value[], frame: Frame, node: Call): Value => {
    const missing = missingOf(...values);
    if (missing) return missing;
    let best = values[0];
    if (best === undefined) return new Unknown([]);
    for (const value of values.slice(1)) {
      const isFirst = binary(wantsFirst, value, best, frame, node as never);
      if (isMissing(isFirst)) return isFirst;
      if (isFirst === true) best = value;
    }
    return best;
  };
  return {
    call: (args, frame, node) =>
      args.length === 1 && Array.isArray(args[0]) ? pick([...args[0]], frame, node) : pick(args, frame, node),
    overList: (counted, frame, node) =>
      Array.isArray(counted)
        ? pick(
            counted.map((c) => c.value),
            frame,
            node,
          )
        : counted,
  };
}

function total(counted: Counted[] | Unknown | Fault, frame: Frame): Value {
  if (!Array.isArray(counted)) return counted;
  let sum = 0;
  let code: string | undefined;
  const lists: Bounds['missing'][] = [];
  let negative = false;
  let known = false;
  for (const { value, weight } of counted) {
    if (value instanceof Fault) return value;
    known ||= !(value instanceof Unknown);
    if (value instanceof Unknown) lists.push(value.missing);
    else if (value instanceof Bounds) {
      lists.push(value.missing);
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
  const missing = mergeMissing(...lists);
  if (missing.length > 0) return negative || !known ? new Unknown(missing) : new Bounds(sum, undefined, missing, code);
  const end = finite(sum, undefined);
  return code && end === sum ? new Money(sum, code) : end;
}

function counting(counted: Counted[] | Unknown | Fault): Value {
  if (!Array.isArray(counted)) return counted;
  let [sure, most] = [0, 0];
  const lists: Bounds['missing'][] = [];
  for (const { value, weight, isUnsure } of counted) {
    if (value === false) continue;
    if (isUnsure && value instanceof Fault) return value;
    if (isUnsure && value instanceof Unknown) lists.push(value.missing);
    else sure += weight;
    most += weight;
  }
  return most === sure ? sure : new Bounds(sure, most, mergeMissing(...lists), undefined);
}

/** A list at once, each of it as often as a question over it would count it: a block of a role as often as it is there. */
const list = (value: Value | undefined): Counted[] | Unknown | Fault => {
  if (Array.isArray(value)) {
    const isRole = isRoleList(value);
    const weightOf = (item: Value) => (isRole && item instanceof Instance ? item.count : 1);
    return value.map((item: Value) => ({ item, value: item, weight: weightOf(item), isUnsure: isMissing(item) }));
  }
  return value !== undefined && isMissing(value) ? value : [];
};

const quantifier = (operator: 'and' | 'or'): Builtin => {
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
  return { call: (args) => decide(list(args[0])), overList: decide };
};

const picking = (at: (items: Counted[]) => Counted | undefined): Builtin => {
  const pick = (counted: Counted[] | Unknown | Fault): Value => {
    if (!Array.isArray(counted)) return counted;
    const found = at(counted);
    return found ? found.value : new Unknown([], true);
  };
  return { call: (args) => pick(list(args[0])), overList: pick };
};

/** The only one there is. */
function only(counted: Counted[] | Unknown | Fault, node: Call): Value {
  if (!Array.isArray(counted)) return counted;
  const sure = counted.filter((c) => !c.isUnsure);
  if (sure.length > 1)
    return new Fault(`there is more than one: ${sure.map(({ value }) => nameOf(value)).join(', ')}`, node);
  const unsure = counted.find((c) => c.isUnsure);
  return unsure?.value ?? sure[0]?.value ?? new Fault('there is none', node);
}

function nameOf(value: Value): string {
  return value instanceof Instance ? value.label : String(value);
}

/** The functions that belong to the language itself. Everything else is declared in the library. */
export const builtins: Readonly<Record<FunctionName, Builtin>> = {
  min: extreme('<'),
  max: extreme('>'),
  sum: { call: (args, frame) => total(list(args[0]), frame), overList: total },
  count: { call: (args) => counting(list(args[0])), overList: counting },
  any: quantifier('or'),
  all: quantifier('and'),
  first: picking((items) => items[0]),
  last: picking((items) => items[items.length - 1]),
  each: {
    call: (args) => args[0] ?? new Unknown([]),
    overList: (counted) => (Array.isArray(counted) ? counted.map((c) => c.value) : counted),
  },
  chain: { call: (args) => missingOf(...args) ?? args.flatMap((each) => (Array.isArray(each) ? [...each] : [])) },
  position: {
    call: () => new Unknown([]),
    overList: (counted) => (Array.isArray(counted) ? (counted[0]?.position ?? new Unknown([], true)) : counted),
  },
  the: {
    call: (args, _frame, node) => only(list(args[0]), node),
    overList: (counted, _frame, node) => only(counted, node),
  },
  // Whether something is given is asked of the expression, not of its value.
  given: { call: () => new Unknown([]) },
  absolute: ofNumber((x) => x),
  abs: ofNumber(Math.abs),
  sqrt: ofNumber(Math.sqrt),
  exp: ofNumber(Math.exp),
  ln: ofNumber(Math.log),
  sin: ofNumber(Math.sin),
  cos: ofNumber(Math.cos),
  tan: ofNumber(Math.tan),
  asin: ofNumber(Math.asin),
  floor: ofNumber(Math.floor),
  ceil: ofNumber(Math.ceil),
  round: ofNumber(Math.round),
};
