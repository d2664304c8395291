import type { PartData, Place } from './data.ts';
import type { Leading } from './leading.ts';
import { textWidth } from './text-width.ts';

export type DrawingData = Extract<PartData, { is: 'drawing' }>;
type BodyData = DrawingData['bodies'][number];

/** How a line is drawn: an edge in sight, one behind something, an end of a way or a room that is only reached, a dimension, what meets. */
export type Stroke = 'visible' | 'hidden' | 'extreme' | 'dimension' | 'meeting';

/** What a drawing is made of, with where it leads: lengths in millimetres on paper, from its upper left corner. */
export type Mark = Leading & Shape;

type Shape =
  | { readonly is: 'line'; readonly stroke: Stroke; readonly points: readonly Point[] }
  | { readonly is: 'ring'; readonly stroke: Stroke; readonly at: Point; readonly radius: number }
  | {
      readonly is: 'text';
      readonly at: Point;
      readonly text: string;
      readonly anchor: 'start' | 'middle' | 'end';
      readonly isUpright?: boolean;
      readonly isQuiet?: boolean;
    };

export type Point = readonly [number, number];

export interface Sheet {
  readonly width: number;
  readonly height: number;
  /** "1:10" */
  readonly scale: string;
  /** Paper by nature: what is drawn is so many times as long. */
  readonly ratio: number;
  readonly marks: readonly Mark[];
}

/** What is left of A4 and of a letter's page between margins of 16 mm, and room for a heading. */
const paper = { width: 170, height: 225 } as const;
/** Scales, from the largest. Source: ISO 5455 (from memory). */
const scales = [5, 2, 1]
  .flatMap((each) => [each * 10, each])
  .concat([1, 10, 100].flatMap((tens) => [1 / (2 * tens), 1 / (5 * tens), 1 / (10 * tens)]));
/** Height of letters, in millimetres; room between views, and from a view to its first line of dimensions and from each to the next. */
const letters = 2.9;
const gap = 10;
const rows = { first: 9, next: 7 } as const;

/** A view: which axis runs to the right and which up, whether the first runs to the left instead, and from where one looks. */
interface View {
  readonly name: 'front' | 'side' | 'plan';
  readonly across: 0 | 1;
  readonly up: 1 | 2;
  readonly isMirrored: boolean;
  readonly depth: 0 | 1 | 2;
  /** Is what has less of the third axis nearer to the eye? */
  readonly nearIsLess: boolean;
}

/**
 * Front, side and plan in the largest standard scale in which they fit on a page. In first-angle projection the view from the left stands
 * at the right and the plan below; in third-angle projection the view from the right stands there, and the plan above.
 * Source: ISO 5456-2, ISO 129-1 (from memory).
 */
export function sheetOf(data: DrawingData): Sheet {
  const views = viewsOf(data);
  const shown = views.map((view) => ({ view, bodies: seenIn(view, data.bodies) }));
  const extents = shown.map(({ bodies }) => extentOf(bodies));
  const dimensions = dimensionsOf(data);
  const margins = {
    left: marginFor(dimensions.up.length),
    below: marginFor(dimensions.across.length),
    side: marginFor(dimensions.along.length),
  };
  const [front, side, plan] = extents as [Extent, Extent, Extent];
  const [width, depth] = [Math.max(front.width, plan.width), side.width];
  const [height, planHeight] = [front.height, plan.height];
  // Metres become millimetres on paper by the scale.
  const real = (scale: number) => scale * 1000;
  const fits = (scale: number) =>
    margins.left + (width + depth) * real(scale) + (depth > 0 ? gap : 0) <= paper.width &&
    (height + planHeight) * real(scale) + margins.below + gap <= paper.height;
  const ratio = scales.toSorted((a, b) => b - a).find(fits) ?? (scales.at(-1) as number);
  const by = real(ratio);
  const isThird = data.isThirdAngle;
  const left = margins.left;
  // Between the views stand the dimensions of the upper one.
  const between = Math.max(gap, Math.max(margins.below, margins.side));
  const top = 6;
  const frontTop = isThird ? top + planHeight * by + gap : top;
  const planTop = isThird ? top : frontTop + height * by + between;
  const corner: Readonly<Record<View['name'], Point>> = {
    front: [left, frontTop],
    side: [left + width * by + gap, frontTop],
    plan: [left, planTop],
  };
  const marks = shown.flatMap(({ view, bodies }, i): Mark[] => {
    const to = mapper(view, extents[i] as Extent, corner[view.name], by);
    return viewMarks(view, bodies, data, to);
  });
  const maps = shown.map(({ view }, i) => mapper(view, extents[i] as Extent, corner[view.name], by));
  const lines = [
    ...dimensions.across.flatMap((each, i) =>
      level(each, maps[0] as Mapper, corner.front[1] + height * by + rows.first + i * rows.next, data),
    ),
    ...dimensions.up.flatMap((each, i) => upright(each, maps[0] as Mapper, left - rows.first - i * rows.next, data)),
    ...dimensions.along.flatMap((each, i) =>
      level(each, maps[1] as Mapper, corner.side[1] + height * by + rows.first + i * rows.next, data),
    ),
  ];
  const lowest = isThird ? frontTop + height * by + between : planTop + planHeight * by + 4;
  const foot = lowest + 8;
  return {
    width: paper.width,
    height: Math.ceil(foot + 6),
    scale: scaleText(ratio),
    ratio,
    marks: [...marks, ...lines, ...legend(foot, scaleText(ratio), data)],
  };
}

