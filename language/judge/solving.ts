import { type Furthest, foundFor, furthestFor, type KeptNumbers, type Looking } from './furthest.ts';
import { compare, type Score, type Solution, solve } from './joint.ts';
import type { Trials } from './trials.ts';

/** How what is open is solved. */
export interface Solved {
  readonly solution: Solution;
  /** What is found for the numbers of which the furthest is asked for, by their choices. */
  readonly numbers: ReadonlyMap<number, Furthest>;
  /** What is left out of account, since it is found at its own place. */
  readonly apart: ReadonlySet<string>;
  /** What can be kept of the numbers while changes are tried. */
  readonly found: KeptNumbers;
  /** Are some of them kept, as they were found for another text? */
  readonly areKept: boolean;
}

/** What is put in place. */
type Standing = Pick<Solved, 'solution' | 'numbers' | 'apart'>;

/** How often what is found whatever is chosen may be set apart, and all be solved anew. */
const mostAnew = 3;
/** So often the choices are solved and then the numbers looked for, until both stay. */
const mostTurns = 2;
/** So many values are begun with in all, where none of a number holds with what stands in place of other choices at first. */
const mostBegun = 3;
/** So many values are tried in all. */
const mostSamples = 2000;

/**
 * Solves all that is open. A number is looked for in view of what it is for; then what else is open is chosen to suit it, and it to suit
 * that, in turn until both stay. A whole solution is never looked for with each value that is tried. Numbers that are `kept` stand as
 * they are, and what else is open is chosen to suit them. In steps.
 */
export function* solveAll(trials: Trials, kept?: KeptNumbers): Generator<void, Solved> {
  const standing = yield* solveBoth(trials, kept);
  const keeps = new Set(kept?.values());
  const areKept = [...standing.numbers.values()].some((number) => keeps.has(number));
  return { ...standing, found: foundFor(standing.numbers, trials), areKept };
}

function* solveBoth(trials: Trials, kept: KeptNumbers | undefined): Generator<void, Standing> {
  const left = { samples: mostSamples };
  const first = yield* putWanted(trials, { left, kept });
  if (first.size === 0) return yield* solveChoices(trials);
  let looking: Looking = { left, kept, wanted: first };
  let found = yield* untilBothStay(yield* turn(trials, looking), trials, looking);
  // What suits a number may have been out of reach with what stood there at first: a heater on half of its voltage.
  const wanted = unfound(found.numbers) > 0 ? yield* putWanted(trials, { left, kept }) : first;
  if (unfound(wanted) < unfound(first)) {
    looking = { left, kept, wanted };
    found = yield* untilBothStay(yield* turn(trials, looking), trials, looking);
  } else putInPlace(found, trials);
  return markedLoose(yield* beginAnew(found, first, trials, looking), trials);
}

/** With other things in place of what else is open there may be a value that holds after all, where none of a number does. */
function* beginAnew(before: Turn, first: Solved['numbers'], trials: Trials, looking: Looking): Generator<void, Turn> {
  let [found, begun] = [before, 0];
  const kept = new Set(looking.kept?.values());
  for (const [choice, number] of first) {
    const { begin } = number;
    if (kept.has(number)) continue;
    for (const value of begin.length > 0 ? begin : (found.numbers.get(choice)?.begin ?? [])) {
      if (found.numbers.get(choice)?.found || !trials.hasChoices || begun++ >= mostBegun) break;
      trials.putNumber(choice, value);
      const other = yield* turn(trials, looking);
      if (compare(other.gravity, found.gravity) < 0) found = yield* untilBothStay(other, trials, looking);
      else putInPlace(found, trials);
    }
  }
  return found;
}

/** Puts what was found in place, of this machine or of another one of the same text. */
export function putInPlace({ solution, numbers, apart }: Standing, trials: Trials): void {
  trials.apart.clear();
  for (const key of apart) trials.apart.add(key);
  trials.stand(solution.picks);
  for (const [choice, number] of numbers) trials.putNumber(choice, standsFor(number));
}

/** Solves the choices with the numbers that stand, if there are any. */
function* solveChoices(trials: Trials): Generator<void, Standing> {
  trials.apart.clear();
  let solution = yield* solve(trials);
  for (let n = 0; n < mostAnew && (yield* setApart(solution.picks, trials)); n++) solution = yield* solve(trials);
  return { solution, numbers: new Map(), apart: new Set(trials.apart) };
}

/** What is found with numbers in place, and whether these stay with what was chosen to suit them. */
interface Turn extends Standing {
  readonly stays: boolean;
  /** How many grave things fail with it, for how many numbers no value was found, and what else fails. */
  readonly gravity: Score;
}

