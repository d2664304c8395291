import type { Machine } from '../compute/machine.ts';
import { rankOf } from '../compute/margin.ts';
import type { AstNode } from '../grammar/syntax.ts';
import type { Instance, PartChoices } from '../machine/tree.ts';
import { listed } from '../mistakes/sentence.ts';
import type { Candidate } from './candidates.ts';
import { type Elsewhere, elsewhere, type Unlisted, unlisted } from './elsewhere.ts';
import type { Furthest, KeptNumbers } from './furthest.ts';
import { compare, type Score } from './joint.ts';
import type { Memory } from './memory.ts';
import { putInPlace, type Solved, solveAll } from './solving.ts';
import { blockAtPath, type Failure, type OpenPlace, type Rebuild, Trials, type Waiting } from './trials.ts';
import { notJudged, whyNotKnown } from './verdict-words.ts';

/** What speaks against a candidate. */
export interface Obstacle {
  readonly candidate: Candidate;
  /** The rule's name, or `requirement`. */
  readonly rule: string;
  readonly message: string;
}

/** A candidate of a choice, with what fails with it while the other choices stand as they are. */
export interface TriedCandidate {
  readonly candidate: Candidate;
  readonly failures: readonly Failure[];
}

/** An open choice, and what the tool proposes for it. */
export interface Choice {
  readonly instance: Instance;
  /** The value's name; empty where the block's part is open. */
  readonly name: string;
  /** The `?`. */
  readonly node: AstNode;
  readonly candidates: readonly Candidate[];
  /** What fits or, where nothing does without a warning, what comes nearest. */
  readonly proposed: Candidate | undefined;
  /** Where something graver speaks against each, the candidate with the least: the machine is judged with it, so that no finding hides. */
  readonly nearest: Candidate | undefined;
  /** Where several fit and nothing tells which is better: these. The machine is judged with the first. */
  readonly ties: readonly Candidate[];
  /** What speaks against what stands in its place, though other candidates meet it. */
  readonly against: readonly Failure[];
  /** Where the furthest value of a number is asked for: what was found, and what stops it. */
  readonly furthest?: Furthest;
  /** Rules that depend on it and cannot be decided yet. */
  readonly undecided: readonly Waiting[];
  /** True where it is not certain that no other combination of choices comes out better. */
  readonly isBestFound: boolean;
  /** What ruled out the candidates nearest to what stands in its place, three at most, the nearest last. */
  readonly obstacles: readonly Obstacle[];
  /** Where something grave speaks against each: a value elsewhere with which one fits, if one was found. */
  readonly elsewhere: Elsewhere | undefined;
  /** And what is not among those listed behind the `?`, but fits. */
  readonly unlisted: Unlisted | undefined;
  /** Tries every candidate, while the other choices stand as they are. */
  tryAll(): readonly TriedCandidate[];
}

/** A machine, with the parts that stand in place of its open ones. */
export interface MachineWithParts {
  machine: Machine;
  parts: PartChoices;
  /** What was found out when its choices were solved before. */
  readonly memory?: Memory;
  /** How its choices are solved, where that is known of another machine of the same text; noted here when it is found. */
  solved?: Solved | undefined;
  /** Numbers that stand as they were found for another text, while something else is tried. */
  readonly kept?: KeptNumbers | undefined;
}

/** How many candidates are told of by themselves. */
const mostTold = 3;

/**
 * Proposes something for each `?` of a machine: the candidates with which all of it comes out best. What is proposed flows on to
 * everything that depends on it; so does, where nothing fits, what comes nearest: a machine with an open choice is judged as if the
 * best that can be chosen were written there. In steps; where it is given up between them, all stands as it did before.
 */
