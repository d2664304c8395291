/** What is told apart by its path: a value that is a range. */
export interface Ranged {
  readonly path: string;
}

/**
 * A set of ranges, each with a share of the way from its low end to its high one. As a scenario: where each range is taken, those
 * that are not in the set at their low end. As what a value rests on: those that it was computed from, all with a share of 1. There
 * is one object for each set, so that sets are the same where they are identical.
 */
export class Ends<R extends Ranged> {
  readonly #shared = new Map<Ends<R>, Ends<R>>();
  readonly #joined = new Map<Ends<R>, Ends<R>>();
  readonly #sets: EndSets<R>;
  /** In the order of their paths, whichever was met first. */
  readonly ranges: readonly R[];
  /** Of each range, above 0 and up to 1. */
  readonly shares: readonly number[];
  constructor(ranges: readonly R[], shares: readonly number[], sets: EndSets<R>) {
    this.ranges = ranges;
    this.shares = shares;
    this.#sets = sets;
  }

  has(range: R): boolean {
    return this.ranges.includes(range);
  }

  /** How far from its low end (0) to its high one (1) a range is taken. */
  share(range: R): number {
    const i = this.ranges.indexOf(range);
    return i < 0 ? 0 : (this.shares[i] as number);
  }

  /** Is a range taken between its ends? */
  get isInside(): boolean {
    return this.shares.some((share) => share !== 1);
  }

  /** Those of this set that are in another as well. */
  within(other: Ends<R>): Ends<R> {
    if (this === other || this.ranges.length === 0) return this;
    if (other.ranges.length === 0) return other;
    let shared = this.#shared.get(other);
    if (!shared) {
      const both = this.ranges.filter((range) => other.has(range));
      shared = this.#sets.at(
        both,
        both.map((range) => this.share(range)),
      );
      this.#shared.set(other, shared);
    }
    return shared;
  }

  /** Those of this set and those of another, for what a value rests on. */
  and(other: Ends<R>): Ends<R> {
    if (this === other || other.ranges.length === 0) return this;
    if (this.ranges.length === 0) return other;
    let joined = this.#joined.get(other);
    if (!joined) {
      joined = this.#sets.of([...this.ranges, ...other.ranges.filter((range) => !this.has(range))]);
      this.#joined.set(other, joined);
    }
    return joined;
  }

  /** The scenario that takes the ranges of this set elsewhere, in their order. */
  placed(shares: readonly number[]): Ends<R> {
    return this.#sets.at(this.ranges, shares);
  }

  /** With one range at its other end. */
  flipped(range: R): Ends<R> {
    const ranges = this.has(range) ? this.ranges.filter((each) => each !== range) : [...this.ranges, range];
    return this.#sets.at(
      ranges,
      ranges.map((each) => this.share(each) || 1),
    );
  }

  /** Notes this set and all that were taken from it. */
  noteTaken(seen: Set<Ends<R>>): void {
    if (seen.has(this)) return;
    seen.add(this);
    for (const shared of this.#shared.values()) shared.noteTaken(seen);
  }
}

/** The share of a range that is taken anywhere at once, so that its value is a `Span`. */
export const anywhere = 2;

/** The scenario that takes every range anywhere. */
class Everywhere<R extends Ranged> extends Ends<R> {
  readonly #taken = new Map<Ends<R>, Ends<R>>();
  readonly #all: EndSets<R>;
  constructor(sets: EndSets<R>) {
    super([], [], sets);
    this.#all = sets;
  }
  override share(): number {
    return anywhere;
  }
  override within(other: Ends<R>): Ends<R> {
    if (other.ranges.length === 0) return other;
    let taken = this.#taken.get(other);
    if (!taken) {
      taken = this.#all.at(
        other.ranges,
        other.ranges.map(() => anywhere),
      );
      this.#taken.set(other, taken);
    }
    return taken;
  }
}

/** The sets of ranges of one machine. */
export class EndSets<R extends Ranged> {
  readonly #numbers = new Map<R, number>();
  #numbered = 0;
  readonly #sets = new Map<string, Ends<R>>();
  readonly none = this.of([]);
  everywhere: Ends<R> = new Everywhere<R>(this);

  /** These ranges, as scenario all at their high end. */
  of(ranges: readonly R[]): Ends<R> {
    return this.at(
      ranges,
      ranges.map(() => 1),
    );
  }

  /** These ranges, each with its share; a share of 0 is the low end, and so left out. */
  at(ranges: readonly R[], shares: readonly number[]): Ends<R> {
    const places = ranges
      .map((range, i) => ({ range, share: shares[i] as number, number: this.#number(range) }))
      .filter(({ share }) => share > 0);
    const key = places
      .sort((a, b) => a.number - b.number)
      .map(({ number, share }) => (share === 1 ? number : `${number}@${share}`))
      .join();
    let set = this.#sets.get(key);
    if (!set) {
      places.sort((a, b) => (a.range.path < b.range.path ? -1 : 1));
      set = new Ends<R>(
        places.map(({ range }) => range),
        places.map(({ share }) => share),
        this,
      );
      this.#sets.set(key, set);
    }
    return set;
  }

  /** Lets go of scenarios inside ranges but for those that are kept, and what is taken from these. */
  letGo(kept: Iterable<Ends<R>>): void {
    this.everywhere = new Everywhere<R>(this);
    const still = new Set<Ends<R>>();
    for (const scenario of kept) scenario.noteTaken(still);
    for (const [key, set] of this.#sets) if (set.isInside && !still.has(set)) this.#sets.delete(key);
  }

  /** Lets go of all sets with some of these ranges, that are none any more. */
  forget(ranges: ReadonlySet<R>): void {
    this.everywhere = new Everywhere<R>(this);
    for (const range of ranges) this.#numbers.delete(range);
    for (const [key, set] of this.#sets) if (set.ranges.some((range) => ranges.has(range))) this.#sets.delete(key);
  }

  /** Is this the set that stands for its ranges and shares? */
  holds(set: Ends<R>): boolean {
    return !set.isInside || this.at(set.ranges, set.shares) === set;
  }

  /** How many sets are kept. */
  get size(): number {
    return this.#sets.size;
  }

  /** Every value that was a range at some time. */
  ranges(): Iterable<R> {
    return this.#numbers.keys();
  }

  #number(range: R): number {
    let number = this.#numbers.get(range);
    if (number === undefined) {
      number = this.#numbered++;
      this.#numbers.set(range, number);
    }
    return number;
  }
}
