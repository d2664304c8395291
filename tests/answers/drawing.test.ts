// What is drawn to scale: what kinds say of it, what meets, and what is not said, which is never guessed.
import { describe, expect, test } from 'vitest';
import { drawingOf } from '../../language/answers/drawing.ts';
import { machineIn } from '../support.ts';

const kinds = `kind hall {
  toplevel
  /// How far its shelf is from the door.
  shelf_behind: Length?
  has crate*
  has shelf: block {
    x = 0 mm
    y = shelf_behind
    z = 1 m
    wide = 3 m
    deep = 200 mm
    high = 20 mm
  }
}
kind block {
  x: Length?
  y: Length?
  z: Length default 0 mm {
    source practice "on the floor"
  }
  wide: Length?
  deep: Length?
  high: Length?
  goes_x: Length default 0 mm
  goes_y: Length default 0 mm
  goes_z: Length default 0 mm
  solid: YesNo default yes
  round: YesNo default no
  told: YesNo default no
  shape "To scale", x, y, z, wide, deep, high, goes_x, goes_y, goes_z, solid, round, told
}
kind crate {
  has block?
}
`;
const drawn = (lines: string) => drawingOf(machineIn(`${kinds}hall H {\n${lines}\n}\n`));
const crate = (name: string, x: number, more = '') =>
  `  crate ${name} {\n    block {\n      x = ${x} mm\n      y = 1 m\n      wide = 500 mm\n      deep = 400 mm\n      high = 300 mm\n${more}\n    }\n  }\n`;
const bodies = (lines: string) => drawn(lines)?.bodies;

describe('a drawing', () => {
  test('has what a kind of its own says a shape of, at its place, named after what it stands in', () => {
    expect(bodies(crate('a', 250, '      goes_x = 2 m\n      told = yes'))?.slice(0, 1)).toMatchObject([
      {
        label: 'a',
        name: 'a',
        at: [expect.closeTo(0.25), 1, 0],
        sides: [0.5, 0.4, expect.closeTo(0.3)],
        goes: [2, 0, 0],
        isSolid: true,
        isDimensioned: true,
      },
    ]);
  });

  test('is told in the unit that lengths are declared in', () => {
    expect(drawn(crate('a', 0))?.unit).toEqual({ symbol: 'mm', factor: expect.closeTo(0.001, 12) });
  });

  test('leaves out what has no place, and says what it waits for', () => {
    const drawing = drawn(`${crate('a', 0)}  crate b {\n    block {\n      wide = 1 m\n    }\n  }\n  crate c\n`);
    expect(drawing?.bodies.map(({ label }) => label)).toEqual(['a', 'shelf']);
    expect(drawing?.notSaid.map(({ label, missing }) => [label, ...missing])).toEqual([
      ['b', 'b.block.x', 'b.block.y', 'b.block.deep', 'b.block.high'],
      ['shelf', 'shelf_behind'],
      ['c', 'c.block'],
    ]);
  });

  test('shows in the views that are known what is not known in the third', () => {
    const [shelf] = drawn(crate('a', 0))?.bodies.filter(({ label }) => label === 'shelf') ?? [];
    expect(shelf).toMatchObject({ at: [0, null, 1], sides: [3, expect.closeTo(0.2), expect.closeTo(0.02)] });
    const [told] = drawn('  shelf_behind = 2 m')?.bodies ?? [];
    expect(told).toMatchObject({ at: [0, 2, 1] });
  });

  test('is not there where nothing can be drawn', () => {
    expect(drawingOf(machineIn('kind barn {\n  toplevel\n}\nbarn B {\n}\n'))).toBeUndefined();
  });

  test('says what it takes from its kinds because nobody has said it, and no more once it is said', () => {
    expect(drawn(crate('a', 0))?.taken).toMatchObject([{ label: 'a.block.z', shown: '0 mm', because: 'on the floor' }]);
    expect(drawn(crate('a', 0, '      z = 0 mm'))?.taken).toEqual([]);
  });
});

