/** How good something is, the least the best: its first number decides, the next where that is alike, and so on. */
export type Score = readonly number[];

/** Choices that bear on each other through what fails with them. Candidates go by their number. */
export interface Puzzle {
  /** For each choice, what each of its candidates counts by itself. */
  readonly own: readonly (readonly Score[])[];
  /** The keys of what fails with these candidates; in steps, since it looks at everything. */
  failures(picks: readonly number[]): Generator<void, readonly string[]>;
  /** How one of these stands with some candidates; the other choices are left as they happen to stand. */
  ask(key: string, picks: readonly (number | undefined)[]): Answer;
}

/** How something stands: what it counts, which is nothing where it holds. */
export interface Answer {
  readonly score: Score;
  /** By how much it fails, below zero; 0 where it holds, undefined where it compares no numbers. */
  readonly margin?: number;
  /** The choices that it was computed from. */
  readonly rests: readonly number[];
  /** The candidates that stood there, of all choices. */
  readonly standing: readonly number[];
}

export interface Solution {
  /** The candidate of each choice. */
  readonly picks: readonly number[];
  /** Of each choice the others with which, and with what then fits in the other choices, it comes out just as well. */
  readonly alike: readonly (readonly number[])[];
  /** The choices for which it is not certain that nothing else comes out better. */
  readonly loose: ReadonlySet<number>;
}

/** Combinations up to which choices that bear on each other are tried in all. */
const mostCombinations = 300;
/** Questions and steps that the search may take for all choices together, before it keeps what it found. */
const [mostQuestions, mostSteps] = [12_000, 400_000];
/** Combinations up to which it is counted out that something fails with all of them. */
const mostCountedOut = 12;
/** What held so often in a row, ahead of choices that are still to be made, is not asked ahead any more. */
const mostHeldAhead = 20;
/** What counts less than these has nothing that fails, or nothing grave. */
const strictest: readonly Score[] = [[0, 1], [1]];
/** Rounds in which what fails with a solution is taken into account. */
const mostRounds = 60;
/** Where the outermost candidates of a choice change a margin by no more than this share of it, those between do not turn it. */
const steadyShare = 0.01;

/** Thrown where a question turns out to rest on more choices than was known. */
class Wider {}
/** Thrown where the search has taken as long as it may. */
class TooLong {}

export function compare(a: Score, b: Score): number {
  for (let i = 0; i < a.length || i < b.length; i++) {
    const by = (a[i] ?? 0) - (b[i] ?? 0);
    if (by !== 0) return by;
  }
  return 0;
}

function plus(a: Score, b: Score): Score {
  return (a.length < b.length ? b : a).map((_, i) => (a[i] ?? 0) + (b[i] ?? 0));
}

function minus(a: Score, b: Score): Score {
  return plus(
    a,
    b.map((each) => -each),
  );
}

/** An answer, and the candidates with which it was given. */
interface Known {
  readonly score: Score;
  readonly standing: readonly number[];
}

/** What was learnt of one thing that may fail. */
class Matter {
  /** The choices that tell it apart, as far as is known. */
  readonly scope = new Set<number>();
  /** All choices that it was computed from. */
  readonly rests = new Set<number>();
  /** Of a choice the answers with its candidates, all else being alike; with those between the outermost only where they may differ. */
  readonly told = new Map<number, ReadonlyMap<number, Answer>>();
  /** By choices that were fixed: where it came nearest to holding though it fails with all that could stand in the others, and how near. */
  readonly nearest = new Map<string, { readonly picks: readonly number[]; readonly margin: number }>();
  /** Candidates with which it was seen to hold though it failed with the one that was the kindest to it by itself, the last one seen last. */
  readonly #preferred = new Map<number, number[]>();
  /** How often in a row it held where it was looked at ahead of the choices that are still to be made. */
  heldAhead = 0;
  /** By choices that decide answers: these by the candidates there. */
  readonly #known = new Map<string, { readonly choices: readonly number[]; readonly answers: Map<string, Known> }>();

  /** Answers by the candidates of all choices that they may rest on: the same question needs no second one. */
  readonly #answers = new Map<string, Answer>();

  /** The answer that was given with these candidates in all choices that it rests on. */
  answered(picks: readonly (number | undefined)[]): Answer | undefined {
    return this.#answers.get(this.#question(picks));
  }

  /** Remembers an answer that was given with these candidates. */
  remember(picks: readonly (number | undefined)[], answer: Answer): void {
    for (const choice of answer.rests) this.rests.add(choice);
    if ([...this.rests].every((choice) => picks[choice] !== undefined))
      this.#answers.set(this.#question(picks), answer);
  }

