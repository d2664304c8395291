import type { Binary, Expression } from '../grammar/generated/ast.ts';
import type { AstNode } from '../grammar/syntax.ts';
import { exchange, type Meeting, statedRates } from './money.ts';
import { hasSpan, isSpanOrNumber, negated, Opaque, refuseSpans, Span, spanArithmetic, spanComparison } from './span.ts';
import {
  Bounds,
  Fault,
  isMissing,
  Money,
  mergeMissing,
  missingOf,
  Range,
  Sides,
  Unknown,
  type Value,
} from './value.ts';

/** Two numbers closer than this (relative) are the same: they differ by rounding alone. */
const rounding = 1e-9;

export function nearly(a: number, b: number): boolean {
  return a === b || Math.abs(a - b) <= rounding * Math.max(Math.abs(a), Math.abs(b));
}

/** Arithmetic and comparison. Missing values make the result missing; bounds stay bounds where they can. */
export function binary(operator: Binary['operator'], a: Value, b: Value, at: Meeting, node: Binary): Value {
  if (typeof a === 'number' && typeof b === 'number') return numbers(operator, a, b, node);
  if (hasSpan(a) || hasSpan(b)) return spans(operator, a, b, node);
  if (operator === 'in') return member(a, b);
  if (isMissing(a) || isMissing(b)) return missingOf(a, b) as Unknown | Fault;
  if (a instanceof Bounds || b instanceof Bounds) return bounded(operator, a, b, at, node);
  if (operator === '==' || operator === '!=') return equality(operator, a, b);
  if (a instanceof Money || b instanceof Money) return money(operator, a, b, at, node);
  if (a instanceof Range && typeof b === 'number') return mapRange(a, (end) => numbers(operator, end, b, node));
  if (b instanceof Range && typeof a === 'number') return mapRange(b, (end) => numbers(operator, a, end, node));
  return new Unknown([]);
}

/** Arithmetic and comparison with bounds; opaque where the other side is neither a number nor bounds, nor missing. */
function spans(operator: Binary['operator'], a: Value, b: Value, node: Expression): Value {
  if (isMissing(a) || isMissing(b)) return missingOf(a, b) as Unknown | Fault;
  if (!isSpanOrNumber(a) || !isSpanOrNumber(b)) throw new Opaque();
  if (operator === '<' || operator === '<=' || operator === '>' || operator === '>=')
    return spanComparison(a, b, operator.startsWith('<'), (x, y) => numbers(operator, x, y, node) === true);
  return spanArithmetic(operator, a, b);
}

/** A number that can be computed with, or a fault where it has grown without end. */
export function finite(number: number, node: AstNode | undefined): Value {
  return Number.isFinite(number) ? number : new Fault('this comes to a number too large to compute with', node);
}

type OfNumbers = (a: number, b: number, node: Expression) => Value;

/** What each operator makes of two numbers. */
export const ofNumbers: Readonly<Record<string, OfNumbers | undefined>> = {
  '+': (a, b, node) => finite(a + b, node),
  '-': (a, b, node) => finite(a - b, node),
  '*': (a, b, node) => finite(a * b, node),
  '/': (a, b, node) => (b === 0 ? new Fault('this divides by zero', node) : finite(a / b, node)),
  '^': (a, b, node) => {
    const power = a ** b;
    return Number.isNaN(power) ? new Fault('a negative number has no such power', node) : finite(power, node);
  },
  '==': (a, b) => nearly(a, b),
  '!=': (a, b) => !nearly(a, b),
  '<': (a, b) => a < b && !nearly(a, b),
  '>': (a, b) => a > b && !nearly(a, b),
  '<=': (a, b) => a <= b || nearly(a, b),
  '>=': (a, b) => a >= b || nearly(a, b),
};

function numbers(operator: Binary['operator'], a: number, b: number, node: Expression): Value {
  return ofNumbers[operator]?.(a, b, node) ?? new Unknown([]);
}

function mapRange(range: Range, f: (end: number) => Value): Value {
  const low = f(range.low);
  const high = f(range.high);
  if (typeof low !== 'number' || typeof high !== 'number') return low;
  return new Range(Math.min(low, high), Math.max(low, high));
}

function equality(operator: '==' | '!=', a: Value, b: Value): Value {
  const same = a instanceof Money && b instanceof Money ? a.code === b.code && nearly(a.amount, b.amount) : a === b;
  return operator === '==' ? same : !same;
}

/** In a list that was left out there is nothing. */
function member(item: Value, list: Value): Value {
  if (isMissing(item)) return item;
  if (list instanceof Unknown && list.absent) return false;
  if (!Array.isArray(list)) return isMissing(list) ? list : item === list;
  if (list.includes(item)) return true;
  return missingOf(...(list as Value[])) ?? false;
}

function money(operator: Binary['operator'], a: Value, b: Value, at: Meeting, node: Binary): Value {
  if (a instanceof Money && b instanceof Money) {
    const other = exchange(b, a.code, statedRates(at));
    if (!other) {
      return new Fault(
        `${a.code} and ${b.code} meet here without a stated rate: write "rate 1 ${a.code} = … ${b.code} on DATE"`,
        node,
      );
    }
    const result = numbers(operator, a.amount, other.amount, node);
    return typeof result === 'number' && (operator === '+' || operator === '-') ? new Money(result, a.code) : result;
  }
  const amount = a instanceof Money ? a : (b as Money);
  const factor = a instanceof Money ? b : a;
  if (typeof factor !== 'number') return new Unknown([]);
  const result =
    a instanceof Money
      ? numbers(operator, amount.amount, factor, node)
      : numbers(operator, factor, amount.amount, node);
  return typeof result === 'number' ? new Money(result, amount.code) : result;
}

