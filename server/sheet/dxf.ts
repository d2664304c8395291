import { DxfWriter, point3d, TextHorizontalAlignment, TextVerticalAlignment, Units } from '@tarikjabiri/dxf';
import type { SheetData } from './data.ts';
import { type Mark, type Point, type Stroke, sheetOf } from './drawing.ts';

/** Line types as strokes and gaps, in millimetres on paper. Source: ISO 128-2 (from memory). */
const lines: Readonly<Record<Stroke, { readonly type: string; readonly about: string; readonly steps: number[] }>> = {
  visible: { type: 'Continuous', about: '', steps: [] },
  dimension: { type: 'Continuous', about: '', steps: [] },
  hidden: { type: 'DASHED', about: '_ _ _', steps: [3, -1.5] },
  extreme: { type: 'PHANTOM', about: '__ . . __', steps: [6, -1, 0.25, -1, 0.25, -1] },
  meeting: { type: 'Continuous', about: '', steps: [] },
};
/** Colours by their number: black or white as the paper is, and red for what would be in one place. */
const colours: Readonly<Record<Stroke, number>> = { visible: 7, dimension: 8, hidden: 8, extreme: 8, meeting: 1 };
/** Height of letters, in millimetres on paper. */
const letters = 2.9;
const textLayer = 'text';

/**
 * The three views of a machine as a drawing that other programs read (DXF): as long as in nature, in millimetres, a layer for each sort of
 * line. Undefined where nothing is drawn. Source of the format: its published reference, as the library writes it.
 */
export function dxfOf({ sections }: SheetData): string | undefined {
  const [drawing] = sections.flatMap(({ parts }) => parts.flatMap((part) => (part.is === 'drawing' ? [part] : [])));
  if (!drawing) return undefined;
  const { marks, height, ratio } = sheetOf(drawing);
  const writer = new DxfWriter();
  writer.setUnits(Units.Millimeters);
  for (const [stroke, { type, about, steps }] of Object.entries(lines)) {
    if (steps.length > 0)
      writer.addLType(
        type,
        about,
        steps.map((step) => step / ratio),
      );
    writer.addLayer(stroke, colours[stroke as Stroke], type);
  }
  writer.addLayer(textLayer, 7, 'Continuous');
  const natural = ([x, y]: Point) => point3d(rounded(x / ratio), rounded((height - y) / ratio), 0);
  for (const mark of marks) write(mark, writer, natural, ratio);
  return writer.stringify();
}

function write(mark: Mark, writer: DxfWriter, at: (point: Point) => ReturnType<typeof point3d>, ratio: number): void {
  if (mark.is === 'ring') writer.addCircle(at(mark.at), rounded(mark.radius / ratio), { layerName: mark.stroke });
  else if (mark.is === 'line')
    for (const [i, point] of mark.points.slice(1).entries())
      writer.addLine(at(mark.points[i] as Point), at(point), { layerName: mark.stroke });
  else
    writer.addText(at(mark.at), rounded(letters / ratio), oneLine(mark.text), {
      layerName: textLayer,
      rotation: mark.isUpright ? 90 : 0,
      horizontalAlignment: aligned[mark.anchor],
      verticalAlignment: TextVerticalAlignment.BaseLine,
      secondAlignmentPoint: at(mark.at),
    });
}

const aligned = {
  start: TextHorizontalAlignment.Left,
  middle: TextHorizontalAlignment.Center,
  end: TextHorizontalAlignment.Right,
} as const;

/** A value stands on a line of its own: none may be broken. */
function oneLine(text: string): string {
  return text.replace(/\s+/g, ' ');
}

function rounded(value: number): number {
  return Math.round(value * 1000) / 1000;
}
