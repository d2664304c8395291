import { type Cell, cellOf } from '../compute/cell.ts';
import { type Machine, missingPaths } from '../compute/machine.ts';
import { showCell, typeOfCell, valueOver } from '../compute/show-cell.ts';
import { Instance } from '../machine/tree.ts';
import { kindOfListedBlocks } from '../names/type.ts';
import { Range, Unknown, type Value } from '../values/value.ts';
import { named } from './wiring.ts';

/** The heading of what says which of its kind a block is. */
export const specification = 'with';

/** A list of blocks as a table: a heading and a row for each block. */
export interface BlockTable {
  readonly heading: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** What each row tells of. */
  readonly blocks: readonly Instance[];
  /** What is not given, so that a value of some row is not known. */
  readonly missing: readonly string[];
}

/**
 * The blocks that a value lists, each with its path, the part or the kind it starts from, and the values that the list's declaration
 * asks to show, or that are worth showing of their kind; undefined where a value lists no blocks.
 */
export function blockTableOf(cell: Cell, machine: Machine): BlockTable | undefined {
  const kind = kindOfListedBlocks(typeOfCell(cell));
  const list = valueOver(cell, machine);
  if (!kind || !Array.isArray(list)) return undefined;
  const blocks = list.filter((item) => item instanceof Instance);
  const shown = (cell.called?.cell.member ?? cell.member)?.shown ?? [];
  return tableOfBlocks(blocks, kind.name, shown.length > 0 ? shown : kind.headlines, machine);
}

/** Blocks of a kind, each with its path, the part or the kind it starts from, what specifies it, and some of its values; what none of them has is left out. */
export function tableOfBlocks(
  blocks: readonly Instance[],
  kind: string,
  names: readonly string[],
  machine: Machine,
): BlockTable {
  const missing = new Set<string>();
  const rows = blocks.map((block) => [
    block.label,
    block.part?.name?.text ?? block.kind.name,
    specificationOf(block, names, machine),
    ...names.map((name) => shownOf(cellOf(block, name), machine, missing)),
  ]);
  // Where every block is of the list's own kind, a column that says so would tell nothing.
  const tells = (i: number) => rows.some((row) => row[i] && (i !== 1 || row[i] !== kind));
  const used = ['', 'is', specification, ...names].map((head, i) => ({ head, i })).filter(({ i }) => tells(i));
  return {
    heading: used.map(({ head }) => head),
    rows: rows.map((row) => used.map(({ i }) => row[i] ?? '')),
    blocks,
    missing: [...missing],
  };
}

/** What says which of its kind a block is, so far as it is known and has no column of its own: `voltage 24 V, power 250 W`. */
function specificationOf(block: Instance, columns: readonly string[], machine: Machine): string {
  const besides = block.kind.specified.filter((name) => !columns.includes(name));
  return besides.flatMap((name) => named(block, name, machine)).join(', ');
}

/**
 * The text of a value in its row, over all ends of the ranges that it depends on. Ends at which an optional value is left out, at which
 * it waits for optional values alone, or at which it is a list of nothing, do not count; where none is left, the text is empty. `?` where it is not known.
 */
function shownOf(cell: Cell | undefined, machine: Machine, missing: Set<string>): string {
  if (!cell) return '';
  const { engine } = machine;
  const isNothing = (value: Value) =>
    value instanceof Unknown ? isLeftOut(value) : Array.isArray(value) && value.length === 0;
  const values = engine.corners(cell).values.filter((value) => !isNothing(value));
  const unknown = values.find((value) => value instanceof Unknown);
  for (const path of missingPaths(unknown ?? 0)) missing.add(path);
  if (unknown) return '?';
  const numbers = values.filter((value) => typeof value === 'number');
  if (numbers.length > 1 && numbers.length === values.length)
    return showCell(cell, machine, new Range(Math.min(...numbers), Math.max(...numbers)));
  return [...new Set(values.map((value) => showCell(cell, machine, value)))].reduce(eitherOr, '');
}

/** Two texts in one, what they share said once: `falls to 20 V or 17 V at once`. */
function eitherOr(one: string, other: string): string {
  if (!one) return other;
  const [a, b] = [one.split(' '), other.split(' ')];
  let start = 0;
  while (start < Math.min(a.length, b.length) && a[start] === b[start]) start++;
  let end = 0;
  while (end < Math.min(a.length, b.length) - start && a.at(-1 - end) === b.at(-1 - end)) end++;
  if (2 * (start + end) < Math.min(a.length, b.length)) return `${one}, or ${other}`;
  const middle = [a, b].map((words) => words.slice(start, words.length - end).join(' ')).filter(Boolean);
  return [...a.slice(0, start), middle.join(' or '), ...a.slice(a.length - end)].filter(Boolean).join(' ');
}

function isLeftOut({ absent, missing }: Unknown): boolean {
  // A derived value is missing where what it looks for is not there.
  return (
    absent || missing.every(({ instance, name }) => ['optional', 'derived'].includes(instance.member(name)?.role ?? ''))
  );
}
