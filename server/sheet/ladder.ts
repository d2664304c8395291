import type { PartData, Place } from './data.ts';
import type { Leading } from './leading.ts';
import { fitted, textWidth, wrapped } from './text-width.ts';

export type LadderData = Extract<PartData, { is: 'ladder' }>;
type RungData = LadderData['rungs'][number];
type DeviceData = LadderData['trunk'][number];

/** What a drawing is made of, with where it leads. Numbers are in units of the drawing, down and to the right. */
export type Item = Leading & Shape;

type Shape =
  | { readonly is: 'line'; readonly points: readonly Point[]; readonly weight?: 'rail'; readonly isDashed?: true }
  | { readonly is: 'symbol'; readonly path: string; readonly x: number; readonly y: number; readonly isUpright?: true }
  | { readonly is: 'dot' | 'ring'; readonly x: number; readonly y: number }
  | { readonly is: 'outline'; readonly x: number; readonly y: number; readonly width: number; readonly height: number }
  | { readonly is: 'swatch'; readonly x: number; readonly y: number; readonly colour: string }
  | Lettering;

type Point = readonly [number, number];

export interface Lettering extends Leading {
  readonly is: 'text';
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly anchor: 'start' | 'middle' | 'end';
  readonly isBold?: boolean;
  readonly isQuiet?: boolean;
}

/** One sheet of a ladder. */
export interface Drawing {
  readonly title: string;
  readonly width: number;
  readonly height: number;
  readonly items: readonly Item[];
}

const width = 460;
/** A drawing is no higher than a page of A4 or letter has room for, where its width is 148 mm. */
const mostHeight = 730;
export const textSize = 11;
/** The rails of a source stand here, and the edge of a board. */
const rails = { left: 22, right: 438, board: 124 } as const;
const symbol = { width: 40, height: 20 } as const;
/** Between the two lines of a board's circuit. */
const pair = 30;

const text = (
  x: number,
  y: number,
  what: string,
  anchor: Lettering['anchor'] = 'start',
  more: Partial<Lettering> = {},
): Lettering => ({ is: 'text', x, y, text: what, anchor, ...more });
const line = (...points: Point[]): Item => ({ is: 'line', points });

/** All that shows something leads to where it is said. */
const led = (place: Place | null, title: string, items: readonly Item[]): Item[] =>
  items.map((item) => ({ ...item, place, title }));
const ledTo = ({ place, label }: DeviceData, items: readonly Item[]): Item[] => led(place, label, items);

/** The sheets of a ladder: cut between its rungs where it is higher than a page, with its head on each. */
export function drawingsOf(ladder: LadderData): Drawing[] {
  const steps = ladder.isBoard ? boardSteps(ladder) : ladder.rungs.map((rung) => railStep(rung));
  const head = ladder.isBoard ? boardHead(ladder) : sourceHead(ladder);
  const sheets: Step[][] = [[]];
  let height = head.height;
  for (const step of steps) {
    if (height + step.height > mostHeight && sheets.at(-1)?.length) {
      sheets.push([]);
      height = head.height;
    }
    sheets.at(-1)?.push(step);
    height += step.height;
  }
  return sheets.map((own, i) => {
    const title = [ladder.number, ladder.name, sheets.length > 1 ? `(${i + 1} of ${sheets.length})` : ''];
    return sheetOf(title.filter(Boolean).join(' '), head, own, ladder.isBoard);
  });
}

/** A piece of a drawing, from its own top down. */
interface Step {
  readonly height: number;
  readonly items: readonly Item[];
  /** How far below its top the rails reach for it. */
  readonly joins: { readonly left?: number; readonly right?: number };
}

function sheetOf(title: string, head: Step, steps: readonly Step[], isBoard: boolean): Drawing {
  const items: Item[] = [...head.items];
  const ends: { left?: number; right?: number } = {};
  let y = head.height;
  for (const step of steps) {
    items.push(...step.items.map((item) => moved(item, y)));
    if (step.joins.left !== undefined) ends.left = y + step.joins.left;
    if (step.joins.right !== undefined) ends.right = y + step.joins.right;
    y += step.height;
  }
  const height = y + 10;
  if (isBoard) items.push({ is: 'outline', x: 8, y: 8, width: rails.board - 8, height: height - 16 });
  for (const side of ['left', 'right'] as const) {
    const from = head.joins[side];
    const to = ends[side];
    const x = rails[side];
    if (!isBoard && from !== undefined && to !== undefined)
      items.push({
        is: 'line',
        weight: 'rail',
        points: [
          [x, from],
          [x, to],
        ],
      });
  }
  return { title, width, height, items };
}

