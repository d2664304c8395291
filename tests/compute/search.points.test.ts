import { expect, test } from 'vitest';
import { lookForLeast, type Point } from '../../language/compute/search.ts';

// Which points are looked at, in which order: reckoned by hand from what the search promises.

const corners = (sides: number): Point[] =>
  Array.from({ length: 2 ** sides }, (_, k) => Array.from({ length: sides }, (_side, i) => (k >> i) & 1));
const eighths = [1, 2, 3, 4, 5, 6, 7].map((n) => n / 8);

/** The points that a search asks for, in the order in which each is asked for first, and between which of them it pauses. */
function asked(sides: number, height: (point: Point) => number, from = corners(sides)) {
  const points: string[] = [];
  const at = (point: Point) => {
    if (!points.includes(point.join())) points.push(point.join());
    return height(point);
  };
  let most = 0;
  let before = 0;
  for (const _ of lookForLeast(sides, from, at)) {
    most = Math.max(most, points.length - before);
    before = points.length;
  }
  return { points, most };
}
const joined = (...points: Point[]) => points.map((point) => point.join());

test('along one side where nothing falls: its ends, eighths, and two steps from the first end alone', () => {
  const { points, most } = asked(1, () => 1);
  expect(points).toEqual(joined([0], [1], ...eighths.map((share) => [share]), [1 / 16], [1 / 512]));
  expect(most).toBe(1);
});

test('along one side where it falls to one end: what lies just beside that end, and no dip', () => {
  const { points } = asked(1, ([x = 0]) => x);
  expect(points.slice(9)).toEqual(joined([1 / 16], [1 / 512]));
  expect(asked(1, ([x = 0]) => -x).points.slice(9)).toEqual(joined([15 / 16], [511 / 512]));
});

test('a dip between eighths is gone down into by halves of a step, on both sides, to a two thousandth', () => {
  // Least at 0.4: below 3/8, which lies 0.025 from it, 1/2 0.1.
  const { points } = asked(1, ([x = 0]) => Math.abs(x - 0.4));
  expect(points.slice(9, 11)).toEqual(joined([7 / 16], [5 / 16]));
  // 3/8 + 1/32 is nearer to 0.4, and as far again, 7/16, is not; from there nothing is by 1/64, and by 1/128 what is above is asked first.
  expect(points.slice(11, 15)).toEqual(joined([13 / 32], [27 / 64], [25 / 64], [53 / 128]));
  const last = points.map(Number).toSorted((a, b) => Math.abs(a - 0.4) - Math.abs(b - 0.4))[0] as number;
  expect(Math.abs(last - 0.4)).toBeLessThanOrEqual(1 / 4096);
  expect(Math.min(...points.map((p) => Math.abs(Number(p) - last) || 1))).toBe(1 / 2048);
});

test('a flat floor has no dip but its first point, a point lower than one beside it is one', () => {
  // Flat from 1/4 to 3/4: 1/4 is the first of the lowest; 3/4, lower than 7/8 beside it, is a dip of its own.
  const { points } = asked(1, ([x = 0]) => Math.max(0, Math.abs(x - 0.5) - 0.25));
  const further = points.slice(9).map(Number);
  expect(further.some((x) => x > 0.75 && x < 0.875)).toBe(true);
  expect(further.some((x) => x < 0.25 && x > 0.125)).toBe(true);
  // Inside the floor nothing is lower than what is beside it: 1/2 is not gone on from.
  expect(further.every((x) => Math.abs(x - 0.5) > 0.12)).toBe(true);
});

test('what falls off from an end is followed as from any other point', () => {
  // Lower at 1/16 than at the end, and least at 0.08: neither eighths nor the end are lower than it.
  const { points } = asked(1, ([x = 0]) => (x === 0 ? 0.2 : x < 0.12 ? Math.abs(x - 0.08) : 1));
  const last = points.map(Number).toSorted((a, b) => Math.abs(a - 0.08) - Math.abs(b - 0.08))[0] as number;
  expect(Math.abs(last - 0.08)).toBeLessThanOrEqual(1 / 4096);
});

