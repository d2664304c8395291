// Two ladders as they were looked at, line by line, when each of their lines ended where it should.
import { expect, test } from 'vitest';
import { drawingsOf, type Item, type LadderData } from '../../../server/sheet/ladder.ts';

const device = (name: string, more: object = {}) => ({
  name,
  label: `a.${name}`,
  letters: 'F',
  symbol: name,
  told: ['5 A', 'slow'],
  isBoth: false,
  goesOn: '',
  place: null,
  ...more,
});
const wire = device('', { letters: '', symbol: '', told: ['1 mm^2', '2 m'], cores: { out: 'brown', back: 'blue' } });
const small = (more: object) =>
  ({
    is: 'ladder',
    number: '1',
    name: 'inlet',
    told: ['230 V', '10 A'],
    isBoard: false,
    fedBy: '',
    marks: ['L', 'N'],
    trunk: [],
    rungs: [],
    leads: [],
    earths: [],
    free: [],
    legend: [],
    place: null,
    ...more,
  }) as unknown as LadderData;
const rung = (more: object) => ({
  number: '1.1',
  name: 'bed',
  told: ['1 A'],
  marks: ['+', '-'],
  terminal: 'out_1',
  out: [],
  load: device('mat', { letters: 'E', told: [] }),
  back: [],
  place: null,
  ...more,
});
/** To a tenth: how wide letters are is not told in round numbers. */
const at = (n: number) => Number(n.toFixed(1));
/** An item in a line. */
function said(item: Item): string {
  switch (item.is) {
    case 'line':
      return `line ${item.points.map(([x, y]) => `${at(x)},${at(y)}`).join(' ')}${item.weight ? ' rail' : ''}${item.isDashed ? ' dashed' : ''}`;
    case 'symbol':
      return `${item.path.slice(0, 12)} ${at(item.x)},${at(item.y)}${item.isUpright ? ' upright' : ''}`;
    case 'outline':
      return `outline ${at(item.x)},${at(item.y)} ${item.width} x ${at(item.height)}`;
    case 'swatch':
      return `${item.colour} ${at(item.x)},${at(item.y)}`;
    case 'text':
      return `"${item.text}" ${item.anchor} ${at(item.x)},${at(item.y)}${item.isBold ? ' bold' : ''}${item.isQuiet ? ' quiet' : ''}${item.title ? ` of ${item.title}` : ''}`;
    default:
      return `${item.is} ${at(item.x)},${at(item.y)}`;
  }
}
const ladders = {
  rails: small({
    earths: ['frame', 'bed'],
    trunk: [device('switch', { isBoth: true }), wire, device('fuse')],
    rungs: [
      rung({
        out: [
          device('relay', { control: { name: 'board', number: '3.1', isPowered: true } }),
          wire,
          device('cut', { isBoth: true }),
        ],
        back: [device('link')],
        earth: device('earth', { told: ['1 mm^2'], cores: { out: 'green_yellow', back: '' } }),
      }),
      rung({ number: '1.2', name: 'fan', told: [], behind: { name: 'relay', number: '1.1', isBoth: true } }),
      rung({
        number: '1.3',
        name: 'lamp',
        behind: { name: 'relay', number: '1.1', isBoth: false },
        out: [device('far', { goesOn: '4' })],
      }),
    ],
  }),
  board: small({
    isBoard: true,
    fedBy: '2.1',
    rungs: [
      rung({ out: [device('both', { isBoth: true }), wire], back: [device('link')] }),
      rung({ number: '1.2', out: Array.from({ length: 5 }, (_, i) => device(`f${i}`, { told: ['5 A and no more'] })) }),
    ],
    leads: [
      { number: '1.3', terminal: 'sensor_in', to: device('sensor', { goesOn: '5' }), told: ['2 leads'] },
      {
        number: '1.4',
        terminal: 'a_rather_long_terminal_name',
        to: device('coil', { control: { name: 'x', number: '1', isPowered: true } }),
        told: [],
      },
    ],
    free: ['out_2', 'out_3'].map((name) => ({ name, place: { file: 'a', line: 1, column: 1 } })),
  }),
};

