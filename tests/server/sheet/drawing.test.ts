// How a drawing is laid out on a page: scale, views, hidden edges, dimensions.
import { describe, expect, test } from 'vitest';
import { type DrawingData, type Mark, sheetOf } from '../../../server/sheet/drawing.ts';

type Three = readonly [number, number, number];
const body = (
  name: string,
  at: readonly [number | null, number | null, number | null],
  sides: Three,
  more: Partial<DrawingData['bodies'][number]> = {},
) => ({
  label: name,
  name,
  at,
  sides,
  goes: [0, 0, 0] as const,
  isSolid: true,
  isRound: false,
  goesRound: false,
  isDimensioned: false,
  place: null,
  ...more,
});
const drawing = (bodies: DrawingData['bodies'], more: Partial<DrawingData> = {}): DrawingData => ({
  is: 'drawing',
  unit: { symbol: 'mm', factor: 0.001 },
  isThirdAngle: false,
  bodies,
  meetings: [],
  notSaid: [],
  taken: [],
  ...more,
});
const marks = (...all: Parameters<typeof drawing>) => sheetOf(drawing(...all)).marks;
const lines = (all: readonly Mark[], stroke: string) =>
  all.flatMap((mark) => (mark.is === 'line' && mark.stroke === stroke ? [mark.points] : []));
const texts = (all: readonly Mark[]) => all.flatMap((mark) => (mark.is === 'text' ? mark.text : []));
/** Edges without those of the sign of the projection, which is one line of five points. */
const edges = (all: readonly Mark[], stroke = 'visible') => lines(all, stroke).filter(({ length }) => length === 2);

describe('the scale', () => {
  test.each([
    // Width and depth side by side, gap and margins have 170 mm: the largest scale of ISO 5455 in which they have.
    [[0.02, 0.02, 0.02], '2:1'],
    [[0.06, 0.06, 0.06], '1:1'],
    [[0.3, 0.3, 0.3], '1:5'],
    [[0.4, 0.46, 0.5], '1:10'],
    [[1.2, 1.2, 1.5], '1:20'],
  ] as const)('of %j m is %s', (sides, scale) => {
    expect(sheetOf(drawing([body('a', [0, 0, 0], sides)])).scale).toBe(scale);
  });

  test('is true: a side is as long on paper as the scale says', () => {
    const sheet = sheetOf(drawing([body('a', [0, 0, 0], [0.4, 0.46, 0.5])]));
    const widths = edges(sheet.marks).map(([a, b]) => Math.abs((a?.[0] ?? 0) - (b?.[0] ?? 0)));
    expect(Math.max(...widths)).toBeCloseTo(46, 6);
    expect(widths.filter((width) => Math.abs(width - 40) < 1e-6).length).toBeGreaterThan(0);
    for (const mark of sheet.marks)
      if (mark.is === 'line')
        for (const [x, y] of mark.points) {
          expect(x).toBeGreaterThanOrEqual(0);
          expect(x).toBeLessThanOrEqual(sheet.width);
          expect(y).toBeLessThanOrEqual(sheet.height);
        }
  });
});

