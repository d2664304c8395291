// What is to be cut and drilled: bars and their ends, the plate and what lies on it, rails, the panels of a chamber.
import { describe, expect, test } from 'vitest';
import { sheetOf } from '../../language/answers/sheet.ts';
import { machineIn } from '../support.ts';

const rest = `  ambient = 20 degC
  bed {
    target = 60 degC
    plate {
      size = 300 mm x 310 mm
      thickness = 6 mm
      material = cast_aluminium
    }
    sensor is ntc_100k {
      fastened = in_hole
    }
  }
  levelling {
    levelling_screw * 3 is corner_silicone
    supports = 240 mm x 250 mm
  }`;
const frame = (kind: string, more: string) => `machine M {
${rest}
  ${kind} frame {
    column = section_30x30
    height = 520 mm
    width = 420 mm
    depth = 440 mm
    ${more}
  }
}`;

/** What stands under the heading: of each table its columns and rows, of what stands alone its text. */
function cutListOf(text: string) {
  const section = sheetOf(machineIn(text)).sections.find(({ heading }) => heading === 'Cut list');
  return (section?.parts ?? []).flatMap((part) => {
    if (part.is === 'table') return part.rows.map(({ texts }) => part.heading.map((name, i) => [name, texts[i]]));
    return part.is === 'rows' ? part.rows.map(({ label, shown }) => [[label, shown]]) : [];
  });
}
const holesIn = (text: string) =>
  new Map(cutListOf(text).map((row) => [row[0]?.[1], row.find(([name]) => name === 'holes')?.[1]]));

describe('bars', () => {
  // Where they meet follows from the sides of a section of 30 mm: half of it is 15 mm.
  test('of a box whose beams lie on its columns are drilled down and across, and threaded above', () => {
    const holes = holesIn(frame('box_frame', 'end_thread = m5'));
    expect(holes.get('frame.columns')).toBe('M5 10 mm deep in its upper end');
    expect(holes.get('frame.beams_in_width')).toBe(
      'holes for M5 down through it 15 mm from each end (the two on top), holes for M5 across its depth 15 mm from each end',
    );
    expect(holes.get('frame.beams_in_depth')).toBe('M5 10 mm deep in both ends');
  });

  test('of a box whose beams lie between its columns are threaded at both ends, and its columns drilled', () => {
    const holes = holesIn(frame('box_frame', 'end_thread = m4\n    beams = between_columns'));
    expect(holes.get('frame.columns')).toBe(
      'holes for M4 across its width and across its depth 15 mm below its upper end',
    );
    expect(holes.get('frame.beams_in_width')).toBe('M4 8 mm deep in both ends');
    expect(holes.get('frame.beams_in_depth')).toBe('M4 8 mm deep in both ends');
  });

  // Feet of 10 mm: a beam that begins 60 mm over the bench begins 50 mm over the column's end, and its middle is 15 mm higher.
  test('of a box are drilled, or threaded below too, where it is said how high the beams around its foot lie', () => {
    const between = holesIn(
      frame(
        'box_frame',
        'end_thread = m4\n    beams = between_columns\n    feet_height = 10 mm\n    foot_beams_above = 60 mm',
      ),
    );
    expect(between.get('frame.columns')).toBe(
      'holes for M4 across its width and across its depth 15 mm below its upper end, holes for M4 across its width and across its depth 65 mm above its lower end',
    );
    const under = holesIn(frame('box_frame', 'end_thread = m5\n    feet_height = 40 mm\n    foot_beams_above = 10 mm'));
    expect(under.get('frame.columns')).toBe('M5 10 mm deep in both ends');
    expect(under.get('frame.beams_in_width')).toBe(
      'holes for M5 through it from top to bottom 15 mm from each end, holes for M5 across its depth 15 mm from each end',
    );
    // Beams on the columns that lie higher around the foot are held by brackets, or nobody has said how.
    const higher = holesIn(
      frame('box_frame', 'end_thread = m5\n    feet_height = 10 mm\n    foot_beams_above = 60 mm'),
    );
    expect(higher.get('frame.columns')).toBe('M5 10 mm deep in its upper end');
  });

  test('of a portal are drilled where the others end', () => {
    const upon = holesIn(frame('portal_frame', 'end_thread = m5'));
    expect(upon.get('frame.columns')).toBe('M5 10 mm deep in its upper end');
    expect(upon.get('frame.top_beam')).toBe('holes for M5 down through it 15 mm from each end');
    const between = holesIn(frame('portal_frame', 'end_thread = m5\n    beams = between_columns'));
    expect(between.get('frame.columns')).toBe('holes for M5 across its width 15 mm below its upper end');
    expect(between.get('frame.top_beam')).toBe('M5 10 mm deep in both ends');
  });

  test('have none where nothing is said of their corners', () => {
    const bars = cutListOf(frame('box_frame', '')).filter((row) => row[0]?.[1]?.startsWith('frame.'));
    expect(bars).toHaveLength(3);
    expect(bars.flat().map(([name]) => name)).not.toContain('holes');
  });
});

describe('the plate', () => {
  test('is drilled for its screws and for a sensor in a hole of it', () => {
    expect(holesIn(frame('box_frame', '')).get('bed.plate')).toBe(
      '3 for levelling screws with the outer ones 240 mm x 250 mm apart, 1 for bed.sensor',
    );
    const glued = frame('box_frame', '').replace('in_hole', 'glued');
    expect(holesIn(glued).get('bed.plate')).toBe('3 for levelling screws with the outer ones 240 mm x 250 mm apart');
  });

  test('is told once with its sides, and what is said of its holes counts', () => {
    const row = cutListOf(
      frame('box_frame', '').replace('thickness = 6 mm', 'thickness = 6 mm\n      holes = ["2 of 4.5 mm"]'),
    );
    expect(row[0]).toEqual([
      ['', 'bed.plate'],
      ['is', 'plate'],
      ['size', '300 mm x 310 mm'],
      ['thickness', '6 mm'],
      ['material', 'cast_aluminium'],
      ['holes', '2 of 4.5 mm'],
    ]);
  });
});

test('a rail tells its screws, and how far from its end the first one is', () => {
  const rail = `machine M {
  ambient = 20 degC
  axis x {
    travel = 200 mm
    guide is rail_12mm {
      length = 330 mm
    }
  }
}`;
  const alone = new Map(cutListOf(rail).flat() as [string, string][]);
  // 330 mm by 25 mm are 13 screws, which take 300 mm: 15 mm are left at both ends.
  expect([alone.get('screws'), alone.get('screw distance'), alone.get('first screw')]).toEqual([
    '13',
    '25 mm',
    '15 mm',
  ]);
});

test('a chamber tells its panels layer by layer, as large as its inside', () => {
  const text = frame('box_frame', '').replace(
    '  box_frame',
    `  chamber {
    size = 500 mm x 520 mm x 700 mm
    wall {
      thickness = 4 mm
      material = acrylic
    }
  }
  box_frame`,
  );
  const panels = cutListOf(text)
    .flat()
    .find(([name]) => name === 'panels');
  expect(panels?.[1]).toBe(
    'acrylic of 4 mm: 2 of 500 mm x 700 mm, 2 of 520 mm x 700 mm and 2 of 500 mm x 520 mm, and what overlaps at the edges',
  );
});
