// Drawings of ladders: nothing in them covers anything else, whatever the machine.
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { laddersOf } from '../../../language/answers/wiring.ts';
import { type Drawing, drawingsOf, type Item, type LadderData, textSize } from '../../../server/sheet/ladder.ts';
import { textWidth } from '../../../server/sheet/text-width.ts';
import { read } from '../../support.ts';

const all = Object.fromEntries(
  readdirSync('examples')
    .filter((file) => file.endsWith('.gusset'))
    .map((file) => [file, readFileSync(`examples/${file}`, 'utf8')]),
);
/** Places are of no concern here. */
const ladders = Object.keys(all).flatMap((name) => {
  const { project, file } = read({ [name]: all[name] as string, ...all });
  return project.machines(file).flatMap((machine) => laddersOf(machine) as unknown as LadderData[]);
});

const device = (name: string, more: object = {}) =>
  ({
    name,
    label: `a.${name}`,
    letters: 'F',
    symbol: 'M0 10h40',
    told: ['5 A', 'slow'],
    isBoth: false,
    goesOn: '',
    place: null,
    ...more,
  }) as LadderData['trunk'][number];
const wire = device('', {
  letters: '',
  symbol: '',
  told: ['0.326 mm^2', '1.6 m'],
  cores: { out: 'brown', back: 'blue' },
});
const long = 'a_name_that_somebody_has_chosen_far_longer_than_there_is_room_for';
const rung = {
  number: '1.1',
  name: long,
  told: ['current 1.46 A', 'voltage drop 0.139 V'],
  marks: ['L1', 'L2'],
  terminal: long,
  out: [
    device(long),
    device('relay', { control: { name: `controller.${long}`, number: '3.12', isPowered: true } }),
    wire,
    device('switch', { isBoth: true }),
    device('x', { isBoth: true }),
    wire,
  ],
  load: device('heater', { goesOn: '12', told: ['230 V', '700 W'] }),
  back: [device('cutoff'), device('second')],
  earth: device('earth', { told: ['1.5 mm^2', '1.4 m'], cores: { out: 'green yellow', back: '' } }),
  place: null,
} as unknown as LadderData['rungs'][number];
const made = (isBoard: boolean): LadderData =>
  ({
    is: 'ladder',
    number: '1',
    name: long,
    told: ['230 V', '10 A'],
    isBoard,
    fedBy: '2.10',
    marks: ['L1', 'L2'],
    trunk: isBoard ? [] : [device('main_switch', { isBoth: true }), wire, device(long)],
    rungs: [
      rung,
      { ...rung, behind: { name: 'fuse', number: '1.1', isBoth: true }, number: '1.2' },
      ...Array.from({ length: 9 }, (_, i) => ({ ...rung, number: `1.${i + 3}` })),
    ],
    leads: isBoard
      ? Array.from({ length: 20 }, (_, i) => ({
          number: `1.${i + 12}`,
          terminal: long,
          to: device(long, { control: { name: 'x', number: '1', isPowered: true } }),
          told: ['leads 4'],
        }))
      : [],
    earths: Array.from({ length: 12 }, (_, i) => `earth_${i}`),
    free: Array.from({ length: 5 }, (_, i) => ({ name: `free_terminal_of_a_long_name_${i}`, place: null })),
    legend: [],
    place: null,
  }) as unknown as LadderData;

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** What a text covers: from the top of its capitals to a little below its base line. */
function boxOf(item: Item): Box | undefined {
  if (item.is !== 'text') return undefined;
  const wide = textWidth(item.text, item.isBold ? 12 : textSize, item.isBold);
  const left = item.anchor === 'start' ? item.x : item.anchor === 'end' ? item.x - wide : item.x - wide / 2;
  return { left, right: left + wide, top: item.y - 8, bottom: item.y + 2 };
}

/** What else is drawn, as boxes; the box of a board and the bar of a source hold what stands in them. */
function drawnBoxes(item: Item): Box[] {
  switch (item.is) {
    case 'line':
      return item.points.slice(1).map(([x, y], i) => {
        const [fromX, fromY] = item.points[i] as readonly [number, number];
        return {
          left: Math.min(x, fromX),
          right: Math.max(x, fromX),
          top: Math.min(y, fromY),
          bottom: Math.max(y, fromY),
        };
      });
    case 'symbol': {
      const [wide, high] = item.isUpright ? [9, 20] : [20, 9];
      return [{ left: item.x - wide, right: item.x + wide, top: item.y - high, bottom: item.y + high }];
    }
    case 'dot':
    case 'ring':
      return [{ left: item.x - 3, right: item.x + 3, top: item.y - 3, bottom: item.y + 3 }];
    case 'swatch':
      return [{ left: item.x, right: item.x + 12, top: item.y, bottom: item.y + 6 }];
    case 'outline':
      return item.height === 12
        ? [{ left: item.x, right: item.x + item.width, top: item.y, bottom: item.y + item.height }]
        : [];
    case 'text':
      return [];
  }
}