describe('edges', () => {
  const behind = body('small', [0.1, 0.5, 0.1], [0.1, 0.1, 0.1]);
  const before = body('large', [0, 0, 0], [0.4, 0.1, 0.4]);

  test('that lie behind something are hidden, those before it are not', () => {
    // From the front and from above nothing of the large one is hidden; the small one is, from the front and, lying lower, not from above.
    expect(edges(marks([behind, before]), 'hidden')).toHaveLength(4);
    const swapped = body('small', [0.1, -0.5, 0.1], [0.1, 0.1, 0.1]);
    expect(edges(marks([swapped, before]), 'hidden')).toHaveLength(0);
  });

  test('are hidden only as far as what is before them reaches', () => {
    const wide = body('wide', [-0.1, 0.5, 0.1], [0.6, 0.1, 0.1]);
    const hidden = edges(marks([wide, before]), 'hidden');
    expect(hidden).toHaveLength(2);
    const [from, to] = hidden[0] as [readonly [number, number], readonly [number, number]];
    // The front view is 600 mm wide, and begins 100 mm left of what is hidden.
    const inFront = edges(marks([wide, before])).filter(
      ([a, b]) => a?.[1] === from[1] && b?.[1] === from[1] && (a?.[0] ?? 0) < to[0] + (to[0] - from[0]) / 4,
    );
    expect(inFront).toHaveLength(2);
  });

  test('of what is not known in depth hide nothing, and are not hidden', () => {
    const flat = body('small', [0.1, null, 0.1], [0.1, 0.1, 0.1]);
    expect(edges(marks([flat, before]), 'hidden')).toHaveLength(0);
  });

  test('of a room that is only reached, and of both ends of a way, are thin', () => {
    const free = body('a', [0, 0, 0], [0.1, 0.1, 0.1], { isSolid: false });
    expect(edges(marks([free]), 'extreme')).toHaveLength(12);
    expect(edges(marks([free]))).toHaveLength(0);
    const moving = body('a', [0, 0, 0], [0.1, 0.1, 0.1], { goes: [0.2, 0, 0] });
    // Two ends in the front view and in the plan; from the side it stays where it is.
    expect(edges(marks([moving]), 'extreme')).toHaveLength(16);
  });

  test('of what moves within a circle are shown at it, to each side, and not where both ways end at once', () => {
    const ends = (goesRound: boolean) => {
      const moving = body('a', [0, 0, 0], [0.1, 0.1, 0.1], { goes: [0.2, 0.2, 0], goesRound });
      return edges(marks([moving]), 'extreme').length;
    };
    // Two ends of four edges in each view; in the plan four.
    expect(ends(false)).toBe(24);
    expect(ends(true)).toBe(32);
  });

  test('of a rod are a circle where one looks along it', () => {
    const rod = body('rod', [0, 0, 0], [0.3, 0.01, 0.01], { isRound: true });
    const circles = (all: readonly Mark[]) => all.filter((mark) => mark.is === 'ring').length;
    expect(circles(marks([rod])) - circles(marks([before]))).toBe(1);
  });

  test('of a disc are a circle from above, whether it is lower than wide, as high, or higher', () => {
    const rings = (all: readonly Mark[]) => all.flatMap((mark) => (mark.is === 'ring' ? mark.radius : []));
    const without = rings(marks([before]));
    for (const high of [0.1, 0.2, 0.3]) {
      const own = rings(marks([body('disc', [0, 0, 0], [0.2, 0.2, high], { isRound: true })]));
      expect(own.length - without.length).toBe(1);
    }
  });
});

describe('dimensions', () => {
  const told = body('bed', [0.1, 0, 0], [0.23, 0.4, 0.06], { isDimensioned: true });

  test('are written once each, with the name where there is room', () => {
    expect(texts(marks([told, body('all', [0, 0, 0], [0.4, 0.5, 0.5])]))).toEqual(
      expect.arrayContaining(['230 bed', '400 bed', '60']),
    );
  });

  test('are of bodies that ask for them alone', () => {
    expect(texts(marks([body('bed', [0.1, 0, 0], [0.23, 0.4, 0.06])])).join(' ')).not.toContain('230');
  });

  test('do not cover each other: each has a line of its own', () => {
    const all = marks([told, body('all', [0, 0, 0], [0.4, 0.5, 0.5], { isDimensioned: true })]);
    const rows = all.flatMap((mark) =>
      mark.is === 'text' && /^\d+ /.test(mark.text) && !mark.isUpright ? [mark.at] : [],
    );
    for (const [i, [x, y]] of rows.entries())
      for (const [x2, y2] of rows.slice(i + 1)) expect(Math.abs(y - y2) >= 7 || Math.abs(x - x2) > 20).toBe(true);
  });
});

describe('names', () => {
  const plate = body('plate', [0, 0, 0], [0.4, 0.4, 0.06]);
  const cube = body('', [0.18, 0.18, 0.06], [0.04, 0.04, 0.04]);
  const named = (all: readonly Mark[]) =>
    all.flatMap((mark) => (mark.is === 'text' && mark.text === 'plate' ? [mark.at] : []));

  test('stand in the middle of what they name', () => {
    const [, plan] = named(marks([plate]));
    expect(plan?.[0]).toBeCloseTo(4 + 40 / 2, 6);
  });

  test('are left out where an outline is narrower or lower than they are', () => {
    const named = (sides: Three) =>
      texts(
        marks([body('a_rather_long_name', [0, 0, 0], sides), body('', [0, 0, 0], [0.5, 0.5, 0.5], { isSolid: false })]),
      ).filter((text) => text === 'a_rather_long_name').length;
    expect(named([0.4, 0.4, 0.4])).toBe(2);
    // 50 mm at 1:10 are 5 mm, and 30 mm are 3 mm: less than a name and what is around it take.
    expect(named([0.05, 0.4, 0.4])).toBe(0);
    expect(named([0.4, 0.4, 0.03])).toBe(1);
    expect(named([0.4, 0.03, 0.4])).toBe(1);
  });

  test('stand where no line crosses them', () => {
    const [, plan] = named(marks([plate, cube]));
    const lines = edges(marks([plate, cube]));
    expect(plan).toBeDefined();
    const crosses = lines.filter(([a, b]) => {
      const [x, y] = plan ?? [0, 0];
      const over = (from: number, to: number, low: number, high: number) =>
        Math.min(from, to) <= high && low <= Math.max(from, to);
      return over(a?.[0] ?? 0, b?.[0] ?? 0, x - 3, x + 3) && over(a?.[1] ?? 0, b?.[1] ?? 0, y - 2, y + 0.3);
    });
    expect(crosses).toEqual([]);
  });
});

