import type { Cell } from './cell.ts';
import type { Kind } from './kind.ts';
import type { Machine } from './machine.ts';
import { Instance } from './tree.ts';
import type { Type } from './type.ts';
import { isMissing } from './value.ts';
import { showCell, typeOfCell, valueOver } from './values.ts';

/** A list of blocks as a table: a heading and a row for each block. */
export interface Rows {
  readonly heading: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** The kind of what a list of blocks holds; undefined for lists of anything else. */
export function kindOfRows(type: Type): Kind | undefined {
  return type.is === 'list' && type.of.is === 'instance' ? type.of.kind : undefined;
}

/**
 * The blocks that a value lists, each with its path, the part or the kind it starts from, and the values that the list's declaration
 * asks to show, or that are worth showing of their kind; undefined where a value lists no blocks.
 */
export function rowsOf(cell: Cell, machine: Machine): Rows | undefined {
  const kind = kindOfRows(typeOfCell(cell));
  const list = valueOver(cell, machine);
  if (!kind || !Array.isArray(list)) return undefined;
  const blocks = list.filter((item) => item instanceof Instance);
  const shown = (cell.called?.cell.member ?? cell.member)?.shown ?? [];
  const names = shown.length > 0 ? shown : kind.headlines;
  const rows = blocks.map((block) => [
    block.label,
    block.part?.name?.text ?? block.kind.name,
    ...names.map((name) => shownOf(block.cell(name), machine)),
  ]);
  const used = ['', 'is', ...names].map((head, i) => ({ head, i })).filter(({ i }) => rows.some((row) => row[i]));
  return {
    heading: used.map(({ head }) => head),
    rows: rows.map((row) => used.map(({ i }) => row[i] ?? '')),
  };
}

function shownOf(cell: Cell | undefined, machine: Machine): string {
  const value = cell && valueOver(cell, machine);
  return cell && value !== undefined && !isMissing(value) ? showCell(cell, machine, value) : '';
}