function viewsOf({ isThirdAngle }: DrawingData): View[] {
  return [
    { name: 'front', across: 0, up: 2, isMirrored: false, depth: 1, nearIsLess: true },
    // From the left one sees the front at the right; from the right at the left.
    { name: 'side', across: 1, up: 2, isMirrored: !isThirdAngle, depth: 0, nearIsLess: !isThirdAngle },
    { name: 'plan', across: 0, up: 1, isMirrored: false, depth: 2, nearIsLess: false },
  ];
}

function marginFor(count: number): number {
  return count > 0 ? rows.first + (count - 1) * rows.next + 4 : 4;
}

function scaleText(ratio: number): string {
  return ratio >= 1 ? `${Math.round(ratio)}:1` : `1:${Math.round(1 / ratio)}`;
}

/** A body in a view, in coherent units: where it stands in the middle of its way, and at both ends of it. */
interface Seen {
  readonly body: BodyData;
  readonly low: Point;
  readonly high: Point;
  /** How far it moves in the view, to each side of that. */
  readonly half: Point;
  /** Where its nearest side is, the less the nearer; undefined where that is not known. */
  readonly near: number | undefined;
}

function seenIn({ across, up, depth, nearIsLess }: View, bodies: readonly BodyData[]): Seen[] {
  return bodies.flatMap((body): Seen | [] => {
    const [a, b] = [range(body, across), range(body, up)];
    const c = range(body, depth);
    if (!a || !b) return [];
    const near = c && (nearIsLess ? c.low : -c.high);
    return { body, low: [a.low, b.low], high: [a.high, b.high], half: [a.half, b.half], near };
  });
}

function range({ at, sides, goes }: BodyData, axis: 0 | 1 | 2) {
  const [from, side, half] = [at[axis], sides[axis], goes[axis] / 2];
  if (from === null || side === null) return undefined;
  return { low: from + half, high: from + half + side, half };
}

interface Extent {
  readonly low: Point;
  readonly width: number;
  readonly height: number;
}

/** What all bodies of a view take up, with both ends of their ways. */
function extentOf(bodies: readonly Seen[]): Extent {
  if (bodies.length === 0) return { low: [0, 0], width: 0, height: 0 };
  const side = (i: 0 | 1) => {
    const low = Math.min(...bodies.map(({ low, half }) => low[i] - half[i]));
    return { low, size: Math.max(...bodies.map(({ high, half }) => high[i] + half[i])) - low };
  };
  const [a, b] = [side(0), side(1)];
  return { low: [a.low, b.low], width: a.size, height: b.size };
}

type Mapper = (point: Point) => Point;

/** From nature to paper: its up is the paper's, whose numbers grow downward. */
function mapper({ isMirrored }: View, { low, width, height }: Extent, [left, top]: Point, by: number): Mapper {
  return ([a, b]) => [left + (isMirrored ? low[0] + width - a : a - low[0]) * by, top + (low[1] + height - b) * by];
}

