import type { AstNode } from '../grammar/syntax.ts';
import type { Instance } from '../machine/tree.ts';
import type { Span } from './span.ts';

/**
 * A computed value. Quantities are plain numbers in coherent SI units (temperature points in kelvin); their dimension is
 * known from the types, which are checked before anything is computed.
 */
export type Value =
  | number
  | boolean
  | string
  | Instance
  | Money
  | Sides
  | Curve
  | Range
  | Bounds
  | Unknown
  | Fault
  | Formula
  | Span
  | ValueList;
export type ValueList = readonly Value[];

/** An amount of one currency. */
export class Money {
  readonly amount: number;
  readonly code: string;
  constructor(amount: number, code: string) {
    this.amount = amount;
    this.code = code;
  }
}

/** A size, `230 mm x 230 mm`. */
export class Sides {
  readonly sides: readonly number[];
  constructor(sides: readonly number[]) {
    this.sides = sides;
  }
}

/** A curve through points of increasing x. */
export class Curve {
  readonly x: readonly number[];
  readonly y: readonly number[];
  constructor(x: readonly number[], y: readonly number[]) {
    this.x = x;
    this.y = y;
  }
}

/** A range as written; when it is read, one of its ends is taken (see `Scenario`). */
export class Range {
  readonly low: number;
  readonly high: number;
  constructor(low: number, high: number) {
    this.low = low;
    this.high = high;
  }
}

/** A sum over partly unknown values: at least `low` (and at most `high`, where that is known). */
export class Bounds {
  readonly low: number | undefined;
  readonly high: number | undefined;
  readonly missing: readonly Missing[];
  readonly code: string | undefined;
  constructor(low: number | undefined, high: number | undefined, missing: readonly Missing[], code?: string) {
    this.low = low;
    this.high = high;
    this.missing = missing;
    this.code = code;
  }
}

/** Something that was not given, and where it would be. */
export interface Missing {
  readonly instance: Instance;
  readonly name: string;
  /** True where it was given, with a mistake in it. */
  readonly unreadable?: boolean;
}

/** Not known, because something was not given. `absent` where the very thing asked for was left out. */
export class Unknown {
  readonly missing: readonly Missing[];
  readonly absent: boolean;
  constructor(missing: readonly Missing[], absent = false) {
    this.missing = missing;
    this.absent = absent;
  }
}

/** A value that cannot be: a table left, a solution that does not exist, a ring of formulas. */
export class Fault {
  readonly message: string;
  readonly node: AstNode | undefined;
  /** True where formulas lead back to themselves. */
  readonly ring: boolean;
  constructor(message: string, node?: AstNode, ring = false) {
    this.message = message;
    this.node = node;
    this.ring = ring;
  }
}

/** A derived value with arguments, handed to a numeric by its name. */
export class Formula {
  readonly name: string;
  readonly call: (...args: Value[]) => Value;
  /** Names of its arguments, where they have some. */
  readonly parameters: readonly string[];
  constructor(name: string, call: (...args: Value[]) => Value, parameters: readonly string[] = []) {
    this.name = name;
    this.call = call;
    this.parameters = parameters;
  }
}

/** True for what stands in place of a value. */
export function isMissing(value: Value): value is Unknown | Fault {
  return value instanceof Unknown || value instanceof Fault;
}

/** The first fault, or all that is missing, or undefined if every value is there. */
export function missingOf(...values: Value[]): Unknown | Fault | undefined {
  let first: Unknown | undefined;
  let others: (readonly Missing[])[] | undefined;
  for (const value of values) {
    if (value instanceof Fault) return value;
    if (!(value instanceof Unknown)) continue;
    first ??= value;
    if (value.missing === first.missing) continue;
    others ??= [];
    others.push(value.missing);
  }
  if (!first) return undefined;
  const missing = others ? mergeMissing(first.missing, ...others) : first.missing;
  return first.absent || first.missing !== missing ? new Unknown(missing) : first;
}

/** So many things are compared one by one; of more it is noted which were met. */
const fewMissing = 12;

/** All that is missing in one of several lists, each once. A list that holds all of it is no other one: nothing is copied for it. */
export function mergeMissing(...lists: readonly (readonly Missing[])[]): readonly Missing[] {
  let merged: readonly Missing[] = [];
  let more: Missing[] | undefined;
  let met: Map<Instance, Set<string>> | undefined;
  const isMet = ({ instance, name }: Missing): boolean => {
    if (merged.length <= fewMissing) return merged.some((m) => m.instance === instance && m.name === name);
    met ??= byInstance(merged);
    return met.get(instance)?.has(name) ?? false;
  };
  for (const list of lists) {
    if (merged.length === 0) merged = list;
    if (list === merged) continue;
    for (const missing of list) {
      if (isMet(missing)) continue;
      if (!more) {
        more = [...merged];
        merged = more;
      }
      more.push(missing);
      if (met) addTo(met, missing);
    }
  }
  return merged;
}

function byInstance(all: readonly Missing[]): Map<Instance, Set<string>> {
  const met = new Map<Instance, Set<string>>();
  for (const missing of all) addTo(met, missing);
  return met;
}

function addTo(met: Map<Instance, Set<string>>, { instance, name }: Missing): void {
  const names = met.get(instance) ?? new Set();
  met.set(instance, names.add(name));
}

/** Equality of results, so that an edit which leaves a value as it was stops there. */
export function sameValue(a: Value | undefined, b: Value | undefined): boolean {
  if (Object.is(a, b)) return true;
  if (a === undefined || b === undefined || typeof a !== 'object' || typeof b !== 'object') return false;
  if (Array.isArray(a)) return Array.isArray(b) && a.length === b.length && a.every((v, i) => sameValue(v, b[i]));
  if (a.constructor !== b.constructor) return false;
  if (a instanceof Money) return a.amount === (b as Money).amount && a.code === (b as Money).code;
  if (a instanceof Sides) return sameValue(a.sides, (b as Sides).sides);
  if (a instanceof Range) return a.low === (b as Range).low && a.high === (b as Range).high;
  if (a instanceof Curve) return sameValue(a.x, (b as Curve).x) && sameValue(a.y, (b as Curve).y);
  if (a instanceof Fault) return a.message === (b as Fault).message && a.node === (b as Fault).node;
  if (a instanceof Unknown) return a.absent === (b as Unknown).absent && sameMissing(a.missing, (b as Unknown).missing);
  if (a instanceof Bounds)
    return (
      a.low === (b as Bounds).low &&
      a.high === (b as Bounds).high &&
      a.code === (b as Bounds).code &&
      sameMissing(a.missing, (b as Bounds).missing)
    );
  return false;
}

function sameMissing(a: readonly Missing[], b: readonly Missing[]): boolean {
  return (
    a.length === b.length &&
    a.every((m, i) => m.instance === b[i]?.instance && m.name === b[i]?.name && m.unreadable === b[i]?.unreadable)
  );
}
