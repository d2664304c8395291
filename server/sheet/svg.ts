import { areaY, axisX, axisY, dot, gridY, lineY, plot, ruleX, ruleY, text } from '@observablehq/plot';
import { parseHTML } from 'linkedom';
import type { PartData, Place } from './data.ts';
import { placeText } from './leading.ts';
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
  /** The number of its curve, or of its mark, in the picture's list of links. */
  readonly link: number;
}

/** Where a curve or a mark leads, and what it is called. */
interface Link {
  readonly place: Place | null;
  readonly title: string;
}

/**
 * A plot as an SVG picture: each curve as a band between its least and its greatest, told by its own label in the margin and by its dashes;
 * marks as fine lines; each leads to where it is said. Colours are the page's own variables. No style in it, so that a strict policy for contents allows it.
 */
export function svgOf(data: PlotData, title: string): string {
  const { x, y, bands, marks } = data;
  const { document } = parseHTML('<!doctype html><html><body></body></html>');
  const domains = { x: domainOf(data, 'x'), y: domainOf(data, 'y') };
  const links: Link[] = [...bands, ...marks].map(({ label, place }) => ({ place, title: label }));
  const linkOf = (mark: PlotData['marks'][number]) => bands.length + marks.indexOf(mark);
  const upright = inRows(data, domains.x);
  const beside = [
    ...bands.map(({ label, points }, link) => ({ text: label, at: points.at(-1)?.high ?? 0, link })),
    ...marks
      .filter(({ axis }) => axis === 'y')
      .map((mark) => ({ text: `${mark.label} ${mark.shown}`, at: mark.high, link: linkOf(mark) })),
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
    beside.map(({ text, at, link }) => ({ text, y: toPixels(at), link })),
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
      ...marks.flatMap((mark) => {
        const { axis, low, high } = mark;
        const ends = low === high ? [high] : [low, high];
        const rule = (more: object) =>
          axis === 'y'
            ? ruleY(ends, { ...part(linkOf(mark)), ...more })
            : ruleX(ends, { ...part(linkOf(mark)), ...more });
        return [rule({ stroke: 'var(--mark)', strokeDasharray: '4 3' }), ...(mark.place ? [rule(hit)] : [])];
      }),
      ...bands.flatMap((band, i) => {
        const { points } = band;
        const isWide = points.some(({ low, high }) => low !== high);
        const course = (y: 'low' | 'high', more: object) => lineY(points, { x: 'x', y, ...part(i), ...more });
        const colour = `var(--curve-${1 + (i % 3)})`;
        const area = { x: 'x', y1: 'low', y2: 'high', fill: colour, fillOpacity: 0.18, pointerEvents: 'none' } as const;
        return [
          ...(isWide ? [areaY(points, { ...area, ...part(i) })] : []),
          ...(isWide ? (['low', 'high'] as const) : (['high'] as const)).flatMap((end) => [
            course(end, {
              stroke: colour,
              strokeWidth: end === 'high' ? 2 : 1,
              strokeDasharray: dashes[i % dashes.length],
            }),
            ...(band.place ? [course(end, hit)] : []),
          ]),
          dot(spotsOf(data, band), { x: 'x', y: 'y', r: 7, fill: 'transparent', title: 'told', ...part(i) }),
        ];
      }),
      dot(meetingsOf(data), { x: 'x', y: 'y', r: 3.5, fill: 'var(--text)', pointerEvents: 'none' }),
      ...labels.map((label) =>
        text([label], {
          x: () => domains.x[1],
          y: ({ y }: Label) => fromPixels(y),
          text: 'text',
          textAnchor: 'start',
          dx: 6,
          fill: 'var(--text)',
          ...part(label.link),
        }),
      ),
      ...upright.map(({ at, text: label, row, anchor, mark }) =>
        text([label], {
          x: () => at,
          y: () => domains.y[1],
          text: (each: string) => each,
          dy: -9 - row * lineHeight,
          textAnchor: anchor,
          fill: 'var(--text)',
          ...part(linkOf(mark)),
        }),
      ),
    ],
  });
  return plain(drawn as unknown as SvgElement, title, links);
}

/** What is drawn is told apart by this until it is put together into links. */
const part = (link: number) => ({ ariaDescription: `link ${link}` });

