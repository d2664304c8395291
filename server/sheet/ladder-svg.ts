import { s } from 'hastscript';
import { drawingsOf, type Item, type LadderData, type Lettering, textSize } from './ladder.ts';
import { hitLine, linked } from './leading.ts';

type Element = Exclude<ReturnType<typeof s>, { type: 'root' }>;

/** A drawing is shown so wide, and its text the larger: where there is less room, it shrinks to 11 pixels at 460. */
const shownWidth = 560;

/** The sheets of a ladder as SVG pictures. Colours are the page's own variables, but for the swatches of wires. */
export function laddersSvg(ladder: LadderData): Element[] {
  return drawingsOf(ladder).map(
    ({ title, width, height, items }) =>
      s(
        'svg',
        {
          className: ['ladder'],
          viewBox: `0 0 ${width} ${height}`,
          width: shownWidth,
          height: Math.round((height * shownWidth) / width),
          role: 'group',
          ariaLabel: title,
          fill: 'none',
          stroke: 'var(--text)',
          strokeWidth: 1.1,
          fontSize: textSize,
          fontFamily: 'inherit',
        },
        linked(items, drawn),
      ) as Element,
  );
}

/** An item, and where it leads somewhere, what makes it easy to hit. */
function drawn(item: Item): Element[] {
  const { place } = item;
  if (place && item.is === 'line') return [element(item), hitLine(pointsOf(item.points), hitWidth)];
  if (place && item.is === 'symbol') {
    const box = { width: 40, height: 20, fill: 'transparent', stroke: 'none' };
    return [element(item), s('rect', { ...box, transform: placedAt(item) }) as Element];
  }
  return [element(item)];
}

/** So wide is a line to whoever points at it. */
const hitWidth = 10;

function pointsOf(points: Extract<Item, { is: 'line' }>['points']): string {
  return points.map((point) => point.map(round).join(',')).join(' ');
}

function placedAt({ x, y, isUpright }: Extract<Item, { is: 'symbol' }>): string {
  return `translate(${round(x)} ${round(y)})${isUpright ? ' rotate(90)' : ''} translate(-20 -10)`;
}

function element(item: Item): Element {
  switch (item.is) {
    case 'text':
      return lettering(item);
    case 'line':
      return s('polyline', {
        points: pointsOf(item.points),
        ...(item.weight && { strokeWidth: 1.9 }),
        ...(item.isDashed && { strokeDasharray: '4 3' }),
      }) as Element;
    case 'symbol':
      return s('path', { d: item.path, transform: placedAt(item) }) as Element;
    case 'dot':
      return s('path', { d: around(item.x, item.y, 2.4), fill: 'var(--text)', stroke: 'none' }) as Element;
    case 'ring':
      return s('path', { d: around(item.x, item.y, 3), fill: 'var(--back)' }) as Element;
    case 'outline':
      return s('rect', { x: item.x, y: item.y, width: item.width, height: item.height }) as Element;
    case 'swatch': {
      // A wire of two colours shows both; the words are those of SVG.
      const colours = item.colour.split(' ');
      return s('g', [
        ...colours.map((colour, i) =>
          s('rect', {
            x: round(item.x + (12 * i) / colours.length),
            y: item.y,
            width: 12 / colours.length,
            height: 6,
            fill: colour,
            stroke: 'none',
          }),
        ),
        s('rect', { x: round(item.x), y: item.y, width: 12, height: 6, stroke: 'var(--mark)', strokeWidth: 0.7 }),
      ]) as Element;
    }
  }
}

function lettering({ x, y, text, anchor, isBold, isQuiet }: Lettering): Element {
  return s(
    'text',
    {
      x: round(x),
      y: round(y),
      textAnchor: anchor,
      fill: isQuiet ? 'var(--quiet)' : 'var(--text)',
      stroke: 'none',
      ...(isBold && { fontWeight: 600, fontSize: 12 }),
    },
    text,
  ) as Element;
}

/** A round mark as a path. */
function around(x: number, y: number, radius: number): string {
  const arc = `a${radius} ${radius} 0 1 0`;
  return `M${round(x - radius)} ${round(y)}${arc} ${2 * radius} 0${arc} ${-2 * radius} 0`;
}

const round = (value: number) => Math.round(value * 10) / 10;
