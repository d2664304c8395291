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
  /** Of a choice the candidate with which it comes out best, all else being alike; undefined where that is not known. */
  readonly kindest = new Map<number, number | undefined>();
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

  #question(picks: readonly (number | undefined)[]): string {
    let question = '';
    for (const choice of this.rests) question += `${choice}=${picks[choice]} `;
    return question;
  }

  /** Is it sorted by every choice that it was computed from, so that no other choice can change an answer? */
  get isWhole(): boolean {
    return this.scope.size === this.rests.size;
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

class Search {
  readonly #puzzle: Puzzle;
  readonly #matters = new Map<string, Matter>();
  readonly #loose = new Set<number>();
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
    const ruledOut = picks.map(() => new Set<number>());
    const always = new Set<string>();
    for (const [key, matter] of this.#matters) {
      if (!fails((matter.lookUp(picks) as Known).score)) continue;
      const anyhow = yield* this.#failsAnyhow(key, matter, picks, new Map(), ruledOut);
      if (anyhow === 'not as thought') return true;
      if (anyhow) always.add(key);
      else for (const choice of matter.rests) this.#loose.add(choice);
    }
    if (this.#loose.size > 0) return false;
    let left = picks.flatMap((pick, choice) => this.#less(choice, pick).map((other) => ({ choice, other })));
    for (let before = -1; left.length !== before && left.length > 0; ) {
      before = left.length;
      const still: typeof left = [];
      for (const each of left) {
        const isOut = yield* this.#isRuledOut(each.choice, each.other, picks, ruledOut, always);
        if (isOut === 'not as thought') return true;
        if (isOut) ruledOut[each.choice]?.add(each.other);
        else still.push(each);
      }
      left = still;
    }
    for (const { choice, other } of left) {
      this.#loose.add(choice);
      for (const { scope } of this.#against(choice, other, picks, always).values())
        for (const each of scope) this.#loose.add(each);
    }
    return false;
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
    const kindest = [...picks];
    for (const choice of matter.rests) {
      if (matter.scope.has(choice)) continue;
      if (!matter.kindest.has(choice)) yield* this.#tellApartBy(choice, new Map([[key, matter]]), picks);
      if (matter.scope.has(choice)) {
        matter.widen([]);
        return 'not as thought';
      }
      const pick = matter.kindest.get(choice);
      if (pick === undefined) return false;
      kindest[choice] = pick;
    }
    let combinations = [kindest];
    for (const choice of matter.scope) {
      const among = fixed.has(choice)
        ? [fixed.get(choice) as number]
        : range(this.#count(choice)).filter((pick) => !ruledOut[choice]?.has(pick));
      if (combinations.length * among.length > mostCombinations) return false;
      combinations = combinations.flatMap((some) => among.map((pick) => some.with(choice, pick)));
    }
    for (const combination of combinations) {
      const answer = yield* this.#answer(key, matter, combination);
      if (fails(answer.score)) continue;
      const thought = matter.lookUp(combination);
      if (!thought || !fails(thought.score)) return false;
      yield* this.#findDifference(key, matter, thought, combination);
      return 'not as thought';
    }
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
   * Finds out which matters a choice tells apart by itself: tries its outermost candidates, and where one of these makes a noticeable
   * difference all others.
   */
  *#tellApartBy(choice: number, matters: ReadonlyMap<string, Matter>, picks: readonly number[]): Generator<void> {
    let open = [...matters].filter(([, { rests, scope }]) => rests.has(choice) && !scope.has(choice));
    const now = picks[choice] as number;
    const own = this.#puzzle.own[choice] as readonly Score[];
    const outermost = [...outermostOf(own)].filter((each) => each !== now);
    const found = new Map(open.map(([key]) => [key, new Map<number, Answer>()]));
    for (const [at, pick] of [...new Set([now, ...outermost, ...own.keys()])].entries()) {
      if (at > outermost.length) open = open.filter(([key]) => !isSteady([...(found.get(key)?.values() ?? [])]));
      for (const [key, matter] of open)
        found.get(key)?.set(pick, yield* this.#answer(key, matter, picks.with(choice, pick)));
    }
    for (const [key, answers] of found) {
      const matter = matters.get(key) as Matter;
      const [first, ...others] = [...answers.values()];
      if (others.some(({ score }) => compare(score, first?.score ?? []) !== 0)) matter.scope.add(choice);
      matter.kindest.set(choice, kindestOf(answers));
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
        const picks: (number | undefined)[] = from.map(() => undefined);
        for (const part of this.#parts([...from.keys()], picks)) {
          const found = yield* this.#least(part, picks, undefined);
          for (const [choice, pick] of found?.picks ?? []) picks[choice] = pick;
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

  /** Groups of choices, none of which is told apart together with one of another, in view of those that are made. */
  #parts(choices: readonly number[], picks: readonly (number | undefined)[]): number[][] {
    const group = new Map(choices.map((choice) => [choice, [choice]]));
    for (const { scope } of this.#matters.values()) {
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
    const choice = this.#mostBound(choices, picks);
    if (choice === undefined) return { score: [], picks: [] };
    const rest = choices.filter((other) => other !== choice);
    const own = this.#puzzle.own[choice] as readonly Score[];
    const floor = rest.reduce<Score>((sum, other) => plus(sum, this.#floor(other)), []);
    let best: { score: Score; picks: [number, number][] } | undefined;
    const within = (score: Score) => {
      const most = best?.score ?? limit;
      return !most || compare(plus(score, floor), most) < 0;
    };
    for (const pick of bestFirst(own)) {
      if (++this.#steps > mostSteps) throw new TooLong();
      let score = own[pick] as Score;
      if (!within(score)) break;
      picks[choice] = pick;
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
      ([, { scope }]) => scope.has(choice) && [...scope].every((each) => picks[each] !== undefined),
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

  /** The choice that most of what matters hangs on. */
  #mostBound(choices: readonly number[], picks: readonly (number | undefined)[]): number | undefined {
    let [best, most] = [choices[0], -1];
    if (choices.length < 2) return best;
    for (const choice of choices) {
      let weight = 0;
      for (const { scope } of this.#matters.values())
        if (scope.has(choice)) weight += [...scope].filter((each) => picks[each] === undefined).length;
      if (weight > most) [best, most] = [choice, weight];
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
    for (let other = 0; other < this.#count(choice); other++) {
      if (other !== picks[choice] && (yield* this.#isAlike(choice, other, picks))) found.push(other);
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

/** Is a margin nearly the same with all that were tried, and alike in what it counts? */
function isSteady(answers: readonly Answer[]): boolean {
  const [{ score = [], margin: from } = {}, ...others] = answers;
  if (others.length === 0) return false;
  return others.every(
    (each) =>
      from !== undefined &&
      each.margin !== undefined &&
      compare(each.score, score) === 0 &&
      Math.abs(each.margin - from) <= steadyShare * Math.abs(from),
  );
}

/** With which candidate something comes out best; undefined where it tells no margins. */
function kindestOf(answers: ReadonlyMap<number, Answer>): number | undefined {
  const margins = [...answers].flatMap(([pick, { margin }]) => (margin === undefined ? [] : [{ pick, margin }]));
  if (margins.length < answers.size) return undefined;
  return margins.reduce((best, each) => (each.margin > best.margin ? each : best), margins[0] as (typeof margins)[0])
    .pick;
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