/** Solves the choices with the numbers that stand, and looks for these anew. */
function* turn(trials: Trials, looking: Looking): Generator<void, Turn> {
  const before = trials.numbers();
  const solved = yield* solveChoices(trials);
  trials.stand(solved.solution.picks);
  const numbers = yield* putFurthest(trials, [looking]);
  const failing = [...trials.failingNow().values()];
  const grave = failing.filter((each) => each).length;
  const gravity = [grave, unfound(numbers), failing.length - grave];
  const stays = [...numbers].every(([choice, each]) => before.get(choice) === standsFor(each));
  return { ...solved, numbers, stays, gravity };
}

/** Where no value holds of one, a number stays as it suits what it is for. */
function* untilBothStay(first: Turn, trials: Trials, looking: Looking): Generator<void, Turn> {
  let found = first;
  for (let n = 1; n < mostTurns && !found.stays && unfound(found.numbers) === 0 && trials.hasChoices; n++) {
    const next = yield* turn(trials, looking);
    if (unfound(next.numbers) > unfound(found.numbers)) {
      putInPlace(found, trials);
      return found;
    }
    found = next;
  }
  return found;
}

function unfound(numbers: Solved['numbers']): number {
  return [...numbers.values()].filter(({ found }) => !found).length;
}

/** What stands in place of a number. */
function standsFor({ found, nearest }: Furthest): number | undefined {
  return (found ?? nearest)?.value as number | undefined;
}

/**
 * A number is certain to be the furthest where what stops it rests on nothing else that is open. Where numbers did not stay, something
 * else may suit those that stand now.
 */
function markedLoose({ solution, numbers, apart, stays }: Turn, trials: Trials): Standing {
  const loose = new Set(solution.loose);
  for (const [choice, { found, stops }] of numbers)
    if (found && (!stays || stops.some(({ key }) => trials.restsOnOthers(key, choice)))) loose.add(choice);
  if (!stays)
    for (const [choice, { candidates }] of trials.places.entries()) if (candidates.length > 1) loose.add(choice);
  return { solution: { ...solution, loose }, numbers, apart };
}

/**
 * Puts in place of each open number the furthest that suits what it is for: all but what is said of other open blocks or, where what
 * stands there lets none hold, all that rests on nothing else that is open.
 */
function putWanted(trials: Trials, looking: Looking): Generator<void, Map<number, Furthest>> {
  return putFurthest(trials, [
    { ...looking, passedOver: 'said of others' },
    { ...looking, passedOver: 'resting on others' },
  ]);
}

/**
 * Puts the furthest value that holds in place of each open number that asks for it: as it is looked for first or, where none is found so,
 * next; where none is, what comes nearest.
 */
function* putFurthest(trials: Trials, ways: readonly Looking[]): Generator<void, Map<number, Furthest>> {
  const found = new Map<number, Furthest>();
  for (const choice of trials.places.keys()) {
    let furthest: Furthest | undefined;
    for (const looking of ways) {
      const next = yield* furthestFor(choice, trials, looking);
      const holds = next?.found || (next && next.stretches.length > 0 && next.begin.length > 0);
      if (!furthest || holds) furthest = next;
      if (!furthest || furthest.found) break;
    }
    if (!furthest) continue;
    found.set(choice, furthest);
    const begin = ways.length > 1 ? furthest.begin[0] : undefined;
    trials.putNumber(choice, standsFor(furthest) ?? begin);
  }
  return found;
}

/**
 * Sets apart what every sensible candidate fails: a grave rule on another block that is met only where that block, or one in it, fails
 * otherwise. A supply of half the voltage is no answer to a bed that nothing turns off. Returns whether there was any that was not set
 * apart before.
 */
function* setApart(picks: readonly number[], trials: Trials): Generator<void, boolean> {
  let isNew = false;
  for (const [choice, { candidates }] of trials.places.entries()) {
    trials.stand(picks);
    if (candidates.length < 2 || trials.failuresOn(choice).length === 0) continue;
    const failing: ReadonlySet<string>[] = [];
    const elsewhere = new Map<string, boolean>();
    for (const other of candidates.keys()) {
      trials.stand(picks.with(choice, other));
      failing.push(trials.failingKeys());
      for (const failure of trials.failuresOn(choice))
        if (!trials.isOwn(failure.key, choice)) elsewhere.set(failure.key, failure.grave);
      yield;
    }
    for (const [key, grave] of elsewhere) {
      const meeting = [...candidates.keys()].filter((other) => !failing[other]?.has(key));
      if (!grave || meeting.length === 0) continue;
      const isStarved = meeting.every((other) =>
        [...elsewhere.keys()].some(
          (each) =>
            trials.isWithin(each, key) &&
            failing[other]?.has(each) &&
            failing.some((keys) => keys.has(key) && !keys.has(each)),
        ),
      );
      if (!isStarved) continue;
      trials.apart.add(key);
      isNew = true;
    }
  }
  trials.stand(picks);
  return isNew;
}
