import { toHtml } from 'hast-util-to-html';
import { h } from 'hastscript';
import type { NoteData, PartData, Place, RowData, SectionData, SheetData } from './data.ts';
import { sha256 } from './digest.ts';
import type { DrawingData } from './drawing.ts';
import { drawingSvg } from './drawing-svg.ts';
import { laddersSvg } from './ladder-svg.ts';
import { placeText } from './leading.ts';
import { bodiesOf, drawingTables, pointsOf, rungsOf, type TextTable } from './rows.ts';
import { pageColours, sheetStyle } from './style.ts';
import { svgOf } from './svg.ts';
import { textWidth } from './text-width.ts';

/** What whoever reads a sheet has to bear in mind: below each, on a page and in the editor. */
export const mind =
  'These are values computed from what the text of the machine says. They do not mean that a design is safe. On mains, local codes and a licensed electrician decide.';

type TableData = Extract<PartData, { is: 'table' }>;
type CheckData = Extract<PartData, { is: 'checks' }>['items'][number];
type LadderData = Extract<PartData, { is: 'ladder' }>;
type Element = Exclude<ReturnType<typeof h>, { type: 'root' }>;
/** An element, or a text. */
type Child = Element | string;

/** What stands in one of two columns: a sheet, and what it is called there. */
export interface Column {
  readonly title: string;
  readonly sheet: SheetData;
}

/**
 * Two sheets side by side, section beside section; those that say the same stand once, folded. No script. `told` says what differs, `colours`
 * sets the variables of its style.
 */
export async function columnsPage(
  left: Column,
  right: Column,
  told: readonly string[],
  colours = pageColours,
): Promise<string> {
  const headings = [...new Set([left, right].flatMap(({ sheet }) => sheet.sections.map(({ heading }) => heading)))];
  const parts = headings.map((heading) => {
    const [a, b] = [left, right].map(({ sheet }) => sheet.sections.find((each) => each.heading === heading));
    const [was, is] = [a && sectionHtml(a), b && sectionHtml(b)];
    if (a && was === is) return h('details.part', [h('summary', `${heading}: the same in both`), ...sectionOf(a)]);
    const side = (section: SectionData | undefined, title: string) =>
      h(
        'div.part',
        { role: 'region', 'aria-label': `${heading}, ${title}` },
        section ? sectionOf(section) : [h('p.about', `${heading}: not there`)],
      );
    return h('div.beside', [side(a, left.title), side(b, right.title)]);
  });
  const titles = h('div.beside', [h('h1', left.title), h('h1', right.title)]);
  const body = h('main.columns', [
    titles,
    ...(told.length > 0
      ? [
          h(
            'ul.notes',
            told.map((each) => h('li', each)),
          ),
        ]
      : []),
    ...parts,
    h('p.about', mind),
  ]);
  return document(`${left.title}, ${right.title}`, undefined, [body], colours);
}

/** What a living page computes of: a text that stands alone, a machine in it, and what can be moved, as for a sweep. */
export interface Living {
  readonly uri: string;
  readonly text: string;
  readonly machine: string;
  readonly over: readonly string[];
}

/**
 * The same with inputs that can be moved, and `script`, which computes in the page itself. Its policy allows that one script, by its digest, and
 * neither connections nor anything else; without scripts it can be read as the page that stands alone.
 */
export async function livingPageOf(sheet: SheetData, living: Living, script: string): Promise<string> {
  // Neither may end the element that it stands in.
  const code = script.replace(/<(\/script|!--)/gi, '<\\$1');
  const policy = `script-src 'sha256-${await sha256(code)}'`;
  const data = JSON.stringify(living).replaceAll('<', '\\u003c');
  const controls = h('div.part', { role: 'region', 'aria-labelledby': 'what-can-be-moved' }, [
    h('h2#what-can-be-moved', 'What can be moved'),
    h(
      'p.about',
      'Each is moved by mouse, finger or arrow keys; all below is computed anew on this page, which sends nothing anywhere.',
    ),
    h('div#moving', [h('p.about', 'The checker on this page is getting ready. Without scripts nothing can be moved.')]),
    h('p#moved-status', { role: 'status' }),
    h('div#moved'),
  ]);
  const scripts = [
    h('script', { id: 'machine-text', type: 'application/json' }, [{ type: 'text', value: data }]),
    h('script', [{ type: 'text', value: code }]),
  ];
  return page(sheet, policy, [controls], scripts);
}

