/** A place in a box: for each of its sides a share between 0 and 1. */
export type Point = readonly number[];

/** Parts of each side, between which it is looked at through the lowest corner and the middle. */
const along = 8;
/** Points spread over the box, for each side that it has, and at most. */
const [spread, mostSpread] = [12, 96];
/** How many of the lowest places so far are followed down. */
const followed = 3;
/** The longest and the shortest step on the way down, as shares of a side. */
const [longest, shortest] = [1 / 8, 1 / 2048];
/** Steps from a corner only ask whether it falls off from there, near and next to it. */
const fromCorner = [1 / 16, 1 / 512];
/** The most sides of which two are moved at once, and in which ways. */
const mostInPairs = 5;
const bothWays = [
  [1, 1],
  [1, -1],
  [-1, 1],
  [-1, -1],
] as const;
/** The most points that are looked at on the way down. */
const mostOnTheWay = 1500;

/**
 * Looks for the least value over a box by calling `at`, which is to remember what it was asked: the corners given, points along
 * each side and spread evenly within, and from the lowest of these downhill with ever shorter steps. Pauses between points. The
 * same box and values lead to the same points. It finds the least there is where that is not hidden in a dent between the points;
 * it promises nothing.
 * Source: pattern search after R. Hooke and T. A. Jeeves, "Direct search", Journal of the ACM 8 (1961); points spread by the
 * generalised golden ratio (an additive recurrence).
 */
export function* lookForLeast(
  sides: number,
  corners: readonly Point[],
  at: (point: Point) => number,
): Generator<void, void> {
  const seen = [...corners, ...(sides > 1 ? evenly(sides) : [])];
  const [lowest = middle(sides)] = yield* byValue(seen, at);
  seen.push(...lines(lowest));
  if (sides > 1) seen.push(...lines(middle(sides)));
  yield* byValue(seen, at);
  // Where each side counts for itself, the lowest along each of them together is the lowest of all.
  seen.push(lowest.map((_, side) => lowestAlong(side, lowest, at)));
  const way = { left: mostOnTheWay };
  const starts = yield* byValue(seen, at);
  for (const start of sides > 1 ? apart(starts) : dips(starts, at)) yield* descend(start, at, way);
}

/** Of points along one side those that are lower than the one beside them, and no higher than the other; the lowest of all first. */
function dips(byHeight: readonly Point[], at: (point: Point) => number): Point[] {
  const [lowest] = byHeight;
  const inOrder = byHeight.toSorted((a, b) => (a[0] as number) - (b[0] as number));
  const heights = inOrder.map(at);
  const within = inOrder.filter((_, i) => {
    const [before, here, after] = heights.slice(i - 1, i + 2) as [number, number, number];
    return i > 0 && i < inOrder.length - 1 && here <= before && here <= after && here < Math.max(before, after);
  });
  return lowest ? [lowest, ...within.filter((point) => point !== lowest)] : within;
}

function middle(sides: number): Point {
  return Array<number>(sides).fill(0.5);
}

/** The points, the lowest first, of those alike the earlier. */
function* byValue(points: readonly Point[], at: (point: Point) => number): Generator<void, Point[]> {
  const valued: { point: Point; value: number }[] = [];
  for (const point of points) {
    valued.push({ point, value: at(point) });
    yield;
  }
  return valued.sort((a, b) => (a.value < b.value ? -1 : a.value > b.value ? 1 : 0)).map(({ point }) => point);
}

const inner = Array.from({ length: along - 1 }, (_, i) => (i + 1) / along);

/** Points along every side through a point. */
function lines(through: Point): Point[] {
  return through.flatMap((_, side) => inner.map((share) => through.with(side, share)));
}

/** The share of a side at which it is lowest along a line through a point. */
function lowestAlong(side: number, through: Point, at: (point: Point) => number): number {
  const height = (share: number) => at(through.with(side, share));
  return inner.reduce((a, b) => (height(b) < height(a) ? b : a), through[side] as number);
}

/** Points that fill the box evenly, between its ends. */
function evenly(sides: number): Point[] {
  // The root of x^(n + 1) = x + 1.
  let root = 2;
  for (let i = 0; i < 64; i++) root = (1 + root) ** (1 / (sides + 1));
  const grid = 256;
  return Array.from({ length: Math.min(spread * sides, mostSpread) }, (_, i) =>
    Array.from({ length: sides }, (_side, k) => {
      const share = (0.5 + (i + 1) / root ** (k + 1)) % 1;
      return (Math.floor(share * (grid - 1)) + 0.5) / grid;
    }),
  );
}

/** The first few points that are not beside each other. */
function apart(points: readonly Point[]): Point[] {
  const found: Point[] = [];
  for (const point of points) {
    if (found.length === followed) break;
    if (found.every((other) => other.some((share, i) => Math.abs(share - (point[i] as number)) > longest)))
      found.push(point);
  }
  return found;
}

function isCorner(point: Point): boolean {
  return point.every((share) => share === 0 || share === 1);
}

/** Steps along single sides and on in the direction that led down, shorter where nothing leads further. */
function* descend(start: Point, at: (point: Point) => number, way: { left: number }): Generator<void, void> {
  const steps = isCorner(start) ? fromCorner : ever(longest, shortest);
  let best = start;
  for (const step of steps) {
    for (;;) {
      const lower = around(best, step, at, way);
      yield;
      if (!lower) break;
      const onward = lower.map((share, i) => clamped(2 * share - (best[i] as number)));
      best = at(onward) < at(lower) ? onward : lower;
    }
    // What falls off from a corner is a start of its own.
    if (best !== start && isCorner(start)) return yield* descend(best, at, way);
  }
}

function ever(from: number, to: number): number[] {
  return from < to ? [] : [from, ...ever(from / 2, to)];
}

/** A lower point a step away along some of the sides; where there is none, along two at once, as a ridge between them runs. */
function around(from: Point, step: number, at: (point: Point) => number, way: { left: number }): Point | undefined {
  if (way.left <= 0) return undefined;
  let best = from;
  for (let side = 0; side < from.length; side++) {
    way.left -= 2;
    for (const by of [step, -step]) {
      const other = moved(best, side, by);
      if (at(other) < at(best)) best = other;
    }
  }
  if (best !== from || from.length > mostInPairs) return best === from ? undefined : best;
  for (let one = 0; one < from.length; one++) {
    for (let two = 0; two < one; two++) {
      way.left -= bothWays.length;
      for (const [by, and] of bothWays) {
        const other = moved(moved(from, one, by * step), two, and * step);
        if (at(other) < at(best)) best = other;
      }
    }
  }
  return best === from ? undefined : best;
}

function moved(point: Point, side: number, by: number): Point {
  return point.with(side, clamped((point[side] as number) + by));
}

function clamped(share: number): number {
  return Math.min(1, Math.max(0, share));
}
