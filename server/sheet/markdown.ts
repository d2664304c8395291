import { gfmTableToMarkdown } from 'mdast-util-gfm-table';
import { toMarkdown } from 'mdast-util-to-markdown';
import type { NoteData, PartData, SectionData, SheetData } from './data.ts';
import { type TextTable, tablesOf } from './rows.ts';

type Nodes = Parameters<typeof toMarkdown>[0];
export type Block = Extract<Nodes, { type: 'heading' | 'paragraph' | 'list' | 'table' }>;
type Phrase = Extract<Nodes, { type: 'text' | 'strong' | 'emphasis' }>;

/** A sheet as Markdown, to lie beside the text in a repository. Whatever stands in names and texts is shown, and never read as Markdown. */
export function markdownOf(sheet: SheetData): string {
  const children: Block[] = [
    heading(1, sheet.machine),
    ...(sheet.about ? [paragraph(text(sheet.about))] : []),
    ...sheet.sections.flatMap(section),
  ];
  return markdownText(children);
}

/** Blocks as Markdown. */
export function markdownText(children: readonly Block[]): string {
  return toMarkdown(
    { type: 'root', children: [...children] },
    { extensions: [gfmTableToMarkdown({ tablePipeAlign: false })], bullet: '-' },
  );
}

function section(section: SectionData): Block[] {
  const notes = section.parts.flatMap((part) => (part.is === 'notes' ? part.notes : []));
  const others = { ...section, parts: section.parts.filter((part) => part.is !== 'notes') };
  return [
    heading(2, section.heading),
    ...(section.about ? [paragraph(text(section.about))] : []),
    ...(notes.length ? [list(notes.map(phrases))] : []),
    ...tablesOf(others).flatMap((each) => [...(each.title ? [heading(3, each.title)] : []), table(each)]),
    ...section.parts.flatMap(missing),
  ];
}

function missing(part: PartData): Block[] {
  return part.is === 'table' && part.missing.length ? [paragraph(text(`Not given: ${part.missing.join(', ')}`))] : [];
}

/** A list of paragraphs, each of phrases. */
export function list(items: readonly (readonly Phrase[])[]): Block {
  return {
    type: 'list',
    spread: false,
    children: items.map((item) => ({ type: 'listItem', spread: false, children: [paragraph(...item)] })),
  };
}

function phrases({ severity, title, text: told, caution, more = [], place }: NoteData): Phrase[] {
  return [
    strong([severity && severity !== 'note' ? `${severity}: ` : '', title].join('')),
    text(`: ${told}`),
    ...(caution ? [text(' '), strong('Caution:'), text(` ${caution}`)] : []),
    ...(more.length ? [text(` (${more.join('; ')})`)] : []),
    ...(place ? [text(` ${place.file}:${place.line}`)] : []),
  ];
}

export function table({ heading, rows }: Pick<TextTable, 'heading' | 'rows'>): Block {
  const row = (cells: readonly string[]) => ({
    type: 'tableRow' as const,
    children: cells.map((cell) => ({ type: 'tableCell' as const, children: [text(cell)] })),
  });
  return { type: 'table', children: [row(heading), ...rows.map(row)] };
}

export function heading(depth: 1 | 2 | 3, words: string): Block {
  return { type: 'heading', depth, children: [text(words)] };
}

export function paragraph(...children: Phrase[]): Extract<Block, { type: 'paragraph' }> {
  return { type: 'paragraph', children };
}

export function text(value: string): Phrase {
  return { type: 'text', value: value.replace(/\s*\n\s*/g, ' ') };
}

export function strong(value: string): Phrase {
  return { type: 'strong', children: [{ type: 'text', value }] };
}
