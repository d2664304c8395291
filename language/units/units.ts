import type { Clause, Declaration, Expression } from '../grammar/generated/ast.ts';
import { baseDimension, type Dimension, dimensionless, multiply, raise } from './dimension.ts';

/** A dimension with the trade's name for it: torque and energy share a `Dimension`, not a `NamedDimension`. */
export interface NamedDimension {
  readonly name: string;
  readonly dimension: Dimension;
  /** True for points on a scale (temperatures), which can be subtracted but never added. */
  readonly points: boolean;
  /** True for amounts of money, which carry a currency code beside the amount. */
  readonly money: boolean;
  /** Units to show values in, smallest first, as declared by `shown`. */
  readonly shown: readonly string[];
  readonly node: Declaration;
}

/** A unit as it can be written, prefixes and products resolved. */
export interface Unit {
  readonly text: string;
  /** Coherent SI value of one of it. */
  readonly factor: number;
  readonly dimension: Dimension;
  /** The one named dimension this unit belongs to (`J`: Energy, `rpm`: RotationSpeed); none for products. */
  readonly of?: NamedDimension;
  /** SI value of the scale's zero, for points (`degC`: 273.15). */
  readonly zero?: number;
  /** ISO 4217 code, for money. */
  readonly currency?: string;
  /** Spelling for people, `°C` for `degC`. */
  readonly symbol: string;
  readonly node?: Declaration;
}

/** Why a unit's text was not understood: the part at fault, and a near spelling if there is one. */
interface NoUnit {
  readonly part: string;
  readonly suggestion?: string;
}

export function clausesOf(declaration: { body?: { members: readonly unknown[] } }, keyword: string): Clause[] {
  return ((declaration.body?.members ?? []) as Clause[]).filter((m) => m.$type === 'Clause' && m.keyword === keyword);
}

/** All dimensions and units, as the library declares them. */
export class UnitSystem {
  readonly dimensions = new Map<string, NamedDimension>();
  readonly prefixes = new Map<string, { factor: number; symbol: string; node: Declaration }>();
  readonly #units = new Map<string, Unit>();
  readonly #plain = new Map<string, { unit: Unit; prefixes: readonly string[] | 'all' }>();
  readonly #byKey = new Map<string, NamedDimension[]>();
  readonly #cache = new Map<string, Unit | NoUnit>();

  /** Builds the system from `dimension`, `prefix` and `unit` declarations; of each sort, each is declared before its use. */
  constructor(declarations: Iterable<Declaration>) {
    const all = [...declarations];
    for (const node of all) if (node.what === 'dimension') this.#addDimension(node);
    for (const node of all) if (node.what === 'prefix') this.#addPrefix(node);
    for (const node of all) if (node.what === 'unit') this.#addUnit(node);
  }

