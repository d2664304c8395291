import { Bounds, isMissing, Money, type Value } from '../values/value.ts';
import type { Cell, Corners, Ends, Engine } from './cell.ts';
import { type Proof, proofOf } from './proof.ts';
import { lookForLeast, type Point } from './search.ts';

/** The most ranges of which every combination of ends is tried. */
const mostRanges = 4;
/** How often each range is turned, at most, on the way to the worst. */
const mostTurns = 8;

/** How far the worst was searched for, in words; undefined where there is nothing to search, or every end was tried and no inside. */
export function searchedIn(corners: Corners): string | undefined {
  if (corners.proved) return undefined;
  if (corners.points === undefined) return endsTriedOf(corners);
  return corners.of > 1 ? `searched ${corners.points} points` : undefined;
}

/** How many combinations of ends were tried, in words; undefined where all were, or need not be. */
export function endsTriedOf({ tried, of, proved }: Corners): string | undefined {
  if (proved) return undefined;
  const ends = tried.filter((at) => !at.isInside).length;
  return ends < of ? `searched ${ends} of ${of} combinations of ends` : undefined;
}

/**
 * The combinations of ends that tell how a cell can come out. Up to four ranges: all of them. Beyond that those found by the
 * effect of each range alone, and from there by turning single ranges until none leads further, to the least and to the greatest
 * of what is measured: the cell's own value or, for a verdict, its margin.
 */
export function cornersOf(cell: Cell, engine: Engine): { what: Corners; by: Cell } {
  let rests = engine.restsOf(cell, engine.low);
  for (;;) {
    const by = rests.ranges.length > mostRanges && cell.measure ? cell.measure() : cell;
    const what = rests.ranges.length > mostRanges ? searched(rests, engine, by) : everyCorner(rests, engine);
    // Which ranges a value rests on may itself depend on the ends taken.
    const more = what.tried.reduce((all, ends) => all.and(engine.restsOf(cell, ends)), rests);
    if (more === rests) {
      const { tried, of } = what;
      const values = engine.aside(() => tried.map((ends) => engine.under(ends, () => engine.value(cell))));
      return { what: { tried, values, of }, by };
    }
    rests = more;
  }
}

/** The most ranges of which a deeper search begins at every combination of ends. */
const mostDeep = 8;
/** What a value may differ by through rounding alone, as a share of it. */
const rounding = 1e-9;

/**
 * In steps, of a cell that rests on ranges: what `cornersOf` gives, and where a value is less or greater inside ranges than at any of
 * their ends: the lowest and the highest point that a search finds there, and one where it is not known.
 */
export function* searchedDeeper(cell: Cell, engine: Engine): Generator<void, { what: Corners; by: Cell }> {
  const first = engine.corners(cell);
  const proof = proofOf(cell, engine);
  const decided = proof && decidedBy(proof, cell, first, engine);
  if (decided && proof.isWorst) return { what: decided, by: cell };
  const by = cell.measure?.() ?? cell;
  const rests = first.tried.reduce((all, ends) => all.and(engine.restsOf(cell, ends)), engine.low);
  const tried = new Map<Ends, number>();
  const measured = (ends: Ends): number => {
    let known = tried.get(ends);
    if (known === undefined) {
      known = amountOf(engine.under(ends, () => engine.value(by)));
      tried.set(ends, known);
    }
    return known;
  };
  const ends = rests.ranges.length <= mostDeep ? everyCorner(rests, engine).tried : first.tried;
  const starts = ends.map((at) => rests.ranges.map((range) => at.share(range)));
  // Of a verdict only the worse side is of interest, of a value both.
  for (const sign of cell.measure ? [1] : [1, -1])
    yield* lookForLeast(rests.ranges.length, starts, (point: Point) => sign * measured(rests.placed(point)));
  const kept = [...new Set([...(decided ?? first).tried, ...beyond(tried, ends, cell, engine)])];
  const values = engine.aside(() => kept.map((at) => engine.under(at, () => engine.value(cell))));
  return { what: { tried: kept, values, of: first.of, points: tried.size, proved: decided?.proved }, by };
}

