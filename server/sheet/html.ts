import { toHtml } from 'hast-util-to-html';
import { h } from 'hastscript';
import type { NoteData, PartData, Place, RowData, SectionData, SheetData } from './data.ts';
import { sha256 } from './digest.ts';
import type { DrawingData } from './drawing.ts';
import { drawingSvg } from './drawing-svg.ts';
import { laddersSvg } from './ladder-svg.ts';
import { bodiesOf, drawingTables, pointsOf, rungsOf, type TextTable } from './rows.ts';
import { pageColours, sheetStyle } from './style.ts';
import { svgOf } from './svg.ts';

/** What whoever reads a sheet has to bear in mind: below each, on a page and in the editor. */
export const mind =
  'These are values computed from what the text of the machine says. They do not mean that a design is safe. On mains, local codes and a licensed electrician decide.';

/** How a page of its own looks. */
const pageStyle = pageColours + sheetStyle;

type Element = Exclude<ReturnType<typeof h>, { type: 'root' }>;
/** An element, or a text. */
type Child = Element | string;

/**
 * A sheet as one page that stands alone: no script, nothing from elsewhere, printable. Names and texts are escaped where they are written
 * out, so that none of them is read as HTML; a policy for contents forbids all that is not on the page.
 */
export async function pageOf(sheet: SheetData): Promise<string> {
  const hash = await sha256(pageStyle);
  const policy = `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`;
  const page = h('html', { lang: 'en' }, [
    h('head', [
      h('meta', { charset: 'utf-8' }),
      h('meta', { 'http-equiv': 'Content-Security-Policy', content: policy }),
      h('meta', { name: 'viewport', content: 'width=device-width, initial-scale=1' }),
      h('title', `${sheet.machine}: machine sheet`),
      h('style', pageStyle),
    ]),
    h('body', [h('main', bodyOf(sheet))]),
  ]);
  return `<!doctype html>\n${toHtml(page, { allowDangerousHtml: true })}\n`;
}

/** What stands on the page: its title, links to its sections, and these. */
function bodyOf({ machine, about, sections }: SheetData): Child[] {
  return [
    h('h1', machine),
    ...(about ? [h('p.about', about)] : []),
    h('nav', { 'aria-label': 'Sections' }, [
      h(
        'ul',
        sections.map(({ heading }) => h('li', [h('a', { href: `#${idOf(heading)}` }, heading)])),
      ),
    ]),
    ...sections.map((each) =>
      h('div.part', { role: 'region', 'aria-labelledby': idOf(each.heading) }, sectionOf(each)),
    ),
    h('p.about', mind),
  ];
}

/** A section without the element around it, so that it can be put in place of what stands there. */
export function sectionHtml(section: SectionData): string {
  return toHtml(
    { type: 'root', children: sectionOf(section).map((each) => (typeof each === 'string' ? h('span', each) : each)) },
    { allowDangerousHtml: true },
  );
}

function sectionOf(section: SectionData): Child[] {
  const { heading, about, parts } = section;
  return [
    h('h2', { id: idOf(heading) }, heading),
    ...(about ? [h('p.about', about)] : []),
    ...parts.flatMap((part) => partOf(part, heading)),
  ];
}

/** What a heading goes by in links. */
export function idOf(heading: string): string {
  return heading.toLowerCase().replace(/[^\p{L}\p{N}]+/gu, '-');
}

function partOf(part: PartData, heading: string): Child[] {
  switch (part.is) {
    case 'rows':
      return [
        ...(part.block ? [h('h3', breakable(part.block))] : []),
        h('table.rows', [h('tbody', part.rows.map(rowOf))]),
      ];
    case 'table':
      return [
        h('h3', part.label),
        ...(part.about ? [h('p.about', part.about)] : []),
        tableOf(
          { title: part.label, heading: part.heading, rows: part.rows.map(({ texts }) => texts) },
          part.rows.map(({ place }) => place),
        ),
        ...(part.missing.length ? [h('p.about', ['Not given: ', ...listOf(part.missing)])] : []),
      ];
    case 'plot':
      return plotOf(part, heading);
    case 'ladder':
      return [h('figure', [...laddersSvg(part), h('details', [h('summary', 'As a table'), tableOf(rungsOf(part))])])];
    case 'drawing':
      return drawingFigure(part, heading);
    case 'notes':
      return [h('ul.notes', part.notes.map(noteOf))];
  }
}

