import { areaY, axisX, axisY, dot, gridY, lineY, plot, ruleX, ruleY, text } from '@observablehq/plot';
import { parseHTML } from 'linkedom';
import type { PartData } from './data.ts';
import { textWidth } from './text-width.ts';

type PlotData = Extract<PartData, { is: 'plot' }>;

/** Size of a plot and of the space around what is drawn; labels stand in the right margin, which is as wide as they are. */
const room = { width: 560, height: 240, marginRight: 150, marginBottom: 38, marginLeft: 56 } as const;
const textSize = 11;
/** The widest plot: wider labels are cut. */
const mostWidth = 680;
/** Labels in the margin are so far apart at least. */
const lineHeight = 14;
/** So many points of a curve tell what they are when they are pointed at. */
const mostSpots = 25;
/** Lines are told apart without colour. */
const dashes = [undefined, '7 3', '2 3', '9 3 2 3'];

interface Label {
  readonly text: string;
  readonly y: number;
}

/**
 * A plot as an SVG picture: each curve as a band between its least and its greatest, told by its own label in the margin and by its dashes;
 * marks as fine lines. Colours are the page's own variables. No style in it, so that a strict policy for contents allows it.
 */
export function svgOf(data: PlotData, title: string): string {
  const { x, y, bands, marks } = data;
  const { document } = parseHTML('<!doctype html><html><body></body></html>');
  const domains = { x: domainOf(data, 'x'), y: domainOf(data, 'y') };
  const upright = inRows(data, domains.x);
  const beside = [
    ...bands.map(({ label, points }) => ({ text: label, at: points.at(-1)?.high ?? 0 })),
    ...marks
      .filter(({ axis }) => axis === 'y')
      .map(({ label, shown, high }) => ({ text: `${label} ${shown}`, at: high })),
  ];
  const marginRight = Math.max(room.marginRight, ...beside.map(({ text }) => textWidth(text, textSize) + 12));
  const marginTop = 10 + lineHeight * Math.max(1, ...upright.map(({ row }) => row + 1));
  const size = {
    ...room,
    marginTop,
    marginRight,
    width: Math.min(mostWidth, room.width - room.marginRight + marginRight),
    height: room.height + marginTop,
  };
  const [bottom, top] = domains.y;
  const tall = size.height - size.marginTop - size.marginBottom;
  const toPixels = (value: number) => size.marginTop + ((top - value) / (top - bottom)) * tall;
  const fromPixels = (pixels: number) => top - ((pixels - size.marginTop) / tall) * (top - bottom);
  const labels = apart(
    beside.map(({ text, at }) => ({ text, y: toPixels(at) })),
    size.height,
  );
  const drawn = plot({
    ...size,
    document: document as never,
    x: { domain: domains.x },
    y: { domain: domains.y },
    marks: [
      gridY({ stroke: 'var(--line)', strokeOpacity: 1 }),
      axisX({ label: axisLabel(x), labelAnchor: 'center', labelArrow: 'none', ticks: 6 }),
      axisY({ label: axisLabel(y), labelAnchor: 'center', labelArrow: 'none', ticks: 5 }),
      ...marks.map(({ axis, low, high }) =>
        axis === 'y'
          ? ruleY([low, high], { stroke: 'var(--mark)', strokeDasharray: '4 3' })
          : ruleX([low, high], { stroke: 'var(--mark)', strokeDasharray: '4 3' }),
      ),
      ...bands.flatMap(({ points }, i) => [
        areaY(points, { x: 'x', y1: 'low', y2: 'high', fill: `var(--curve-${1 + (i % 3)})`, fillOpacity: 0.18 }),
        ...(['low', 'high'] as const).map((end) =>
          lineY(points, {
            x: 'x',
            y: end,
            stroke: `var(--curve-${1 + (i % 3)})`,
            strokeWidth: end === 'high' ? 2 : 1,
            strokeDasharray: dashes[i % dashes.length],
          }),
        ),
      ]),
      dot(meetingsOf(data), { x: 'x', y: 'y', r: 3.5, fill: 'var(--text)' }),
      dot(spotsOf(data), { x: 'x', y: 'y', r: 7, fill: 'transparent', title: 'told' }),
      text(labels, {
        x: () => domains.x[1],
        y: ({ y }: Label) => fromPixels(y),
        text: 'text',
        textAnchor: 'start',
        dx: 6,
        fill: 'var(--text)',
      }),
      ...upright.map(({ at, text: label, row, anchor }) =>
        text([label], {
          x: () => at,
          y: () => domains.y[1],
          text: (each: string) => each,
          dy: -9 - row * lineHeight,
          textAnchor: anchor,
          fill: 'var(--text)',
        }),
      ),
    ],
  });
  return plain(drawn as unknown as SvgElement, title);
}

function axisLabel({ label, unit }: { readonly label: string; readonly unit: string }): string {
  return unit ? `${label} in ${unit}` : label;
}