const rails = `1 inlet: 460 x 624
outline 8,8 444 x 54
"inlet" start 46,25 bold of inlet
"1" end 422,25 bold of inlet
"230 V · 10 A" start 46,40 quiet of inlet
"earth: frame, bed" start 46,54 quiet of inlet
"L" middle 22,53 of inlet
ring 22,62
"N" middle 438,53 of inlet
ring 438,62
"F switch" start 46,83 of a.switch
"5 A · slow" start 46,103 quiet of a.switch
switch 22,88 upright
line 22,65 22,68 rail
switch 438,88 upright
line 438,65 438,68 rail
line 36,88 424,88 dashed
"a." start 46,131 of a.
"1 mm^2 · 2 m" start 46,151 quiet of a.
brown 260,144
blue 275,144
"brown / blue" start 293,151 quiet of a.
"F fuse" start 46,179 of a.fuse
"5 A · slow" start 46,199 quiet of a.fuse
fuse 22,184 upright
line 22,108 22,164 rail
"1.1 bed" start 46,228 bold of 1.1 bed
"1 A" end 414,228 quiet of 1.1 bed
"F relay" middle 84.4,246 of a.relay
"5 A · slow" middle 84.4,259 quiet of a.relay
line 46,274 64.4,274
relay 84.4,274
line 104.4,274 122.8,274
"1 mm^2" middle 204,246 of a.
"2 m" middle 204,259 quiet of a.
line 122.8,274 285.2,274
brown 149.8,285
blue 164.8,285
"brown / blue" start 182.8,292 quiet of a.
"F cut" middle 323.6,246 of a.cut
"5 A · slow" middle 323.6,259 quiet of a.cut
line 285.2,274 303.6,274
cut 323.6,274
line 343.6,274 362,274
"E mat" middle 388,259 of a.mat
line 362,274 368,274
mat 388,274
line 408,274 414,274
line 22,274 46,274
dot 22,274
ring 414,274
"a" start 420,268
line 84.4,278 84.4,300 dashed
outline 72.4,300 24 x 12
"board → 3.1" start 102.4,310 of board
line 388,284 388,327
M20 1v7M13 8 388,337
"earth" start 232.2,332 of a.earth
green_yellow 270.2,325
"green-yellow" start 288.2,332 quiet of a.earth
"1 mm^2" start 232.2,346 quiet of a.earth
line 115,404 337.2,404
"F cut" middle 80.5,376 of a.cut
"way back" middle 80.5,389 quiet of a.cut
line 46,404 60.5,404
cut 80.5,404
line 100.5,404 115,404
"F link" middle 375.6,376 of a.link
"5 A · slow" middle 375.6,389 quiet of a.link
line 337.2,404 355.6,404
link 375.6,404
line 395.6,404 414,404
ring 46,404
"a" end 40,398
line 414,404 438,404
dot 438,404
"1.2 fan" start 46,448 bold of 1.2 fan
line 167.4,494 381.9,494
line 46,494 115.4,494
"relay, 1.1" middle 80.7,486 of relay
"E mat" middle 141.4,479 of a.mat
line 115.4,494 121.4,494
mat 141.4,494
line 161.4,494 167.4,494
line 381.9,494 414,494
"1.1" middle 397.9,486 of relay
ring 46,494
ring 414,494
"1.3 lamp" start 46,538 bold of 1.3 lamp
"1 A" end 414,538 quiet of 1.3 lamp
line 192.2,584 362,584
line 46,584 115.4,584
"relay, 1.1" middle 80.7,576 of relay
"F far → 4" middle 153.8,556 of a.far
"5 A · slow" middle 153.8,569 quiet of a.far
line 115.4,584 133.8,584
far 153.8,584
line 173.8,584 192.2,584
"E mat" middle 388,569 of a.mat
line 362,584 368,584
mat 388,584
line 408,584 414,584
ring 46,584
line 414,584 438,584
dot 438,584
line 22,204 22,274 rail
line 438,108 438,584 rail`;