function drawingFigure(part: DrawingData, heading: string): Child[] {
  return [
    h('figure', [drawingSvg(part, heading), h('details', [h('summary', 'As a table'), tableOf(bodiesOf(part))])]),
    ...drawingTables(part).flatMap((each) => [h('h3', each.title), tableOf(each)]),
  ];
}

function listOf(names: readonly string[]): Child[] {
  return names.flatMap((name, i) => [...(i ? [', '] : []), ...[breakable(name)].flat()]);
}

function rowOf({ label, shown, about, margin, place }: RowData): Child {
  return h('tr', [
    h('th', { scope: 'row', title: about || undefined }, breakable(label)),
    h('td', [anchor(place, shown)]),
    h('td.bar', margin === undefined ? [] : [bar(margin)]),
  ]);
}

/** A margin as a bar: a share of the limit, cut at all of it. The number stands beside it. */
function bar(margin: number): Child {
  const width = Math.round(Math.min(Math.abs(margin), 1) * 100);
  const name = `${margin < 0 ? 'short by' : 'to spare:'} ${Math.round(Math.abs(margin) * 100)} %`;
  return h('svg', { viewBox: '0 0 100 8', width: 100, height: 8, role: 'img', 'aria-label': name }, [
    h('rect', { x: 0.5, y: 0.5, width: 99, height: 7, fill: 'none', stroke: 'var(--line)' }),
    h('rect', { width, height: 8, fill: margin < 0 ? 'var(--error)' : 'var(--curve-1)' }),
  ]);
}

function noteOf({ severity, title, text, caution, more = [], place }: NoteData): Child {
  return h('li', { className: severity ? [severity] : [] }, [
    ...(severity ? [h('span.severity', severity), ' '] : []),
    h('strong', [anchor(place, title)]),
    ` ${text}`,
    ...(caution ? [h('p.caution', [h('strong', 'Caution: '), caution])] : []),
    ...(more.length
      ? [
          h(
            'ul',
            more.map((each) => h('li', each)),
          ),
        ]
      : []),
  ]);
}

function plotOf(part: Extract<PartData, { is: 'plot' }>, heading: string): Child[] {
  const title = [heading, part.block].filter(Boolean).join(': ');
  const about = [...part.bands.map(({ label, about }) => `${label}: ${about}`)].filter(Boolean);
  return [
    h('figure', [
      ...(part.block ? [h('h3', breakable(part.block))] : []),
      { type: 'raw', value: svgOf(part, title) } as never,
      h(
        'figcaption',
        about.map((each) => h('p.about', each)),
      ),
      h('details', [h('summary', 'As numbers'), tableOf(pointsOf(part))]),
    ]),
  ];
}

function tableOf({ heading, rows }: TextTable, places: readonly (Place | null)[] = []): Child {
  return h('div.scroll', { tabindex: '0', role: 'group', 'aria-label': 'Table' }, [
    h('table', [
      h('thead', [
        h(
          'tr',
          heading.map((each) => (each ? h('th', { scope: 'col' }, each) : h('td'))),
        ),
      ]),
      h(
        'tbody',
        rows.map((row, r) =>
          h(
            'tr',
            row.map((cell, i) =>
              i === 0 ? h('th', { scope: 'row' }, [anchor(places[r] ?? null, cell)]) : h('td', breakable(cell)),
            ),
          ),
        ),
      ),
    ]),
  ]);
}

/** A text that leads to its place in an editor, and tells it elsewhere. */
function anchor(place: Place | null, text: string): Child {
  if (!place) return h('span', breakable(text));
  const { file, line, column } = place;
  return h(
    'span',
    { title: `${file.split('/').at(-1)}:${line}`, 'data-place': `${file}:${line}:${column}` },
    breakable(text),
  );
}

/** A name that may be broken behind its dots and underscores. */
function breakable(text: string): Child[] {
  return text.split(/(?<=\.)(?=\p{L})|(?<=_)(?=\w)/u).flatMap((piece, i) => (i ? [h('wbr'), piece] : [piece]));
}