  /** A candidate is kinder to it than the one that was thought to be the kindest. Returns whether that was not known. */
  prefer(choice: number, pick: number): boolean {
    const known = this.#preferred.get(choice) ?? [];
    if (known.includes(pick)) return false;
    this.#preferred.set(choice, [...known, pick]);
    return true;
  }

  /** The candidate of a choice with which it comes out best, all else being alike; undefined where it tells no margins. */
  kindest(choice: number, isSensible: (pick: number) => boolean): number | undefined {
    const preferred = this.#preferred.get(choice)?.findLast(isSensible);
    if (preferred !== undefined) return preferred;
    const all = [...(this.told.get(choice) ?? [])];
    const sensible = all.filter(([pick]) => isSensible(pick));
    return kindestOf(sensible.length > 0 ? sensible : all);
  }

  #question(picks: readonly (number | undefined)[]): string {
    let question = '';
    for (const choice of this.rests) question += `${choice}=${picks[choice]} `;
    return question;
  }

  /** Is it sorted by every choice that it was computed from, so that no other choice can change an answer? */
  get isWhole(): boolean {
    return this.scope.size === this.rests.size;
  }

  /** How much hangs on a choice: by what share its candidates move the margin, the whole at most, and with how many it was seen to fail. */
  hangsOn(choice: number): Score {
    const told = this.told.get(choice);
    if (!told) return [1, 1];
    const margins = [...told.values()].map(({ margin }) => margin ?? -1);
    const failing = [...told.values()].filter(({ score }) => fails(score));
    return [Math.min(1, Math.max(...margins) - Math.min(...margins)), failing.length];
  }

  /** Is every choice that tells it apart made? */
  isDecidedBy(picks: readonly (number | undefined)[]): boolean {
    for (const choice of this.scope) if (picks[choice] === undefined) return false;
    return true;
  }

  /** What is known of it with these candidates. */
  lookUp(picks: readonly (number | undefined)[]): Known | undefined {
    for (const { choices, answers } of this.#known.values()) {
      const known = answers.get(choices.map((choice) => picks[choice]).join());
      if (known) return known;
    }
    return undefined;
  }

  /** Notes an answer, as one that these choices decide. */
  note(choices: readonly number[], { score, standing }: Known): void {
    const key = choices.join();
    let known = this.#known.get(key);
    if (!known) {
      known = { choices, answers: new Map() };
      this.#known.set(key, known);
    }
    known.answers.set(choices.map((choice) => standing[choice]).join(), { score, standing });
  }

  /** From now on other choices count as well: what is known is sorted by these. */
  widen(more: Iterable<number>): void {
    const answers = [...this.#known.values()].flatMap((known) => [...known.answers.values()]);
    for (const choice of more) this.scope.add(choice);
    this.#known.clear();
    for (const answer of answers) this.note([...this.scope], answer);
  }
}

/**
 * Finds the candidates with which all choices together come out best. What fails is taken into account where it was met: the
 * best by what is known is tried, what fails with it is looked into, and so on until nothing new does. So the result is the best of
 * all combinations, unless that would take too long. In steps, between which an edit may come.
 */
export function* solve(puzzle: Puzzle): Generator<void, Solution> {
  return yield* new Search(puzzle).run();
}

/** A candidate of a choice beside those already made, what it counts at least, and what is counted in that. */
interface Ahead {
  readonly pick: number;
  readonly score: Score;
  readonly settled: readonly string[];
  /** What it counts at least together with what fails whatever is taken in the choices that are still to be made. */
  readonly bound: Score;
  /** Is it known what fails with it whatever is taken in the choices that are still to be made? */
  readonly isLookedAt: boolean;
}

function byScore(a: Ahead, b: Ahead): number {
  return compare(a.bound, b.bound) || Number(b.isLookedAt) - Number(a.isLookedAt) || a.pick - b.pick;
}

class Search {
  readonly #puzzle: Puzzle;
  readonly #matters = new Map<string, Matter>();
  readonly #loose = new Set<number>();
  /** Of each choice the candidates with which something grave fails that rests on no other choice, and that others meet. */
  #senseless: readonly ReadonlySet<number>[] = [];
  /** What is counted already in the combination that is looked at. */
  readonly #settled = new Set<string>();
  /** Is it known that every candidate which counts less by itself than the one picked fails in something that need not fail? */
  #isLeast = false;
  #questions = 0;
  #steps = 0;
  constructor(puzzle: Puzzle) {
    this.#puzzle = puzzle;
  }

