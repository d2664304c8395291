import { cellAt } from './answers/derivation.ts';
import { everyInputOf } from './answers/foundations.ts';
import type { Cell } from './compute/cell.ts';
import { pathOfCell, showCell } from './compute/show-cell.ts';
import { tolerancesIn } from './compute/tolerances.ts';
import { putInPlace } from './judge/trials.ts';
import { alone, type Side } from './one-machine.ts';
import { Money, type Value } from './values/value.ts';

/** Why it cannot be told what a value hangs on. */
export class InfluenceError extends Error {}

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

interface Input {
  readonly cell: Cell;
  readonly by: Influence['by'];
  readonly low: number;
  readonly high: number;
}

/**
 * How much each input moves a value alone: over its range, over its tolerance or, where `share` is more than nothing, each other number
 * that is given by so much of itself; the others in the middle of theirs. What moves it most comes first. Throws an `InfluenceError` where
 * there is no such value, or it is no number.
 */
export function influences(side: Side, path: string, share: number): Influence[] {
  const { project, file, machine: name } = alone(side, [side.machine]);
  const machine = project.machines(file).find(({ tree }) => tree.name === name);
  const cell = machine && cellAt(path, machine);
  if (!machine || !cell) throw new InfluenceError(`${name} has no value ${path}`);
  const { engine } = machine;
  const inputs = inputsOf(cell);
  for (const { cell: input, low, high } of inputs) putInPlace(input, (low + high) / 2, engine);
  const amount = (value: Value): number => {
    const number = value instanceof Money ? value.amount : value;
    if (typeof number !== 'number') throw new InfluenceError(`${path} is no number that is known`);
    return number;
  };
  const now = () => engine.under(engine.low, () => engine.value(cell));
  amount(now());
  const found = inputs.map(({ cell: input, by, low, high }): Influence => {
    const at = (end: number) => {
      putInPlace(input, end, engine);
      return now();
    };
    const [first, last] = [at(low), at(high)];
    const told = {
      path: pathOfCell(input, machine),
      by,
      from: showCell(input, machine, low),
      to: showCell(input, machine, high),
      atFrom: showCell(cell, machine, first),
      atTo: showCell(cell, machine, last),
      moved: amount(last) - amount(first),
    };
    putInPlace(input, (low + high) / 2, engine);
    return told;
  });
  return found.filter(({ moved }) => moved !== 0).sort((a, b) => Math.abs(b.moved) - Math.abs(a.moved));

  function inputsOf(of: Cell): Input[] {
    const ranges = engine.scenarios(of).reduce((all, ends) => all.and(engine.restsOf(of, ends)), engine.low).ranges;
    const own = ranges.map((range): Input => {
      const ends = [engine.low, engine.atHighEnds([range])].map((at) => engine.under(at, () => engine.value(range)));
      return { cell: range, by: 'range', low: ends[0] as number, high: ends[1] as number };
    });
    const reached = everyInputOf(of, { engine });
    const known = new Set(own.map((input) => input.cell));
    const tolerances = tolerancesIn(machine as NonNullable<typeof machine>).filter(
      (each) => reached.has(each.cell) && !known.has(each.cell),
    );
    for (const each of tolerances) known.add(each.cell);
    // What a block tells of itself, and what is called, are no inputs.
    const others = share > 0 ? [...reached].filter((each) => each.member && !each.called && !known.has(each)) : [];
    return [
      ...own,
      ...tolerances.map(({ cell, low, high }): Input => ({ cell, by: 'tolerance', low, high })),
      ...others.flatMap((each): Input[] => {
        const { type } = each.member ?? {};
        const isGiven = each.definition.origin === 'given' || each.definition.origin === 'default';
        const value = engine.under(engine.low, () => engine.value(each));
        // A share of a point of temperature says nothing: its zero is anywhere.
        if (!isGiven || typeof value !== 'number' || type?.is !== 'quantity' || type.points || value === 0) return [];
        return [{ cell: each, by: 'share', low: value * (1 - share), high: value * (1 + share) }];
      }),
    ];
  }
}
