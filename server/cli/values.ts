import { Instance } from '../../language/machine/tree.ts';
import type { QuantityType, Type } from '../../language/names/type.ts';
import type { UnitSystem } from '../../language/units/units.ts';
import { coherentUnit, showValue } from '../../language/values/show.ts';
import { Span } from '../../language/values/span.ts';
import {
  Bounds,
  Curve,
  Fault,
  Formula,
  type Missing,
  Money,
  Range,
  Sides,
  Unknown,
  type Value,
} from '../../language/values/value.ts';
import type { Value as Encoded } from './schema.ts';

/** A value as data that any program reads: numbers in coherent SI units, not rounded. `text` is what people read. */
export function encode(value: Value, type: Type, system: UnitSystem, text: string): Encoded {
  if (typeof value === 'number') return number(value, type, system, text);
  if (typeof value === 'boolean' || typeof value === 'string') return { value, text };
  if (value instanceof Money) return { amount: value.amount, currency: value.code, text };
  if (value instanceof Sides)
    return { si: [...value.sides], ...unitOf(type.is === 'sides' ? type.of : type, system), text };
  if (value instanceof Range || value instanceof Span)
    return { si: null, low: value.low, high: value.high, ...unitOf(type, system), text };
  if (value instanceof Bounds) return bounds(value, type, system, text);
  if (value instanceof Unknown) return unknown(value, type, system, text);
  if (value instanceof Fault) return { si: null, ...maybeUnit(type, system), error: value.message, text };
  if (value instanceof Instance) return { block: blockOf(value), text };
  if (value instanceof Curve) return curve(value, type, system, text);
  if (value instanceof Formula) return { value: value.name, text };
  const element = type.is === 'list' ? type.of : type;
  return { list: value.map((v: Value) => encode(v, element, system, showValue(v, element, system))), text };
}

/** A value as one plain datum and the unit it is in; null where it takes more to say it, or there is none. */
export function plainValue(value: Value, type: Type, system: UnitSystem): { value: Plain; unit?: string } {
  if (typeof value === 'number')
    return { value: Number.isFinite(value) ? value : null, unit: unitOf(type, system).unit };
  if (typeof value === 'boolean' || typeof value === 'string') return { value };
  if (value instanceof Money) return { value: value.amount, unit: value.code };
  return { value: value instanceof Instance ? blockOf(value) : null };
}

type Plain = number | boolean | string | null;

/** A block of the machine by its path below it, anything else by its name. */
function blockOf(instance: Instance): string {
  return instance.holder ? instance.label : instance.name;
}

function number(value: number, type: Type, system: UnitSystem, text: string): Encoded {
  if (!Number.isFinite(value)) return { si: null, ...maybeUnit(type, system), error: 'not a finite number', text };
  return { si: value, ...unitOf(type, system), text };
}

/** The unit, and for temperatures whether it is a point or a difference. */
function unitOf(type: Type, system: UnitSystem): { unit: string; temperature?: 'point' | 'difference' } {
  const unit = coherentUnit(type, system) || '1';
  return type.is === 'quantity' ? { unit, ...temperature(type, system) } : { unit };
}

function maybeUnit(type: Type, system: UnitSystem) {
  return type.is === 'quantity' && !type.money ? unitOf(type, system) : {};
}

function temperature(type: QuantityType, system: UnitSystem): { temperature?: 'point' | 'difference' } {
  if (!system.named(type.dimension).some((named) => named.points)) return {};
  return { temperature: type.points ? 'point' : 'difference' };
}

function bounds({ low, high, missing, code }: Bounds, type: Type, system: UnitSystem, text: string): Encoded {
  const ends = {
    ...(low !== undefined && Number.isFinite(low) && { low }),
    ...(high !== undefined && Number.isFinite(high) && { high }),
    missing: missing.map(pathOf),
  };
  return code ? { amount: null, ...ends, currency: code, text } : { si: null, ...ends, ...unitOf(type, system), text };
}

function unknown({ missing }: Unknown, type: Type, system: UnitSystem, text: string): Encoded {
  const paths = (unreadable: boolean) => [
    ...new Set(missing.filter((m) => (m.unreadable ?? false) === unreadable).map(pathOf)),
  ];
  const unreadable = paths(true);
  return {
    si: null,
    ...maybeUnit(type, system),
    missing: paths(false),
    ...(unreadable.length && { unreadable }),
    text,
  };
}

function pathOf({ instance, name }: Missing): string {
  return instance.holder ? `${instance.label}.${name}` : name;
}

function curve(value: Curve, type: Type, system: UnitSystem, text: string): Encoded {
  const unit = (axis: Type | undefined) => (axis ? unitOf(axis, system).unit : '1');
  const [x, y] = type.is === 'curve' ? [type.x, type.y] : [undefined, undefined];
  return { x: [...value.x], y: [...value.y], units: [unit(x), unit(y)], text };
}
