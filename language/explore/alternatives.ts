// The parts that could stand in a role of a machine, side by side: what each is, what it makes of the values that matter, and what fails with it.
import { cellAt } from '../answers/derivation.ts';
import { cellOf } from '../compute/cell.ts';
import type { Machine } from '../compute/machine.ts';
import { showCell, valueOver } from '../compute/show-cell.ts';
import { partsOfKind } from '../judge/candidates.ts';
import { upkeepOf } from '../judge/commissioning.ts';
import { writePart } from '../judge/edit.ts';
import type { Instance } from '../machine/tree.ts';
import { withEdits } from '../mistakes/mistake.ts';
import type { Kind } from '../names/kind.ts';
import { kindOfListedBlocks } from '../names/type.ts';
import { alone, rewrite, type Side } from '../one-machine.ts';
import { isMissing } from '../values/value.ts';
import { failing } from './sweeping.ts';

/** Why no parts can be put side by side. */
export class AlternativesError extends Error {}

/** A machine with one of the parts in the role. */
export interface Alternative {
  readonly part: string;
  /** Is it the one that stands there as it is written? */
  readonly isThere: boolean;
  /** The values, in the order of the columns; empty where it has none. */
  readonly values: readonly string[];
  /** What fails with it and not as it is written, and what no longer does. */
  readonly fails: readonly string[];
  readonly mends: readonly string[];
  /** What comes off to look after it. */
  readonly uncover: readonly string[];
}

export interface Alternatives {
  readonly path: string;
  /** Paths of values: those of the part first, then those of what holds it, out to the machine. */
  readonly columns: readonly string[];
  readonly rows: readonly Alternative[];
  /** Parts of the sort that cannot stand there, each with why not. */
  readonly others: readonly { readonly part: string; readonly because: string }[];
}

/**
 * The parts that could stand in place of a block, one after the other in its machine, those preferred first. `show` are values to show; without
 * any, those that say which part is meant, what all parts tell of themselves, and what the kinds around it name as worth showing. Throws an
 * `AlternativesError` where there is no such block, or no parts of its sort.
 */
export function alternatives(side: Side, path: string, show: readonly string[]): Alternatives {
  const own = alone(side, [side.machine]);
  const { project, file, machine: name } = own;
  const text = file.parsed.text;
  const present = () => project.computed(file).find(({ tree }) => tree.name === name) as Machine;
  const machine = present();
  const block = machine && blockAt(machine, path);
  if (!block?.holder) throw new AlternativesError(`${name} has no block ${path}`);
  const there = block.part?.name?.text;
  const wanted = roleOf(block);
  const before = failing(machine);
  const columns = show.length > 0 ? show : worthShowing(block, path);
  const parts = partsOfKind(wanted, machine);
  if (parts.length === 0) throw new AlternativesError(`there are no parts to put in place of ${path}`);
  const others: { part: string; because: string }[] = [];
  const rows = parts.flatMap(({ name: part, part: built }): Alternative[] => {
    project.update(file.uri, text);
    const now = present();
    const at = blockAt(now, path) as Instance;
    const edits = part === there ? [] : writePart(at, part, built, now.entry, false);
    const mistake = rewrite(own, withEdits(edits, text));
    if (mistake) {
      others.push({ part, because: mistake });
      return [];
    }
    const made = present();
    const fails = failing(made);
    return [
      {
        part,
        isThere: part === there,
        values: columns.map((column) => shownAt(column, made)),
        fails: fails.filter((each) => !before.includes(each)),
        mends: before.filter((each) => !fails.includes(each)),
        uncover: uncoverOf(blockAt(made, path), made),
      },
    ];
  });
  return { path, columns, rows, others };
}

function blockAt({ tree }: Machine, path: string): Instance | undefined {
  return path.split('.').reduce<Instance | undefined>((at, each) => at?.called(each), tree);
}

/** What may stand there: what the role asks for, or else the block's own kind. */
function roleOf(block: Instance): Kind {
  const slot = block.holder?.member(block.name)?.type;
  return slot?.is === 'instance' && slot.kind ? slot.kind : block.kind;
}

/** Values of the part that say which one is meant or that every part has, and the headlines of what holds it. */
function worthShowing(block: Instance, path: string): string[] {
  const { kind } = block;
  const root = rootOf(kind);
  const common = [...root.members.values()].filter(
    ({ role, type, parameters }) =>
      role !== 'derived' && role !== 'child' && parameters.length === 0 && type.is === 'quantity' && !type.points,
  );
  const own = [...new Set([...kind.specified, ...common.map(({ name }) => name), ...kind.headlines])];
  return [
    ...own.filter((name) => isPlain(block, name)).map((name) => `${path}.${name}`),
    ...headlinesAround(block.holder),
  ];
}

/** The values worth showing of a block and of what holds it, out to the machine. */
export function headlinesAround(block: Instance | undefined): string[] {
  const found: string[] = [];
  for (let at = block; at; at = at.holder) {
    const [own, before] = [at, at.holder ? `${at.label}.` : ''];
    found.push(...own.kind.headlines.filter((name) => isPlain(own, name)).map((name) => before + name));
  }
  return found;
}

function rootOf(kind: Kind): Kind {
  return kind.base ? rootOf(kind.base) : kind;
}

/** Is it a value that stands in a cell of a table? */
function isPlain(block: Instance, name: string): boolean {
  const member = block.member(name);
  return (
    member !== undefined &&
    member.role !== 'child' &&
    member.parameters.length === 0 &&
    !kindOfListedBlocks(member.type)
  );
}

function shownAt(path: string, machine: Machine): string {
  const cell = cellAt(path, machine);
  if (!cell) return '';
  const value = valueOver(cellOf(cell.instance, cell.name) ?? cell, machine);
  return isMissing(value) ? '' : showCell(cell, machine, value);
}

/** What comes off to look after a block and what it holds. */
function uncoverOf(block: Instance | undefined, machine: Machine): string[] {
  const within = new Set(block?.all());
  const found = upkeepOf(machine).flatMap(({ instance, uncover }) =>
    within.has(instance) && uncover ? [uncover] : [],
  );
  return [...new Set(found)];
}
