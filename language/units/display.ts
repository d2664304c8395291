import type { Dimension } from './dimension.ts';
import { isUnit, type NamedDimension, type Unit, type UnitSystem } from './units.ts';

/** `value` to `digits` significant digits, without exponent where a reader would not want one. */
export function formatNumber(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return Number.isNaN(value) ? 'not a number' : value > 0 ? 'infinite' : '-infinite';
  if (value === 0) return '0';
  const size = Math.abs(value);
  if (Math.round(size) >= 1e7 || Number(size.toPrecision(digits)) < 1e-4)
    return trimZeros(value.toExponential(digits - 1)).replace('e+', 'e');
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(size)));
  const text = value.toFixed(Math.min(decimals, 20));
  return trimZeros(size >= 10 ** digits ? Math.round(value).toString() : text);
}

function trimZeros(text: string): string {
  const [mantissa = '', exponent] = text.split('e');
  const trimmed = mantissa.includes('.') ? mantissa.replace(/\.?0+$/, '') : mantissa;
  return exponent === undefined ? trimmed : `${trimmed}e${exponent}`;
}

/** The unit a value of this dimension is best read in: of those listed as `shown`, the largest that leaves it 1 or more. */
export function displayUnit(system: UnitSystem, value: number, shown: readonly string[]): Unit | undefined {
  const units = shown.map((text) => system.unit(text)).filter(isUnit);
  let best = units[0];
  for (const unit of units) if (Math.abs(value) >= unit.factor * 0.9995) best = unit;
  return best;
}

/** How a dimension is called, without an article: "current"; nothing where no declared one fits. */
export function nameOfDimension(system: UnitSystem, dimension: Dimension, named?: NamedDimension): string {
  return inWords(named?.name ?? system.named(dimension)[0]?.name ?? '');
}

/** How a dimension is called in a sentence: "a current", "an energy per length". */
export function describeDimension(system: UnitSystem, dimension: Dimension, named?: NamedDimension): string {
  const name = nameOfDimension(system, dimension, named);
  if (name) return withArticle(name);
  if (dimension.powers.size === 0) return 'a bare number';
  return `a quantity in ${baseText(system, dimension)}`;
}

/** `PowerDensity` as `power density`. */
export function inWords(name: string): string {
  return name.replace(/([a-z])([A-Z])/g, '$1 $2').toLowerCase();
}

/** `a` or `an` and the words. */
export function withArticle(words: string): string {
  return `${/^[aeiou]/.test(words) ? 'an' : 'a'} ${words}`;
}

/** Coherent units of a dimension, for values no declared dimension fits: `m^2/s`. */
export function baseText(system: UnitSystem, dimension: Dimension): string {
  const part = ([base, power]: [string, number]) => {
    const size = Math.abs(power);
    return (coherentSymbol(system, base) ?? base) + (size === 1 ? '' : `^${size}`);
  };
  const powers = [...dimension.powers];
  const above = powers.filter(([, p]) => p > 0).map(part);
  const below = powers.filter(([, p]) => p < 0).map(part);
  const denominator = below.length > 1 ? `(${below.join('*')})` : below.join('*');
  return below.length === 0 ? above.join('*') : `${above.join('*') || '1'}/${denominator}`;
}

/** The symbol of a base dimension's coherent unit, which for one of them has a prefix: `kg`. */
function coherentSymbol(system: UnitSystem, base: string): string | undefined {
  const units = system.plainUnits().filter((u) => u.dimension.key === `${base}^1` && !u.of?.points);
  const plain = units.find((u) => u.factor === 1);
  if (plain) return plain.symbol;
  for (const unit of units) {
    for (const { factor, symbol } of system.prefixes.values())
      if (Math.abs(factor * unit.factor - 1) < 1e-12) return symbol + unit.symbol;
  }
  return undefined;
}