/** A fine line is hard to hit: over it, unseen, lies a wide one. */
const hit = { stroke: 'var(--mark)', strokeOpacity: 0, strokeWidth: 10 } as const;

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
  readonly mark: PlotData['marks'][number];
}

/** Labels above marks, from the left, each in the lowest row in which it covers no other. */
function inRows({ marks }: PlotData, [from, to]: readonly [number, number]): Upright[] {
  const wide = room.width - room.marginLeft - room.marginRight;
  const ends: number[] = [];
  return marks
    .filter(({ axis }) => axis === 'x')
    .toSorted((a, b) => a.high - b.high)
    .map((mark) => {
      const { label, shown, high } = mark;
      const words = `${label} ${shown}`;
      const [middle, half] = [((high - from) / (to - from)) * wide, textWidth(words, textSize) / 2];
      const anchor = middle < half ? 'start' : middle + half > wide + room.marginRight ? 'end' : 'middle';
      const left = anchor === 'start' ? middle : anchor === 'end' ? middle - 2 * half : middle - half;
      const free = ends.findIndex((end) => end + 8 <= left);
      const row = free < 0 ? ends.length : free;
      ends[row] = left + 2 * half;
      return { text: words, at: high, row, anchor, mark };
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

/** Points of a curve, evenly along the axis, each with what it tells. */
function spotsOf({ x, y }: PlotData, { label, points }: PlotData['bands'][number]): Spot[] {
  const step = Math.max(1, (points.length - 1) / (mostSpots - 1));
  const chosen = Array.from({ length: Math.min(points.length, mostSpots) }, (_, i) => points[Math.round(i * step)]);
  return chosen.flatMap((point) => {
    if (!point) return [];
    const [low, high] = [told(point.low), told(point.high)];
    const height = low === high ? low : `${low} to ${high}`;
    const words = [label, height, y.unit, 'at', told(point.x), x.unit];
    return { x: point.x, y: point.high, told: words.filter(Boolean).join(' ') };
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
  readonly children: ArrayLike<SvgElement>;
  readonly ownerDocument: { createElementNS(namespace: string, name: string): SvgElement };
  textContent: string | null;
  querySelectorAll(selector: string): Iterable<SvgElement>;
  getAttribute(name: string): string | null;
  setAttribute(name: string, value: string): void;
  removeAttribute(name: string): void;
  before(other: SvgElement): void;
  append(...others: SvgElement[]): void;
  remove(): void;
}

/** The picture with a name, and without what a strict policy for contents or a screen reader stumbles over. */
function plain(svg: SvgElement, title: string, links: readonly Link[]): string {
  for (const style of svg.querySelectorAll('style')) style.remove();
  for (const [i, link] of links.entries()) putTogether(svg, `link ${i}`, link);
  for (const element of [svg, ...svg.querySelectorAll('*')]) {
    for (const name of ['style', 'aria-label', 'aria-description', 'aria-hidden', 'class'])
      element.removeAttribute(name);
    for (const name of places) {
      const value = element.getAttribute(name);
      if (value) element.setAttribute(name, shorter(value));
    }
  }
  svg.setAttribute('role', 'img');
  svg.setAttribute('aria-label', title);
  svg.setAttribute('font-family', 'inherit');
  svg.setAttribute('font-size', `${textSize}`);
  return svg.outerHTML;
}

/** Where attributes say where something is. */
const places = ['d', 'transform', 'x', 'y', 'x1', 'x2', 'y1', 'y2', 'cx', 'cy'] as const;

/** Numbers to a hundredth: finer than that nobody sees. */
function shorter(value: string): string {
  return value.replace(/-?\d+\.\d{3,}(?:e[+-]?\d+)?/g, (each) => String(Math.round(Number(each) * 100) / 100));
}

/** What is drawn of a curve or a mark as one link. */
function putTogether(svg: SvgElement, of: string, { place, title }: Link): void {
  const own = Array.from(svg.children).filter((each) => each.getAttribute('aria-description') === of);
  if (!place || !own[0]) return;
  const { ownerDocument } = svg;
  const [link, name] = ['g', 'title'].map((each) =>
    ownerDocument.createElementNS('http://www.w3.org/2000/svg', each),
  ) as [SvgElement, SvgElement];
  name.textContent = title;
  link.setAttribute('data-place', placeText(place));
  own[0].before(link);
  link.append(name, ...own);
}
