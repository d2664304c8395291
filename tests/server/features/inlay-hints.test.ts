import { expect, test } from 'vitest';
import { inlayHints } from '../../../server/features/inlay-hints.ts';
import { readInlineSettings } from '../../../server/settings.ts';
import type { Workspace } from '../../../server/workspace.ts';
import { read } from '../../support.ts';

const text = `kind hall {
  toplevel
  width: Length default 4 m
  depth: Length default 2 m
  area: Area = width * depth
  girth: Length = 2 * (width + depth)
  volume: Volume = area * 3 m
  slope: Ratio = width / depth
  headline area, girth, volume, slope
}
hall H {
  width = 3 m
  require area < 5 m^2
  measured area = 7 m^2 on 2026-01-02
}
hall I {
  depth = 1 m
}
`;
const { project, file } = read(text);
const hints = (settings: object = {}, from = 0, to = 99) =>
  inlayHints(file, { from, to }, readInlineSettings(settings), { project } as Workspace);
const shown = (settings?: object, from?: number, to?: number) =>
  hints(settings, from, to).map(
    ({ position, label }) =>
      `${position.line}: ${typeof label === 'string' ? label : label.map(({ value }) => value).join('')}`,
  );

test('values at the ends of lines', () => {
  expect(shown()).toEqual([
    '11: area 6 m^2, girth 10 m, volume 18 m^3, slope 1.5',
    '12: 6 m^2, 20 % short',
    '13: computed 6 m^2, measured 17 % more',
    '16: area 4 m^2, girth 10 m, volume 12 m^3, slope 4',
  ]);
});

test('between two lines alone, and by the settings', () => {
  expect(shown({}, 12, 13).map((line) => line.slice(0, 2))).toEqual(['12', '13']);
  expect(shown({}, 16, 16).map((line) => line.slice(0, 2))).toEqual(['16']);
  expect(shown({ headlines: false }).map((line) => line.slice(0, 2))).toEqual(['12', '13']);
  expect(shown({ requirements: false, measurements: false }).map((line) => line.slice(0, 2))).toEqual(['11', '16']);
  expect(shown({ enabled: false })).toEqual([]);
});

test('a long text is in pieces that end at a comma, a short one in one', () => {
  const [first, second] = hints();
  expect(first?.label).toEqual([{ value: 'area 6 m^2, girth 10 m, volume 18 m^3, ' }, { value: 'slope 1.5' }]);
  expect(second?.label).toBe('6 m^2, 20 % short');
  expect(first?.paddingLeft).toBe(true);
});
