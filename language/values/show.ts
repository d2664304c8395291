import { Instance } from '../machine/tree.ts';
import { anyType, type Type } from '../names/type.ts';
import { baseText, displayUnit, formatNumber } from '../units/display.ts';
import { isUnit, type Unit, type UnitSystem } from '../units/units.ts';
import { Span } from './span.ts';
import { Bounds, Curve, Fault, Formula, Money, Range, Sides, Unknown, type Value } from './value.ts';

interface ShowOptions {
  /** Units to choose from; by default those of the value's dimension. */
  readonly shown?: readonly string[];
  readonly digits?: number;
  /** Units as they are to be written (`mm^2`, `degC`), not as in print (`mm²`, `°C`). */
  readonly asWritten?: boolean;
}

const raised = '⁰¹²³⁴⁵⁶⁷⁸⁹';

/** A unit's symbols as in print: `mm²` for `mm^2`, `N·cm` for `N*cm`. */
export function inPrint(symbol: string): string {
  return symbol
    .replace(/\^(-?)(\d+)/g, (_, minus: string, power: string) =>
      [minus && '⁻', ...[...power].map((digit) => raised[Number(digit)])].join(''),
    )
    .replaceAll('*', '·');
}

/** A unit as people read it, `mm²`, or as it is to be written, `mm^2`. */
export function unitText(unit: Pick<Unit, 'symbol' | 'text'>, asWritten = false): string {
  return asWritten ? unit.text : inPrint(unit.symbol);
}

/** A value as people read it: `10.4 A`, `2.5 mm²`, `at least 212 EUR`. */
export function showValue(value: Value, type: Type, system: UnitSystem, options: ShowOptions = {}): string {
  if (typeof value === 'number') return showNumber(value, type, system, options);
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'string') return type.is === 'choice' ? value.replaceAll('_', ' ') : value;
  if (value instanceof Instance) return value.label;
  if (value instanceof Money) return `${money(value.amount)} ${value.code}`;
  if (value instanceof Range || value instanceof Span) return showRange(value, type, system, options);
  if (value instanceof Sides)
    return value.sides.map((side) => showNumber(side, sideType(type), system, options)).join(' x ');
  if (value instanceof Bounds) return showBounds(value, type, system, options);
  if (value instanceof Unknown) return 'not known';
  if (value instanceof Fault) return cannotBe(value.message);
  if (value instanceof Curve) return showCurve(value, type, system, options);
  if (value instanceof Formula) return value.name;
  const element = type.is === 'list' ? type.of : type;
  return `[${value.map((v: Value) => showValue(v, element, system, options)).join(', ')}]`;
}

/** Said of what cannot be: `cannot be computed: this divides by zero`. */
export function cannotBe(because: string): string {
  return `cannot be computed: ${because}`;
}

/** A curve is shown at so many of its points, its ends among them. */
const shownPoints = 5;

/** A curve as a row of numbers with its ends: `20 °C at 0 s, 63 °C at 1 min, 80 °C at 2 min`. */
function showCurve({ x, y }: Curve, type: Type, system: UnitSystem, options: ShowOptions): string {
  const last = x.length - 1;
  const steps = Math.min(last, shownPoints - 1);
  const at = steps > 0 ? Array.from({ length: steps + 1 }, (_, i) => Math.round((i * last) / steps)) : [0];
  const [xType, yType] = type.is === 'curve' ? [type.x, type.y] : [anyType, anyType];
  const [of, shown] = [showValue, { digits: options.digits, asWritten: options.asWritten }] as const;
  return at.map((i) => `${of(y[i] ?? 0, yType, system, shown)} at ${of(x[i] ?? 0, xType, system, shown)}`).join(', ');
}

/** Both ends in the unit of the greater: `3.97 to 4.89 min`. */
function showRange(range: Range, type: Type, system: UnitSystem, options: ShowOptions): string {
  const digits = options.digits ?? 3;
  const unit = unitFor(range.high, type, system, options.shown);
  const number = (end: number) => formatNumber((end - (unit?.zero ?? 0)) / (unit?.factor ?? 1), digits);
  const both =
    number(range.low) === number(range.high) ? number(range.low) : `${number(range.low)} to ${number(range.high)}`;
  return unit && unit.text !== '1' ? `${both} ${unitText(unit, options.asWritten)}` : both;
}

function sideType(type: Type): Type {
  return type.is === 'sides' ? type.of : type;
}

function money(amount: number): string {
  return Number.isInteger(amount) ? String(amount) : amount.toFixed(2);
}

function showNumber(value: number, type: Type, system: UnitSystem, options: ShowOptions): string {
  const digits = options.digits ?? 3;
  const unit = unitFor(value, type, system, options.shown);
  // A sum of prices that there are none of is of no currency.
  if (!unit || unit.text === '1' || isCurrency(unit.text, system)) return formatNumber(value, digits);
  const number = (value - (unit.zero ?? 0)) / unit.factor;
  // A point's digits count from its scale's zero: 60.2 °C, 235 °C.
  return `${formatNumber(number, digits)} ${unitText(unit, options.asWritten)}`;
}

function isCurrency(text: string, system: UnitSystem): boolean {
  const unit = system.unit(text);
  return isUnit(unit) && unit.currency !== undefined;
}

/** The unit a number of this type is shown in; none for bare numbers. */
export function unitFor(
  value: number,
  type: Type,
  system: UnitSystem,
  shown?: readonly string[],
): Pick<Unit, 'factor' | 'symbol' | 'text' | 'zero'> | undefined {
  if (type.is !== 'quantity') return undefined;
  const listed = shown?.length ? shown : (type.named ?? pointsOr(type, system))?.shown;
  if (listed?.length) {
    const chosen = displayUnit(system, value, listed);
    if (chosen) return chosen;
  }
  if (type.dimension.powers.size === 0) return undefined;
  const text = baseText(system, type.dimension);
  return { factor: 1, symbol: text, text };
}

function pointsOr(type: Extract<Type, { is: 'quantity' }>, system: UnitSystem) {
  return system
    .named(type.dimension)
    .find((named) => named.points === (type.points ?? false) && !(type.bare && named.shown.length));
}

function showBounds(value: Bounds, type: Type, system: UnitSystem, options: ShowOptions): string {
  const { low, high, code } = value;
  if (code && low !== undefined && high !== undefined) return `${money(low)} to ${money(high)} ${code}`;
  const show = (end: number) => (value.code ? `${money(end)} ${value.code}` : showNumber(end, type, system, options));
  const parts = [];
  // Where nothing is missing, it is a search that ended there.
  const [least, most] = value.missing.length > 0 ? ['at least', 'at most'] : ['more than', 'less than'];
  if (value.low !== undefined) parts.push(`${least} ${show(value.low)}`);
  if (value.high !== undefined) parts.push(`${most} ${show(value.high)}`);
  return parts.join(', ') || 'not known';
}

/** The name of the coherent SI unit of a type, for machine-readable output. */
export function coherentUnit(type: Type, system: UnitSystem): string {
  if (type.is !== 'quantity') return '';
  const named = type.named?.shown.map((text) => system.unit(text)).filter(isUnit);
  const coherent = named?.find((unit) => unit.factor === 1 && unit.zero === undefined);
  if (coherent) return coherent.text;
  const same = system
    .plainUnits()
    .find((unit) => unit.factor === 1 && unit.of && unit.of === type.named && unit.zero === undefined);
  return same?.text ?? baseText(system, type.dimension);
}
