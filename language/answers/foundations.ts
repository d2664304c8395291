import type { Cell } from '../compute/cell.ts';
import type { Machine } from '../compute/machine.ts';
import { type SourceNote, sourcesOf } from './derivation.ts';

/** A value or a formula that a value rests on, and whose source is no text that was read or quoted. */
export interface Soft {
  readonly cell: Cell;
  readonly source: SourceNote;
  /** Was it not said, so that the kind's own value stands in for it? */
  readonly byDefault: boolean;
}

/** How much an input moves a value. */
export interface Influence {
  readonly path: string;
  /** Why it can be otherwise. */
  readonly by: 'range' | 'tolerance' | 'share';
  /** From where to where it is taken. */
  readonly from: string;
  readonly to: string;
  /** What the value comes to there. */
  readonly atFrom: string;
  readonly atTo: string;
  /** By how much it is moved, in coherent units; below zero where it sinks as the input grows. */
  readonly moved: number;
}

/** The weakest that a value rests on. */
export interface Weakest {
  readonly path: string;
  /** What it comes to. */
  readonly shown: string;
  /** What moves it most, of what nobody has said and no text that was read or quoted gives. */
  readonly most: Influence;
  readonly source: SourceNote;
  /** How many more there are. */
  readonly others: number;
}

/** By so much a value from memory, or of the trade, may be off either way. */
export const doubt = 0.2;

const softStandings: ReadonlySet<string> = new Set<SourceNote['standing']>(['practice', 'recalled']);

/** All that values are computed from, however far, with every range at its low end; themselves first, and of several all of the first before the second. */
export function everyInputOf(of: Cell | readonly Cell[], { engine }: Pick<Machine, 'engine'>): Set<Cell> {
  return engine.under(engine.low, () => {
    const all = new Set<Cell>();
    for (const first of [of].flat()) {
      engine.value(first);
      const waiting = all.has(first) ? [] : [first];
      for (const each of waiting) {
        all.add(each);
        for (const input of engine.inputs(each)) if (!all.has(input)) waiting.push(input);
      }
    }
    return all;
  });
}

/**
 * What a value rests on that is of the trade or from memory alone: values that nobody has said, for which those of their kind stand in, and
 * formulas. The order is that in which they are read.
 */
export function softIn(of: Cell, machine: Pick<Machine, 'engine'>): Soft[] {
  return [...everyInputOf(of, machine)].flatMap((cell): Soft | [] => {
    const own = cell.called?.cell ?? cell;
    const { member } = own;
    if (!member) return [];
    const byDefault = own.definition.origin === 'default';
    if (!byDefault && own.definition.origin !== 'derived') return [];
    const sources = sourcesOf(member.node);
    const source = sources.find(({ standing }) => softStandings.has(standing));
    // What has a source that was read as well does not rest on the other alone.
    return source && sources.every(({ standing }) => softStandings.has(standing) || standing === 'defined')
      ? { cell, source, byDefault }
      : [];
  });
}
