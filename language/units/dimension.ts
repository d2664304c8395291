/**
 * Dimensions as products of powers of base dimensions. A base is known by its name, declared in the library
 * (`dimension Length { base }`), so that nothing here lists what can be measured.
 */
export interface Dimension {
  /** Canonical text such as `Length^2*Time^-1`; equal dimensions have equal keys. */
  readonly key: string;
  readonly powers: ReadonlyMap<string, number>;
}

const known = new Map<string, Dimension>();

function dimensionOf(powers: Map<string, number>): Dimension {
  const kept = [...powers].filter(([, power]) => Math.abs(power) > 1e-9).sort(([a], [b]) => (a < b ? -1 : 1));
  const key = kept.map(([name, power]) => `${name}^${Math.round(power * 1e6) / 1e6}`).join('*');
  let dimension = known.get(key);
  if (!dimension) {
    dimension = { key, powers: new Map(kept) };
    known.set(key, dimension);
  }
  return dimension;
}

/** The dimension of counts, ratios and angles. */
export const dimensionless: Dimension = dimensionOf(new Map());

/** A base dimension by name. */
export function baseDimension(name: string): Dimension {
  return dimensionOf(new Map([[name, 1]]));
}

/** `a` times `b` to the power of `sign`: 1 multiplies, -1 divides. */
export function multiply(a: Dimension, b: Dimension, sign = 1): Dimension {
  if (b.powers.size === 0) return a;
  const powers = new Map(a.powers);
  for (const [name, power] of b.powers) powers.set(name, (powers.get(name) ?? 0) + sign * power);
  return dimensionOf(powers);
}

/** `a` to a power, which may be a fraction (a square root is 0.5). */
export function raise(a: Dimension, exponent: number): Dimension {
  return dimensionOf(new Map([...a.powers].map(([name, power]) => [name, power * exponent])));
}