describe('the projection', () => {
  const corner = [body('a', [0, 0, 0], [0.4, 0.2, 0.3]), body('b', [0, 0, 0.3], [0.1, 0.1, 0.1])];
  const spanOf = (all: readonly Mark[]) => edges(all).flat();

  test('has the plan below the front view, or above it in third angle', () => {
    const [first, third] = [marks(corner), marks(corner, { isThirdAngle: true })];
    // The front view is 400 mm wide and 400 mm high, the plan 200 mm deep.
    const top = (all: readonly Mark[]) => Math.min(...spanOf(all).map(([, y]) => y));
    const highest = (all: readonly Mark[]) =>
      edges(all).filter(([a, b]) => a?.[1] === top(all) && b?.[1] === top(all) && a[0] !== b[0]);
    // At the top stands the small block seen from the front, or the rear edge of the large one seen from above.
    const width = (points: readonly (readonly [number, number])[]) =>
      Math.abs((points[0]?.[0] ?? 0) - (points[1]?.[0] ?? 0));
    expect(Math.max(...highest(first).map(width)) / Math.max(...highest(third).map(width))).toBeCloseTo(0.25, 6);
  });

  test('is said in words', () => {
    expect(texts(marks(corner)).join(' ')).toContain('first-angle projection');
    expect(texts(marks(corner, { isThirdAngle: true })).join(' ')).toContain('third-angle projection');
  });

  // NIST SP 811, appendix B.8: an inch is 25.4 mm; 0.4 m are 15.7 in, 10 mm 0.394 in.
  test('is dimensioned in another unit as well, in brackets, where there is room for that', () => {
    const own = { isDimensioned: true };
    const wide = [body('a', [0, 0, 0], [0.4, 0.2, 0.3], own), body('b', [0, 0, 0.3], [0.01, 0.1, 0.1], own)];
    const both = texts(marks(wide, { unitBeside: { symbol: 'in', factor: 0.0254 } }));
    expect(both.join('|')).toContain('lengths in mm (in)');
    expect(both).toContain('400 (15.7) a');
    expect(both).toContain('10');
    expect(texts(marks(wide)).join('|')).not.toContain('(');
  });

  test('shows the front at the right from the left side, and at the left from the right side', () => {
    const right = (all: readonly Mark[], of: number) => {
      const side = edges(all).filter(([a, b]) => Math.abs(Math.abs((a?.[0] ?? 0) - (b?.[0] ?? 0)) - of) < 1e-6);
      return Math.max(...side.flat().map(([x]) => x));
    };
    // The small block stands at the front: its edge of 100 mm ends where that of the large one does, at the right.
    const [first, third] = [sheetOf(drawing(corner)), sheetOf(drawing(corner, { isThirdAngle: true }))];
    const by = first.ratio * 1000;
    expect(right(first.marks, 0.1 * by)).toBeCloseTo(right(first.marks, 0.2 * by), 6);
    expect(right(third.marks, 0.1 * by)).toBeLessThan(right(third.marks, 0.2 * by) - 1);
  });
});

test('what meets is crossed out in each view', () => {
  const meeting = { one: 'a', other: 'b', at: [0, 0, 0] as const, sides: [0.1, 0.1, 0.1] as const, place: null };
  const all = marks([body('a', [0, 0, 0], [0.4, 0.2, 0.3])], { meetings: [meeting] });
  expect(lines(all, 'meeting')).toHaveLength(3 * 6);
});
