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
    '11: area 6 m², girth 10 m, 2 more',
    '12: 6 m², 20 % short',
    '13: computed 6 m², measured 17 % more',
    '16: area 4 m², girth 10 m, 2 more',
  ]);
});

test('between two lines alone, and by the settings', () => {
  expect(shown({}, 12, 13).map((line) => line.slice(0, 2))).toEqual(['12', '13']);
  expect(shown({}, 16, 16).map((line) => line.slice(0, 2))).toEqual(['16']);
  expect(shown({ headlines: false }).map((line) => line.slice(0, 2))).toEqual(['12', '13']);
  expect(shown({ requirements: false, measurements: false }).map((line) => line.slice(0, 2))).toEqual(['11', '16']);
  expect(shown({ enabled: false })).toEqual([]);
});

test('two values stand in a line at most, all of them in its tooltip', () => {
  const [first, second] = hints();
  expect(first?.label).toBe('area 6 m², girth 10 m, 2 more');
  expect(first?.tooltip).toBe('area 6 m²\n\ngirth 10 m\n\nvolume 18 m³\n\nslope 1.5');
  expect(second?.label).toBe('6 m², 20 % short');
});

test('a long text is in pieces that end at a comma, a short one in one', () => {
  const long = read(text.replaceAll('girth', 'way_along_the_whole_edge'));
  const [first] = inlayHints(long.file, { from: 0, to: 99 }, readInlineSettings({}), {
    project: long.project,
  } as Workspace);
  expect(first?.label).toEqual([{ value: 'area 6 m², way along the whole edge 10 m, ' }, { value: '2 more' }]);
  expect(first?.paddingLeft).toBe(true);
  expect(hints()[1]?.label).toBe('6 m², 20 % short');
});