function moved(item: Item, by: number): Item {
  return item.is === 'line'
    ? { ...item, points: item.points.map(([x, y]): Point => [x, y + by]) }
    : { ...item, y: item.y + by };
}

// ---- heads ----

/** A bar across the top with two terminals, and below it what all rungs share. */
function sourceHead({ number, name, told, marks, earths, trunk, place }: LadderData): Step {
  const room = rails.right - rails.left - 60;
  const lines = [
    ...(told.length ? wrapped(told.join(' · '), textSize, room) : []),
    ...(earths.length ? wrapped(`earth: ${earths.join(', ')}`, textSize, room) : []),
  ];
  const bar = 26 + 14 * Math.max(lines.length, 1);
  const items = led(place, name, [
    { is: 'outline', x: 8, y: 8, width: width - 16, height: bar },
    text(46, 25, fitted(name, 12, room - 30, true), 'start', { isBold: true }),
    text(rails.right - 16, 25, number, 'end', { isBold: true }),
    ...lines.map((each, i) => text(46, 40 + 14 * i, each, 'start', { isQuiet: true })),
    ...(['left', 'right'] as const).flatMap((side, i): Item[] => [
      text(rails[side], bar - 1, marks[i] ?? '', 'middle'),
      { is: 'ring', x: rails[side], y: bar + 8 },
    ]),
  ]);
  let y = bar + 8;
  const ends = { left: y + 3, right: y + 3 };
  for (const device of trunk) {
    items.push(...ledTo(device, trunkItems(device, y, ends)));
    y += 48;
  }
  return { height: y + 8, items, joins: ends };
}

/** What all rungs share stands upright in the rails, its two poles linked. */
function trunkItems(device: DeviceData, y: number, ends: { left: number; right: number }): Item[] {
  const middle = y + 26;
  const items: Item[] = [
    text(46, middle - 5, fitted(labelOf(device) || device.label, textSize, 300)),
    text(46, middle + 15, fitted(device.told.join(' · '), textSize, device.cores ? 150 : 300), 'start', {
      isQuiet: true,
    }),
  ];
  if (device.cores) items.push(...coloursOf(device, 260, middle + 15));
  if (!device.symbol) return items;
  const sides = device.isBoth ? (['left', 'right'] as const) : (['left'] as const);
  for (const side of sides) {
    items.push({ is: 'symbol', path: device.symbol, x: rails[side], y: middle, isUpright: true });
    items.push({
      is: 'line',
      weight: 'rail',
      points: [
        [rails[side], ends[side]],
        [rails[side], middle - symbol.width / 2],
      ],
    });
    ends[side] = middle + symbol.width / 2;
  }
  if (device.isBoth)
    items.push({
      is: 'line',
      isDashed: true,
      points: [
        [rails.left + 14, middle],
        [rails.right - 14, middle],
      ],
    });
  return items;
}

function boardHead({ number, name, told, fedBy, place }: LadderData): Step {
  const room = rails.board - 24;
  const lines = [told.join(' · '), ...(fedBy ? [`fed by ${fedBy}`] : [])].flatMap((each) =>
    each ? wrapped(each, textSize, room) : [],
  );
  return {
    height: 36 + 14 * lines.length,
    joins: {},
    items: led(place, name, [
      text(16, 26, fitted(name, 12, room, true), 'start', { isBold: true }),
      text(width - 8, 26, number, 'end', { isBold: true }),
      ...lines.map((each, i) => text(16, 41 + 14 * i, each, 'start', { isQuiet: true })),
    ]),
  };
}

// ---- rungs ----

/** A place in a rung, from left to right: a symbol, or a wire, which takes what room is left. */
interface Column {
  readonly width: number;
  readonly device?: DeviceData;
  /** Does it stand in the way out, in the way back, or in both? */
  readonly ways: { readonly out: boolean; readonly back: boolean };
  /** A text in place of a device: where the line comes from, or goes to. */
  readonly reference?: { readonly text: string; readonly name: string; readonly place: Place | null };
}

