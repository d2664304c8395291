// Two drawings as they were looked at, line by line, when each of their lines ended where it should.
import { expect, test } from 'vitest';
import { type DrawingData, type Mark, sheetOf } from '../../../server/sheet/drawing.ts';

const body = (
  name: string,
  at: readonly [number | null, number | null, number | null],
  sides: readonly [number, number, number],
  more: Partial<DrawingData['bodies'][number]> = {},
): DrawingData['bodies'][number] => ({
  label: `m.${name}`,
  name,
  at,
  sides,
  goes: [0, 0, 0],
  isSolid: true,
  isRound: false,
  goesRound: false,
  isDimensioned: false,
  place: null,
  ...more,
});
const data: DrawingData = {
  is: 'drawing',
  unit: { symbol: 'cm', factor: 0.01 },
  isThirdAngle: false,
  bodies: [
    body('block', [0.1, 0.05, 0], [0.4, 0.2, 0.3], { isDimensioned: true }),
    body('shelf', [0, 0.35, 0.1], [0.6, 0.1, 0.05], { isDimensioned: true }),
    body('sledge', [0.2, 0.1, 0.3], [0.1, 0.1, 0.05], { goes: [0.1, 0, 0] }),
    body('rod', [0.15, 0.05, 0.4], [0.3, 0.02, 0.02], { isRound: true }),
    body('room', [0, 0, 0], [0.05, 0.05, 0.5], { isSolid: false }),
    body('somewhere', [0.55, null, 0.3], [0.05, 0.1, 0.1]),
  ],
  meetings: [{ one: 'rod', other: 'sledge', at: [0.2, 0.1, 0.3], sides: [0.05, 0.1, 0.02], place: null }],
  notSaid: [],
  taken: [],
};

/** To a tenth of a millimetre. */
const at = (n: number) => Number(n.toFixed(1)) + 0;
const point = ([x, y]: readonly [number, number]) => `${at(x)},${at(y)}`;
/** A mark in a line. */
function said(mark: Mark): string {
  switch (mark.is) {
    case 'line':
      return `${mark.stroke} ${mark.points.map(point).join(' ')}`;
    case 'ring':
      return `${mark.stroke} ring ${point(mark.at)} ${at(mark.radius)}`;
    case 'text':
      return `"${mark.text}" ${mark.anchor} ${point(mark.at)}${mark.isUpright ? ' upright' : ''}${mark.isQuiet ? ' quiet' : ''}${mark.title ? ` of ${mark.title}` : ''}`;
  }
}

