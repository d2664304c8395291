import { areaY, axisX, axisY, gridY, lineY, plot, ruleX, ruleY, text } from '@observablehq/plot';
import { parseHTML } from 'linkedom';
import type { PartData } from './data.ts';

type PlotData = Extract<PartData, { is: 'plot' }>;

/** Size of a plot and of the space around what is drawn; labels stand in the right margin. */
const size = { width: 560, height: 260, marginTop: 22, marginRight: 150, marginBottom: 38, marginLeft: 56 } as const;
/** Labels in the margin are so far apart at least. */
const lineHeight = 14;
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
  const toPixels = (value: number) => {
    const [low, high] = domains.y;
    const room = size.height - size.marginTop - size.marginBottom;
    return size.marginTop + ((high - value) / (high - low)) * room;
  };
  const labels = apart([
    ...bands.map(({ label, points }) => ({ text: label, y: toPixels(points.at(-1)?.high ?? 0) })),
    ...marks
      .filter(({ axis }) => axis === 'y')
      .map(({ label, shown, high }) => ({ text: `${label} ${shown}`, y: toPixels(high) })),
  ]);
  const fromPixels = (pixels: number) => {
    const [low, high] = domains.y;
    return high - ((pixels - size.marginTop) / (size.height - size.marginTop - size.marginBottom)) * (high - low);
  };
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
      text(labels, {
        x: () => domains.x[1],
        y: ({ y }: Label) => fromPixels(y),
        text: 'text',
        textAnchor: 'start',
        dx: 6,
        fill: 'var(--text)',
      }),
      text(
        marks.filter(({ axis }) => axis === 'x'),
        {
          x: 'high',
          y: () => domains.y[1],
          text: ({ label, shown }) => `${label} ${shown}`,
          dy: -9,
          textAnchor: 'middle',
          fill: 'var(--text)',
        },
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

/** Labels from the top down, moved apart so that none covers another. */
function apart(labels: readonly Label[]): Label[] {
  const placed: Label[] = [];
  for (const label of labels.toSorted((a, b) => a.y - b.y)) {
    const above = placed.at(-1)?.y ?? -Infinity;
    placed.push({ ...label, y: Math.max(label.y, above + lineHeight) });
  }
  const over = (placed.at(-1)?.y ?? 0) - (size.height - 8);
  return over > 0 ? placed.map((label) => ({ ...label, y: label.y - over })) : placed;
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
  svg.setAttribute('font-size', '11');
  return svg.outerHTML;
}
