/**
 * Work that is done piece by piece, so that others have their turn in between: each step is done before the next one is asked for, and one that
 * was given up half way can be done once more.
 */
export type Stepwise<T> = Generator<() => unknown, T>;

/** Does all of it in one go. */
export function atOnce<T>(work: Stepwise<T>): T {
  for (;;) {
    const step = work.next();
    if (step.done) return step.value;
    step.value();
  }
}