// ---- edges ----

interface Edge {
  /** Along which of the view's two axes it runs. */
  readonly along: 0 | 1;
  readonly at: number;
  readonly from: number;
  readonly to: number;
}

function edgesOf(low: Point, high: Point): Edge[] {
  return ([0, 1] as const).flatMap((along) => {
    const other = along === 0 ? 1 : 0;
    return [low[other], high[other]].map((at) => ({ along, at, from: low[along], to: high[along] }));
  });
}

/** Where what moves comes to: to both ends of all its ways at once, or, within a circle, of one at a time. */
const atCorners: readonly Point[] = [
  [-1, -1],
  [1, 1],
];
const aroundIt: readonly Point[] = [
  [-1, 0],
  [1, 0],
  [0, -1],
  [0, 1],
];

function viewMarks(view: View, bodies: readonly Seen[], data: DrawingData, to: Mapper): Mark[] {
  const solid = bodies.filter(({ body }) => body.isSolid);
  const outlineOf = (seen: Seen): Mark[] => {
    const isEndOn = seen.body.isRound && isSeenEndOn(view, seen.body);
    if (isEndOn) return [ring(seen, seen.body.isSolid ? 'visible' : 'extreme', to)];
    const edges = edgesOf(seen.low, seen.high);
    if (!seen.body.isSolid) return edges.map((edge) => line([edge], 'extreme', to));
    return edges.flatMap((edge) => {
      const { inSight, behind } = split(edge, seen, solid);
      return [
        ...inSight.map((each) => line([each], 'visible', to)),
        ...behind.map((each) => line([each], 'hidden', to)),
      ];
    });
  };
  const endsOf = ({ body, low, high, half }: Seen): Mark[] =>
    half[0] === 0 && half[1] === 0
      ? []
      : (body.goesRound && view.name === 'plan' ? aroundIt : atCorners).flatMap(([a, b]) =>
          edgesOf([low[0] + a * half[0], low[1] + b * half[1]], [high[0] + a * half[0], high[1] + b * half[1]]).map(
            (edge) => line([edge], 'extreme', to),
          ),
        );
  const outlines = bodies.flatMap((seen) => led(seen.body, [...outlineOf(seen), ...endsOf(seen)]));
  const meetings = data.meetings.flatMap(({ one, other, at, sides, place }): Mark[] => {
    const [low, high] = [
      [at[view.across], at[view.up]],
      [at[view.across] + sides[view.across], at[view.up] + sides[view.up]],
    ] as [Point, Point];
    return led({ place, label: `${one}, ${other}` }, [
      ...edgesOf(low, high).map((edge) => line([edge], 'meeting', to)),
      { is: 'line', stroke: 'meeting', points: [to(low), to(high)] },
      { is: 'line', stroke: 'meeting', points: [to([low[0], high[1]]), to([high[0], low[1]])] },
    ]);
  });
  const lines = [...outlines, ...meetings];
  return [...lines, ...names(view, bodies, to, lines)];
}

/** All that shows a body leads to where it is said. */
function led({ place, label }: { readonly place: Place | null; readonly label: string }, marks: Mark[]): Mark[] {
  return marks.map((mark) => ({ ...mark, place, title: label }));
}

/** Does one look along what it is round about: the side that differs from the two others, or what stands upright where none does? */
function isSeenEndOn({ across, up, depth }: View, { sides }: BodyData): boolean {
  const isUpright = depth === 2;
  return sides[across] === sides[up] && (isUpright || sides[depth] !== sides[up]);
}

function ring({ low, high }: Seen, stroke: Stroke, to: Mapper): Mark {
  const [a, b] = [to(low), to(high)];
  const at: Point = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  return { is: 'ring', stroke, at, radius: Math.abs(b[0] - a[0]) / 2 };
}

function line([{ along, at, from, to: end }]: readonly [Edge], stroke: Stroke, to: Mapper): Mark {
  const point = (place: number): Point => (along === 0 ? [place, at] : [at, place]);
  return { is: 'line', stroke, points: [to(point(from)), to(point(end))] };
}