const labelOf = ({ letters, name }: DeviceData) => [letters, name].filter(Boolean).join(' ');

/** What stands above a symbol or a wire: its name, and what is told of it; of a wire without a name each on a line of its own. */
function linesOf(device: DeviceData): string[] {
  const goesOn = device.goesOn ? ` → ${device.goesOn}` : '';
  const name = labelOf(device) + goesOn;
  return device.cores && !name ? [...device.told] : [name, device.told.join(' · ')].filter(Boolean);
}

function columnOf(device: DeviceData, ways: Column['ways'] = { out: true, back: false }): Column {
  const widest = Math.max(...linesOf(device).map((each) => textWidth(each, textSize)));
  const colours = device.cores ? textWidth(coloursText(device), textSize) + 34 : 0;
  return { device, ways, width: Math.max(symbol.width, Math.min(widest, 150), colours) + 12 };
}

const referenceTo = (text: string, { name, place }: NonNullable<RungData['behind']>): Column => ({
  reference: { text, name, place },
  ways: { out: true, back: false },
  width: textWidth(text, textSize) + 14,
});

/** The columns in rows: a row is full where the next does not fit. */
function rowsOf(columns: readonly Column[], room: number): Column[][] {
  const rows: Column[][] = [[]];
  let left = room;
  for (const column of columns) {
    if (column.width > left && rows.at(-1)?.length) {
      rows.push([]);
      left = room;
    }
    rows.at(-1)?.push(column);
    left -= column.width;
  }
  return rows;
}

interface Placed {
  readonly column: Column;
  readonly x: number;
  readonly end: number;
}

/** Where each column of a row begins and ends: wires share the room that is left; without a wire the last stands at the right. */
function spread(row: readonly Column[], from: number, to: number): Placed[] {
  const slack = Math.max(0, to - from - row.reduce((sum, each) => sum + each.width, 0));
  const wires = row.filter(({ device }) => device?.cores).length;
  let x = from;
  return row.map((column, i) => {
    if (wires === 0 && i === row.length - 1) x += slack;
    const end = x + column.width + (column.device?.cores ? slack / wires : 0);
    const place = { column, x, end };
    x = end;
    return place;
  });
}

function titleItems(rung: RungData, left: number, right: number): { height: number; items: Item[] } {
  const { number, name, told, place } = rung;
  const title = `${number} ${name}`;
  const values = told.join(' · ');
  const cut = fitted(title, 12, right - left, true);
  const isOne = textWidth(cut, 12, true) + textWidth(values, textSize) + 16 <= right - left;
  return {
    height: isOne || !values ? 14 : 28,
    items: led(place, title, [
      text(left, 14, cut, 'start', { isBold: true }),
      ...(values
        ? [
            isOne
              ? text(right, 14, values, 'end', { isQuiet: true })
              : text(left, 28, fitted(values, textSize, right - left), 'start', { isQuiet: true }),
          ]
        : []),
    ]),
  };
}

/** A rung between the rails of a source. */
function railStep(rung: RungData): Step {
  const { out, load, back, behind, earth } = rung;
  const title = titleItems(rung, 46, 414);
  const columns: Column[] = [
    ...(behind ? [referenceTo(`${behind.name}, ${behind.number}`, behind)] : []),
    ...out.map((device) => columnOf(device)),
    columnOf(load),
    // The second contact of what opens both conductors, and what stands in the way back alone.
    ...out
      .filter((device) => device.isBoth && !device.cores)
      .toReversed()
      .map((device) => columnOf({ ...device, told: ['way back'] })),
    ...back.map((device) => columnOf(device)),
    ...(behind?.isBoth ? [referenceTo(behind.number, behind)] : []),
  ];
  const [left, right] = [rails.left + 24, rails.right - 24];
  const rows = rowsOf(columns, right - left);
  const items: Item[] = [...title.items];
  const joins: { left?: number; right?: number } = {};
  let y = title.height;
  for (const [r, row] of rows.entries()) {
    const at = y + 46;
    const [isFirst, isLast] = [r === 0, r === rows.length - 1];
    const joinsLeft = isFirst && !behind;
    const joinsRight = isLast && !behind?.isBoth;
    if (joinsLeft) joins.left = at;
    if (joinsRight) joins.right = at;
    items.push(...rowItems(row, at, left, right));
    items.push(...endItems(at, left, joinsLeft ? rails.left : undefined, isFirst ? '' : letterOf(r - 1), 'left'));
    items.push(...endItems(at, right, joinsRight ? rails.right : undefined, isLast ? '' : letterOf(r), 'right'));
    y = at + 24;
    for (const { column, x, end } of spread(row, left, right)) {
      const middle = (x + end) / 2;
      const { control } = column.device ?? {};
      if (control) {
        items.push(...led(control.place, control.name, controlItems(control, middle, at, y + 6)));
        y += 26;
      }
      if (column.device === load && earth) {
        items.push(...ledTo(earth, earthItems(earth, middle, at, y + 4)));
        y += 34;
      }
    }
  }
  return { height: y + 6, items, joins };
}