  *run(): Generator<void, Solution> {
    let picks = this.#puzzle.own.map(leastOf);
    for (let round = 0; ; round++) {
      const isNew = (yield* this.#learn(picks)) || (this.#loose.size === 0 && (yield* this.#doubt(picks)));
      if (!isNew) break;
      if (round === mostRounds) {
        for (const choice of picks.keys()) this.#loose.add(choice);
        break;
      }
      picks = yield* this.#best(picks);
    }
    const alike: number[][] = [];
    for (const choice of picks.keys()) alike.push(yield* this.#alike(choice, picks));
    return { picks, alike, loose: this.#loose };
  }

  // ---- is it certain that it is the best? ----

  /**
   * Finds the choices for which something better is not ruled out. Where nothing fails but what always does, whatever is better has in
   * some choice a candidate that counts less by itself; so each of these is to fail with all that could stand in the other choices.
   * Returns whether something came out otherwise than was thought: then the best may be another.
   */
  *#doubt(picks: readonly number[]): Generator<void, boolean> {
    if ([...this.#matters.values()].every(({ isWhole }) => isWhole)) return false;
    const ruledOut = picks.map((_, choice) => new Set(this.#senseless[choice]));
    const always = new Set<string>();
    for (const [key, matter] of this.#matters) {
      if (!fails((matter.lookUp(picks) as Known).score)) continue;
      const anyhow = yield* this.#failsAnyhow(key, matter, picks, new Map(), ruledOut);
      if (anyhow === 'not as thought') return true;
      if (anyhow) always.add(key);
      else for (const choice of matter.rests) this.#loose.add(choice);
    }
    if (this.#loose.size > 0) return false;
    let left = picks.flatMap((pick, choice) =>
      this.#less(choice, pick).flatMap((other) => (ruledOut[choice]?.has(other) ? [] : [{ choice, other }])),
    );
    for (let before = -1; left.length !== before && left.length > 0; ) {
      before = left.length;
      const still: typeof left = [];
      for (const each of left.toSorted((a, b) => this.#byOwn(b, a))) {
        const isOut = yield* this.#isRuledOut(each.choice, each.other, picks, ruledOut, always);
        if (isOut === 'not as thought') return true;
        if (isOut) ruledOut[each.choice]?.add(each.other);
        else still.push(each);
      }
      left = still;
    }
    this.#isLeast = left.length === 0;
    for (const { choice, other } of left) {
      this.#loose.add(choice);
      for (const { scope } of this.#against(choice, other, picks, always).values())
        for (const each of scope) this.#loose.add(each);
    }
    return false;
  }

  #byOwn(a: { choice: number; other: number }, b: { choice: number; other: number }): number {
    const own = this.#puzzle.own;
    return compare(own[a.choice]?.[a.other] as Score, own[b.choice]?.[b.other] as Score);
  }

  /** The candidates of a choice that count less by themselves than one. */
  #less(choice: number, pick: number): number[] {
    const own = this.#puzzle.own[choice] as readonly Score[];
    return [...own.keys()].filter((other) => compare(own[other] as Score, own[pick] as Score) < 0);
  }

  /** What is known to fail with a candidate, beside the others that were picked. */
  #against(choice: number, pick: number, picks: readonly number[], but: ReadonlySet<string>): Map<string, Matter> {
    const others = picks.with(choice, pick);
    const found = [...this.#matters].filter(
      ([key, matter]) => !but.has(key) && matter.scope.has(choice) && fails(matter.lookUp(others)?.score ?? []),
    );
    return new Map(found);
  }

  *#isRuledOut(
    choice: number,
    pick: number,
    picks: readonly number[],
    ruledOut: readonly ReadonlySet<number>[],
    always: ReadonlySet<string>,
  ): Generator<void, boolean | 'not as thought'> {
    for (const [key, matter] of this.#against(choice, pick, picks, always)) {
      const anyhow = yield* this.#failsAnyhow(key, matter, picks, new Map([[choice, pick]]), ruledOut);
      if (anyhow) return anyhow;
    }
    return false;
  }

  /**
   * Does something fail with all that may stand in the choices which tell it apart, even where the candidate of every other choice is
   * the kindest to it? False where there are too many to try, or it is not known which is.
   */
  *#failsAnyhow(
    key: string,
    matter: Matter,
    picks: readonly number[],
    fixed: ReadonlyMap<number, number>,
    ruledOut: readonly ReadonlySet<number>[],
  ): Generator<void, boolean | 'not as thought'> {
    const among = new Map<number, readonly number[]>();
    const kindest = [...picks];
    for (const choice of matter.rests) {
      const pick = fixed.get(choice);
      if (pick !== undefined) {
        kindest[choice] = pick;
        continue;
      }
      const isLeft = (each: number) => !ruledOut[choice]?.has(each);
      if (matter.scope.has(choice)) among.set(choice, range(this.#count(choice)).filter(isLeft));
      if (!matter.told.has(choice) && !matter.scope.has(choice)) {
        yield* this.#tellApartBy(choice, new Map([[key, matter]]), picks);
        if (matter.scope.has(choice)) {
          matter.widen([]);
          return 'not as thought';
        }
      }
      const best = matter.kindest(choice, isLeft);
      if (best === undefined && !matter.scope.has(choice)) return false;
      kindest[choice] = best ?? (among.get(choice)?.[0] as number);
    }
    const count = [...among.values()].reduce((product, { length }) => product * length, 1);
    const combinations = count <= mostCountedOut ? allOf(kindest, among) : undefined;
    if (!combinations) return yield* this.#failsAround(key, matter, kindest, among, fixed);
    for (const combination of combinations) {
      const fails = yield* this.#failsAsThought(key, matter, combination);
      if (fails !== true) return fails;
    }
    return true;
  }

  /** Does something fail with these candidates? Where it holds though it was thought to fail, why is found out. */
  *#failsAsThought(key: string, matter: Matter, picks: readonly number[]): Generator<void, boolean | 'not as thought'> {
    const answer = yield* this.#answer(key, matter, picks);
    if (fails(answer.score)) return true;
    const thought = matter.lookUp(picks);
    if (!thought || !fails(thought.score)) return false;
    yield* this.#findDifference(key, matter, thought, picks);
    return 'not as thought';
  }

  /** Does it fail with these candidates, and wherever it fails by less, one choice after the other being changed? */
  *#failsAround(
    key: string,
    matter: Matter,
    from: readonly number[],
    among: ReadonlyMap<number, readonly number[]>,
    fixed: ReadonlyMap<number, number>,
  ): Generator<void, boolean | 'not as thought'> {
    const choices = [...fixed.keys()].join();
    const before = matter.nearest.get(choices);
    if (before) {
      const there = [...fixed].reduce((picks, [choice, pick]) => picks.with(choice, pick), before.picks);
      const { score, margin } = yield* this.#answer(key, matter, there);
      if (fails(score) && margin !== undefined && margin <= before.margin) return true;
    }
    const first = yield* this.#failsAsThought(key, matter, from);
    if (first !== true) return first;
    let best = from;
    const marginAt = (picks: readonly number[]) => matter.answered(picks)?.margin;
    for (let changed = true; changed; ) {
      changed = false;
      for (const [choice, some] of among) {
        for (const pick of some) {
          const other = best.with(choice, pick);
          const fails = yield* this.#failsAsThought(key, matter, other);
          if (fails === false) return matter.prefer(choice, pick) ? 'not as thought' : false;
          if (fails !== true) return fails;
          const [now, by] = [marginAt(best), marginAt(other)];
          if (by === undefined) return false;
          if (now !== undefined && by <= now) continue;
          [best, changed] = [other, true];
        }
      }
    }
    const margin = marginAt(best);
    if (margin !== undefined) matter.nearest.set(choices, { picks: best, margin });
    return true;
  }

  /** Looks into what fails with these candidates. Returns whether that was new, or comes out otherwise than was thought. */
  *#learn(picks: readonly number[]): Generator<void, boolean> {
    const failing = new Set(yield* this.#puzzle.failures(picks));
    let isNew = false;
    for (const [key, matter] of this.#matters) {
      const thought = matter.lookUp(picks);
      if (!thought || fails(thought.score) === failing.has(key)) continue;
      yield* this.#findDifference(key, matter, thought, picks);
      isNew = true;
    }
    const fresh = new Map([...failing].filter((key) => !this.#matters.has(key)).map((key) => [key, new Matter()]));
    for (const [key, matter] of fresh) {
      this.#matters.set(key, matter);
      const answer = yield* this.#answer(key, matter, picks);
      matter.note(answer.rests, answer);
    }
    yield* this.#tellApart(fresh, picks);
    return isNew || [...fresh.values()].some(({ scope }) => scope.size > 0);
  }

  /** Something comes out otherwise than it did before with other candidates in choices that were taken not to matter: finds one that does. */
  *#findDifference(key: string, matter: Matter, before: Known, picks: readonly number[]): Generator<void> {
    let standing = before.standing;
    for (const choice of picks.keys()) {
      if (standing[choice] === picks[choice] || matter.scope.has(choice)) continue;
      standing = standing.with(choice, picks[choice] as number);
      const answer = yield* this.#answer(key, matter, standing);
      if (compare(answer.score, before.score) === 0) continue;
      matter.widen([choice]);
      matter.note([...matter.scope], answer);
      return;
    }
    matter.widen(matter.rests);
  }

  /** Finds the choices that tell what fails apart: all that it rests on where they are few, else those of which a single one makes a difference. */
  *#tellApart(fresh: ReadonlyMap<string, Matter>, picks: readonly number[]): Generator<void> {
    const combinations = ({ rests }: Matter) => [...rests].reduce((all, choice) => all * this.#count(choice), 1);
    const wide = [...fresh].filter(([, matter]) => combinations(matter) > mostCombinations);
    for (const matter of fresh.values())
      if (combinations(matter) <= mostCombinations) for (const choice of matter.rests) matter.scope.add(choice);
    for (const choice of picks.keys()) yield* this.#tellApartBy(choice, new Map(wide), picks);
    for (const [, matter] of wide) if (!matter.isWhole) matter.widen([]);
  }

  /**
   * Finds out which matters a choice tells apart by itself: tries its outermost candidates, and all others where these do not, but change
   * the margin noticeably.
   */
  *#tellApartBy(choice: number, matters: ReadonlyMap<string, Matter>, picks: readonly number[]): Generator<void> {
    let open = [...matters].filter(([, { rests, scope }]) => rests.has(choice) && !scope.has(choice));
    const now = picks[choice] as number;
    const own = this.#puzzle.own[choice] as readonly Score[];
    const outermost = [...outermostOf(own)].filter((each) => each !== now);
    const found = new Map(open.map(([key]) => [key, new Map<number, Answer>()]));
    for (const [at, pick] of [...new Set([now, ...outermost, ...own.keys()])].entries()) {
      if (at > outermost.length) open = open.filter(([key]) => isUndecided([...(found.get(key)?.values() ?? [])]));
      for (const [key, matter] of open)
        found.get(key)?.set(pick, yield* this.#answer(key, matter, picks.with(choice, pick)));
    }
    for (const [key, answers] of found) {
      const matter = matters.get(key) as Matter;
      matter.told.set(choice, answers);
      const [first, ...others] = [...answers.values()];
      if (others.some(({ score }) => compare(score, first?.score ?? []) !== 0)) matter.scope.add(choice);
    }
  }

  #count(choice: number): number {
    return (this.#puzzle.own[choice] as readonly Score[]).length;
  }

  *#answer(key: string, matter: Matter, picks: readonly (number | undefined)[]): Generator<void, Answer> {
    const known = matter.answered(picks);
    if (known) return known;
    const answer = this.#puzzle.ask(key, picks);
    matter.remember(picks, answer);
    yield;
    return answer;
  }

  /** What is true with these candidates, asked where it is not known. */
  *#ask(key: string, matter: Matter, picks: readonly (number | undefined)[]): Generator<void, Score> {
    const known = matter.lookUp(picks);
    if (known) return known.score;
    if (++this.#questions > mostQuestions) throw new TooLong();
    const { isWhole } = matter;
    const answer = yield* this.#answer(key, matter, picks);
    if (!isWhole) {
      matter.note([...matter.scope], answer);
      return answer.score;
    }
    matter.note(answer.rests, answer);
    const isKnown = answer.rests.every((choice) => matter.scope.has(choice));
    for (const choice of answer.rests) matter.scope.add(choice);
    if (!isKnown) throw new Wider();
    return answer.score;
  }

  /** The best by all that is known to matter; where that takes too long, the best that is found from where it stands. */
  *#best(from: readonly number[]): Generator<void, number[]> {
    for (;;) {
      try {
        this.#settled.clear();
        this.#senseless = yield* this.#findSenseless(from);
        const picks: (number | undefined)[] = from.map(() => undefined);
        for (const part of this.#parts([...from.keys()], picks)) {
          // Where nothing has to fail, all that fails is cut off at once.
          for (const limit of [...strictest, undefined]) {
            const found = yield* this.#least(part, picks, limit);
            for (const [choice, pick] of found?.picks ?? []) picks[choice] = pick;
            if (found) break;
          }
        }
        return picks as number[];
      } catch (thrown) {
        if (thrown instanceof Wider) continue;
        if (!(thrown instanceof TooLong)) throw thrown;
        for (const choice of from.keys()) this.#loose.add(choice);
        return yield* this.#downhill(from);
      }
    }
  }

  *#findSenseless(from: readonly number[]): Generator<void, Set<number>[]> {
    const senseless = from.map(() => new Set<number>());
    for (const [key, matter] of this.#matters) {
      const [choice, ...others] = matter.scope;
      if (choice === undefined || others.length > 0 || !matter.isWhole) continue;
      const grave: number[] = [];
      for (const pick of range(this.#count(choice)))
        if (((yield* this.#ask(key, matter, from.with(choice, pick)))[0] ?? 0) > 0) grave.push(pick);
      if (grave.length < this.#count(choice)) for (const pick of grave) senseless[choice]?.add(pick);
    }
    // Where each is a mistake in one way or another, none is senseless.
    return senseless.map((some, choice) => (some.size < this.#count(choice) ? some : new Set()));
  }

  /** Candidates of a choice with what they count by all that is known beside those already made, the least first, and what is settled by that. */
  #known(choice: number, picks: readonly (number | undefined)[]): Ahead[] {
    const found = (this.#puzzle.own[choice] as readonly Score[]).map((own, pick): Ahead => {
      const then = picks.with(choice, pick);
      const settled = new Map<string, Score>();
      for (const [key, matter] of this.#matters) {
        if (!matter.scope.has(choice) || this.#settled.has(key)) continue;
        const known = matter.isDecidedBy(then) ? matter.lookUp(then)?.score : undefined;
        if (known) settled.set(key, known);
      }
      const score = [...settled.values()].reduce(plus, own);
      return { pick, score, bound: score, settled: [...settled.keys()], isLookedAt: false };
    });
    return found.sort(byScore);
  }

  /**
   * What counts at once since it fails whatever is taken in the choices that are still to be made: all that fails though each of these
   * has the candidate that is the kindest to it, of those that are no mistake by themselves. Such a mistake may save all of it, and counts
   * as much as one grave thing.
   */
  *#lookAhead(choice: number, ahead: Ahead, picks: readonly (number | undefined)[]): Generator<void, Ahead> {
    const then = picks.with(choice, ahead.pick);
    let more: Score = [];
    for (const [key, matter] of this.#matters) {
      if (!matter.scope.has(choice) || this.#settled.has(key) || matter.isDecidedBy(then)) continue;
      const kindest = matter.heldAhead < mostHeldAhead ? this.#kindestTo(matter, then) : undefined;
      if (!kindest) continue;
      const { score } = yield* this.#answer(key, matter, kindest);
      matter.heldAhead = fails(score) ? 0 : matter.heldAhead + 1;
      more = plus(more, score);
      if ((more[0] ?? 0) > 0) break;
    }
    return { ...ahead, bound: plus(ahead.score, (more[0] ?? 0) > 0 ? [1] : more), isLookedAt: true };
  }

  /** With those already made the candidate that is the kindest to something in each other choice; undefined where that is not known. */
  #kindestTo(matter: Matter, picks: readonly (number | undefined)[]): (number | undefined)[] | undefined {
    const kindest = [...picks];
    for (const choice of matter.rests) {
      if (picks[choice] !== undefined) continue;
      const best = matter.kindest(choice, (pick) => !this.#senseless[choice]?.has(pick));
      if (best === undefined) return undefined;
      kindest[choice] = best;
    }
    return kindest;
  }

  /** Groups of choices, none of which is told apart together with one of another, in view of those that are made. */
  #parts(choices: readonly number[], picks: readonly (number | undefined)[]): number[][] {
    const group = new Map(choices.map((choice) => [choice, [choice]]));
    for (const [key, { scope }] of this.#matters) {
      if (this.#settled.has(key)) continue;
      const [first, ...others] = [...scope].filter((choice) => picks[choice] === undefined && group.has(choice));
      for (const other of others) {
        const [into, from] = [group.get(first as number) as number[], group.get(other) as number[]];
        if (into === from) continue;
        into.push(...from);
        for (const each of from) group.set(each, into);
      }
    }
    return [...new Set(group.values())].map((part) => part.toSorted((a, b) => a - b));
  }

  /** The least that some choices count together, with those already made; undefined where that is no less than a limit. */
  *#least(
    choices: readonly number[],
    picks: (number | undefined)[],
    limit: Score | undefined,
  ): Generator<void, { score: Score; picks: [number, number][] } | undefined> {
    const choice = this.#mostBound(choices);
    if (choice === undefined) return { score: [], picks: [] };
    const rest = choices.filter((other) => other !== choice);
    const floor = rest.reduce<Score>((sum, other) => plus(sum, this.#floor(other)), []);
    let best: { score: Score; picks: [number, number][] } | undefined;
    const within = (score: Score) => {
      const most = best?.score ?? limit;
      return !most || compare(plus(score, floor), most) < 0;
    };
    const left = this.#known(choice, picks);
    for (let ahead = left.shift(); ahead && within(ahead.bound); ahead = left.shift()) {
      if (++this.#steps > mostSteps) throw new TooLong();
      if (!ahead.isLookedAt) {
        const looked = yield* this.#lookAhead(choice, ahead, picks);
        const at = left.findIndex((other) => byScore(looked, other) < 0);
        left.splice(at < 0 ? left.length : at, 0, looked);
        continue;
      }
      const { pick, settled } = ahead;
      let { score } = ahead;
      picks[choice] = pick;
      for (const key of settled) this.#settled.add(key);
      try {
        score = yield* this.#withDecided(choice, picks, score, within);
        if (!within(score)) continue;
        const found: [number, number][] = [[choice, pick]];
        for (const part of this.#parts(rest, picks)) {
          const others = rest.filter((other) => !part.includes(other) && !found.some(([done]) => done === other));
          const most = best?.score ?? limit;
          const left =
            most &&
            minus(
              minus(most, score),
              others.reduce<Score>((s, o) => plus(s, this.#floor(o)), []),
            );
          const least = yield* this.#least(part, picks, left);
          if (!least) {
            found.length = 0;
            break;
          }
          score = plus(score, least.score);
          found.push(...least.picks);
        }
        if (found.length > 0) best = { score, picks: found };
      } finally {
        picks[choice] = undefined;
        for (const key of settled) this.#settled.delete(key);
      }
    }
    return best;
  }

  /** A score with that of what a choice, the last of those it is told apart by, decides. */
  *#withDecided(
    choice: number,
    picks: readonly (number | undefined)[],
    before: Score,
    within: (score: Score) => boolean,
  ): Generator<void, Score> {
    let score = before;
    const decided = [...this.#matters].filter(
      ([key, { scope }]) =>
        !this.#settled.has(key) && scope.has(choice) && [...scope].every((each) => picks[each] !== undefined),
    );
    const known = decided.map(([key, matter]) => ({ key, matter, score: matter.lookUp(picks)?.score }));
    for (const { score: by } of known) if (by) score = plus(score, by);
    for (const { key, matter, score: by } of known) {
      if (by) continue;
      if (!within(score)) break;
      score = plus(score, yield* this.#ask(key, matter, picks));
    }
    return score;
  }

  /** The choice that most hangs on: what is left by it is looked into with all that could stand in the others. */
  #mostBound(choices: readonly number[]): number | undefined {
    let [best, most]: [number | undefined, Score] = [choices[0], []];
    if (choices.length < 2) return best;
    for (const choice of choices) {
      let weight: Score = [0, 0];
      for (const [key, matter] of this.#matters)
        if (matter.scope.has(choice) && !this.#settled.has(key)) weight = plus(weight, matter.hangsOn(choice));
      if (compare(weight, most) > 0) [best, most] = [choice, weight];
    }
    return best;
  }

  #floor(choice: number): Score {
    const own = this.#puzzle.own[choice] as readonly Score[];
    return own[leastOf(own)] as Score;
  }

  /** What all choices count together, by all that is known to matter. */
  *#total(picks: readonly number[]): Generator<void, Score> {
    let score = picks.reduce<Score>((sum, pick, choice) => plus(sum, this.#puzzle.own[choice]?.[pick] as Score), []);
    for (const [key, matter] of this.#matters) {
      let known: Known | undefined = matter.lookUp(picks);
      if (!known) {
        known = yield* this.#answer(key, matter, picks);
        matter.note([...matter.scope], known);
      }
      score = plus(score, known.score);
    }
    return score;
  }

  /** Changes one choice at a time while that makes it better. */
  *#downhill(from: readonly number[]): Generator<void, number[]> {
    let best = [...from];
    let score = yield* this.#total(best);
    for (let again = true; again; ) {
      again = false;
      for (const choice of best.keys()) {
        for (const pick of bestFirst(this.#puzzle.own[choice] as readonly Score[])) {
          if (pick === best[choice]) continue;
          const other = best.with(choice, pick);
          const by = yield* this.#total(other);
          if (compare(by, score) >= 0) continue;
          [best, score, again] = [other, by, true];
        }
      }
    }
    return best;
  }

  /** The candidates of a choice with which all comes out as well as with the one picked. */
  *#alike(choice: number, picks: readonly number[]): Generator<void, number[]> {
    const found: number[] = [];
    const own = this.#puzzle.own[choice] as readonly Score[];
    for (const other of range(this.#count(choice))) {
      if (other === picks[choice]) continue;
      // Whatever comes out as well without counting as much by itself has in some choice a candidate that counts less.
      if (this.#isLeast && compare(own[other] as Score, own[picks[choice] as number] as Score) !== 0) continue;
      if (yield* this.#isAlike(choice, other, picks)) found.push(other);
    }
    return found;
  }

  *#isAlike(choice: number, pick: number, picks: readonly number[]): Generator<void, boolean> {
    for (;;) {
      try {
        const others = yield* this.#asGood(choice, pick, picks);
        // With the other candidate something may fail that was not looked at so far, and make a difference after all.
        if (!others || !(yield* this.#learn(others))) return others !== undefined;
      } catch (thrown) {
        if (thrown instanceof Wider) continue;
        if (!(thrown instanceof TooLong)) throw thrown;
        this.#loose.add(choice);
        return false;
      }
    }
  }

  /** All choices with another candidate in one of them, and what fits it in the others, where that counts no more; else undefined. */
  *#asGood(choice: number, pick: number, picks: readonly number[]): Generator<void, number[] | undefined> {
    const open = picks.map(() => undefined);
    const part = this.#parts([...picks.keys()], open).find((each) => each.includes(choice)) as number[];
    const own = this.#puzzle.own[choice]?.[pick] as Score;
    const rest = part.filter((each) => each !== choice);
    const score = yield* this.#counted(part, picks);
    const floor = rest.reduce((sum, each) => plus(sum, this.#floor(each)), own);
    if (compare(floor, score) > 0) return undefined;
    const others: (number | undefined)[] = picks.map((each, i) => (part.includes(i) ? undefined : each));
    others[choice] = pick;
    const sum = yield* this.#withDecided(choice, others, own, () => true);
    const least = yield* this.#least(rest, others, justOver(minus(score, sum)));
    if (!least || compare(plus(sum, least.score), score) > 0) return undefined;
    for (const [each, by] of least.picks) others[each] = by;
    return others as number[];
  }

  /** What some of the choices count together, with all that hangs on them. */
  *#counted(part: readonly number[], picks: readonly number[]): Generator<void, Score> {
    let score = part.reduce<Score>((sum, each) => plus(sum, this.#puzzle.own[each]?.[picks[each] as number] ?? []), []);
    for (const [key, matter] of this.#matters) {
      if ([...matter.scope].some((each) => part.includes(each)))
        score = plus(score, yield* this.#ask(key, matter, picks));
    }
    return score;
  }
}

function fails(score: Score): boolean {
  return score.some((each) => each > 0);
}

/** A limit slightly above a score, so that what counts exactly as much is still below it. */
function justOver(score: Score): Score {
  const last = score.length - 1;
  return score.map((each, i) => (i === last ? each + 0.5 : each));
}

/** Those of the candidates that count the least and the most by themselves, in each of the numbers that are compared. */
function outermostOf(own: readonly Score[]): Set<number> {
  const found = new Set<number>();
  for (const at of range(Math.max(0, ...own.map(({ length }) => length)))) {
    const amounts = own.map((each) => each[at] ?? 0);
    const [least, most] = [Math.min(...amounts), Math.max(...amounts)];
    if (least < most) found.add(amounts.indexOf(least)).add(amounts.lastIndexOf(most));
  }
  return found;
}

/** May a candidate that was not tried make a difference though none that was tried did? Not where the margin is nearly the same with all of these. */
function isUndecided([first, ...others]: readonly Answer[]): boolean {
  if (!first || others.length === 0) return true;
  const { score, margin: from } = first;
  if (others.some((each) => compare(each.score, score) !== 0)) return false;
  const isSteady = ({ margin }: Answer) =>
    from !== undefined && margin !== undefined && Math.abs(margin - from) <= steadyShare * Math.abs(from);
  return !others.every(isSteady);
}

/** With which candidate something comes out best; undefined where it tells no margins. */
function kindestOf(answers: readonly (readonly [number, Answer])[]): number | undefined {
  let best: { pick: number; margin: number } | undefined;
  for (const [pick, { margin }] of answers) {
    if (margin === undefined) return undefined;
    if (!best || margin > best.margin) best = { pick, margin };
  }
  return best?.pick;
}

/** All combinations of candidates of some choices. */
function allOf(picks: readonly number[], among: ReadonlyMap<number, readonly number[]>): (readonly number[])[] {
  return [...among].reduce(
    (all, [choice, some]) => all.flatMap((each) => some.map((pick) => each.with(choice, pick))),
    [picks],
  );
}

function range(count: number): number[] {
  return Array.from({ length: count }, (_, i) => i);
}

function leastOf(own: readonly Score[]): number {
  return bestFirst(own)[0] ?? 0;
}

/** Candidates by what they count by themselves, the least first; as they stand where that is alike. */
export function bestFirst(own: readonly Score[]): number[] {
  return [...own.keys()].sort((a, b) => compare(own[a] as Score, own[b] as Score) || a - b);
}