/** The pieces of an edge that nothing solid and nearer stands before, and the others. */
function split(edge: Edge, own: Seen, solid: readonly Seen[]): { inSight: Edge[]; behind: Edge[] } {
  const other = edge.along === 0 ? 1 : 0;
  const covers = solid
    .filter((each) => each !== own && each.near !== undefined && own.near !== undefined && each.near < own.near)
    .filter(({ low, high }) => low[other] < edge.at && edge.at < high[other])
    .map(({ low, high }) => ({ from: low[edge.along], to: high[edge.along] }));
  const cuts = [edge.from, edge.to, ...covers.flatMap(({ from, to }) => [from, to])]
    .filter((cut) => cut >= edge.from && cut <= edge.to)
    .sort((a, b) => a - b);
  const pieces = cuts.slice(1).map((to, i) => ({ ...edge, from: cuts[i] as number, to }));
  const isBehind = ({ from, to }: Edge) =>
    covers.some((cover) => cover.from <= (from + to) / 2 && (from + to) / 2 <= cover.to);
  const real = pieces.filter(({ from, to }) => to > from);
  return { inSight: joined(real.filter((each) => !isBehind(each))), behind: joined(real.filter(isBehind)) };
}

/** Pieces that follow on each other as one, so that their dashes do. */
function joined(pieces: readonly Edge[]): Edge[] {
  const all: Edge[] = [];
  for (const piece of pieces) {
    const last = all.at(-1);
    if (last && last.to === piece.from) all[all.length - 1] = { ...last, to: piece.to };
    else all.push(piece);
  }
  return all;
}

/** A part of the paper that lies square to it. */
interface Area {
  readonly low: Point;
  readonly high: Point;
}

/** Names of what is solid, in its outline, where there is room that no line crosses; beside it they could be taken for another's. */
function names(view: View, bodies: readonly Seen[], to: Mapper, lines: readonly Mark[]): Mark[] {
  const taken = lines.flatMap(areaOf);
  return bodies.flatMap(({ body, low, high }): Mark[] => {
    if (!body.isSolid || view.name === 'side') return [];
    const [a, b] = [to(low), to(high)];
    const [left, right] = [a[0], b[0]].toSorted((one, other) => one - other) as [number, number];
    const [top, bottom] = [a[1], b[1]].toSorted((one, other) => one - other) as [number, number];
    const width = textWidth(body.name, letters);
    const room = { across: right - left - width - 1, down: bottom - top - letters - 1 };
    if (room.across < 0 || room.down < 0) return [];
    const free = places.find(([x, y]) => {
      const from: Point = [left + 0.5 + room.across * x, top + 0.5 + room.down * y];
      return !taken.some((other) => covers({ low: from, high: [from[0] + width, from[1] + letters] }, other));
    });
    if (!free) return [];
    const from: Point = [left + 0.5 + room.across * free[0], top + 0.5 + room.down * free[1]];
    taken.push({ low: from, high: [from[0] + width, from[1] + letters] });
    const at: Point = [from[0] + width / 2, from[1] + letters * 0.8];
    return led(body, [{ is: 'text', at, text: body.name, anchor: 'middle', isQuiet: true }]);
  });
}

/** Where in an outline a name is tried, as shares of the room that it leaves: the middle first. */
const places: readonly Point[] = [0.5, 0.25, 0.75, 0, 1].flatMap((y) => [0.5, 0, 1].map((x): Point => [x, y]));

function covers(one: Area, other: Area): boolean {
  return ([0, 1] as const).every((i) => one.low[i] <= other.high[i] && other.low[i] <= one.high[i]);
}

/** What a line or a ring takes up. */
function areaOf(mark: Mark): Area[] {
  if (mark.is === 'text') return [];
  if (mark.is === 'ring') {
    const { at, radius } = mark;
    return [{ low: [at[0] - radius, at[1] - radius], high: [at[0] + radius, at[1] + radius] }];
  }
  const side = (i: 0 | 1) => mark.points.map((point) => point[i]);
  return [
    {
      low: [Math.min(...side(0)), Math.min(...side(1))],
      high: [Math.max(...side(0)), Math.max(...side(1))],
    },
  ];
}

// ---- dimensions ----