  #addDimension(node: Declaration): void {
    const name = node.name.text;
    const dimension = node.value ? this.#dimensionValue(node.value) : baseDimension(name);
    const shown = clausesOf(node, 'shown').flatMap((clause) => clause.values.map(unitText));
    const money = !node.value && clausesOf(node, 'base').some((clause) => clause.values.length > 0);
    const named = { name, dimension, points: clausesOf(node, 'zero').length > 0, money, shown, node };
    this.dimensions.set(name, named);
    this.#byKey.set(dimension.key, [...(this.#byKey.get(dimension.key) ?? []), named]);
  }

  #addPrefix(node: Declaration): void {
    const symbol = symbolOf(node) ?? node.name.text;
    this.prefixes.set(node.name.text, { factor: node.value ? this.#number(node.value) : 1, symbol, node });
  }

  #addUnit(node: Declaration): void {
    const term = node.type?.terms[0];
    const of = term?.$type === 'NamedType' ? this.dimensions.get(term.name.text) : undefined;
    if (!of) return;
    const text = node.name.text;
    const zeroClause = clausesOf(node, 'zero')[0]?.values[0];
    const unit: Unit = {
      text,
      factor: node.value ? this.#unitValue(node.value).factor : 1,
      dimension: of.dimension,
      of,
      zero: zeroClause ? this.#unitValue(zeroClause).factor : of.points ? 0 : undefined,
      currency: of.money ? text : undefined,
      symbol: symbolOf(node) ?? text,
      node,
    };
    const prefixes = clausesOf(node, 'prefixes').flatMap((clause) => clause.values.map(unitText));
    this.#plain.set(text, { unit, prefixes: prefixes.includes('all') ? 'all' : prefixes });
    this.#units.set(text, unit);
    if (unit.symbol !== text) this.#units.set(unit.symbol, unit);
  }

  #dimensionValue(node: Expression): Dimension {
    if (node.$type === 'Reference') return this.dimensions.get(node.name.text)?.dimension ?? dimensionless;
    if (node.$type === 'Group') return this.#dimensionValue(node.inner);
    if (node.$type !== 'Binary') return dimensionless;
    const left = this.#dimensionValue(node.left);
    if (node.operator === '^') return raise(left, this.#number(node.right));
    return multiply(left, this.#dimensionValue(node.right), node.operator === '/' ? -1 : 1);
  }

  #number(node: Expression): number {
    if (node.$type === 'Quantity') return Number(node.number);
    if (node.$type === 'Unary') return -this.#number(node.operand);
    if (node.$type === 'Group') return this.#number(node.inner);
    if (node.$type !== 'Binary') return Number.NaN;
    return combine(node.operator, this.#number(node.left), this.#number(node.right));
  }

  #unitValue(node: Expression): Unit {
    const none: Unit = { text: '', factor: 1, dimension: dimensionless, symbol: '' };
    if (node.$type === 'Reference') return asUnit(this.unit(node.name.text)) ?? none;
    if (node.$type === 'Group') return this.#unitValue(node.inner);
    if (node.$type === 'Quantity') {
      const unit = node.unit ? asUnit(this.unit(node.unit)) : undefined;
      return { ...(unit ?? none), factor: Number(node.number) * (unit?.factor ?? 1) };
    }
    if (node.$type !== 'Binary') return none;
    const left = this.#unitValue(node.left);
    if (node.operator === '^') {
      const exponent = this.#number(node.right);
      return { ...none, factor: left.factor ** exponent, dimension: raise(left.dimension, exponent) };
    }
    return product(left, this.#unitValue(node.right), node.operator === '/' ? -1 : 1);
  }

  /** The unit that `text` writes, such as `W/(m*K)`, or what is wrong with it. */
  unit(text: string): Unit | NoUnit {
    let result = this.#cache.get(text);
    if (!result) {
      result = this.#simple(text) ?? new UnitText(text, (part) => this.#simple(part)).read() ?? this.#noUnit(text);
      if (!('part' in result)) result = { ...result, text };
      else result = this.#withoutPower(text) ?? this.#noUnit(result.part);
      this.#cache.set(text, result);
    }
    return result;
  }

  /** A unit without operators: plain, or a prefix and a plain one. */
  #simple(text: string): Unit | undefined {
    const found = this.#units.get(text);
    if (found) return found;
    for (const [prefix, { factor, symbol }] of this.prefixes) {
      for (const spelling of prefix === symbol ? [prefix] : [prefix, symbol]) {
        if (!text.startsWith(spelling)) continue;
        const rest = this.#units.get(text.slice(spelling.length));
        const plain = rest && this.#plain.get(rest.text);
        if (!plain || (plain.prefixes !== 'all' && !plain.prefixes.includes(prefix))) continue;
        const unit = plain.unit;
        return { ...unit, text, factor: factor * unit.factor, symbol: symbol + unit.symbol };
      }
    }
    return undefined;
  }

  /** What was meant by a digit right behind a unit, as in `mm2`. */
  #withoutPower(text: string): NoUnit | undefined {
    const suggestion = text.replace(/(\p{L})(?=\d)/gu, '$1^');
    if (suggestion === text || !isUnit(this.unit(suggestion))) return undefined;
    return { part: text, suggestion };
  }

  #noUnit(part: string): NoUnit {
    const wanted = part.toLowerCase();
    const names = [...this.#units.keys()];
    const prefixed = [...this.#plain.values()].flatMap(({ unit, prefixes }) =>
      (prefixes === 'all' ? ['k', 'm', 'u', 'M', 'n', 'c'] : prefixes).map((p) => p + unit.text),
    );
    const suggestion = [...names, ...prefixed].find((name) => name.toLowerCase() === wanted && name !== part);
    return { part, suggestion };
  }

  /** All named dimensions with this dimension, in the library's order. */
  named(dimension: Dimension): readonly NamedDimension[] {
    return this.#byKey.get(dimension.key) ?? [];
  }

  /** Every unit that can be written without prefix, in the library's order. */
  plainUnits(): Unit[] {
    return [...this.#plain.values()].map(({ unit }) => unit);
  }

  /** The spelling to write for a unit given by its symbol (`degC` for `°C`), if they differ. */
  asWritten(text: string): string | undefined {
    const unit = this.#units.get(text);
    return unit && unit.text !== text && unit.symbol === text && text !== '%' ? unit.text : undefined;
  }
}