/**
 * A sheet as one page that stands alone: no script, nothing from elsewhere, printable. Names and texts are escaped where they are written
 * out, so that none of them is read as HTML; a policy for contents forbids all that is not on the page.
 */
export async function pageOf(sheet: SheetData): Promise<string> {
  return page(sheet, undefined, [], []);
}

async function page(sheet: SheetData, more: string | undefined, before: Child[], after: Child[]): Promise<string> {
  return document(`${sheet.machine}: machine sheet`, more, [h('main', bodyOf(sheet, before)), ...after]);
}

/** A page that stands alone: nothing from elsewhere, and no script but what the policy says `more` of. */
async function document(
  title: string,
  more: string | undefined,
  body: Child[],
  colours = pageColours,
): Promise<string> {
  const style = colours + sheetStyle + footOf(title);
  const hash = await sha256(style);
  const policy = ["default-src 'none'", `style-src 'sha256-${hash}'`, more, "base-uri 'none'", "form-action 'none'"];
  const all = h('html', { lang: 'en' }, [
    h('head', [
      h('meta', { charset: 'utf-8' }),
      h('meta', { 'http-equiv': 'Content-Security-Policy', content: policy.filter(Boolean).join('; ') }),
      h('meta', { name: 'viewport', content: 'width=device-width, initial-scale=1' }),
      h('title', title),
      h('style', style),
    ]),
    h('body', body),
  ]);
  forgetPlaces(all);
  return `<!doctype html>\n${toHtml(all, { allowDangerousHtml: true })}\n`;
}

/** Nothing on a page that stands alone follows places: what they are is told where one points. */
function forgetPlaces(node: { children?: unknown[]; properties?: Record<string, unknown> }): void {
  delete node.properties?.dataPlace;
  for (const child of (node.children ?? []) as { type: string; value: string }[]) {
    if (child.type === 'raw') child.value = child.value.replace(/<g data-place="[^"]*">/g, '<g>');
    else forgetPlaces(child as never);
  }
}

/** The title at the foot of each printed page; a character that could end the text is written by its number. */
function footOf(title: string): string {
  const text = title.replace(/[^\p{L}\p{N} :,.-]/gu, (each) => `\\${each.codePointAt(0)?.toString(16)} `);
  return `@page { @bottom-left { content: "${text}"; font-size: 9pt; } }\n`;
}

/** What stands on the page: its title, links to its sections, and these. */
function bodyOf({ machine, about, sections }: SheetData, before: Child[]): Child[] {
  return [
    h('h1', machine),
    ...(about ? [h('p.about', about)] : []),
    h('nav', { 'aria-label': 'Sections' }, [
      h(
        'ul',
        sections.map(({ heading }) => h('li', [h('a', { href: `#${idOf(heading)}` }, heading)])),
      ),
    ]),
    ...before,
    ...sections.map((each) =>
      h('div.part', { role: 'region', 'aria-labelledby': idOf(each.heading) }, sectionOf(each)),
    ),
    h('p.about', mind),
  ];
}

/** A section without the element around it, so that it can be put in place of what stands there. */
export function sectionHtml(section: SectionData): string {
  return headHtml(section) + section.parts.map((part) => partHtml(part, section.heading)).join('');
}

/** What stands above the parts of a section. */
export function headHtml(section: SectionData): string {
  return htmlOf(headingOf(section));
}

/** One of its parts. */
export function partHtml(part: PartData, heading: string): string {
  return htmlOf(partOf(part, heading));
}

function htmlOf(children: Child[]): string {
  const nodes = children.map((each) => (typeof each === 'string' ? h('span', each) : each));
  return toHtml({ type: 'root', children: nodes }, { allowDangerousHtml: true });
}

function sectionOf(section: SectionData): Child[] {
  return [...headingOf(section), ...section.parts.flatMap((part) => partOf(part, section.heading))];
}

function headingOf({ heading, about }: SectionData): Child[] {
  return [h('h2', { id: idOf(heading) }, heading), ...(about ? [h('p.about', about)] : [])];
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
        h('table.rows', [h('tbody', rowsOf(part.rows))]),
      ];
    case 'table':
      return [
        ...(part.label ? [h('h3', part.label)] : []),
        ...(part.about ? [h('p.about', part.about)] : []),
        blockTable(part),
        ...(part.missing.length ? [h('p.about', ['Not given: ', ...listOf(part.missing)])] : []),
      ];
    case 'checks':
      return [h('h3', part.label), h('ul.checks', part.items.map(checkOf))];
    case 'plot':
      return plotOf(part, heading);
    case 'ladder':
      return [
        h('figure', [
          ...laddersSvg(part),
          h('figcaption', [h('p.about', part.legend.flatMap(sortOf))]),
          h('details', [h('summary', 'As a table'), tableOf(rungsOf(part))]),
        ]),
      ];
    case 'drawing':
      return drawingFigure(part, heading);
    case 'notes':
      return [h('ul.notes', part.notes.map(noteOf))];
  }
}