describe('what would be in one place', () => {
  const meetings = (lines: string) => drawn(lines)?.meetings ?? [];

  test('is told with the room that both take up', () => {
    expect(meetings(crate('a', 0) + crate('b', 480))).toMatchObject([
      {
        one: 'a',
        other: 'b',
        at: [expect.closeTo(0.48), 1, 0],
        sides: [expect.closeTo(0.02), expect.closeTo(0.4), expect.closeTo(0.3)],
      },
    ]);
  });

  test('is not what stands in a corner of the square around the circle within which the other moves', () => {
    const round = kinds
      .replace(
        '  told: YesNo default no\n',
        '  told: YesNo default no\n  own: YesNo default no\n  circle: YesNo default no\n',
      )
      .replace('round, told\n', 'round, told, own, circle\n');
    const moving = (more: string) => crate('a', 0, `      goes_x = 2 m\n      goes_y = 2 m\n      ${more}`);
    // From the middle of the way, 1 m beside and 2 m behind, each side of what moves is 0.5 m and 0.4 m away.
    const met = (more: string, lines: string) =>
      drawingOf(machineIn(`${round}hall H {\n${moving(more)}${lines}\n}\n`))?.meetings.map(({ other }) => other);
    const corner = crate('b', 2400).replace('y = 1 m', 'y = 3.3 m');
    const side = crate('b', 2400).replace('y = 1 m', 'y = 2 m');
    expect(met('', corner)).toEqual(['b']);
    expect(met('circle = yes', corner)).toEqual([]);
    expect(met('circle = yes', side)).toEqual(['b']);
    // 1 m beside the middle and as far behind: 0.7 m and 0.7 m are within, 0.72 m and 0.72 m are not.
    const near = (x: number) => crate('b', 1500 + x).replace('y = 1 m', `y = ${2.4 + x / 1000} m`);
    expect(met('circle = yes', near(700))).toEqual(['b']);
    expect(met('circle = yes', near(720))).toEqual([]);
  });

  test('is not what only touches', () => {
    expect(meetings(crate('a', 0) + crate('b', 500))).toEqual([]);
  });

  test('is looked for all along the way of what moves', () => {
    expect(meetings(crate('a', 0, '      goes_x = 600 mm') + crate('b', 1000))).toHaveLength(1);
    expect(meetings(crate('a', 0, '      goes_x = 500 mm') + crate('b', 1000))).toEqual([]);
  });

  test('is not what goes the same way together', () => {
    const way = '      goes_x = 600 mm';
    expect(meetings(crate('a', 0, way) + crate('b', 1000, way))).toEqual([]);
  });

  test('is not a room that is only kept free', () => {
    expect(meetings(crate('a', 0) + crate('b', 100, '      solid = no'))).toEqual([]);
  });
});

describe('a machine of the library', () => {
  const frame = (kind: string, more = '') =>
    machineIn(`machine M {
  ${kind} frame {
    column = section_20x40
    height = 400 mm
    width = 360 mm
    depth = 420 mm
    feet_height = 12 mm${more}
  }
  envelope {
    travel = 230 mm x 230 mm x 240 mm
    tool = 60 mm x 90 mm x 80 mm
    bed = 230 mm x 230 mm
    bed_height = 60 mm
    bed_moves = in_depth
  }
}
`);
  const body = (name: string, kind = 'portal_frame', more = '') =>
    drawingOf(frame(kind, more))?.bodies.find(({ label }) => label === name);

  test('has its bed where its travel is centred, and the tool over it', () => {
    // By hand: 400 mm outside, so the middle is at 200 mm; the bed begins at 200 - 115, the tool at 200 - (230 + 60) / 2.
    expect(body('envelope.bed_block')).toMatchObject({
      at: [expect.closeTo(0.085), expect.closeTo(0), expect.closeTo(0.012)],
      goes: [0, expect.closeTo(0.23), 0],
    });
    expect(body('envelope.tool_block')).toMatchObject({
      at: [expect.closeTo(0.055), expect.closeTo(0.185), expect.closeTo(0.072)],
      goes: [expect.closeTo(0.23), 0, expect.closeTo(0.24)],
    });
  });

  test('has a portal that is turned as wide as it then is', () => {
    expect(body('frame.outside')?.sides[0]).toBeCloseTo(0.4, 9);
    expect(body('frame.outside', 'portal_frame', '\n    column_turned = yes')?.sides[0]).toBeCloseTo(0.44, 9);
  });

  test('has the columns of a portal in depth only where it is said', () => {
    expect(body('frame.left_column')?.at[1]).toBeNull();
    expect(body('frame.left_column', 'portal_frame', '\n    columns_behind = 200 mm')?.at[1]).toBeCloseTo(0.2, 9);
  });

  test('has four columns of a box at its corners, and its beams on them', () => {
    expect(body('frame.back_right_column', 'box_frame')).toMatchObject({
      at: [expect.closeTo(0.38), expect.closeTo(0.44), expect.closeTo(0.012)],
    });
    expect(body('frame.back_top_beam', 'box_frame')?.at[2]).toBeCloseTo(0.412, 9);
    expect(body('frame.back_top_beam', 'box_frame')?.sides[0]).toBeCloseTo(0.4, 9);
  });

  test('marks where the tool would run into a column', () => {
    expect(drawingOf(frame('box_frame'))?.meetings).toEqual([]);
    const wide = drawingOf(
      machineIn(`machine M {
  box_frame frame {
    column = section_20x20
    height = 400 mm
    width = 260 mm
    depth = 300 mm
    feet_height = 12 mm
  }
  envelope {
    travel = 230 mm x 230 mm x 200 mm
    tool = 60 mm x 90 mm x 80 mm
    bed = 230 mm x 230 mm
    bed_height = 60 mm
    bed_moves = in_height
  }
}
`),
    );
    // 230 mm of travel and 60 mm of tool are 15 mm wider than the 260 mm between the columns, at each side; in depth there is less than needed too.
    expect(wide?.meetings.map(({ one, other }) => [one, other])).toContainEqual([
      'frame.front_left_column',
      'envelope.tool_block',
    ]);
    expect(wide?.meetings[0]?.sides[0]).toBeCloseTo(0.015, 9);
  });
});