export function* choose(standing: MachineWithParts, rebuild: Rebuild): Generator<void, Choice[]> {
  const trials = new Trials(standing.machine, standing.parts, rebuild, standing.memory);
  let isDone = false;
  try {
    if (standing.solved) putInPlace(standing.solved, trials);
    standing.solved ??= yield* solveAll(trials, standing.kept);
    const { solution, numbers } = standing.solved;
    const picks = [...solution.picks];
    // What is said of one names what stands in the others: in words only once that is settled for all.
    for (const choice of picks.keys()) picks[choice] = yield* leastWrong(choice, picks, trials);
    const against: Failure[][] = [];
    for (const choice of picks.keys())
      against.push(numbers.has(choice) ? [] : yield* concerning(choice, picks, trials));
    const concluded = picks.map((_, choice) => {
      const number = numbers.get(choice);
      if (number) return concludeNumber(toldAnew(number, picks, trials));
      const own = against[choice]?.filter(({ key }) => !isWrongElsewhere(key, choice, against, trials)) ?? [];
      return conclude(choice, picks, solution.alike[choice] ?? [], own, trials);
    });
    trials.stand(picks);
    const worthy = new Set([...trials.decided(), ...numbers.keys()]);
    for (const [choice, { stands }] of concluded.entries()) {
      const isOpen = stands === undefined || !worthy.has(choice);
      if (isOpen) trials.leaveOpen(choice);
      trials.markAs(choice, concluded[choice]?.proposed === undefined);
    }
    const told = concluded.map((conclusion, choice) => (worthy.has(choice) ? conclusion : nothing));
    const tried = new Map<number, Tried>();
    for (const [choice, conclusion] of told.entries()) {
      // Why nothing fits is told with the findings. A try may make blocks anew, so that none is to come between these.
      if (conclusion.nearest && !numbers.has(choice)) tried.set(choice, yield* tryAround(choice, conclusion, trials));
      yield;
    }
    isDone = true;
    const waiting = trials.waiting();
    return told.map((conclusion, choice) =>
      choiceFrom(choice, conclusion, waiting[choice] ?? [], solution.loose.has(choice), tried.get(choice), trials),
    );
  } finally {
    if (!isDone) trials.undo();
    standing.machine = trials.machine;
    standing.parts = trials.parts;
  }
}

/** What is said of a choice once all are solved. */
type Conclusion = Pick<Choice, 'proposed' | 'nearest' | 'ties' | 'against' | 'furthest'> & {
  readonly stands: Candidate | undefined;
};

const nothing: Conclusion = { proposed: undefined, nearest: undefined, ties: [], against: [], stands: undefined };

/** What fails with any value of a number, in words that name what stands in the other choices by now. */
function toldAnew(number: Furthest, picks: readonly number[], trials: Trials): Furthest {
  if (!number.isAnyhow) return number;
  trials.stand(picks);
  const failing = trials.failingNow();
  const stops = number.stops.filter(({ key }) => failing.has(key));
  return { ...number, stops: trials.failuresWith(new Map(stops.map(({ key, grave }) => [key, grave])), []) };
}

/** Where no value holds, the machine is judged with what comes nearest; what fails with any is found at its own place. */
function concludeNumber(furthest: Furthest): Conclusion {
  const { found, nearest, isAnyhow, stops } = furthest;
  const against = found || isAnyhow ? [] : stops;
  return { ...nothing, furthest, proposed: found, nearest, stands: found ?? nearest, against };
}

function conclude(
  choice: number,
  picks: readonly number[],
  alike: readonly number[],
  against: readonly Failure[],
  trials: Trials,
): Conclusion {
  const { candidates } = trials.places[choice] as OpenPlace;
  const stands = candidates[picks[choice] as number];
  if (!stands) return nothing;
  if (against.some(({ grave }) => grave)) return { ...nothing, stands, nearest: stands, against };
  const others = alike.flatMap((i) => candidates[i] ?? []);
  if (others.length > 0) return { ...nothing, stands, against, ties: [stands, ...others] };
  return { ...nothing, stands, against, proposed: stands };
}

/** Is it something gravely wrong with the block of another choice? It is found there, though another candidate here would meet it. */
function isWrongElsewhere(
  key: string,
  choice: number,
  against: readonly (readonly Failure[])[],
  trials: Trials,
): boolean {
  if (trials.isOwn(key, choice)) return false;
  return against.some(
    (failures, other) => trials.isOwn(key, other) && failures.some((each) => each.grave && each.key === key),
  );
}

/**
 * The candidate that stays where something is gravely wrong with the block itself, whichever is taken: of those with which as much
 * fails that with which the block is wrong by the least. Else the one picked.
 */