interface Dimension {
  readonly body: BodyData;
  readonly axis: 0 | 1 | 2;
  readonly from: number;
  readonly to: number;
}

/** What is dimensioned, the shortest innermost: widths and heights of the front view, depths of the side view. */
function dimensionsOf({ bodies }: DrawingData) {
  const along = (axis: 0 | 1 | 2, beside: 0 | 1 | 2) => {
    const all = bodies.flatMap((body): Dimension | [] => {
      const own = body.isDimensioned ? range(body, axis) : undefined;
      return own && range(body, beside) && own.high > own.low ? { body, axis, from: own.low, to: own.high } : [];
    });
    return all.toSorted((a, b) => a.to - a.from - (b.to - b.from));
  };
  return { across: along(0, 2), up: along(2, 0), along: along(1, 2) };
}

/** How long, in other units too where that is asked for, and what: as much of it as there is room for. */
function shownLength({ from, to, body }: Dimension, { unit, unitBeside }: DrawingData, room: number): string {
  const number = String(Number(((to - from) / unit.factor).toFixed(1)));
  const both = unitBeside ? `${number} (${Number(((to - from) / unitBeside.factor).toPrecision(3))})` : number;
  const wanted = [`${both} ${body.name}`, both];
  return wanted.find((text) => textWidth(text, letters) <= room) ?? number;
}

/** A dimension below a view: two fine lines down from what it measures, and one between them with a stroke at both ends. */
function level(each: Dimension, to: Mapper, y: number, data: DrawingData): Mark[] {
  const [a, b] = [to([each.from, 0])[0], to([each.to, 0])[0]].toSorted((one, other) => one - other) as [number, number];
  const text = shownLength(each, data, b - a);
  return led(each.body, [
    ...[a, b].flatMap((x): Mark[] => [
      thinLine([x, y - rows.next + 1.5], [x, y + 1.2]),
      thinLine([x - 1, y + 1], [x + 1, y - 1]),
    ]),
    thinLine([a, y], [b, y]),
    { is: 'text', at: [(a + b) / 2, y - 0.9], text, anchor: 'middle' },
  ]);
}

/** A line of a dimension. */
function thinLine(...points: Point[]): Mark {
  return { is: 'line', stroke: 'dimension', points };
}

/** A dimension at the left of a view; its text is read from the right. */
function upright(each: Dimension, to: Mapper, x: number, data: DrawingData): Mark[] {
  const [a, b] = [to([0, each.to])[1], to([0, each.from])[1]];
  const text = shownLength(each, data, b - a);
  return led(each.body, [
    ...[a, b].flatMap((y): Mark[] => [
      thinLine([x + rows.next - 1.5, y], [x - 1.2, y]),
      thinLine([x - 1, y + 1], [x + 1, y - 1]),
    ]),
    thinLine([x, a], [x, b]),
    { is: 'text', at: [x - 0.9, (a + b) / 2], text, anchor: 'middle', isUpright: true },
  ]);
}

/** The scale, the unit, and the sign of the projection: a truncated cone from its side and from its end. */
function legend(y: number, scale: string, { unit, unitBeside, isThirdAngle }: DrawingData): Mark[] {
  const beside = unitBeside ? ` (${unitBeside.symbol})` : '';
  const words = `Scale ${scale}, lengths in ${unit.symbol}${beside}, ${isThirdAngle ? 'third' : 'first'}-angle projection`;
  const middle = paper.width - 14;
  const [cone, circles] = isThirdAngle ? [middle + 5, middle - 5] : [middle - 5, middle + 5];
  const [wide, narrow] = isThirdAngle ? [cone + 3, cone - 3] : [cone - 3, cone + 3];
  return [
    { is: 'text', at: [0, y], text: words, anchor: 'start' },
    {
      is: 'line',
      stroke: 'visible',
      points: [
        [wide, y - 3],
        [narrow, y - 1.5],
        [narrow, y + 1.5],
        [wide, y + 3],
        [wide, y - 3],
      ],
    },
    { is: 'ring', stroke: 'visible', at: [circles, y], radius: 3 },
    { is: 'ring', stroke: 'visible', at: [circles, y], radius: 1.5 },
  ];
}