test('over two sides: corners, points spread by the golden ratio, lines through the lowest and the middle', () => {
  const { points, most } = asked(2, () => 1);
  // The plastic number, the root of x^3 = x + 1, to sixteen digits: from memory; checked by what it is the root of.
  const plastic = 1.3247179572447458;
  expect(plastic ** 3).toBeCloseTo(plastic + 1, 12);
  const spread = Array.from({ length: 24 }, (_, i) =>
    [1, 2].map((k) => (Math.floor(((0.5 + (i + 1) / plastic ** k) % 1) * 255) + 0.5) / 256),
  );
  const lines = (through: Point) => through.flatMap((_, side) => eighths.map((share) => through.with(side, share)));
  const before = [...corners(2), ...spread, ...lines([0, 0]), ...lines([0.5, 0.5])];
  const unique = [...new Set(joined(...before))];
  expect(points.slice(0, unique.length)).toEqual(unique);
  expect(most).toBeLessThanOrEqual(8);
  // From the first three that are no neighbours, all corners: steps along each side, then along both at once.
  const steps = (x: number, y: number, by: number) => {
    const near = (at: number) => (at === 0 ? by : 1 - by);
    return joined([near(x), y], [x, near(y)], [near(x), near(y)]);
  };
  const from = (x: number, y: number) => [1 / 16, 1 / 512].flatMap((by) => steps(x, y, by));
  expect(points.slice(unique.length).toSorted()).toEqual([...from(0, 0), ...from(1, 0), ...from(0, 1)].toSorted());
});

test('no more points are spread over many sides than ninety-six', () => {
  // All that is asked between the first corner and the first of the lines through it.
  const spread = (sides: number) => {
    const corner = Array<number>(sides).fill(0);
    return asked(sides, () => 1, [corner]).points.indexOf(corner.with(0, 1 / 8).join()) - 1;
  };
  expect([2, 3, 7, 8, 9, 12].map(spread)).toEqual([24, 36, 84, 96, 96, 96]);
});

test('where each side counts for itself, the lowest along each of them together is looked at', () => {
  const { points } = asked(3, (p) => p.reduce((sum, share, i) => sum + Math.abs(share - (i + 2) / 8), 0));
  expect(points).toContain('0.25,0.375,0.5');
  // It is the lowest of all, and nothing falls from there: the next is one step beside it.
  expect(points[points.indexOf('0.25,0.375,0.5') + 1]).toBe('0.375,0.375,0.5');
});

test('a ridge that runs aslant is gone along by two sides at once, of no more than five', () => {
  // A deep groove along x + y = 1, that falls slowly towards x = 0.3: no single step leads down from within it.
  const groove = (p: Point) => 9 * Math.abs((p[0] as number) + (p[1] as number) - 1) + Math.abs((p[0] as number) - 0.3);
  const least = (sides: number) =>
    Math.min(
      ...asked(
        sides,
        groove,
        corners(Math.min(sides, 2)).map((p) => [...p, ...Array<number>(sides - p.length).fill(0)]),
      ).points.map((p) => groove(p.split(',').map(Number))),
    );
  expect(least(2)).toBeLessThan(0.001);
  expect(least(5)).toBeLessThan(0.001);
  expect(least(6)).toBeGreaterThan(0.001);
});

test('on the way down it ends after fifteen hundred points, a step over all sides more at most', () => {
  // Forty sides, of which each step costs eighty points: nine sizes of steps, from three starts, would be thousands.
  const sides = 40;
  const { points } = asked(sides, (p) => p.reduce((sum, share) => sum + Math.abs(share - 0.4), 0), [
    Array<number>(sides).fill(0),
  ]);
  const onTheWay = points.length - (1 + 96 + 2 * 7 * sides + 1);
  expect(onTheWay).toBeGreaterThan(1000);
  expect(onTheWay).toBeLessThanOrEqual(1500 + 2 * sides + 40);
});

test('where there is no corner it begins in the middle', () => {
  expect(asked(1, ([x = 0]) => (x - 0.5) ** 2, []).points[0]).toBe('0.125');
});