function* leastWrong(choice: number, picks: readonly number[], trials: Trials): Generator<void, number> {
  const { candidates } = trials.places[choice] as OpenPlace;
  const pick = picks[choice] as number;
  const isWrong = ({ grave, key }: Failure) => grave && trials.isOwn(key, choice);
  trials.stand(picks);
  if (!trials.failuresOn(choice).some(isWrong)) return pick;
  const wrong: { own: Score; all: Score }[] = [];
  for (const other of candidates.keys()) {
    trials.stand(picks.with(choice, other));
    const failures = trials.failuresOn(choice);
    wrong.push({ own: gravityOf(failures.filter(isWrong)), all: gravityOf(failures) });
    yield;
  }
  // The choices were solved together by how much fails: only a candidate with which as much fails may take the place of the one picked.
  const numbers = (i: number) => (wrong[i]?.all ?? []).slice(0, 2);
  const own = (i: number) => wrong[i]?.own ?? [];
  return [...wrong.keys()]
    .filter((i) => compare(numbers(i), numbers(pick)) === 0 && (own(i)[0] ?? 0) > 0)
    .reduce((best, i) => (compare(own(i), own(best)) < 0 ? i : best), pick);
}

/**
 * What fails with a candidate and is its concern: what another candidate meets, or what is wrong with the block itself. What fails
 * with each of them is a finding at its own place; so is what only those meet that are no answer, since they are wrong in themselves and
 * more fails with them: a supply of half the voltage mends no fuse that is too small.
 */
function* concerning(choice: number, picks: readonly number[], trials: Trials): Generator<void, Failure[]> {
  trials.stand(picks);
  const failing = trials.failuresOn(choice);
  const isThere = (key: string) => failing.some((each) => each.key === key);
  const met = new Set<string>();
  for (const other of failing.length > 0 ? (trials.places[choice] as OpenPlace).candidates.keys() : []) {
    trials.stand(picks.with(choice, other));
    const now = trials.failingNow(choice);
    const worse = [...now].filter(([key, isGrave]) => isGrave && !isThere(key));
    const isNoAnswer = worse.length > 1 && worse.some(([key]) => trials.isOwn(key, choice));
    for (const { key } of failing) if (!now.has(key) && !isNoAnswer) met.add(key);
    yield;
  }
  trials.stand(picks);
  return failing.filter(({ key }) => met.has(key) || trials.isOwn(key, choice));
}

function choiceFrom(
  choice: number,
  { stands, ...conclusion }: Conclusion,
  undecided: readonly Waiting[],
  isBestFound: boolean,
  known: Tried | undefined,
  trials: Trials,
): Choice {
  const { path, name, node, candidates } = trials.places[choice] as OpenPlace;
  let tried = known?.all;
  let obstacles: readonly Obstacle[] | undefined;
  const trying = (some: readonly number[]) => tryOut(some, choice, stands, trials);
  const { nearest, proposed, against } = conclusion;
  const isNearest = nearest !== undefined || against.length > 0;
  // What a warning speaks against is proposed all the same: what is told is why nothing meets that.
  const isOther = ({ failures }: TriedCandidate) =>
    !proposed || !against.some(({ key }) => failures.some((f) => f.key === key));
  return {
    ...conclusion,
    get instance() {
      return blockAtPath(trials.machine, path) as Instance;
    },
    name,
    node,
    candidates,
    undecided: conclusion.proposed ? undecided : [],
    isBestFound,
    elsewhere: known?.elsewhere,
    unlisted: known?.unlisted,
    get obstacles() {
      obstacles ??= (isNearest ? nearestOf(this.tryAll().filter(isOther)) : trying(preferred(choice, stands, trials)))
        .flatMap(({ candidate, failures: [failure] }) => (failure ? [{ candidate, ...failure }] : []))
        .map(({ candidate, rule, message }) => ({ candidate, rule, message }));
      return obstacles;
    },
    tryAll() {
      tried ??= trying([...candidates.keys()]);
      return tried;
    },
  };
}

