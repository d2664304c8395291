import { cellAt } from '../answers/derivation.ts';
import { everyInputOf, type Influence, type Soft, softIn, type Weakest } from '../answers/foundations.ts';
import type { Cell } from '../compute/cell.ts';
import type { Machine } from '../compute/machine.ts';
import { pathOfCell, showCell, showTogether } from '../compute/show-cell.ts';
import { atOnce, type Stepwise } from '../compute/stepwise.ts';
import { tolerancesIn } from '../compute/tolerances.ts';
import { putInPlace } from '../judge/trials.ts';
import { meantRange } from '../judge/whatever.ts';
import { alone, type Side } from '../one-machine.ts';
import { Money, type Value } from '../values/value.ts';

/** Why it cannot be told what a value hangs on. */
export class InfluenceError extends Error {}

interface Input {
  readonly cell: Cell;
  readonly by: Influence['by'];
  readonly low: number;
  readonly high: number;
  /** Where it is while the others are moved. */
  readonly rest: number;
}

/**
 * How much each input moves a value alone: over its range, over its tolerance or, where `share` is more than nothing, each other number
 * that is given by so much of itself; the others in the middle of theirs. What moves it most comes first. Throws an `InfluenceError` where
 * there is no such value, or it is no number.
 */
export function influences(side: Side, path: string, share: number): Influence[] {
  const { project, file, machine: name } = alone(side, [side.machine]);
  const machine = project.computed(file).find(({ tree }) => tree.name === name);
  const cell = machine && cellAt(path, machine);
  if (!machine || !cell) throw new InfluenceError(`${name} has no value ${path}`);
  const { engine } = machine;
  return atOnce(movesOf(cell, path, inputsOf(cell), machine));

  function inputsOf(of: Cell): Input[] {
    const ranges = engine.scenarios(of).reduce((all, ends) => all.and(engine.restsOf(of, ends)), engine.low).ranges;
    const own = ranges.map((range): Input => {
      const ends = [engine.low, engine.atHighEnds([range])].map((at) => engine.under(at, () => engine.value(range)));
      const [low, high] = ends as [number, number];
      return { cell: range, by: 'range', low, high, rest: (low + high) / 2 };
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
      ...tolerances.map(({ cell, low, high }): Input => ({ cell, by: 'tolerance', low, high, rest: (low + high) / 2 })),
      ...others.flatMap((each) => byShare(each, share, engine)),
    ];
  }
}

/** An input that is taken by a share more and less than it is, as far as that can be meant; none where it is computed, or no number. */
function byShare(cell: Cell, share: number, engine: Machine['engine']): Input[] {
  const { type } = cell.member ?? {};
  const isGiven = cell.definition.origin === 'given' || cell.definition.origin === 'default';
  const value = engine.under(engine.low, () => engine.value(cell));
  // A share of a point of temperature says nothing: its zero is anywhere.
  if (!isGiven || typeof value !== 'number' || type?.is !== 'quantity' || type.points) return [];
  const meant = cell.member && meantRange(cell.member, cell.instance, engine);
  const [low, high] = [value * (1 - share), value * (1 + share)].toSorted((a, b) => a - b) as [number, number];
  const least = Math.max(low, meant?.low ?? low);
  const most = Math.min(high, meant?.high ?? high);
  return [{ cell, by: 'share', low: least, high: most, rest: value }];
}

/** What each of these inputs alone does to a value, the others in the middle of theirs; what moves it most first, and nothing that does not. */
function* movesOf(cell: Cell, path: string, inputs: readonly Input[], machine: Machine): Stepwise<Influence[]> {
  const { engine } = machine;
  for (const { cell: input, rest } of inputs) putInPlace(input, rest, engine);
  const amount = (value: Value): number => {
    const number = value instanceof Money ? value.amount : value;
    if (typeof number !== 'number') throw new InfluenceError(`${path} is no number that is known`);
    return number;
  };
  const now = () => engine.under(engine.low, () => engine.value(cell));
  yield () => amount(now());
  const found: Influence[] = [];
  for (const { cell: input, by, low, high, rest } of inputs) {
    const ends: Value[] = [];
    for (const end of [low, high]) {
      yield () => {
        putInPlace(input, end, engine);
        ends.push(now());
      };
    }
    putInPlace(input, rest, engine);
    const [first, last] = ends as [Value, Value];
    yield () => {
      const [from, to] = showTogether(input, machine, [low, high]) as [string, string];
      const [atFrom, atTo] = bothShown(first, last, cell, machine);
      found.push({ path: pathOfCell(input, machine), by, from, to, atFrom, atTo, moved: amount(last) - amount(first) });
    };
  }
  return found.filter(({ moved }) => moved !== 0).sort((a, b) => Math.abs(b.moved) - Math.abs(a.moved));
}

/** Two values of a cell as people read them, numbers in one unit. */
function bothShown(one: Value, other: Value, cell: Cell, machine: Machine): [string, string] {
  const both =
    typeof one === 'number' && typeof other === 'number'
      ? showTogether(cell, machine, [one, other])
      : [one, other].map((each) => showCell(cell, machine, each));
  return both as [string, string];
}

/**
 * For each of these values of a machine: which of the defaults that stand in for what nobody has said, from memory or of the trade alone, moves
 * it most if it is by a share more and less. Values that are not known, or that none of them moves, are left out.
 */
export function weakestSources(side: Side, paths: readonly string[], share: number): Weakest[] {
  return atOnce(weakestInSteps(alone(side, [side.machine]), paths, share));
}

/** The same piece by piece, of a machine in a project of its own, in which values are moved. */
export function* weakestInSteps(own: Side, paths: readonly string[], share: number): Stepwise<Weakest[]> {
  const { project, file, machine: name } = own;
  // What is given up half way is computed once more; how it reads is found out in one go.
  project.mistakes(file);
  yield () => project.computed(file);
  const machine = project.computed(file).find(({ tree }) => tree.name === name);
  const found: Weakest[] = [];
  for (const path of machine ? paths : []) {
    const weakest = yield* weakestOf(path, machine as Machine, share);
    if (weakest) found.push(weakest);
  }
  return found;
}

function* weakestOf(path: string, machine: Machine, share: number): Stepwise<Weakest | undefined> {
  const { engine } = machine;
  let rests: { cell: Cell; shown: string; soft: Soft[]; inputs: Input[] } | undefined;
  yield () => {
    const cell = cellAt(path, machine);
    const value = cell && engine.under(engine.low, () => engine.value(cell));
    if (!cell || typeof value !== 'number') return;
    const soft = softIn(cell, machine);
    const inputs = soft.flatMap((each) => byShare(each.cell, share, engine));
    rests = { cell, shown: showCell(cell, machine), soft, inputs };
  };
  if (!rests) return undefined;
  const { cell, shown, soft, inputs } = rests;
  const [most, ...more] = yield* movesOf(cell, path, inputs, machine);
  const source = soft.find((each) => most && pathOfCell(each.cell, machine) === most.path)?.source;
  return most && source ? { path, shown, most, source, others: more.length } : undefined;
}