const meets = (a: Box, b: Box) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

function overlaps({ items }: Drawing, shift = 0): string[] {
  const texts = items.flatMap((item) => {
    const box = boxOf(item);
    return box && item.is === 'text'
      ? [{ text: item.text, box: { ...box, top: box.top + shift, bottom: box.bottom + shift } }]
      : [];
  });
  const others = items.flatMap(drawnBoxes);
  return texts.flatMap(({ text, box }, i) => [
    ...texts.slice(i + 1).flatMap((other) => (meets(box, other.box) ? `${text} on ${other.text}` : [])),
    ...others.flatMap((other) =>
      meets(box, { ...other, right: other.right + 0.01, bottom: other.bottom + 0.01 })
        ? `${text} on a line or a symbol`
        : [],
    ),
  ]);
}

/** Where a level line crosses an upright one away from the ends of both. */
function crossings({ items }: Drawing): string[] {
  const lines = items.flatMap((item) => (item.is === 'line' && !item.isDashed ? drawnBoxes(item) : []));
  const level = lines.filter(({ top, bottom }) => top === bottom);
  const upright = lines.filter(({ left, right }) => left === right);
  return level.flatMap((a) =>
    upright.flatMap((b) =>
      a.left < b.left - 1 && b.left < a.right - 1 && b.top < a.top - 1 && a.top < b.bottom - 1
        ? `${a.left} to ${a.right} at ${a.top} across ${b.left}`
        : [],
    ),
  );
}

const drawings = [...ladders, made(false), made(true)].flatMap(drawingsOf);

describe('a drawing of a ladder', () => {
  test('has no text on another, on a line or on a symbol, and stays within its width and a page', () => {
    expect(drawings.length).toBeGreaterThan(40);
    for (const drawing of drawings) {
      expect(overlaps(drawing), drawing.title).toEqual([]);
      for (const box of drawing.items.flatMap((item) => boxOf(item) ?? [])) {
        expect(box.left, drawing.title).toBeGreaterThanOrEqual(0);
        expect(box.right, drawing.title).toBeLessThanOrEqual(drawing.width);
        expect(box.bottom, drawing.title).toBeLessThanOrEqual(drawing.height);
      }
      expect(drawing.width).toBe(460);
      expect(drawing.height).toBeLessThanOrEqual(767);
    }
  });

  test('has no two lines that cross', () => {
    for (const drawing of drawings) expect(crossings(drawing), drawing.title).toEqual([]);
  });

  test('whose texts were shifted by 7 would be objected to', () => {
    // A sheet that is left with a lead or two has hardly a text near a line.
    const full = drawings.filter(({ items }) => items.filter((item) => item.is === 'text').length > 12);
    expect(full.length).toBeGreaterThan(40);
    expect(full.filter((drawing) => overlaps(drawing, 7).length === 0)).toEqual([]);
  });

  test('repeats its head where it goes on over a page, and draws each rung once', () => {
    const sheets = drawingsOf(made(true));
    expect(sheets.length).toBeGreaterThan(2);
    expect(sheets[1]?.title).toBe(`1 ${long} (2 of ${sheets.length})`);
    const texts = sheets.flatMap(({ items }) => items.flatMap((item) => (item.is === 'text' ? item.text : [])));
    for (let i = 12; i < 32; i++) expect(texts.filter((text) => text === `1.${i}`)).toHaveLength(1);
  });

  test('a circuit added moves only what is below it', () => {
    const ladder = ladders.find(({ rungs, isBoard }) => rungs.length > 2 && !isBoard) as LadderData;
    const [before] = drawingsOf({ ...ladder, rungs: ladder.rungs.slice(0, 2) });
    const [after] = drawingsOf({ ...ladder, rungs: ladder.rungs.slice(0, 3) });
    const still = (before?.items ?? []).filter((item) => item.is !== 'line');
    for (const item of still) expect(after?.items).toContainEqual(item);
  });
});