function ends(value: Value, code: string | undefined, at: Meeting): Bounds | undefined {
  if (value instanceof Bounds) return value;
  if (typeof value === 'number') return new Bounds(value, value, [], code);
  if (!(value instanceof Money)) return undefined;
  const amount = code ? exchange(value, code, statedRates(at))?.amount : value.amount;
  return amount === undefined ? undefined : new Bounds(amount, amount, [], code ?? value.code);
}

function bounded(operator: Binary['operator'], a: Value, b: Value, at: Meeting, node: Binary): Value {
  const code = (a instanceof Bounds ? a.code : undefined) ?? (b instanceof Bounds ? b.code : undefined);
  const [p, q] = [ends(a, code, at), ends(b, code, at)];
  if (!p || !q) return new Unknown([]);
  const missing = mergeMissing(p.missing, q.missing);
  const of = (x: number | undefined, y: number | undefined): number | undefined => {
    const value = x === undefined || y === undefined ? undefined : numbers(operator, x, y, node);
    return typeof value === 'number' ? value : undefined;
  };
  switch (operator) {
    case '+':
      return new Bounds(of(p.low, q.low), of(p.high, q.high), missing, code);
    case '-':
      return new Bounds(of(p.low, q.high), of(p.high, q.low), missing, code);
    case '*':
    case '/':
      return scaled(operator, p, q, missing, of);
    case '<':
    case '<=':
      return compared(p, q, operator === '<', missing);
    case '>':
    case '>=':
      return compared(q, p, operator === '>', missing);
    case '==':
      return areApart(p, q) ? false : new Unknown(missing);
    case '!=':
      return areApart(p, q) ? true : new Unknown(missing);
    default:
      return new Unknown(missing);
  }
}

/** A bound times or by a known number that is not negative; anything else is unknown. */
function scaled(
  operator: '*' | '/',
  p: Bounds,
  q: Bounds,
  missing: Bounds['missing'],
  of: (x: number | undefined, y: number | undefined) => number | undefined,
): Value {
  const known = q.low !== undefined && q.low === q.high ? q.low : undefined;
  if (known !== undefined && known > 0)
    return new Bounds(of(p.low, known), of(p.high, known), missing, p.code ?? q.code);
  if (operator === '*' && p.low !== undefined && p.low === p.high && p.low >= 0) {
    return new Bounds(of(p.low, q.low), of(p.low, q.high), missing, p.code ?? q.code);
  }
  return new Unknown(missing);
}

/** p <= q, decided only where the bounds decide it. */
function compared(p: Bounds, q: Bounds, strict: boolean, missing: Bounds['missing']): Value {
  if (p.high !== undefined && q.low !== undefined && (strict ? p.high < q.low : p.high <= q.low)) return true;
  if (p.low !== undefined && q.high !== undefined && (strict ? p.low >= q.high : p.low > q.high)) return false;
  return new Unknown(missing);
}

function areApart(p: Bounds, q: Bounds): boolean {
  const isBelow = (a: Bounds, b: Bounds) => a.high !== undefined && b.low !== undefined && a.high < b.low;
  return isBelow(p, q) || isBelow(q, p);
}

/** `and`, `or`: decided as soon as one side decides it, even where the other is unknown, or bounds do not tell it. */
export function junction(operator: 'and' | 'or', left: () => Value, right: () => Value): Value {
  const decisive = operator === 'or';
  const a = orOpaque(left);
  if (a === decisive) return decisive;
  const b = right();
  if (b === decisive) return decisive;
  if (a instanceof Opaque) throw a;
  return missingOf(a, b) ?? !decisive;
}

function orOpaque(side: () => Value): Value | Opaque {
  try {
    return side();
  } catch (thrown) {
    if (thrown instanceof Opaque) return thrown;
    throw thrown;
  }
}

export function not(a: Value): Value {
  return typeof a === 'boolean' ? !a : isMissing(a) ? a : new Unknown([]);
}

export function negate(a: Value): Value {
  if (typeof a === 'number') return -a;
  if (a instanceof Span) return negated(a);
  if (a instanceof Money) return new Money(-a.amount, a.code);
  return isMissing(a) ? a : new Unknown([]);
}

export function sides(a: Value, b: Value): Value {
  if (isMissing(a) || isMissing(b)) return missingOf(a, b) as Unknown | Fault;
  refuseSpans(a, b);
  const left = a instanceof Sides ? a.sides : [a as number];
  return new Sides([...left, b as number]);
}

/** A range between two ends, the low one first. */
export function range(a: Value, b: Value, node: Expression): Value {
  if (isMissing(a) || isMissing(b)) return missingOf(a, b) as Unknown | Fault;
  refuseSpans(a, b);
  if (typeof a !== 'number' || typeof b !== 'number') return new Unknown([]);
  return a <= b ? new Range(a, b) : new Fault('the high end of this range is below its low end', node);
}