/** The ends tried before, and those of a proof; undefined where a verdict fails at one of them, so that nothing is proved but that. */
function decidedBy(proof: Proof, cell: Cell, first: Corners, engine: Engine): Corners | undefined {
  const tried = [...new Set([...first.tried, ...proof.corners])];
  const values = engine.aside(() => tried.map((at) => engine.under(at, () => engine.value(cell))));
  if (cell.measure && values.includes(false)) return undefined;
  return { tried, values, of: first.of, points: tried.length, proved: true };
}

/** Of the points tried, those that are lower and higher than every combination of ends, and the first where a value is missing. */
function beyond(tried: ReadonlyMap<Ends, number>, ends: readonly Ends[], cell: Cell, engine: Engine): Ends[] {
  const points = [...tried];
  const atEnds = ends.map((at) => tried.get(at) ?? 0);
  const least = points.reduce((a, b) => (b[1] < a[1] ? b : a));
  const most = points.reduce((a, b) => (b[1] > a[1] ? b : a));
  const lowest = Math.min(...atEnds);
  const highest = Math.max(...atEnds);
  const found = [];
  if (least[1] < lowest - rounding * Math.abs(lowest)) found.push(least[0]);
  if (most[1] > highest + rounding * Math.abs(highest)) found.push(most[0]);
  const missing = points.find(([at]) => engine.under(at, () => isMissing(engine.value(cell))));
  return missing ? [...found, missing[0]] : found;
}

function everyCorner({ ranges }: Ends, engine: Engine): Omit<Corners, 'values'> {
  let tried = [engine.low];
  for (const range of ranges) tried = [...tried, ...tried.map((ends) => ends.flipped(range))];
  return { tried, of: tried.length };
}

function searched(rests: Ends, engine: Engine, cell: Cell): Omit<Corners, 'values'> {
  const tried = new Map<Ends, number>();
  const at = (ends: Ends): number => {
    let known = tried.get(ends);
    if (known === undefined) {
      known = amountOf(engine.under(ends, () => engine.value(cell)));
      tried.set(ends, known);
    }
    return known;
  };
  for (const sign of [1, -1]) toTheLeast(rests, engine.low, (ends) => sign * at(ends));
  return { tried: [...tried.keys()].sort(byRanges), of: 2 ** rests.ranges.length };
}

/** Goes from all low and all high to where each range alone makes it less, and on while turning one range still does. */
function toTheLeast(rests: Ends, low: Ends, at: (ends: Ends) => number): void {
  for (const start of [low, rests]) {
    let best = start;
    for (const range of rests.ranges) if (at(start.flipped(range)) < at(start)) best = best.flipped(range);
    for (let turns = 0, since = 0; since < rests.ranges.length && turns < mostTurns * rests.ranges.length; turns++) {
      const other = best.flipped(rests.ranges[turns % rests.ranges.length] as Cell);
      since++;
      if (at(other) < at(best)) [best, since] = [other, 0];
    }
  }
}

/** Fewer high ends first, so that which of several alike comes last does not depend on the way the search took. */
function byRanges(a: Ends, b: Ends): number {
  if (a.ranges.length !== b.ranges.length) return a.ranges.length - b.ranges.length;
  const [x, y] = [a, b].map(({ ranges }) => ranges.map((range) => range.path).join()) as [string, string];
  return x < y ? -1 : 1;
}

function amountOf(value: Value): number {
  if (typeof value === 'number') return value;
  if (value instanceof Money) return value.amount;
  if (value instanceof Bounds) return value.low ?? value.high ?? 0;
  // Of a yes or no, no is the worse, and counts less; what is not known stands between the two.
  return typeof value === 'boolean' ? (value ? 1 : -1) : 0;
}
