import type { PartData, Place, SectionData } from './data.ts';

type LadderData = Extract<PartData, { is: 'ladder' }>;
type DrawingData = Extract<PartData, { is: 'drawing' }>;
type PlotData = Extract<PartData, { is: 'plot' }>;

/** A part as text in rows and columns, for whatever shows no pictures. */
export interface TextTable {
  /** What the rows tell of, where the section tells of several; empty otherwise. */
  readonly title: string;
  readonly heading: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** Where each of its rows leads, or each of its columns. */
  readonly places?: readonly (Place | null)[];
  readonly columns?: readonly (Place | null)[];
}

/** So many points of a curve are told in a table. */
const mostPoints = 13;

/** The parts of a section as tables; neighbouring rows of several blocks stand in one. */
export function tablesOf({ parts }: SectionData): TextTable[] {
  const blocks = parts.filter((part) => part.is === 'rows');
  const others = parts.filter((part) => part.is !== 'rows');
  return [...rowsTable(blocks), ...others.flatMap((part) => [tableOf(part), ...moreOf(part)])];
}

function rowsTable(blocks: readonly Extract<PartData, { is: 'rows' }>[]): TextTable[] {
  const rows = blocks.flatMap(({ block = '', rows }) => rows.map(({ label, shown }) => [block, label, shown]));
  if (rows.length === 0) return [];
  const isNamed = rows.some(([block]) => block);
  const heading = ['of', 'what', 'value'];
  return [
    {
      title: '',
      heading: isNamed ? heading : heading.slice(1),
      rows: isNamed ? rows : rows.map((row) => row.slice(1)),
    },
  ];
}

function tableOf(part: Exclude<PartData, { is: 'rows' }>): TextTable {
  switch (part.is) {
    case 'table':
      return { title: part.label, heading: part.heading, rows: part.rows.map(({ texts }) => texts) };
    case 'checks':
      return checkTable(part);
    case 'plot':
      return pointsOf(part);
    case 'ladder':
      return rungsOf(part);
    case 'drawing':
      return bodiesOf(part);
    case 'notes':
      return {
        title: '',
        heading: ['severity', 'what', 'text', 'caution', 'way out', 'where'],
        rows: part.notes.map(({ severity = '', title, text, caution = '', more = [], place }) => [
          severity,
          title,
          text,
          caution,
          more.join('; '),
          place ? `${place.file}:${place.line}` : '',
        ]),
      };
  }
}

/** What is to be done at one stage as text: a row for each block; columns that say nothing are left out. */
function checkTable({ label, items }: Extract<PartData, { is: 'checks' }>): TextTable {
  const heading = ['', 'what', 'comes off first', 'how', 'expected', 'made', 'mind'];
  const rows = items.flatMap(({ title, uncover = '', how, expected = '', caution = '', blocks }) => {
    const of = (name: string, made: string) => [name, title, uncover, how, expected, made, caution];
    return blocks.every(({ made }) => !made)
      ? [of(blocks.map(({ label }) => label).join(', '), '')]
      : blocks.map(({ label, made }) => of(label, made));
  });
  const used = heading.map((_, i) => i).filter((i) => rows.some((row) => row[i]));
  return {
    title: label,
    heading: used.map((i) => heading[i] ?? ''),
    rows: rows.map((row) => used.map((i) => row[i] ?? '')),
  };
}

function moreOf(part: PartData): TextTable[] {
  return part.is === 'drawing' ? drawingTables(part) : [];
}

/** What is drawn to scale as text: where each body stands at the beginning of its way, its sides, and how far it moves. */
export function bodiesOf({ unit, bodies }: DrawingData): TextTable {
  const length = (value: number | null) => (value === null ? '?' : String(Number((value / unit.factor).toFixed(1))));
  const ways = ['right', 'back', 'up'];
  return {
    title: '',
    heading: [unit.symbol, 'left', 'front', 'underside', 'width', 'depth', 'height', 'moves'],
    rows: bodies.map(({ label, at, sides, goes }) => [
      label,
      ...at.map(length),
      ...sides.map(length),
      goes.flatMap((way, i) => (way ? `${length(way)} ${ways[i]}` : [])).join(', '),
    ]),
    places: bodies.map(({ place }) => place),
  };
}

