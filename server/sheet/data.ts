import type { Note, Part, Row, Section, Sheet } from '../../language/answers/sheet.ts';
import { withoutHidden } from '../../language/grammar/hidden.ts';
import type { AstNode } from '../../language/grammar/syntax.ts';

/** Where something is said: a file and a line and column in it, counted from 1. */
export interface Place {
  readonly file: string;
  readonly line: number;
  readonly column: number;
}

/** The same with places instead of parts of a syntax tree, as plain data. */
type Placed<T> = T extends AstNode ? Place | null : T extends object ? { readonly [K in keyof T]: Placed<T[K]> } : T;

export type SheetData = Placed<Sheet>;
export type SectionData = Placed<Section>;
export type PartData = Placed<Part>;
export type RowData = Placed<Row>;
export type NoteData = Placed<Note>;

/** A section as plain data. */
export function sectionDataOf(section: Section, placeOf: (node: AstNode) => Place | undefined): SectionData {
  return placed(section, placeOf) as SectionData;
}

/** A sheet as plain data: all that is shown of it is made of this. */
export function dataOf(sheet: Sheet, placeOf: (node: AstNode) => Place | undefined): SheetData {
  return placed(sheet, placeOf) as SheetData;
}

function placed(value: unknown, placeOf: (node: AstNode) => Place | undefined): unknown {
  if (typeof value === 'string') return withoutHidden(value);
  if (Array.isArray(value)) return value.map((each) => placed(each, placeOf));
  if (value === null || typeof value !== 'object') return value;
  if ('$type' in value) {
    const place = placeOf(value as AstNode);
    return place ? { file: place.file, line: place.line, column: place.column } : null;
  }
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, placed(each, placeOf)]));
}