/** The candidates that would have been preferred by themselves, those at last. */
function preferred(choice: number, stands: Candidate | undefined, trials: Trials): number[] {
  const own = trials.own[choice] ?? [];
  const by = stands && own[trials.places[choice]?.candidates.indexOf(stands) as number];
  if (!by) return [];
  const before = [...own.keys()].filter((each) => compare(own[each] as Score, by) < 0);
  return before.sort((a, b) => compare(own[a] as Score, own[b] as Score) || a - b).slice(-mostTold);
}

/** Those with which the least fails, the nearest last. */
function nearestOf(tried: readonly TriedCandidate[]): TriedCandidate[] {
  return tried.toSorted((a, b) => compare(gravityOf(b.failures), gravityOf(a.failures))).slice(-mostTold);
}

/** How much fails, and by how much. */
export function gravityOf(failures: readonly Failure[]): Score {
  const grave = failures.filter((failure) => failure.grave).length;
  const short = failures.map(({ margin }) => (margin ? Math.min(-rankOf(margin), 10) : 1));
  return [grave, failures.length - grave, short.reduce((sum, by) => sum + by, 0)];
}

/** All candidates of a choice that nothing fits, tried; and what would make one fit. */
interface Tried {
  readonly all: readonly TriedCandidate[];
  readonly elsewhere: Elsewhere | undefined;
  readonly unlisted: Unlisted | undefined;
}

function* tryAround(choice: number, { stands, against }: Conclusion, trials: Trials): Generator<void, Tried> {
  const { candidates } = trials.places[choice] as OpenPlace;
  const all = tryOut([...candidates.keys()], choice, stands, trials);
  const graves = graveConcerns(all, against);
  const other = yield* unlisted(choice, graves, trials);
  tryOut([], choice, stands, trials);
  const found = yield* elsewhere(choice, graves, trials);
  tryOut([], choice, stands, trials);
  trials.markAs(choice, true);
  return { all, elsewhere: found, unlisted: other };
}

/** Of each candidate what fails gravely with it, but for what fails with every one and is found at its own place. */
function graveConcerns(tried: readonly TriedCandidate[], against: readonly Failure[]): (readonly Failure[])[] {
  return tried.map(({ failures }) => failures.filter((each) => each.grave && isConcern(each, against, tried)));
}

/** Is something that fails the concern of a choice: said of the open block itself, or met by a candidate? */
export function isConcern(
  { key }: Failure,
  against: readonly Failure[],
  tried: readonly Pick<TriedCandidate, 'failures'>[],
): boolean {
  const isIn = (failures: readonly Failure[]) => failures.some((each) => each.key === key);
  return isIn(against) || !tried.every(({ failures }) => isIn(failures));
}

/** Puts candidates in place one after the other, and then what stood there. */
function tryOut(
  some: readonly number[],
  choice: number,
  stands: Candidate | undefined,
  trials: Trials,
): TriedCandidate[] {
  const { candidates } = trials.places[choice] as OpenPlace;
  const none = trials.places.map(() => undefined);
  const tentative = trials.cellAt(choice)?.tentative ?? false;
  try {
    return some.map((i) => {
      trials.stand(none.with(choice, i as never));
      return { candidate: candidates[i] as Candidate, failures: trials.failuresOn(choice) };
    });
  } finally {
    if (stands) trials.stand(none.with(choice, candidates.indexOf(stands) as never));
    else trials.leaveOpen(choice);
    trials.markAs(choice, tentative);
  }
}

/** A proposal is not to be written while a rule about people's safety waits behind it. */
export function mayBeWritten({ proposed, undecided }: Choice): boolean {
  return proposed !== undefined && !undecided.some(({ caution }) => caution);
}

/** What is proposed, and how far it is to be relied on: "2.5 mm² proposed if 3 undecided rules hold, 1 of them about safety". */
export function answerTo({ furthest, proposed, nearest, ties, against, undecided, isBestFound }: Choice): string {
  if (ties.length > 0)
    return `${ties.length} fit alike: give a price or a requirement (${listed(
      ties.map(({ shown }) => shown),
      5,
    )})`;
  if (furthest && !proposed) return noFurthest(furthest);
  if (!proposed && nearest)
    return `${isBestFound ? 'nothing was found that fits' : 'nothing fits'}; ${nearest.shown} comes nearest`;
  if (!proposed) return 'nothing can be proposed';
  const grave = undecided.filter(({ caution }) => caution).length;
  const what = furthest
    ? furthestAnswer(furthest, proposed, isBestFound)
    : against.length > 0
      ? `${proposed.shown} proposed, the nearest: ${against.length === 1 ? 'one warning speaks' : `${against.length} warnings speak`} against it`
      : `${proposed.shown} proposed`;
  const how = isBestFound && !furthest ? `${what}, the best found` : what;
  if (undecided.length === 0) return how;
  if (undecided.length === 1) return `${how} if 1 undecided rule holds${grave ? ', which is about safety' : ''}`;
  return `${how} if ${undecided.length} undecided rules hold${grave ? `, ${grave} of them about safety` : ''}`;
}