/** Reads products, quotients and powers of simple units, without blanks: `kg*m^2/s^2`, `W/(m*K)`. */
class UnitText {
  #at = 0;
  readonly text: string;
  readonly simple: (part: string) => Unit | undefined;
  constructor(text: string, simple: (part: string) => Unit | undefined) {
    this.text = text;
    this.simple = simple;
  }

  read(): Unit | NoUnit | undefined {
    const result = this.#product();
    if (result && !('part' in result) && this.#at < this.text.length) return { part: this.text.slice(this.#at) };
    return result;
  }

  #product(): Unit | NoUnit | undefined {
    let left = this.#power();
    while (left && !('part' in left) && (this.text[this.#at] === '*' || this.text[this.#at] === '/')) {
      const sign = this.text[this.#at++] === '*' ? 1 : -1;
      const right = this.#power();
      if (!right || 'part' in right) return right;
      left = product(left, right, sign);
    }
    return left;
  }

  #power(): Unit | NoUnit | undefined {
    let unit: Unit | NoUnit | undefined;
    if (this.text[this.#at] === '(') {
      this.#at++;
      unit = this.#product();
      if (this.text[this.#at] === ')') this.#at++;
    } else {
      const part = /^(1|[^*/^()\d][^*/^()\d]*)/.exec(this.text.slice(this.#at))?.[0];
      if (!part) return { part: this.text.slice(this.#at) || this.text };
      this.#at += part.length;
      unit = part === '1' ? { text: '1', symbol: '1', factor: 1, dimension: dimensionless } : this.simple(part);
      if (!unit) return { part };
    }
    const exponent = /^\^(-?\d+)/.exec(this.text.slice(this.#at));
    if (!exponent || !unit || 'part' in unit) return unit;
    this.#at += exponent[0].length;
    const power = Number(exponent[1]);
    const dimension = raise(unit.dimension, power);
    return { text: '', factor: unit.factor ** power, dimension, symbol: `${unit.symbol}^${power}` };
  }
}

function product(a: Unit, b: Unit, sign: number): Unit {
  return {
    text: '',
    factor: sign > 0 ? a.factor * b.factor : a.factor / b.factor,
    dimension: multiply(a.dimension, b.dimension, sign),
    currency: a.currency ?? b.currency,
    symbol: `${a.symbol}${sign > 0 ? '*' : '/'}${/[*/]/.test(b.symbol) && sign < 0 ? `(${b.symbol})` : b.symbol}`,
  };
}

/** True when a unit was understood. */
export function isUnit(result: Unit | NoUnit): result is Unit {
  return !('part' in result);
}

function asUnit(result: Unit | NoUnit): Unit | undefined {
  return isUnit(result) ? result : undefined;
}

function combine(operator: string, a: number, b: number): number {
  if (operator === '^') return a ** b;
  if (operator === '*') return a * b;
  if (operator === '/') return a / b;
  return operator === '+' ? a + b : a - b;
}

function symbolOf(node: Declaration): string | undefined {
  const value = clausesOf(node, 'symbol')[0]?.values[0];
  return value?.$type === 'Text' ? value.text.replace(/^"|"$/g, '') : undefined;
}

/** The text of a unit written as an expression, as in `shown mm^2, W/(m*K)`; of one that is half typed, what there is. */
export function unitText(node: Expression | undefined): string {
  if (!node) return '';
  if (node.$type === 'Reference') return node.name.text;
  if (node.$type === 'Quantity') return node.number;
  if (node.$type === 'Group') return `(${unitText(node.inner)})`;
  if (node.$type === 'Unary') return `-${unitText(node.operand)}`;
  if (node.$type === 'Binary') return `${unitText(node.left)}${node.operator}${unitText(node.right)}`;
  return '';
}
