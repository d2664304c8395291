// The least sets of defects with which a symptom shows: one alone, or several that must come together.
import type { Cell } from '../compute/cell.ts';
import type { Machine } from '../compute/machine.ts';
import type { Side } from '../one-machine.ts';
import type { Value } from '../values/value.ts';
import { machineAt, type Shown, symptomsShown } from './diagnosis.ts';
import { defectsAmong, reachedFrom, type Suspect } from './suspects.ts';

/** A defect, by its path and in words. */
interface Named {
  readonly path: string;
  readonly title: string;
}

/** A symptom of a block, and what it takes. */
export interface Together {
  /** The block, and what shows of it, in words. */
  readonly path: string;
  readonly what: string;
  /** Does it show as it is written? */
  readonly already: boolean;
  /** Sets of defects that each make it show, and of which none can be left out; those of fewest first. */
  readonly sets: readonly (readonly Named[])[];
  /** How many defects were tried. */
  readonly tried: number;
}

/**
 * For each block that can have a symptom: the least sets of defects, of `most` at most, with which it shows somewhere in the ranges; each defect is taken
 * as far as it goes. Blocks of which it is not known are left out. Throws a `DiagnosisError` where there is no such symptom.
 */
export function leastSets(side: Side, symptom: string, most: number, at: readonly string[]): Together[] {
  const machine = machineAt(side, at);
  return symptomsShown(symptom, machine).flatMap((shown) => {
    const { engine } = machine;
    const shows = (values: ReadonlyMap<Cell, Value>) =>
      engine.supposing(values, () => engine.corners(shown.cell).values.includes(true));
    const now = engine.corners(shown.cell).values;
    const already = now.includes(true);
    // Where it cannot be at all nothing brings it about.
    if (!already && engine.under(engine.low, shown.margin) === undefined) return [];
    const defects = already ? [] : defectsOf(shown, most, machine);
    return [
      {
        path: shown.path,
        what: shown.what(),
        already,
        sets: already ? [] : setsOf(defects, most, shows),
        tried: defects.length,
      },
    ];
  });
}

/** The defects that bear on it, those among them that only do so where another is there: what one guards alone nobody asks the other for. */
function defectsOf({ cell }: Shown, most: number, machine: Machine): Suspect[] {
  const reached = reachedFrom([cell], machine);
  let defects = defectsAmong(reached, machine);
  for (let size = 1; size < most; size++) {
    for (const set of subsets(defects, size)) {
      const values = together(set);
      for (const each of values ? machine.engine.supposing(values, () => reachedFrom([cell], machine)) : [])
        reached.add(each);
    }
    defects = defectsAmong(reached, machine);
  }
  return defects;
}

/** Sets that make it show, of one defect, then of two and so on; none holds a smaller one. */
function setsOf(
  defects: readonly Suspect[],
  most: number,
  shows: (values: ReadonlyMap<Cell, Value>) => boolean,
): Named[][] {
  const found: Suspect[][] = [];
  let tried: Suspect[][] = [[]];
  for (let size = 1; size <= most; size++) {
    const open = longer(tried, defects).filter(
      (set) => !found.some((least) => least.every((one) => set.includes(one))),
    );
    tried = [];
    for (const set of open) {
      const values = together(set);
      if (!values) continue;
      if (shows(values)) found.push(set);
      else tried.push(set);
    }
  }
  return found.map((set) => set.map(({ path, title }) => ({ path, title })));
}

/** Each of these sets with one more behind its last. */
function longer(sets: readonly (readonly Suspect[])[], defects: readonly Suspect[]): Suspect[][] {
  return sets.flatMap((set) => defects.slice(defects.indexOf(set.at(-1) as Suspect) + 1).map((one) => [...set, one]));
}

function subsets(defects: readonly Suspect[], size: number): Suspect[][] {
  return size === 0 ? [[]] : longer(subsets(defects, size - 1), defects);
}

/** What all of them alter, each as far as it goes; undefined where two alter the same value. */
function together(set: readonly Suspect[]): Map<Cell, Value> | undefined {
  const all = set.flatMap(({ at, isOne, near }) => [...at(isOne ? near : 1 - near)]);
  const values = new Map(all);
  return values.size === all.length ? values : undefined;
}