const firstAngle = `170 x 139, 1:10
visible 30,56 70,56
visible 30,26 70,26
visible 30,56 30,26
visible 70,56 70,26
visible 20,46 30,46
visible 70,46 80,46
hidden 30,46 70,46
visible 20,41 30,41
visible 70,41 80,41
hidden 30,41 70,41
visible 20,46 20,41
visible 80,46 80,41
visible 45,26 55,26
visible 45,21 55,21
visible 45,26 45,21
visible 55,26 55,21
extreme 40,26 50,26
extreme 40,21 50,21
extreme 40,26 40,21
extreme 50,26 50,21
extreme 50,26 60,26
extreme 50,21 60,21
extreme 50,26 50,21
extreme 60,26 60,21
visible 35,16 65,16
visible 35,14 65,14
visible 35,16 35,14
visible 65,16 65,14
extreme 20,56 25,56
extreme 20,6 25,6
extreme 20,56 20,6
extreme 25,56 25,6
visible 75,26 80,26
visible 75,16 80,16
visible 75,26 75,16
visible 80,26 80,16
meeting 40,26 45,26
meeting 40,24 45,24
meeting 40,26 40,24
meeting 45,26 45,24
meeting 40,26 45,24
meeting 40,24 45,26
"block" middle 50,35.3 quiet of m.block
"shelf" middle 50,44.4 quiet of m.shelf
visible 130,56 110,56
visible 130,26 110,26
visible 130,56 130,26
visible 110,56 110,26
visible 100,46 90,46
visible 100,41 90,41
visible 100,46 100,41
visible 90,46 90,41
visible 125,26 115,26
visible 125,21 115,21
visible 125,26 125,21
visible 115,26 115,21
visible ring 129,15 1
extreme 135,56 130,56
extreme 135,6 130,6
extreme 135,56 135,6
extreme 130,56 130,6
meeting 125,26 115,26
meeting 125,24 115,24
meeting 125,26 125,24
meeting 115,26 115,24
meeting 125,26 115,24
meeting 125,24 115,26
visible 30,116 70,116
visible 30,96 70,96
visible 30,116 30,96
visible 70,116 70,96
visible 20,86 80,86
visible 20,76 80,76
visible 20,86 20,76
visible 80,86 80,76
visible 45,111 55,111
visible 45,101 55,101
visible 45,111 45,101
visible 55,111 55,101
extreme 40,111 50,111
extreme 40,101 50,101
extreme 40,111 40,101
extreme 50,111 50,101
extreme 50,111 60,111
extreme 50,101 60,101
extreme 50,111 50,101
extreme 60,111 60,101
visible 35,116 65,116
visible 35,114 65,114
visible 35,116 35,114
visible 65,116 65,114
extreme 20,121 25,121
extreme 20,116 25,116
extreme 20,121 20,116
extreme 25,121 25,116
meeting 40,111 45,111
meeting 40,101 45,101
meeting 40,111 40,101
meeting 45,111 45,101
meeting 40,111 45,101
meeting 40,101 45,111
"block" middle 34.6,106.9 quiet of m.block
"shelf" middle 50,81.9 quiet of m.shelf
dimension 30,59.5 30,66.2
dimension 29,66 31,64
dimension 70,59.5 70,66.2
dimension 69,66 71,64
dimension 30,65 70,65
"40 block" middle 50,64.1 of m.block
dimension 20,66.5 20,73.2
dimension 19,73 21,71
dimension 80,66.5 80,73.2
dimension 79,73 81,71
dimension 20,72 80,72
"60 shelf" middle 50,71.1 of m.shelf
dimension 16.5,41 9.8,41
dimension 10,42 12,40
dimension 16.5,46 9.8,46
dimension 10,47 12,45
dimension 11,41 11,46
"5" middle 10.1,43.5 upright of m.shelf
dimension 9.5,26 2.8,26
dimension 3,27 5,25
dimension 9.5,56 2.8,56
dimension 3,57 5,55
dimension 4,26 4,56
"30 block" middle 3.1,41 upright of m.block
dimension 90,59.5 90,66.2
dimension 89,66 91,64
dimension 100,59.5 100,66.2
dimension 99,66 101,64
dimension 90,65 100,65
"10" middle 95,64.1 of m.shelf
dimension 110,66.5 110,73.2
dimension 109,73 111,71
dimension 130,66.5 130,73.2
dimension 129,73 131,71
dimension 110,72 130,72
"20 block" middle 120,71.1 of m.block
"Scale 1:10, lengths in cm, first-angle projection" start 0,133
visible 148,130 154,131.5 154,134.5 148,136 148,130
visible ring 161,133 3
visible ring 161,133 1.5`;

