import { expect, test } from 'vitest';
import { sheetOf } from '../../language/answers/sheet.ts';
import { open } from './fixtures.ts';
import { textsOf, valuesOf } from './values.ts';

// What comes off first: parts and screws counted by hand from the text, line by line.

const bench = (rest = '') => `machine Bench {
  ambient = 20 degC
  cover door { screws_out = 1 }
  cover side * 2 {
    screws_out = 3
    off_first = [door]
  }
  fan blower is fan_24v_50mm_blower {
    screws_out = 2
    off_first = [side]
  }
  bolt clamp * 4 is bolt_m3 { length = 10 mm }
  extruder {
    filament = pla
    drive_gear is wheel_11mm { off_first = [clamp] }
    hot_end is hot_end_24v_40w {
      nozzle { off_first = [blower, door] }
    }
  }
  ${rest}
}
`;

test('parts and screws before a nozzle: a door, both sides behind it, and the blower that they cover', () => {
  const read = valuesOf(bench());
  expect(read('extruder.hot_end.nozzle.parts_off')).toBe(1 + 2 + 1);
  expect(read('extruder.hot_end.nozzle.screws_off')).toBe(1 + 2 * 3 + 2);
});

test('screws that are blocks of their own are no parts', () => {
  const read = valuesOf(bench());
  expect(read('extruder.drive_gear.parts_off')).toBe(0);
  expect(read('extruder.drive_gear.screws_off')).toBe(4);
});

test('where nothing is said nothing is counted, and nobody is asked', () => {
  expect(() => valuesOf(bench())('door.parts_off')).toThrow();
  expect(textsOf(bench())('door.way_in')).toBe('');
  const { project, file } = open(bench());
  const [machine] = project.machines(file);
  expect(machine?.assessment.notSaid.map(({ name }) => name)).not.toContain('off_first');
});

test('what is looked after on the sheet tells it, in its order, and so does a table', () => {
  const { project, file } = open(bench());
  const [machine] = project.machines(file);
  const section = sheetOf(machine!).sections.find(({ heading }) => heading === 'Maintenance');
  const parts = section?.parts ?? [];
  const table = parts.find((part) => part.is === 'table');
  const row =
    table?.is === 'table' ? table.rows.find(({ texts }) => texts[0] === 'extruder.hot_end.nozzle') : undefined;
  expect(row?.texts.slice(-3)).toEqual(['door, side, blower', '4', '9']);
  const items = parts.flatMap((part) => (part.is === 'checks' ? part.items : []));
  const uncovers = (title: string) => items.find((item) => item.title.includes(title))?.uncover;
  expect(uncovers('not worn')).toBe(
    'Take off door, side, blower, in this order (parts: 4, screws: 9). Draw the filament back, and pull extruder.hot_end.sleeve off while it is warm, with pliers',
  );
  expect(uncovers('air is free')).toBe('Take off door, side, in this order (parts: 3, screws: 7)');
  // Nothing is said of the cartridge.
  expect(uncovers('still clamped')).toMatch(/^With the plug pulled/);
});

test('a sleeve that is said to come off is not told twice', () => {
  const text = bench().replace('[blower, door]', '[extruder.hot_end.sleeve]');
  expect(textsOf(text)('extruder.hot_end.nozzle.to_reach')).toBe('Draw the filament back while it is warm');
});