const letterOf = (i: number) => String.fromCharCode(97 + i);

/** The end of a row: joined to its rail, or leading on to the row that has the same letter. */
function endItems(y: number, x: number, rail: number | undefined, letter: string, side: 'left' | 'right'): Item[] {
  if (rail !== undefined) return [line([Math.min(x, rail), y], [Math.max(x, rail), y]), { is: 'dot', x: rail, y }];
  if (!letter) return [{ is: 'ring', x, y }];
  const out = side === 'left' ? -6 : 6;
  return [{ is: 'ring', x, y }, text(x + out, y - 6, letter, side === 'left' ? 'end' : 'start')];
}

/** Symbols and wires of a row along one line, with their labels above. */
function rowItems(row: readonly Column[], y: number, left: number, right: number): Item[] {
  const places = spread(row, left, right);
  return [...gaps(places, y, left), ...places.flatMap(({ column, x, end }) => columnItems(column, x, end, y))];
}

/** The line goes on where nothing stands. */
function gaps(places: readonly Placed[], y: number, left: number): Item[] {
  return places.flatMap(({ x }, i) => {
    const before = places[i - 1]?.end ?? left;
    return x > before ? [line([before, y], [x, y])] : [];
  });
}

function columnItems({ device, reference }: Column, x: number, end: number, y: number): Item[] {
  const middle = (x + end) / 2;
  if (reference) {
    const { text: words, name, place } = reference;
    return led(place, name, [line([x, y], [end, y]), text(middle, y - 8, words, 'middle')]);
  }
  if (!device) return [];
  return ledTo(device, [
    ...labelItems(device, x, end, y),
    ...(device.cores ? wireItems(device, x, end, y) : symbolItems(device, x, end, y)),
  ]);
}

function labelItems(device: DeviceData, x: number, end: number, y: number): Item[] {
  const middle = (x + end) / 2;
  return linesOf(device).map((each, i, { length }) =>
    text(middle, y - 15 - 13 * (length - 1 - i), fitted(each, textSize, end - x - 4), 'middle', { isQuiet: i > 0 }),
  );
}

/** What has no symbol, and a coil: a plain box. */
const plainBox = 'M0 10h6M6 2h28v16h-28zM34 10h6';

function symbolItems({ symbol: path }: DeviceData, x: number, end: number, y: number): Item[] {
  const from = (x + end - symbol.width) / 2;
  return [
    line([x, y], [from, y]),
    { is: 'symbol', path: path || plainBox, x: from + symbol.width / 2, y },
    line([from + symbol.width, y], [end, y]),
  ];
}

function wireItems(device: DeviceData, x: number, end: number, y: number): Item[] {
  const wide = textWidth(coloursText(device), textSize) + 34;
  return [line([x, y], [end, y]), ...coloursOf(device, (x + end - wide) / 2, y + 18)];
}

function coloursText({ cores }: DeviceData): string {
  return [cores?.out, cores?.back]
    .flatMap((colour) => colour || [])
    .map((colour) => colour.replaceAll('_', '-'))
    .join(' / ');
}

/** Each colour as a swatch, and all in words: nothing is told by colour alone. */
function coloursOf(device: DeviceData, x: number, y: number): Item[] {
  const colours = [device.cores?.out, device.cores?.back].flatMap((colour) => colour || []);
  return [
    ...colours.map((colour, i): Item => ({ is: 'swatch', x: x + 15 * i, y: y - 7, colour })),
    text(x + 15 * colours.length + 3, y, coloursText(device), 'start', { isQuiet: true }),
  ];
}

