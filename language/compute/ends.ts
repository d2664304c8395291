import type { Cell } from './cell.ts';

/**
 * A set of ranges. As a scenario: those taken at their high end, all others at their low end. As what a value rests on: those
 * that it was computed from. There is one object for each set, so that sets are the same where they are identical.
 */
export class Ends {
  readonly #shared = new Map<Ends, Ends>();
  readonly #joined = new Map<Ends, Ends>();
  readonly #sets: EndSets;
  constructor(
    /** In the order of their paths, whichever was met first. */
    readonly ranges: readonly Cell[],
    sets: EndSets,
  ) {
    this.#sets = sets;
  }

  has(range: Cell): boolean {
    return this.ranges.includes(range);
  }

  /** Those of this set that are in another as well. */
  within(other: Ends): Ends {
    if (this === other || this.ranges.length === 0) return this;
    if (other.ranges.length === 0) return other;
    let shared = this.#shared.get(other);
    if (!shared) {
      shared = this.#sets.of(this.ranges.filter((range) => other.has(range)));
      this.#shared.set(other, shared);
    }
    return shared;
  }

  /** Those of this set and those of another. */
  and(other: Ends): Ends {
    if (this === other || other.ranges.length === 0) return this;
    if (this.ranges.length === 0) return other;
    let joined = this.#joined.get(other);
    if (!joined) {
      joined = this.#sets.of([...this.ranges, ...other.ranges.filter((range) => !this.has(range))]);
      this.#joined.set(other, joined);
    }
    return joined;
  }

  /** With one range at its other end. */
  flipped(range: Cell): Ends {
    const ranges = this.has(range) ? this.ranges.filter((each) => each !== range) : [...this.ranges, range];
    return this.#sets.of(ranges);
  }
}

/** The sets of ranges of one machine. */
export class EndSets {
  readonly #numbers = new Map<Cell, number>();
  readonly #sets = new Map<string, Ends>();
  readonly none = this.of([]);

  of(ranges: readonly Cell[]): Ends {
    const numbers = ranges.map((range) => this.#number(range)).sort((a, b) => a - b);
    const key = numbers.join();
    let set = this.#sets.get(key);
    if (!set) {
      set = new Ends(
        [...ranges].sort((a, b) => (a.path < b.path ? -1 : 1)),
        this,
      );
      this.#sets.set(key, set);
    }
    return set;
  }

  /** How many sets are kept. */
  get size(): number {
    return this.#sets.size;
  }

  /** Every value that was a range at some time. */
  ranges(): Iterable<Cell> {
    return this.#numbers.keys();
  }

  #number(range: Cell): number {
    let number = this.#numbers.get(range);
    if (number === undefined) {
      number = this.#numbers.size;
      this.#numbers.set(range, number);
    }
    return number;
  }
}