const thirdAngle = `170 x 145, 1:10
visible 30,111 70,111
visible 30,81 70,81
visible 30,111 30,81
visible 70,111 70,81
visible 20,101 30,101
visible 70,101 80,101
hidden 30,101 70,101
visible 20,96 30,96
visible 70,96 80,96
hidden 30,96 70,96
visible 20,101 20,96
visible 80,101 80,96
visible 45,81 55,81
visible 45,76 55,76
visible 45,81 45,76
visible 55,81 55,76
extreme 40,81 50,81
extreme 40,76 50,76
extreme 40,81 40,76
extreme 50,81 50,76
extreme 50,81 60,81
extreme 50,76 60,76
extreme 50,81 50,76
extreme 60,81 60,76
visible 35,71 65,71
visible 35,69 65,69
visible 35,71 35,69
visible 65,71 65,69
extreme 20,111 25,111
extreme 20,61 25,61
extreme 20,111 20,61
extreme 25,111 25,61
visible 75,81 80,81
visible 75,71 80,71
visible 75,81 75,71
visible 80,81 80,71
meeting 40,81 45,81
meeting 40,79 45,79
meeting 40,81 40,79
meeting 45,81 45,79
meeting 40,81 45,79
meeting 40,79 45,81
"block" middle 50,90.3 quiet of m.block
"shelf" middle 50,99.4 quiet of m.shelf
visible 95,111 115,111
visible 95,81 115,81
visible 95,111 95,81
visible 115,111 115,81
visible 125,101 135,101
visible 125,96 135,96
visible 125,101 125,96
visible 135,101 135,96
visible 100,81 110,81
visible 100,76 110,76
visible 100,81 100,76
visible 110,81 110,76
visible ring 96,70 1
extreme 90,111 95,111
extreme 90,61 95,61
extreme 90,111 90,61
extreme 95,111 95,61
meeting 100,81 110,81
meeting 100,79 110,79
meeting 100,81 100,79
meeting 110,81 110,79
meeting 100,81 110,79
meeting 100,79 110,81
visible 30,46 70,46
visible 30,26 70,26
visible 30,46 30,26
visible 70,46 70,26
visible 20,16 80,16
visible 20,6 80,6
visible 20,16 20,6
visible 80,16 80,6
visible 45,41 55,41
visible 45,31 55,31
visible 45,41 45,31
visible 55,41 55,31
extreme 40,41 50,41
extreme 40,31 50,31
extreme 40,41 40,31
extreme 50,41 50,31
extreme 50,41 60,41
extreme 50,31 60,31
extreme 50,41 50,31
extreme 60,41 60,31
visible 35,46 65,46
visible 35,44 65,44
visible 35,46 35,44
visible 65,46 65,44
extreme 20,51 25,51
extreme 20,46 25,46
extreme 20,51 20,46
extreme 25,51 25,46
meeting 40,41 45,41
meeting 40,31 45,31
meeting 40,41 40,31
meeting 45,41 45,31
meeting 40,41 45,31
meeting 40,31 45,41
"block" middle 34.6,36.9 quiet of m.block
"shelf" middle 50,11.9 quiet of m.shelf
dimension 30,114.5 30,121.2
dimension 29,121 31,119
dimension 70,114.5 70,121.2
dimension 69,121 71,119
dimension 30,120 70,120
"40 block" middle 50,119.1 of m.block
dimension 20,121.5 20,128.2
dimension 19,128 21,126
dimension 80,121.5 80,128.2
dimension 79,128 81,126
dimension 20,127 80,127
"60 shelf" middle 50,126.1 of m.shelf
dimension 16.5,96 9.8,96
dimension 10,97 12,95
dimension 16.5,101 9.8,101
dimension 10,102 12,100
dimension 11,96 11,101
"5" middle 10.1,98.5 upright of m.shelf
dimension 9.5,81 2.8,81
dimension 3,82 5,80
dimension 9.5,111 2.8,111
dimension 3,112 5,110
dimension 4,81 4,111
"30 block" middle 3.1,96 upright of m.block
dimension 125,114.5 125,121.2
dimension 124,121 126,119
dimension 135,114.5 135,121.2
dimension 134,121 136,119
dimension 125,120 135,120
"10" middle 130,119.1 of m.shelf
dimension 95,121.5 95,128.2
dimension 94,128 96,126
dimension 115,121.5 115,128.2
dimension 114,128 116,126
dimension 95,127 115,127
"20 block" middle 105,126.1 of m.block
"Scale 1:10, lengths in cm, third-angle projection" start 0,139
visible 164,136 158,137.5 158,140.5 164,142 164,136
visible ring 151,139 3
visible ring 151,139 1.5`;

const told = (drawing: DrawingData) => {
  const { width, height, scale, marks } = sheetOf(drawing);
  return [`${width} x ${height}, ${scale}`, ...marks.map(said)].join('\n');
};

test('in first angle: what is hidden, what moves, a rod, a room, what meets, and dimensions of both', () => {
  expect(told(data)).toBe(firstAngle);
});

test('in third angle', () => {
  expect(told({ ...data, isThirdAngle: true })).toBe(thirdAngle);
});
