import { describe, expect, test } from 'vitest';
import { bodiesOf, pointsOf, rungsOf, tablesOf } from '../../../server/sheet/rows.ts';
import { hostile } from './sample.ts';

const tables = (heading: string) => tablesOf(hostile.sections.find((each) => each.heading === heading) as never);

describe('a section as tables', () => {
  test('has the values of all its blocks in one, each with its block', () => {
    expect(tables('At a glance')).toEqual([
      {
        title: '',
        heading: ['of', 'what', 'value'],
        rows: [
          ['', 'cost', '7 EUR'],
          ['bed.heater', 'power', '=cmd()'],
        ],
      },
    ]);
  });

  test('has notes with all that belongs to them', () => {
    expect(tables('Findings')[0]?.heading).toEqual(['severity', 'what', 'text', 'caution', 'way out', 'where']);
    expect(tables('Findings')[0]?.rows[1]).toEqual(['', 'cost', '[not](a-link)', '', '', '']);
    expect(tables('Findings')[0]?.rows[0]).toEqual([
      'error',
      'too hot',
      '</section><script>alert(1)</script>',
      'Fire & burns.',
      'set `a` to 3',
      'a.gusset:3',
    ]);
  });

  test('has a row for each block of what is to be done, without columns that say nothing', () => {
    expect(tables('Checks')).toEqual([
      {
        title: 'With the plug <b>pulled</b>',
        heading: ['', 'what', 'comes off first', 'how', 'expected', 'made', 'mind'],
        rows: [
          ['<i>pad</i>', 'It <b>holds</b>', '', 'Write `a = <3>`', 'at most 0.1 Ω', '☐', '</ul>Fire.'],
          ['plate', 'It <b>holds</b>', '', 'Write `a = <3>`', 'at most 0.1 Ω', '☑ 0.06 Ω 2026-03-02', '</ul>Fire.'],
          ['screw', '=turned()', 'Take the `lid off', 'Turn it', '', '', ''],
        ],
      },
    ]);
    const checks = hostile.sections.find(({ heading }) => heading === 'Checks')?.parts[0] as unknown as {
      items: never[];
    };
    const bare = { heading: 'Checks', parts: [{ ...checks, items: checks.items.slice(1) }] };
    expect(tablesOf(bare as never)[0]?.heading).toEqual(['', 'what', 'comes off first', 'how']);
  });

  test('has a plot as numbers: least and greatest where they differ, and its marks below', () => {
    expect(tables('Warming up')).toMatchObject([
      {
        title: 'bed',
        heading: ['time (min)', 'plate, least (°C)', 'plate, greatest (°C)', 'print side (°C)'],
        rows: [
          ['0', '20', '25', '20'],
          ['1', '35', '40', '35'],
          ['2', '50', '55', '50'],
          ['3', '65', '70', '65'],
          ['4', '80', '85', '80'],
          ['target', '80 °C', '', ''],
          ['limit', '82 °C', '', ''],
          ['ready', '3 to 3.5 min', '', ''],
        ],
      },
    ]);
  });

  test('tells of a long curve its ends and a few points between', () => {
    const points = Array.from({ length: 100 }, (_, x) => ({ x, low: x, high: x }));
    const axis = { label: 'x', unit: '' };
    const band = { label: 'c', about: '', points, place: null };
    const { rows } = pointsOf({ is: 'plot', block: '', x: axis, y: axis, bands: [band], marks: [] });
    expect(rows).toHaveLength(13);
    expect([rows[0], rows.at(-1)]).toEqual([
      ['0', '0'],
      ['99', '99'],
    ]);
  });

  test('has a ladder as its rungs, with what is free', () => {
    expect(tables('Wiring')).toMatchObject([
      {
        title: '1 <b>inlet</b> 230 V',
        heading: ['number', 'begins at', 'way out', 'way back', 'earth', 'told'],
        rows: [
          ['1.1', '<b>inlet</b>', 'pad: 230 V, 700 W', '', 'plate_earth: 1 mm^2', 'current 3 A'],
          ['', 'spare', 'free', '', '', ''],
        ],
      },
    ]);
  });

  test('has a drawing as its bodies, with what meets, what is not said, and what is taken to be so', () => {
    const drawing = {
      is: 'drawing' as const,
      unit: { symbol: 'mm', factor: 0.001 },
      isThirdAngle: false,
      bodies: [
        {
          label: 'bed.block',
          name: 'block',
          at: [0.1, null, 0.012] as const,
          sides: [0.23, 0.23, null] as const,
          goes: [0, 0.2, 0.15] as const,
          isSolid: true,
          isRound: false,
          goesRound: false,
          isDimensioned: true,
          place: null,
        },
      ],
      meetings: [{ one: 'a', other: 'b', at: [0, 0, 0] as const, sides: [0.01, 0.02, 0.03] as const, place: null }],
      notSaid: [{ label: 'psu', missing: ['psu.body', 'psu.size'], place: null }],
      taken: [],
    };
    expect(tablesOf({ heading: 'Drawing', parts: [drawing] })).toMatchObject([
      {
        title: '',
        heading: ['mm', 'left', 'front', 'underside', 'width', 'depth', 'height', 'moves'],
        rows: [['bed.block', '100', '?', '12', '230', '230', '?', '200 back, 150 up']],
      },
      { title: 'Would be in one place', heading: ['', 'and', 'share'], rows: [['a', 'b', '10 x 20 x 30 mm']] },
      { title: 'Not drawn, or not in each view', heading: ['', 'waits for'], rows: [['psu', 'psu.body, psu.size']] },
    ]);
  });
});

