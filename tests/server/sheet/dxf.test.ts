import { describe, expect, test } from 'vitest';
import type { SheetData } from '../../../server/sheet/data.ts';
import { dxfOf } from '../../../server/sheet/dxf.ts';
import { hostile } from './sample.ts';

const body = (label: string, at: [number, number, number], sides: [number, number, number]) => ({
  label,
  name: label,
  at,
  sides,
  goes: [0, 0, 0] as const,
  isSolid: true,
  isRound: false,
  goesRound: false,
  isDimensioned: true,
  place: null,
});
const sheet = (...bodies: ReturnType<typeof body>[]): SheetData => ({
  machine: 'M',
  about: '',
  sections: [
    {
      heading: 'Drawing',
      parts: [
        {
          is: 'drawing',
          unit: { symbol: 'mm', factor: 0.001 },
          isThirdAngle: false,
          bodies,
          meetings: [],
          notSaid: [],
          taken: [],
        },
      ],
    },
  ],
});

/** What a DXF says: pairs of a line with the code of a group and one with its value. Source: the format's published reference (from memory). */
function groupsOf(text: string): [string, string][] {
  const lines = text.trimEnd().split(/\r?\n/);
  return Array.from({ length: lines.length / 2 }, (_, i) => [(lines[2 * i] ?? '').trim(), lines[2 * i + 1] ?? '']);
}

/** The entities of a sort, each as its groups. */
function entities(text: string, sort: string): Map<string, string>[] {
  const groups = groupsOf(text);
  const from = groups.findIndex(([code, value]) => code === '2' && value === 'ENTITIES');
  const starts = groups.flatMap(([code], i) => (i > from && code === '0' ? [i] : []));
  return starts
    .filter((i) => groups[i]?.[1] === sort)
    .map(
      (i) =>
        new Map(
          groups
            .slice(
              i,
              starts.find((next) => next > i),
            )
            .map(([code, value]) => [code, value]),
        ),
    );
}

describe('a drawing as DXF', () => {
  const text = dxfOf(sheet(body('case', [0, 0, 0], [0.4, 0.3, 0.2]))) ?? '';

  test('is pairs of codes and values, from its sections to its end', () => {
    const groups = groupsOf(text);
    expect(groups.every(([code]) => /^\d+$/.test(code))).toBe(true);
    expect(groups[0]).toEqual(['0', 'SECTION']);
    expect(groups.at(-1)).toEqual(['0', 'EOF']);
  });

  test('is as long as in nature, in millimetres', () => {
    // Group 70 of $INSUNITS: 4 is millimetres.
    const groups = groupsOf(text);
    const units = groups.findIndex(([code, value]) => code === '9' && value === '$INSUNITS');
    expect(groups[units + 1]).toEqual(['70', '4']);
    const visible = entities(text, 'LINE').filter((each) => each.get('8') === 'visible');
    const lengths = visible.map((each) =>
      Math.round(
        Math.hypot(Number(each.get('11')) - Number(each.get('10')), Number(each.get('21')) - Number(each.get('20'))),
      ),
    );
    // Besides the symbol of the projection three rectangles: 400 x 200 from the front, 300 x 200 from the side, 400 x 300 from above.
    expect(lengths.filter((length) => length > 100).toSorted((a, b) => a - b)).toEqual([
      200, 200, 200, 200, 300, 300, 300, 300, 400, 400, 400, 400,
    ]);
  });

  test('has a layer for each sort of line, and words with dimensions', () => {
    for (const layer of ['visible', 'hidden', 'extreme', 'dimension', 'text'])
      expect(groupsOf(text)).toContainEqual(['2', layer]);
    const words = entities(text, 'TEXT').map((each) => each.get('1'));
    expect(words).toEqual(expect.arrayContaining([expect.stringMatching(/^400/), expect.stringMatching(/^200/)]));
  });

  test('is the same each time, and no text breaks out of its line', () => {
    const broken = sheet(body('a\n0\nEOF\n', [0, 0, 0], [0.4, 0.3, 0.2]));
    expect(dxfOf(broken)).toBe(dxfOf(broken));
    expect(groupsOf(dxfOf(broken) ?? '').filter(([code, value]) => code === '0' && value === 'EOF')).toHaveLength(1);
  });

  test('is none where nothing is drawn', () => {
    expect(dxfOf(hostile)).toBeUndefined();
  });
});
