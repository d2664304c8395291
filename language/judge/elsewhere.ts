import type { Cell } from '../compute/cell.ts';
import { showCell } from '../compute/show-cell.ts';
import type { Instance } from '../machine/tree.ts';
import { declaredName } from '../names/scope.ts';
import type { Value } from '../values/value.ts';
import { type Candidate, candidatesFor, partsOfKind } from './candidates.ts';
import { leversOf } from './lever.ts';
import { rulesOn } from './rule.ts';
import { type Failure, type OpenPlace, putInPlace, type Trials } from './trials.ts';
import { isGivenByPart, valuesInstead } from './unmet.ts';

/** What could be otherwise in another place, with which a candidate fits, though without it none does. */
export interface Elsewhere {
  readonly candidate: Candidate;
  /** The value or the part, and what it would have to be: `bed_power.wire.area 0.75 mm² → 2.5 mm²`, `bed_power.fuse blade_15a → blade_20a`. */
  readonly change: string;
  /** How many warnings come with it that are not there now. */
  readonly warnings: number;
}

/** So many values and parts are tried for one choice. */
const mostTries = 150;

/**
 * Looks for a value that may be chosen elsewhere, or a part, by the ways out of what fails, with which a candidate breaks nothing grave
 * any more and nothing grave begins to fail: of several one that brings no warning either, then the first candidate, and the least value.
 * No value that protects the less, the larger it is, and no part in which one is larger. `graves` says what is to be mended with each
 * candidate. In steps; what stands afterwards is undefined.
 */
export function* elsewhere(
  choice: number,
  graves: readonly (readonly Failure[])[],
  trials: Trials,
): Generator<void, Elsewhere | undefined> {
  const { candidates } = trials.places[choice] as OpenPlace;
  const none = trials.places.map(() => undefined);
  let left = mostTries;
  let found: Elsewhere | undefined;
  for (const [i, grave] of graves.entries()) {
    trials.stand(none.with(choice, i as never));
    const before = trials.failingNow(choice);
    for (const { values, change } of changesBehind(grave, trials)) {
      if (left-- === 0) return found;
      const { engine } = trials.machine;
      for (const { cell, value } of values) putInPlace(cell, value, engine);
      const after = trials.failingNow(choice);
      for (const { cell } of values) putInPlace(cell, undefined, engine);
      yield;
      const fresh = [...after].filter(([key]) => !before.has(key));
      if (grave.some(({ key }) => after.has(key)) || fresh.some(([, isGrave]) => isGrave)) continue;
      if (found && fresh.length > 0) continue;
      found = { candidate: candidates[i] as Candidate, change, warnings: fresh.length };
      if (fresh.length === 0) return found;
    }
  }
  return found;
}

/** Something that is not listed behind a `?`, but fits there. */
export interface Unlisted {
  readonly candidate: Candidate;
  /** How many warnings come with it that are not there now. */
  readonly warnings: number;
}

/**
 * Where nothing fits of what is listed behind a `?`: what could stand there as well and breaks nothing grave, the first as it is preferred
 * that brings no warning either, else that which brings the fewest. In steps; what stands afterwards is undefined.
 */
export function* unlisted(
  choice: number,
  graves: readonly (readonly Failure[])[],
  trials: Trials,
): Generator<void, Unlisted | undefined> {
  const concerns = new Set(graves.flat().map(({ key }) => key));
  const before = trials.failingNow(choice);
  let found: Unlisted | undefined;
  for (const candidate of trials.unlisted(choice).slice(0, mostTries)) {
    trials.standUnlisted(choice, candidate);
    const after = trials.failingNow(choice);
    yield;
    const fresh = [...after].filter(([key]) => !before.has(key));
    if ([...after.keys()].some((key) => concerns.has(key)) || fresh.some(([, isGrave]) => isGrave)) continue;
    if (!found || fresh.length < found.warnings) found = { candidate, warnings: fresh.length };
    if (found.warnings === 0) return found;
  }
  return found;
}

/** Values that are tried together, and what that would change. */
interface Change {
  readonly values: readonly { readonly cell: Cell; readonly value: Value }[];
  readonly change: string;
}

/** What the ways out of what fails let be chosen, in blocks that are no open choices themselves: values first, then parts. */
function* changesBehind(failures: readonly Failure[], trials: Trials): Generator<Change> {
  const { machine } = trials;
  const [cells, blocks] = [new Set<Cell>(), new Set<Instance>()];
  for (const { rule, instance } of failures) {
    const declared = rulesOn(instance.kind, machine.scope).find(({ name }) => name === rule);
    const failing = { declared, instance, scenario: machine.engine.low };
    for (const remedy of declared?.remedies ?? []) {
      if (remedy.text || remedy.value || remedy.once || remedy.base || remedy.added) continue;
      for (const lever of leversOf(remedy, failing, machine)) {
        if (lever.is === 'value' && isFree(lever.cell)) cells.add(lever.cell);
        else if (lever.is === 'block' && !trials.places.some(({ path }) => path === lever.instance.label))
          blocks.add(lever.instance);
      }
    }
  }
  for (const cell of cells) {
    const shown = showCell(cell, machine);
    for (const { value, shown: other } of candidatesFor(cell, machine))
      yield { values: [{ cell, value }], change: `${cell.instance.label}.${cell.name} ${shown} → ${other}` };
  }
  for (const block of blocks) yield* partsInstead(block, trials);
}

/** The parts that could stand in a block's place, as far as they differ from its own in values alone, and protect as much. */
function* partsInstead(block: Instance, { machine }: Trials): Generator<Change> {
  const now = block.part;
  if (!now) return;
  const { engine } = machine;
  for (const { name, part } of partsOfKind(block.kind, machine)) {
    const values = part.layers[0]?.node === now ? undefined : valuesInstead(part, block, engine);
    const protectsLess = values?.some(({ cell, value }) => {
      const before = engine.aside(() => engine.value(cell));
      return isGuarding(cell) && !(typeof value === 'number' && typeof before === 'number' && value <= before);
    });
    if (values && !protectsLess) yield { values, change: `${block.label} ${declaredName(now)} → ${name}` };
  }
}

function isFree(cell: Cell): boolean {
  return cell.trial === undefined && !isGivenByPart(cell) && !isGuarding(cell);
}

/** Does it protect the less, the larger it is? */
function isGuarding({ instance, name }: Cell): boolean {
  return instance.kind.guarding.includes(name);
}