test('a rung tells where it begins, what it goes through, and back; a lead and what is free have rows of their own', () => {
  const device = (name: string, ...told: string[]) => ({ name, told });
  const rung = {
    number: '1.1',
    terminal: '',
    out: [device('fuse', '5 A', 'slow')],
    load: device('mat'),
    back: [],
    told: [],
  };
  const table = rungsOf({
    number: '1',
    name: 'inlet',
    told: ['230 V', '10 A'],
    trunk: [device('switch')],
    rungs: [
      rung,
      {
        ...rung,
        number: '1.2',
        behind: { name: 'relay', number: '3.1' },
        out: [],
        back: [device('link'), device('', '2 m')],
      },
      { ...rung, number: '1.3', terminal: 'out_1', earth: device('pe', '1 mm^2'), told: ['1 A', '2 V'] },
    ],
    leads: [{ number: '1.4', terminal: 'in_1', to: device('sensor', 'wet'), told: ['2 leads'] }],
    free: [
      { name: 'out_2', place: null },
      { name: 'out_3', place: { file: 'a', line: 7, column: 1 } },
    ],
  } as never);
  expect(table).toMatchObject({
    title: '1 inlet 230 V, 10 A',
    heading: ['number', 'begins at', 'way out', 'way back', 'earth', 'told'],
    rows: [
      ['1.1', 'inlet', 'switch → fuse: 5 A, slow → mat', '', '', ''],
      ['1.2', 'behind relay, 3.1', 'mat', 'link → 2 m', '', ''],
      ['1.3', 'out_1', 'switch → fuse: 5 A, slow → mat', '', 'pe: 1 mm^2', '1 A, 2 V'],
      ['1.4', 'in_1', 'sensor: wet', '', '', '2 leads'],
      ['', 'out_2', 'free', '', '', ''],
      ['', 'out_3', 'free', '', '', ''],
    ],
  });
  expect(table.places?.slice(-2)).toEqual([null, { file: 'a', line: 7, column: 1 }]);
});

test('a body that moves several ways tells each; what is not known is asked', () => {
  const body = (goes: readonly number[], at: readonly (number | null)[]) => ({
    label: 'a',
    at,
    sides: [0.1, 0.2, null],
    goes,
  });
  const { heading, rows } = bodiesOf({
    unit: { symbol: 'cm', factor: 0.01 },
    bodies: [body([0.1, 0, 0.05], [0, 0.123, null]), body([0, 0.3, 0], [0, 0, 0])],
  } as never);
  expect(heading).toEqual(['cm', 'left', 'front', 'underside', 'width', 'depth', 'height', 'moves']);
  expect(rows).toEqual([
    ['a', '0', '12.3', '?', '10', '20', '?', '10 right, 5 up'],
    ['a', '0', '0', '0', '10', '20', '?', '30 back'],
  ]);
});

test('a curve is on a straight line between its points, and told nowhere beyond its ends; an axis may have no unit', () => {
  const points = (...all: [number, number, number][]) => all.map(([x, low, high]) => ({ x, low, high }));
  const table = pointsOf({
    block: 'b',
    x: { label: 'share', unit: '' },
    y: { label: 'power', unit: 'W' },
    bands: [
      { label: 'one', points: points([0, 0, 0], [4, 8, 8]) },
      { label: 'two', points: points([1, 3, 5], [3, 7, 9]) },
    ],
    marks: [{ label: 'most', shown: '9 W' }],
  } as never);
  expect(table).toMatchObject({
    title: 'b',
    heading: ['share', 'one (W)', 'two, least (W)', 'two, greatest (W)'],
    rows: [
      ['0', '0', '', ''],
      ['1', '2', '3', '5'],
      ['3', '6', '7', '9'],
      ['4', '8', '', ''],
      ['most', '9 W', '', ''],
    ],
  });
});