/** From the least to the greatest of what is drawn, a little more above. */
function domainOf({ bands, marks }: PlotData, axis: 'x' | 'y'): [number, number] {
  const points = bands.flatMap(({ points }) => points);
  const all = [
    ...(axis === 'x' ? points.map((point) => point.x) : points.flatMap(({ low, high }) => [low, high])),
    ...marks.filter((mark) => mark.axis === axis).flatMap(({ low, high }) => [low, high]),
  ].filter(Number.isFinite);
  const [low, high] = [Math.min(...all), Math.max(...all)];
  if (axis === 'x') return low < high ? [low, high] : [low, low + 1];
  const from = low > 0 && low < high - low ? 0 : low;
  return [from, high + (high - from || 1) * 0.06];
}

/** A label above a mark on the axis. */
interface Upright {
  readonly text: string;
  readonly at: number;
  readonly row: number;
  readonly anchor: 'start' | 'middle' | 'end';
}

/** Labels above marks, from the left, each in the lowest row in which it covers no other. */
function inRows({ marks }: PlotData, [from, to]: readonly [number, number]): Upright[] {
  const wide = room.width - room.marginLeft - room.marginRight;
  const ends: number[] = [];
  return marks
    .filter(({ axis }) => axis === 'x')
    .toSorted((a, b) => a.high - b.high)
    .map(({ label, shown, high }) => {
      const words = `${label} ${shown}`;
      const [middle, half] = [((high - from) / (to - from)) * wide, textWidth(words, textSize) / 2];
      const anchor = middle < half ? 'start' : middle + half > wide + room.marginRight ? 'end' : 'middle';
      const left = anchor === 'start' ? middle : anchor === 'end' ? middle - 2 * half : middle - half;
      const free = ends.findIndex((end) => end + 8 <= left);
      const row = free < 0 ? ends.length : free;
      ends[row] = left + 2 * half;
      return { text: words, at: high, row, anchor };
    });
}

/** Labels from the top down, moved apart so that none covers another. */
function apart(labels: readonly Label[], height: number): Label[] {
  const placed: Label[] = [];
  for (const label of labels.toSorted((a, b) => a.y - b.y)) {
    const above = placed.at(-1)?.y ?? -Infinity;
    placed.push({ ...label, y: Math.max(label.y, above + lineHeight) });
  }
  const over = (placed.at(-1)?.y ?? 0) - (height - 8);
  return over > 0 ? placed.map((label) => ({ ...label, y: label.y - over })) : placed;
}

/** A place on a curve that is told when it is pointed at. */
interface Spot {
  readonly x: number;
  readonly y: number;
  readonly told: string;
}

/** Points of all curves, evenly along the axis, each with what it tells. */
function spotsOf({ x, y, bands }: PlotData): Spot[] {
  return bands.flatMap(({ label, points }) => {
    const step = Math.max(1, (points.length - 1) / (mostSpots - 1));
    const chosen = Array.from({ length: Math.min(points.length, mostSpots) }, (_, i) => points[Math.round(i * step)]);
    return chosen.flatMap((point) => {
      if (!point) return [];
      const [low, high] = [told(point.low), told(point.high)];
      const height = low === high ? low : `${low} to ${high}`;
      const words = [label, height, y.unit, 'at', told(point.x), x.unit];
      return { x: point.x, y: point.high, told: words.filter(Boolean).join(' ') };
    });
  });
}

/** Where what is wanted meets each curve: at marks on the axis that are one place. */
function meetingsOf({ bands, marks }: PlotData): { x: number; y: number }[] {
  return marks.flatMap(({ axis, low, high }) =>
    axis === 'x' && low === high ? bands.flatMap((band) => heightAt(band.points, low) ?? []) : [],
  );
}

function heightAt(points: PlotData['bands'][number]['points'], at: number): { x: number; y: number } | undefined {
  const next = points.findIndex(({ x }) => x >= at);
  const [before, after] = [points[next - 1] ?? points[next], points[next]];
  if (!before || !after) return undefined;
  const share = after.x > before.x ? (at - before.x) / (after.x - before.x) : 0;
  return { x: at, y: before.high + (after.high - before.high) * share };
}

function told(value: number): string {
  return String(Number(value.toPrecision(3)));
}

/** As much of an element of a document as is used here: this runs where there is none of a browser's. */
interface SvgElement {
  readonly outerHTML: string;
  querySelectorAll(selector: string): Iterable<SvgElement>;
  setAttribute(name: string, value: string): void;
  removeAttribute(name: string): void;
  remove(): void;
}

/** The picture with a name, and without what a strict policy for contents or a screen reader stumbles over. */
function plain(svg: SvgElement, title: string): string {
  for (const style of svg.querySelectorAll('style')) style.remove();
  for (const element of [svg, ...svg.querySelectorAll('*')]) {
    for (const name of ['style', 'aria-label', 'aria-description', 'aria-hidden', 'class'])
      element.removeAttribute(name);
  }
  svg.setAttribute('role', 'img');
  svg.setAttribute('aria-label', title);
  svg.setAttribute('font-family', 'inherit');
  svg.setAttribute('font-size', `${textSize}`);
  return svg.outerHTML;
}