/** What a drawing does not show, or shows as nobody has said it. */
export function drawingTables({ meetings, notSaid, taken, unit }: DrawingData): TextTable[] {
  const length = (value: number) => String(Number((value / unit.factor).toFixed(1)));
  const tables: TextTable[] = [
    {
      title: 'Would be in one place',
      heading: ['', 'and', 'share'],
      rows: meetings.map(({ one, other, sides }) => [one, other, `${sides.map(length).join(' x ')} ${unit.symbol}`]),
      places: meetings.map(({ place }) => place),
    },
    {
      title: 'Not drawn, or not in each view',
      heading: ['', 'waits for'],
      rows: notSaid.map(({ label, missing }) => [label, missing.join(', ')]),
      places: notSaid.map(({ place }) => place),
    },
    {
      title: 'Taken to be so, where nothing is said',
      heading: ['', 'is', 'because'],
      rows: taken.map(({ label, shown, because }) => [label, shown, because]),
      places: taken.map(({ place }) => place),
    },
  ];
  return tables.filter(({ rows }) => rows.length > 0);
}

/** A ladder of a wiring plan as text: a row for each of its rungs, and for what is joined to its terminals by leads of its own. */
export function rungsOf({ number, name, told, trunk, rungs, leads, free }: LadderData): TextTable {
  const way = (devices: readonly { readonly name: string; readonly told: readonly string[] }[]) =>
    devices.map((each) => [each.name, each.told.join(', ')].filter(Boolean).join(': ')).join(' → ');
  return {
    title: [number, name, told.join(', ')].filter(Boolean).join(' '),
    heading: ['number', 'begins at', 'way out', 'way back', 'earth', 'told'],
    rows: [
      ...rungs.map(({ number, terminal, behind, out, load, back, earth, told }) => [
        number,
        terminal || (behind ? `behind ${behind.name}, ${behind.number}` : name),
        way([...(behind ? [] : trunk), ...out, load]),
        way(back),
        earth ? way([earth]) : '',
        told.join(', '),
      ]),
      ...leads.map(({ number, terminal, to, told }) => [number, terminal, way([to]), '', '', told.join(', ')]),
      ...free.map(({ name }) => ['', name, 'free', '', '', '']),
    ],
    places: [...rungs, ...leads.map(({ to }) => to), ...free].map((each) => each.place),
  };
}

/** A plot as numbers: its curves at a few evenly chosen points, least and greatest where these differ, and its marks below. */
export function pointsOf({ block, x, y, bands, marks }: PlotData): TextTable {
  const named = (label: string, unit: string) => (unit ? `${label} (${unit})` : label);
  const columns = bands.flatMap(({ label, points, place }) => {
    const isWide = points.some(({ low, high }) => number(low) !== number(high));
    const ends = isWide
      ? ([
          ['least', 'low'],
          ['greatest', 'high'],
        ] as const)
      : ([['', 'low']] as const);
    return ends.map(([word, end]) => ({ label: [label, word].filter(Boolean).join(', '), points, place, end }));
  });
  const places = [...new Set(bands.flatMap(({ points }) => points.map((point) => point.x)))].sort((a, b) => a - b);
  const step = Math.max(1, (places.length - 1) / (mostPoints - 1));
  const chosen = Array.from(
    { length: Math.min(places.length, mostPoints) },
    (_, i) => places[Math.round(i * step)] ?? 0,
  );
  return {
    title: block,
    heading: [named(x.label, x.unit), ...columns.map(({ label }) => named(label, y.unit))],
    rows: [
      ...chosen.map((at) => [number(at), ...columns.map(({ points, end }) => number(heightAt(points, end, at)))]),
      ...marks.map(({ label, shown }) => [label, shown, ...columns.slice(1).map(() => '')]),
    ],
    places: [...chosen.map(() => null), ...marks.map(({ place }) => place)],
    columns: [null, ...columns.map(({ place }) => place)],
  };
}

/** How high a curve is at a place, on a straight line between its points; not a number beyond its ends. */
function heightAt(points: PlotData['bands'][number]['points'], end: 'low' | 'high', at: number): number {
  const next = points.findIndex(({ x }) => x >= at);
  const [before, after] = [points[next - 1], points[next]];
  if (!after) return Number.NaN;
  if (after.x === at || !before) return after.x === at ? after[end] : Number.NaN;
  return before[end] + ((after[end] - before[end]) * (at - before.x)) / (after.x - before.x);
}

function number(value: number): string {
  return Number.isFinite(value) ? String(Number(value.toPrecision(3))) : '';
}