const board = `1 inlet: 460 x 686
"inlet" start 16,26 bold of inlet
"1" end 452,26 bold of inlet
"230 V · 10 A" start 16,41 quiet of inlet
"fed by 2.1" start 16,55 quiet of inlet
"1.1 bed" start 134,78 bold of 1.1 bed
"1 A" end 452,78 quiet of 1.1 bed
"F both" middle 170.4,96 of a.both
"5 A · slow" middle 170.4,109 quiet of a.both
line 132,124 150.4,124
both 170.4,124
line 190.4,124 208.8,124
line 170.4,132 170.4,146 dashed
"1 mm^2" middle 287,96 of a.
"2 m" middle 287,109 quiet of a.
line 208.8,124 365.2,124
brown 232.8,135
blue 247.8,135
"brown / blue" start 265.8,142 quiet of a.
line 365.2,124 442,124
"F link" middle 403.6,178 of a.link
"5 A · slow" middle 403.6,191 quiet of a.link
line 132,154 150.4,154
both 170.4,154
line 190.4,154 383.6,154
link 403.6,154
line 423.6,154 442,154
ring 442,124
ring 442,154
"a" start 447,143
"out_1" start 16,143 of out_1
"+" end 116,128 of out_1
ring 124,124
line 127,124 132,124
"-" end 116,158 of out_1
ring 124,154
line 127,154 132,154
"E mat" middle 416,227 of a.mat
line 390,242 396,242
mat 416,242
line 436,242 442,242
line 132,242 390,242
line 132,272 442,272
line 442,242 442,272
ring 132,242
ring 132,272
"a" start 136,261
"1.2 bed" start 134,304 bold of 1.2 bed
"1 A" end 452,304 quiet of 1.2 bed
"F f0" middle 186.9,322 of a.f0
"5 A and no more" middle 186.9,335 quiet of a.f0
line 132,350 166.9,350
f0 186.9,350
line 206.9,350 241.8,350
"F f1" middle 387.1,322 of a.f1
"5 A and no more" middle 387.1,335 quiet of a.f1
line 332.2,350 367.1,350
f1 387.1,350
line 407.1,350 442,350
line 241.8,350 332.2,350
line 132,380 442,380
ring 442,350
ring 442,380
"a" start 447,369
"out_1" start 16,369 of out_1
"+" end 116,354 of out_1
ring 124,350
line 127,350 132,350
"-" end 116,384 of out_1
ring 124,380
line 127,380 132,380
"F f2" middle 186.9,408 of a.f2
"5 A and no more" middle 186.9,421 quiet of a.f2
line 132,436 166.9,436
f2 186.9,436
line 206.9,436 241.8,436
"F f3" middle 387.1,408 of a.f3
"5 A and no more" middle 387.1,421 quiet of a.f3
line 332.2,436 367.1,436
f3 387.1,436
line 407.1,436 442,436
line 241.8,436 332.2,436
line 132,466 442,466
ring 442,436
ring 442,466
"b" start 447,455
ring 132,436
ring 132,466
"a" start 136,455
"F f4" middle 186.9,494 of a.f4
"5 A and no more" middle 186.9,507 quiet of a.f4
line 132,522 166.9,522
f4 186.9,522
line 206.9,522 241.8,522
"E mat" middle 416,507 of a.mat
line 390,522 396,522
mat 416,522
line 436,522 442,522
line 241.8,522 390,522
line 132,552 442,552
line 442,522 442,552
ring 132,522
ring 132,552
"b" start 136,541
"sensor_in" start 16,594 of sensor_in
ring 124,590
line 127,590 216,590
"2 leads" middle 170,585 quiet of a.sensor
sensor 236,590
"a.sensor → 5" start 264,588 of a.sensor
"5 A · slow" start 264,602 quiet of a.sensor
"1.3" end 452,588 quiet of a.sensor
"a_rather_long_" start 16,627.5 of a_rather_long_terminal_name
"terminal_name" start 16,640.5 of a_rather_long_terminal_name
ring 124,630
line 127,630 216,630
"" middle 170,625 quiet of a.coil
M0 10h6M6 2h 236,630
"a.coil" start 264,628 of a.coil
"5 A · slow" start 264,642 quiet of a.coil
"1.4" end 452,628 quiet of a.coil
"free:" start 136,668 quiet
"out_2" start 167.3,668 quiet of out_2
"out_3" start 309.7,668 quiet of out_3
outline 8,8 116 x 670`;

const told = (ladder: LadderData) =>
  drawingsOf(ladder).map(({ title, width, height, items }) =>
    [`${title}: ${width} x ${at(height)}`, ...items.map(said)].join('\n'),
  );

test('between rails: what all share, a rung over two rows, and rungs behind the contact of another', () => {
  expect(told(ladders.rails)).toEqual([rails]);
});

test('at a board: both conductors, leads of their own, and what is free', () => {
  expect(told(ladders.board)).toEqual([board]);
});
