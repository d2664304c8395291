import { s } from 'hastscript';
import { type DrawingData, type Mark, type Point, type Stroke, sheetOf } from './drawing.ts';
import { hitLine, linked } from './leading.ts';

type Element = Exclude<ReturnType<typeof s>, { type: 'root' }>;

/** Kinds of lines. Source: ISO 128-2 (from memory): in sight 01.2, behind 02.1, ends of ways 05.1, dimensions 01.1. */
const strokes: Readonly<Record<Stroke, Readonly<Record<string, string | number>>>> = {
  visible: { strokeWidth: 0.5 },
  hidden: { strokeWidth: 0.25, strokeDasharray: '2 1' },
  extreme: { strokeWidth: 0.25, strokeDasharray: '4 0.8 0.4 0.8 0.4 0.8' },
  dimension: { strokeWidth: 0.2, stroke: 'var(--quiet)' },
  meeting: { strokeWidth: 0.6, stroke: 'var(--error)' },
};

/** A drawing as an SVG picture, as large as on paper. Colours are the page's own variables. */
export function drawingSvg(data: DrawingData, title: string): Element {
  const { width, height, scale, marks } = sheetOf(data);
  return s(
    'svg',
    {
      className: ['drawing'],
      viewBox: `0 0 ${width} ${height}`,
      width: `${width}mm`,
      height: `${height}mm`,
      role: 'group',
      ariaLabel: `${title}, ${scale}`,
      fill: 'none',
      stroke: 'var(--text)',
      fontSize: 2.9,
      fontFamily: 'inherit',
    },
    linked(marks, drawn),
  ) as Element;
}

/** A mark; a line that leads somewhere with what makes it easy to hit. */
function drawn(mark: Mark): Element[] {
  const isHit = mark.is === 'line' && mark.place;
  return isHit ? [element(mark), hitLine(pointsOf(mark.points), hitWidth)] : [element(mark)];
}

/** So wide is a line to whoever points at it, in millimetres. */
const hitWidth = 2;

function pointsOf(points: readonly Point[]): string {
  return points.map((point) => point.map(round).join(',')).join(' ');
}

function element(mark: Mark): Element {
  switch (mark.is) {
    case 'line':
      return s('polyline', { points: pointsOf(mark.points), ...strokes[mark.stroke] }) as Element;
    case 'ring':
      return s('path', { d: around(mark.at, mark.radius), ...strokes[mark.stroke] }) as Element;
    case 'text': {
      const { at, text, anchor, isUpright, isQuiet } = mark;
      const [x, y] = at.map(round);
      return s(
        'text',
        {
          x,
          y,
          textAnchor: anchor,
          fill: isQuiet ? 'var(--quiet)' : 'var(--text)',
          stroke: 'none',
          ...(isUpright && { transform: `rotate(-90 ${x} ${y})` }),
        },
        text,
      ) as Element;
    }
  }
}

/** A ring as a path. */
function around([x, y]: Point, radius: number): string {
  const arc = `a${round(radius)} ${round(radius)} 0 1 0`;
  return `M${round(x - radius)} ${round(y)}${arc} ${round(2 * radius)} 0${arc} ${round(-2 * radius)} 0`;
}

const round = (value: number) => Math.round(value * 100) / 100;