/** What it has leads of its own to: below a contact its coil, and the terminal that it hangs on. */
function controlItems(control: NonNullable<DeviceData['control']>, x: number, line: number, y: number): Item[] {
  const told = `${control.name} → ${control.number}`;
  const isLeft = x < width / 2;
  const at = isLeft ? x + 18 : x - 18;
  const room = isLeft ? rails.right - 16 - at : at - rails.left - 16;
  return [
    {
      is: 'line',
      isDashed: true,
      points: [
        [x, line + 4],
        [x, y - 4],
      ],
    },
    ...(control.isPowered ? [{ is: 'outline', x: x - 12, y: y - 4, width: 24, height: 12 } as const] : []),
    text(at, y + 6, fitted(told, textSize, room), isLeft ? 'start' : 'end'),
  ];
}

/** The protective earth below what it earths: the symbol of IEC 60417-5019, and its wire beside it, where there is room. */
function earthItems(earth: DeviceData, x: number, line: number, y: number): Item[] {
  const path = 'M20 1v7M13 8h14M16 11.5h8M18.5 15h3M11 9a9 9 0 1 0 18 0a9 9 0 1 0 -18 0';
  const told = earth.told.join(' · ');
  const colours = { ...earth, cores: { out: earth.cores?.out ?? '', back: '' } };
  const coloursWide = textWidth(coloursText(colours), textSize) + 26;
  const name = fitted(earth.name, textSize, 186 - coloursWide);
  const nameWide = textWidth(name, textSize);
  const wide = Math.max(textWidth(told, textSize), nameWide + coloursWide);
  const from = x + 24 + wide > width - 8 ? x - 24 - wide : x + 24;
  return [
    {
      is: 'line',
      points: [
        [x, line + 10],
        [x, y - 1],
      ],
    },
    { is: 'symbol', path, x, y: y + 9 },
    text(from, y + 4, name),
    ...coloursOf(colours, from + nameWide + 8, y + 4),
    text(from, y + 18, told, 'start', { isQuiet: true }),
  ];
}

// ---- boards ----

function boardSteps(ladder: LadderData): Step[] {
  return [
    ...ladder.rungs.map(pairStep),
    ...ladder.leads.map(leadStep),
    ...(ladder.free.length > 0 ? [freeStep(ladder.free)] : []),
  ];
}

/** A circuit from a board's terminal, with both of its conductors. */
function pairStep(rung: RungData): Step {
  const { out, load, back } = rung;
  const title = titleItems(rung, rails.board + 10, width - 8);
  const columns: Column[] = [
    ...out.map((device) => columnOf(device, { out: true, back: device.isBoth && !device.cores })),
    ...back.map((device) => columnOf(device, { out: false, back: true })),
    columnOf(load),
  ];
  const [left, right] = [rails.board + 8, width - 18];
  const rows = rowsOf(columns, right - left);
  const items: Item[] = [...title.items];
  let y = title.height;
  for (const [r, row] of rows.entries()) {
    const at = y + 46;
    const [isFirst, isLast] = [r === 0, r === rows.length - 1];
    const places = spread(row, left, right);
    items.push(...places.flatMap(({ column, x, end }) => pairItems(column, x, end, at)));
    items.push(...gaps(places, at, left), ...backLine(places, at + pair, left, right));
    if (isLast) items.push(line([right, at], [right, at + pair]));
    else
      items.push(
        { is: 'ring', x: right, y: at },
        { is: 'ring', x: right, y: at + pair },
        text(right + 5, at + pair / 2 + 4, letterOf(r), 'start'),
      );
    if (isFirst) items.push(...terminalItems(rung, at, left));
    else
      items.push(
        { is: 'ring', x: left, y: at },
        { is: 'ring', x: left, y: at + pair },
        text(left + 4, at + pair / 2 + 4, letterOf(r - 1), 'start'),
      );
    y =
      at +
      pair +
      (row.some(({ ways }) => ways.back) ? 22 : 10) +
      (row.some(({ ways }) => ways.back && !ways.out) ? 20 : 0);
  }
  return { height: y + 8, items, joins: {} };
}