/** Why there is no furthest value. */
function noFurthest({ direction, stops, why = stops.slice(0, 1), ...furthest }: Furthest): string {
  const { stretches, isLeftOut, nearest, bound } = furthest;
  const most = direction === 'greatest' ? 'up to' : 'down to';
  if (isLeftOut) return 'not looked for: too much else is open here';
  if (stretches.length > 0) {
    const upTo = bound ? `${most} ${bound}, the ${direction} that can be meant` : `: there is no ${direction}`;
    return `nothing stops it${bound ? ' ' : ''}${upTo}; it holds ${listed(stretches)}`;
  }
  return `no value holds${why.length > 0 ? `: ${failuresInWords(why)}` : ''}${nearest ? `; ${nearest.shown} comes nearest` : ''}`;
}

/** `240 W proposed, the least that holds: further on, bed gets warm in 5.1 min (warm_up_slow, 0.4 % to spare here)`; with another choice it may go further. */
function furthestAnswer(
  { direction, stops, margin, stretches }: Furthest,
  found: Candidate,
  isBestFound: boolean,
): string {
  const [stop] = stops;
  const why = stop ? `: further on, ${stop.message} (${stop.rule}${margin ? `, ${margin} here` : ''})` : '';
  const apart = stretches.length > 1 ? `; what holds falls apart: ${listed(stretches)}` : '';
  const which = isBestFound ? 'best found with the other choices as they are' : `${direction} that holds`;
  return `${found.shown} proposed, the ${which}${why}${apart}`;
}

/**
 * All candidates with what speaks against each, in words: `blade_10a: bed_power.fuse is rated to 10 A, …`. What fails with each of
 * several is told once, before them.
 */
export function candidatesInWords(tried: readonly TriedCandidate[]): string[] {
  const [first, ...others] = tried;
  const isCommon = ({ key }: Failure) => others.every(({ failures }) => failures.some((each) => each.key === key));
  const common = others.length > 0 ? (first?.failures.filter(isCommon) ?? []) : [];
  const told = tried.map(({ candidate, failures }) => {
    const own = failures.filter(({ key }) => !common.some((each) => each.key === key));
    return `${candidate.shown}: ${failuresInWords(own) || (common.length > 0 ? 'nothing else' : 'fits')}`;
  });
  return common.length > 0
    ? [`with each, as with ${first?.candidate.shown}: ${failuresInWords(common)}`, ...told]
    : told;
}

function failuresInWords(failures: readonly Failure[]): string {
  return failures.map(({ message, rule }) => `${message} (${rule})`).join('; ');
}

/** The rules that wait behind a proposal, those about safety first, and what they lack; undefined where none does. */
export function waitingInWords(undecided: readonly Waiting[]): string | undefined {
  if (undecided.length === 0) return undefined;
  const inOrder = [...undecided].sort((a, b) => Number(b.caution !== undefined) - Number(a.caution !== undefined));
  const names = [...new Set(inOrder.map(({ code }) => code))];
  const rules = names.length > 3 ? `${names.slice(0, 3).join(', ')} and ${names.length - 3} more` : names.join(', ');
  const missing = [...new Set(undecided.flatMap((each) => each.missing))];
  const unreadable = [...new Set(undecided.flatMap((each) => each.unreadable ?? []))];
  // What is not given comes first, since the builder can give it. Only where all is given, why something cannot be computed is told.
  const because = missing.length > 0 ? undefined : undecided.find((each) => each.because)?.because;
  return `${rules} ${notJudged([])}: ${whyNotKnown({ missing, unreadable, because })}`;
}
