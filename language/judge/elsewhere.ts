import type { Cell } from '../compute/cell.ts';
import { showCell } from '../compute/show-cell.ts';
import { type Candidate, candidatesFor } from './candidates.ts';
import { type Lever, leversOf } from './lever.ts';
import { rulesOn } from './rule.ts';
import { type Failure, type OpenPlace, putInPlace, type Trials } from './trials.ts';
import { isGivenByPart } from './unmet.ts';

/** A value in another place with which a candidate fits, though without it none does. */
export interface Elsewhere {
  readonly candidate: Candidate;
  /** The value, and what it would have to be: `bed_power.wire.area 0.75 mm² → 2.5 mm²`. */
  readonly change: string;
  /** How many warnings come with it that are not there now. */
  readonly warnings: number;
}

/** So many values are tried for one choice. */
const mostTries = 150;

/**
 * Looks for a value that may be chosen elsewhere, by the ways out of what fails, with which a candidate breaks nothing grave any more
 * and nothing grave begins to fail: of several one that brings no warning either, then the first candidate, and the least value. Nothing
 * that protects the less, the larger it is, and nothing that describes a part. `tried` says what fails with each candidate. In steps;
 * what stands afterwards is undefined.
 */
export function* elsewhere(
  choice: number,
  tried: readonly { readonly failures: readonly Failure[] }[],
  trials: Trials,
): Generator<void, Elsewhere | undefined> {
  const { candidates } = trials.places[choice] as OpenPlace;
  const isCommon = (key: string) => tried.every(({ failures }) => failures.some((failure) => failure.key === key));
  const none = trials.places.map(() => undefined);
  let left = mostTries;
  let found: Elsewhere | undefined;
  for (const [i, { failures }] of tried.entries()) {
    const grave = failures.filter((failure) => failure.grave && !isCommon(failure.key));
    trials.stand(none.with(choice, i as never));
    const before = trials.failingNow();
    for (const cell of cellsBehind(grave, trials)) {
      const shown = showCell(cell, trials.machine);
      for (const { value, shown: other } of candidatesFor(cell, trials.machine)) {
        if (left-- === 0) return found;
        const { engine } = trials.machine;
        putInPlace(cell, value, engine);
        const after = trials.failingNow();
        putInPlace(cell, undefined, engine);
        yield;
        const fresh = [...after].filter(([key]) => !before.has(key));
        if (grave.some(({ key }) => after.has(key)) || fresh.some(([, isGrave]) => isGrave)) continue;
        if (found && fresh.length > 0) continue;
        const change = `${cell.instance.label}.${cell.name} ${shown} → ${other}`;
        found = { candidate: candidates[i] as Candidate, change, warnings: fresh.length };
        if (fresh.length === 0) return found;
      }
    }
  }
  return found;
}

/** The values that the ways out of what fails let be chosen, of blocks that are no open choices themselves. */
function cellsBehind(failures: readonly Failure[], trials: Trials): Set<Cell> {
  const { machine } = trials;
  const found = new Set<Cell>();
  for (const { rule, instance } of failures) {
    const declared = rulesOn(instance.kind, machine.scope).find(({ name }) => name === rule);
    const failing = { declared, instance, scenario: machine.engine.low };
    for (const remedy of declared?.remedies ?? []) {
      if (remedy.text || remedy.value || remedy.once || remedy.base || remedy.added) continue;
      for (const lever of leversOf(remedy, failing, machine)) if (isFree(lever)) found.add(lever.cell);
    }
  }
  return found;
}

function isFree(lever: Lever): lever is Extract<Lever, { is: 'value' }> {
  if (lever.is !== 'value') return false;
  const { cell } = lever;
  return cell.trial === undefined && !isGivenByPart(cell) && !cell.instance.kind.guarding.includes(cell.name);
}