/** What is drawn alike: its letters and kind, and what is told beside it, each with where the library says so. */
function sortOf({ letters, name, told, place }: LadderData['legend'][number], i: number): Child[] {
  const words = told.flatMap((each, j) => [j ? ', ' : ': ', anchor(each.place, each.name)]);
  return [...(i ? ['; '] : []), anchor(place, [letters, name].filter(Boolean).join('\u00a0')), ...words];
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

/** Rows, with room for bars where one of them has one. */
function rowsOf(rows: readonly RowData[]): Child[] {
  const hasBars = rows.some(({ margin, bar: share }) => margin !== undefined || share !== undefined);
  return rows.map((row) => h('tr', [...rowOf(row), ...(hasBars ? [h('td.bar', barOf(row))] : [])]));
}

function rowOf({ label, shown, about, place, formula }: RowData): Child[] {
  return [
    h('th', { scope: 'row', title: about || undefined }, formula ? [anchor(formula, label)] : breakable(label)),
    h('td', [anchor(place, shown)]),
  ];
}

function barOf({ margin, bar: share, place }: RowData): Child[] {
  if (margin !== undefined) return [bar(margin, place)];
  return share !== undefined ? [shareBar(share, place)] : [];
}

/** A share of the greatest as a bar; the number stands beside it. */
function shareBar(share: number, place: Place | null): Child {
  return figureOf(`${Math.round(share * 100)} % of the greatest`, place, [
    h('rect', { width: Math.round(share * 100), height: 8, fill: 'var(--curve-1)' }),
  ]);
}

/** A small picture with a name, which leads to its place. */
function figureOf(name: string, place: Place | null, shapes: Child[]): Child {
  const own = place ? { 'data-place': placeText(place) } : {};
  return h('svg', { viewBox: '0 0 100 8', width: 100, height: 8, role: 'img', 'aria-label': name, ...own }, [
    ...shapes,
    ...(place ? [h('rect', { width: 100, height: 8, fill: 'transparent' })] : []),
  ]);
}

/** A margin as a bar: a share of the limit, cut at all of it. The number stands beside it. */
function bar(margin: number, place: Place | null): Child {
  const width = Math.round(Math.min(Math.abs(margin), 1) * 100);
  const name = `${margin < 0 ? 'short by' : 'to spare:'} ${Math.round(Math.abs(margin) * 100)} %`;
  return figureOf(name, place, [
    h('rect', { x: 0.5, y: 0.5, width: 99, height: 7, fill: 'none', stroke: 'var(--line)' }),
    h('rect', { width, height: 8, fill: margin < 0 ? 'var(--error)' : 'var(--curve-1)' }),
  ]);
}

function noteOf({ severity, title, text, caution, more = [], place }: NoteData): Child {
  return h('li', { className: severity ? [severity] : [] }, [
    ...(severity ? [h('span.severity', severity), ' '] : []),
    h('strong', [anchor(place, title)]),
    ' ',
    ...prose(text),
    ...(caution ? [h('p.caution', [h('strong', 'Caution: '), ...prose(caution)])] : []),
    ...(more.length
      ? [
          h(
            'ul',
            more.map((each) => h('li', prose(each))),
          ),
        ]
      : []),
  ]);
}

/** Something to be done, with a box for each block, and room to write what is read. */
function checkOf({ title, uncover, how, expected, caution, blocks, formula }: CheckData): Child {
  return h('li', [
    h('p', [
      h('strong', [anchor(formula, title)]),
      ...(expected ? [h('span.expected', [' expected: ', anchor(formula, expected)])] : []),
    ]),
    h(
      'ul.boxes',
      blocks.map(({ label, made, place }) => {
        const [box, ...read] = made.split(' ');
        return h('li', [
          ...(box ? [`${box} `] : []),
          anchor(place, label),
          ...(read.length ? [` ${steady(read.join(' '))}`] : []),
          ...(expected && box && read.length === 0 ? [h('span.blank', { 'aria-hidden': 'true' })] : []),
        ]);
      }),
    ),
    ...(uncover ? [h('p', [h('em', 'First: '), ...prose(uncover)])] : []),
    h('p', prose(how)),
    ...(caution ? [h('p.caution', [h('strong', 'Caution: '), ...prose(caution)])] : []),
  ]);
}

function plotOf(part: Extract<PartData, { is: 'plot' }>, heading: string): Child[] {
  const title = [heading, part.block].filter(Boolean).join(': ');
  return [
    h('figure', [
      ...(part.block ? [h('h3', breakable(part.block))] : []),
      { type: 'raw', value: svgOf(part, title) } as never,
      h('figcaption', [
        ...part.bands.map(({ label, about, place, formula }) =>
          h('p.about', [anchor(place, label), ...(about ? [': ', anchor(formula ?? null, about)] : [])]),
        ),
        ...(part.marks.length ? [h('p.about', part.marks.flatMap(markOf))] : []),
      ]),
      h('details', [h('summary', 'As numbers'), tableOf(pointsOf(part))]),
    ]),
  ];
}

function markOf({ label, shown, place }: Extract<PartData, { is: 'plot' }>['marks'][number], i: number): Child[] {
  return [...(i ? [', '] : []), `${label} `, anchor(place, shown)];
}

/** What a picture shows as a table: what its places are of, each of a row, or of a column. */
function tableOf({ heading, rows, places = [], columns = [] }: TextTable): Child {
  const lines = rows.map((row, r) =>
    lineOf(row.map((text, c) => ({ text, place: text ? (places[r] ?? columns[c] ?? null) : null, more: [] }))),
  );
  return framed([headOf(heading, columns), h('tbody', lines)], heading.length <= mostSlim, isTooWide(heading, rows));
}

/**
 * A table of blocks: each number leads to its place, those that belong together stand under what they share, and what says more of a column
 * stands below it.
 */
function blockTable(table: TableData): Child {
  const { heading, rows, together, below = {}, formulas = [] } = table;
  const seen = heading.map((_, i) => i).filter((i) => heading[i] !== together && below[heading[i] ?? ''] === undefined);
  if (seen.length > mostWide && rows.length <= mostTurned && together === undefined) return turned(table, seen);
  const more = (i: number) => heading.map((_, j) => j).filter((j) => below[heading[j] ?? ''] === heading[i]);
  const line = ({ texts, place, places = [], bar }: TableData['rows'][number]) =>
    lineOf(
      seen.map((i) => ({
        text: texts[i] ?? '',
        place: texts[i] ? (i > 0 && places[i]) || place : null,
        more: more(i).flatMap((j) => texts[j] || []),
      })),
      bar,
      place,
    );
  const column = together === undefined ? -1 : heading.indexOf(together);
  const shared = [...new Set(rows.map(({ texts }) => texts[column] ?? ''))];
  const groups = shared.map((name) => {
    const own = rows.filter(({ texts }) => (texts[column] ?? '') === name);
    const said = [...new Set(more(column).flatMap((j) => own.flatMap(({ texts }) => texts[j] || [])))];
    const head = h('tr', [
      h('th.together', { scope: 'rowgroup', colspan: seen.length }, [
        anchor(own[0]?.places?.[column] ?? null, name),
        ...belowOf(said),
      ]),
    ]);
    return h('tbody', column >= 0 && name ? [head, ...own.map(line)] : own.map(line));
  });
  const names = seen.map((i) => heading[i] ?? '');
  const texts = rows.map((row) => seen.map((i) => row.texts[i] ?? ''));
  const kinds = seen.map((i) => formulas[i] ?? null);
  return framed([headOf(names, kinds), ...groups], seen.length <= mostSlim, isTooWide(names, texts));
}

/** A table of more columns is wider than a page. */
const mostWide = 8;
/** One of so few rows is as well read with its rows side by side. */
const mostTurned = 4;

/** A table with its rows as columns: what each says more of is told in rows of its own. */
function turned({ heading, rows, formulas = [] }: TableData, seen: readonly number[]): Child {
  const all = [...seen, ...heading.map((_, i) => i).filter((i) => !seen.includes(i))];
  const names = rows.map(({ texts, place }) => h('th', { scope: 'col' }, anchor(place, texts[0] ?? '')));
  const lines = all
    .slice(1)
    .map((i) =>
      h('tr', [
        h('th', { scope: 'row' }, [anchor(formulas[i] ?? null, heading[i] ?? '')]),
        ...rows.map(({ texts, place, places = [] }) =>
          h('td', said(texts[i] ?? '', texts[i] ? (places[i] ?? place) : null)),
        ),
      ]),
    );
  const told = all.map((i) => [heading[i] ?? '', ...rows.map(({ texts }) => texts[i] ?? '')]);
  const isTight = isTooWide(told[0] ?? [], told);
  return framed([h('thead', [h('tr', [h('td'), ...names])]), h('tbody', lines)], false, isTight);
}

/** Tables of no more columns stand beside each other on paper. */
const mostSlim = 2;

function framed(children: Child[], isSlim = false, isTight = false): Child {
  const className = [...(isSlim ? ['slim'] : []), ...(isTight ? ['tight'] : [])];
  return h('div.scroll', { className, tabindex: '0', role: 'group', 'aria-label': 'Table' }, [h('table', children)]);
}

/** A printed page is so wide (px, letter) that a table of words no longer than these fits. */
const pageWidth = 670;

/** Is a table wider than a page even where each of its columns is only as wide as its longest word? */
function isTooWide(heading: readonly string[], rows: readonly (readonly string[])[]): boolean {
  const columns = heading.map((name, i) => [name, ...rows.map((row) => row[i] ?? '')].reduce(longestWord, ''));
  return columns.reduce((sum, word) => sum + textWidth(word, 12) + 10, 0) > pageWidth;
}

function longestWord(longest: string, text: string): string {
  // Most texts are shorter than the longest word before them.
  if (text.length <= longest.length) return longest;
  const words = pieces(text).flatMap((piece) => piece.split(' '));
  return words.reduce((most, word) => (word.length > most.length ? word : most), longest);
}

/** The heading of a table; a name leads to where its column is said, or how it is computed. */
function headOf(heading: readonly string[], places: readonly (Place | null)[] = []): Child {
  const named = (name: string, place: Place | null) => (place ? [anchor(place, name)] : name);
  return h('thead', [
    h(
      'tr',
      heading.map((each, i) => (each ? h('th', { scope: 'col' }, named(each, places[i] ?? null)) : h('td'))),
    ),
  ]);
}

interface CellOfLine {
  readonly text: string;
  readonly place: Place | null;
  /** What stands below it. */
  readonly more: readonly string[];
}

function lineOf(row: readonly CellOfLine[], bar: number | null = null, place: Place | null = null): Child {
  return h('tr', [
    ...row.map(({ text, place, more }, i) => {
      const own = i === 0 ? [anchor(place, text)] : said(text, place);
      const element = text.length > longText ? 'td.long' : 'td';
      return i === 0 ? h('th', { scope: 'row' }, [...own, ...belowOf(more)]) : h(element, [...own, ...belowOf(more)]);
    }),
    ...(bar === null ? [] : [h('td.bar', [shareBar(bar, place)])]),
  ]);
}

/** A text that is longer has room for several words in each of its lines. */
const longText = 40;

/** What stands in a cell: a text that leads to its place, or words. */
function said(text: string, place: Place | null): Child[] {
  return place ? [anchor(place, text)] : prose(text);
}

/** What says more of what it stands below. */
function belowOf(more: readonly string[]): Child[] {
  return more.length > 0 ? [h('div.below', prose(more.join(', ')))] : [];
}

/** A text that leads to its place in an editor, and tells it elsewhere. */
function anchor(place: Place | null, text: string): Child {
  if (!place) return h('span', prose(text));
  const { file, line } = place;
  return h('span', { title: `${file.split('/').at(-1)}:${line}`, 'data-place': placeText(place) }, prose(text));
}

/** A name that may be broken behind its dots and underscores. */
function breakable(text: string): Child[] {
  return pieces(text).flatMap((piece, i) => (i ? [h('wbr'), piece] : [piece]));
}

function pieces(text: string): string[] {
  return steady(text).split(/(?<=\.)(?=\p{L})|(?<=_)(?=\w)/u);
}

/** Words in which what is to be written stands in backquotes. */
function prose(text: string): Child[] {
  return text.split('`').flatMap((piece, i, all) => {
    if (i % 2 === 0) return breakable(piece);
    return i < all.length - 1 ? [h('code', piece)] : breakable(`\`${piece}`);
  });
}

/** A text in which no number is parted from its unit, and no letter or sign that ends it stands alone in a line. */
function steady(text: string): string {
  return text.replace(/(?<=\d) (?=[^\s\d(]{1,6}(?![\p{L}\d]))| (?=[\p{L}+−]$)/gu, '\u00a0');
}
