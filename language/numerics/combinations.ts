import { missingOf, Unknown, type Value } from '../values/value.ts';

/**
 * Which of some circuits can be on together: a row for each largest set in which none is with one that it is never with (`one` and
 * `other`, pair by pair), true where a circuit is on. What only circuits feed that are off is off too (`load` of one is `source` of the
 * other). Of those that are `alone` and have the same load, one is on. More than `most` pairs are not counted out: then the one row has all on.
 */
export function combinations(
  circuits: Value,
  one: Value,
  other: Value,
  load: Value,
  source: Value,
  alone: Value,
  most: Value,
): Value {
  const missing = missingOf(circuits, one, other, load, source, alone, most);
  if (missing) return missing;
  const all = items(circuits);
  const told = items(one)
    .map((c, i) => [all.indexOf(c), all.indexOf(items(other)[i] as Value)] as const)
    .filter(([a, b]) => a >= 0 && b >= 0 && a !== b);
  if (told.length > Number(most)) return [all.map(() => true)];
  const pairs = [...told, ...inTurn(items(load), items(alone))];
  const excluded = all.map((_, k) => new Set(pairs.flatMap(([a, b]) => (a === k ? [b] : b === k ? [a] : []))));
  return largestSets(excluded).map((on) => alive(on, items(load), items(source)));
}

function items(value: Value): readonly Value[] {
  return Array.isArray(value) ? value : [];
}

/** Pairs of circuits of which one is on, because they lead to the same load. */
function inTurn(load: readonly Value[], alone: readonly Value[]): (readonly [number, number])[] {
  return load.flatMap((l, k) =>
    alone[k] === true ? load.flatMap((m, j) => (j > k && m === l && alone[j] === true ? [[k, j] as const] : [])) : [],
  );
}

/** All sets without an excluded pair to which nothing can be added, as true and false for each. */
function largestSets(excluded: readonly ReadonlySet<number>[]): boolean[][] {
  const bound = [...excluded.keys()].filter((k) => excluded[k]?.size);
  const found: boolean[][] = [];
  const extend = (at: number, chosen: ReadonlySet<number>) => {
    const k = bound[at];
    if (k === undefined) {
      const isLargest = bound.every(
        (j) => chosen.has(j) || [...(excluded[j] ?? [])].some((other) => chosen.has(other)),
      );
      if (isLargest) found.push([...excluded.keys()].map((j) => !excluded[j]?.size || chosen.has(j)));
      return;
    }
    const others = [...(excluded[k] ?? [])];
    if (!others.some((other) => chosen.has(other))) extend(at + 1, new Set([...chosen, k]));
    // Left out, it must be one of those that is excluded by it that is on instead.
    if (others.some((other) => chosen.has(other) || other > k)) extend(at + 1, chosen);
  };
  extend(0, new Set());
  return found;
}

/** What is still on when what feeds it is off, as often as one feeds the next. */
function alive(on: readonly boolean[], load: readonly Value[], source: readonly Value[]): boolean[] {
  let now = [...on];
  for (;;) {
    const next = now.map((is, k) => {
      const feeders = load.flatMap((l, j) => (l === source[k] ? [j] : []));
      return is && (feeders.length === 0 || feeders.some((j) => now[j]));
    });
    if (next.every((is, k) => is === now[k])) return next;
    now = next;
  }
}

/**
 * The greatest of the sums over rows, one for each combination: each value of a row times its weight, yes counting as 1 and no as 0. What
 * has no weight need not be known. In the unit of the rows times that of the weights.
 */
export function greatestSum(rows: Value, weights: Value): Value {
  const missing = missingOf(rows, weights, ...items(weights));
  if (missing) return missing;
  const by = items(weights) as readonly number[];
  const sums = items(rows).map((row) => missingOf(row) ?? sumOf(items(row), by));
  return missingOf(...sums) ?? Math.max(0, ...(sums as number[]));
}

function sumOf(row: readonly Value[], weights: readonly number[]): Value {
  const counted = row.filter((_, k) => weights[k] !== 0);
  return (
    missingOf(...counted) ?? row.reduce<number>((sum, x, k) => (weights[k] ? sum + Number(x) * weights[k] : sum), 0)
  );
}

/**
 * The most power (W) that some circuits take together from what `per_ampere` (V) says: for each ampere that, less what a `power_factor`
 * below 1 makes of the voltage `left` (V) for the load. P = U I - (1 - cos phi) U_left I.
 */
export function greatestPower(currents: Value, left: Value, per_ampere: Value, power_factor: Value): Value {
  const missing = missingOf(currents, left, per_ampere, power_factor, ...items(per_ampere), ...items(power_factor));
  if (missing) return missing;
  const rows = items(currents).map((row, i) =>
    items(row).map((current, k) => {
      const [per, factor] = [items(per_ampere)[k] as number, items(power_factor)[k] as number];
      if (per === 0) return 0;
      const voltage = items(items(left)[i] as Value)[k] as Value;
      return missingOf(current, voltage) ?? Number(current) * (per - (1 - factor) * Number(voltage));
    }),
  );
  return greatestSum(
    rows,
    items(per_ampere).map(() => 1),
  );
}

/** The greatest of each column of rows, in their unit. */
export function greatestOfEach(rows: Value): Value {
  return ofEach(rows, Math.max);
}

/** The least of each column of rows, in their unit. */
export function leastOfEach(rows: Value): Value {
  return ofEach(rows, Math.min);
}

function ofEach(rows: Value, pick: (...numbers: number[]) => number): Value {
  const missing = missingOf(rows, ...items(rows));
  if (missing) return missing;
  const [first] = items(rows);
  if (first === undefined) return new Unknown([]);
  return items(first).map((_, k) => {
    const column = items(rows).map((row) => items(row)[k] as Value);
    return missingOf(...column) ?? column.reduce<number>((x, y) => pick(x, y as number), column[0] as number);
  });
}
