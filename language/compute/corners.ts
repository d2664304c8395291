import { Bounds, Money, type Value } from '../values/value.ts';
import type { Cell, Engine } from './cell.ts';
import type { Ends } from './ends.ts';

/** The combinations of ends at which a value was looked at, and how many there are in all. */
export interface Corners {
  readonly tried: readonly Ends[];
  /** The value at each of them. */
  readonly values: readonly Value[];
  readonly of: number;
}

/** The most ranges of which every combination of ends is tried. */
const mostRanges = 4;
/** How often each range is turned, at most, on the way to the worst. */
const mostTurns = 8;

/** How a search failed to try every combination, in words; undefined where all were tried. */
export function searchedIn({ tried, of }: Pick<Corners, 'tried' | 'of'>): string | undefined {
  return tried.length < of ? `searched ${tried.length} of ${of} combinations of ends` : undefined;
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
    const values = () => what.tried.map((ends) => engine.under(ends, () => engine.value(cell)));
    if (more === rests) return { what: { ...what, values: engine.aside(values) }, by };
    rests = more;
  }
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
  // Where it is a truth, no is the worse; what is not known stands between.
  return typeof value === 'boolean' ? (value ? 1 : -1) : 0;
}