function terminalItems({ terminal, marks, begins }: RungData, y: number, left: number): Item[] {
  return led(begins, terminal, [
    ...terminalName(terminal, y + pair / 2, 82),
    ...[y, y + pair].flatMap((at, i): Item[] => [
      text(rails.board - 8, at + 4, marks[i] ?? '', 'end'),
      { is: 'ring', x: rails.board, y: at },
      line([rails.board + 3, at], [left, at]),
    ]),
  ]);
}

/** The name of a terminal within its board, broken behind an underscore where it is long. */
function terminalName(name: string, y: number, room: number): Item[] {
  const broken = wrapped(name.replaceAll('_', '_ '), textSize, room).map((each) => each.replaceAll('_ ', '_'));
  const lines = broken.length > 2 ? [fitted(name, textSize, room)] : broken;
  return lines.map((each, i) => text(16, y + 4 + 13 * (i - (lines.length - 1) / 2), each));
}

function pairItems({ device, ways }: Column, x: number, end: number, y: number): Item[] {
  if (!device) return [];
  const middle = (x + end) / 2;
  if (!ways.out)
    return [
      line([x, y], [end, y]),
      ...ledTo(device, [
        text(middle, y + pair + 24, fitted(labelOf(device), textSize, end - x - 4), 'middle'),
        text(middle, y + pair + 37, fitted(device.told.join(' · '), textSize, end - x - 4), 'middle', {
          isQuiet: true,
        }),
      ]),
    ];
  const drawn = device.cores ? wireItems(device, x, end, y) : symbolItems(device, x, end, y);
  const link: Item = {
    is: 'line',
    isDashed: true,
    points: [
      [middle, y + 8],
      [middle, y + pair - 8],
    ],
  };
  return ledTo(device, [...labelItems(device, x, end, y), ...drawn, ...(ways.back ? [link] : [])]);
}

/** The conductor on the way back, with what stands in it. */
function backLine(places: readonly Placed[], y: number, left: number, right: number): Item[] {
  const items: Item[] = [];
  let from = left;
  for (const { column, x, end } of places) {
    if (!column.ways.back || !column.device) continue;
    const middle = (x + end) / 2;
    items.push(line([from, y], [middle - symbol.width / 2, y]));
    items.push(...ledTo(column.device, [{ is: 'symbol', path: column.device.symbol, x: middle, y }]));
    from = middle + symbol.width / 2;
  }
  return [...items, line([from, y], [right, y])];
}

/** What is joined to a terminal by leads of its own. */
function leadStep({ number, terminal, begins, to, told }: LadderData['leads'][number]): Step {
  const y = 20;
  const x = 236;
  const goesOn = to.goesOn ? ` → ${to.goesOn}` : '';
  const room = width - 8 - (x + 28) - textWidth(number, textSize) - 8;
  return {
    height: 40,
    joins: {},
    items: [
      ...led(begins, terminal, [...terminalName(terminal, y, 98), { is: 'ring', x: rails.board, y }]),
      ...ledTo(to, [
        line([rails.board + 3, y], [x - symbol.width / 2, y]),
        text((rails.board + x - symbol.width / 2) / 2, y - 5, fitted(told.join(' · '), textSize, 80), 'middle', {
          isQuiet: true,
        }),
        { is: 'symbol', path: (to.control?.isPowered ? '' : to.symbol) || plainBox, x, y },
        text(x + 28, y - 2, fitted(to.label + goesOn, textSize, room)),
        text(x + 28, y + 12, fitted(to.told.join(' · '), textSize, room), 'start', { isQuiet: true }),
        text(width - 8, y - 2, number, 'end', { isQuiet: true }),
      ]),
    ],
  };
}

/** Terminals that nothing is joined to, in two columns. */
function freeStep(free: LadderData['free']): Step {
  const left = rails.board + 12 + textWidth('free: ', textSize);
  const room = (width - 8 - left) / 2;
  const names = free.flatMap(({ name, place }, i) => {
    const at = [left + (i % 2) * room, 18 + 14 * Math.floor(i / 2)] as const;
    return led(place, name, [text(...at, fitted(name, textSize, room - 8), 'start', { isQuiet: true })]);
  });
  return {
    height: 12 + 14 * Math.ceil(free.length / 2),
    joins: {},
    items: [text(rails.board + 12, 18, 'free:', 'start', { isQuiet: true }), ...names],
  };
}
