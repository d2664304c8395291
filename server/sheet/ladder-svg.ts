import { s } from 'hastscript';
import { drawingsOf, type Item, type LadderData, type Lettering, textSize } from './ladder.ts';

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
        items.map(drawn),
      ) as Element,
  );
}

function drawn(item: Item): Element {
  switch (item.is) {
    case 'text':
      return lettering(item);
    case 'line':
      return s('polyline', {
        points: item.points.map((point) => point.map(round).join(',')).join(' '),
        ...(item.weight && { strokeWidth: 1.9 }),
        ...(item.isDashed && { strokeDasharray: '4 3' }),
      }) as Element;
    case 'symbol': {
      const turn = item.isUpright ? ' rotate(90)' : '';
      return s('path', {
        d: item.path,
        transform: `translate(${round(item.x)} ${round(item.y)})${turn} translate(-20 -10)`,
      }) as Element;
    }
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

function lettering({ x, y, text, anchor, isBold, isQuiet, place, title }: Lettering): Element {
  return s(
    'text',
    {
      x: round(x),
      y: round(y),
      textAnchor: anchor,
      fill: isQuiet ? 'var(--quiet)' : 'var(--text)',
      stroke: 'none',
      ...(isBold && { fontWeight: 600, fontSize: 12 }),
      ...(place && { 'data-place': `${place.file}:${place.line}:${place.column}` }),
    },
    [...(title && title !== text ? [s('title', title)] : []), text],
  ) as Element;
}

/** A round mark as a path. */
function around(x: number, y: number, radius: number): string {
  const arc = `a${radius} ${radius} 0 1 0`;
  return `M${round(x - radius)} ${round(y)}${arc} ${2 * radius} 0${arc} ${-2 * radius} 0`;
}

const round = (value: number) => Math.round(value * 10) / 10;
