import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { compare, type Puzzle, type Score, type Solution, solve } from '../../language/judge/joint.ts';
import { seed } from '../runner/seed.ts';

/** Something that fails with some candidates of a few choices: what it counts by these, one after the other. */
interface Matter {
  readonly key: string;
  readonly scope: readonly number[];
  /** It was computed from these as well, which make no difference. */
  readonly idle: readonly number[];
  readonly counts: (picks: readonly number[]) => Score;
}

const plus = (a: Score, b: Score): Score =>
  Array.from({ length: Math.max(a.length, b.length) }, (_, i) => (a[i] ?? 0) + (b[i] ?? 0));

/** All combinations of candidates. */
const combinations = (own: readonly (readonly Score[])[]): number[][] =>
  own.reduce<number[][]>((all, each) => all.flatMap((some) => each.map((_, pick) => [...some, pick])), [[]]);

function counted(picks: readonly number[], own: Puzzle['own'], matters: readonly Matter[]): Score {
  const alone = picks.reduce<Score>((sum, pick, choice) => plus(sum, own[choice]?.[pick] as Score), []);
  return matters.reduce((sum, { counts }) => plus(sum, counts(picks)), alone);
}

function solved(own: Puzzle['own'], matters: readonly Matter[], marginOf?: (counts: Score) => number): Solution {
  const standing = own.map(() => 0);
  const stand = (picks: readonly (number | undefined)[]) => {
    for (const [choice, pick] of picks.entries()) if (pick !== undefined) standing[choice] = pick;
  };
  const puzzle: Puzzle = {
    own,
    *failures(picks) {
      stand(picks);
      yield;
      return matters.filter(({ counts }) => counts(standing).some((each) => each > 0)).map(({ key }) => key);
    },
    ask(key, picks) {
      stand(picks);
      const { scope, idle, counts } = matters.find((each) => each.key === key) as Matter;
      const score = counts(standing);
      const margin = marginOf?.(score);
      const rests = [...scope, ...idle];
      return { score, rests, standing: [...standing], ...(margin !== undefined && { margin }) };
    },
  };
  const run = solve(puzzle);
  for (;;) {
    const { done, value } = run.next();
    if (done) return value;
  }
}

/** Choices and what fails with them, of some numbers. */
const drawn = ({ choices, candidates, idle }: { choices: number; candidates: number; idle: boolean }) =>
  fc
    .record({
      own: fc.array(fc.array(fc.nat({ max: 3 }), { minLength: 1, maxLength: candidates }), {
        minLength: 2,
        maxLength: choices,
      }),
      matters: fc.array(
        fc.record({
          on: fc.array(fc.nat({ max: choices - 1 }), { minLength: 1, maxLength: 3 }),
          table: fc.array(fc.constantFrom(0, 0, 0, 1, 2), { minLength: 7, maxLength: 7 }),
          grave: fc.boolean(),
        }),
        { maxLength: 4 },
      ),
    })
    .map(({ own, matters }) => ({
      own: own.map((each) => each.map((by): Score => [0, 0, by])),
      matters: matters.map(({ on, table, grave }, n): Matter => {
        const scope = [...new Set(on.map((choice) => choice % own.length))];
        const counts = (picks: readonly number[]): Score => {
          const by = table[
            scope.reduce((at, choice, i) => at + (picks[choice] as number) * (2 * i + 1), 0) % 7
          ] as number;
          return grave ? [by, 0] : [0, by];
        };
        const others = [...own.keys()].filter((choice) => idle && !scope.includes(choice));
        return { key: `m${n}`, scope, idle: others, counts };
      }),
    }));

/** What counting out all combinations finds: what the best counts, and of each choice the candidates with which it can be had. */
function best(own: Puzzle['own'], matters: readonly Matter[]) {
  const all = combinations(own).map((picks) => ({ picks, by: counted(picks, own, matters) }));
  const least = all.reduce((a, b) => (compare(b.by, a.by) < 0 ? b : a)).by;
  const optimal = all.filter(({ by }) => compare(by, least) === 0);
  return { least, among: own.map((_, choice) => new Set(optimal.map(({ picks }) => picks[choice]))) };
}

describe('of random choices, what counting out all combinations finds', () => {
  test('is found, with all that is as good', () => {
    fc.assert(
      fc.property(drawn({ choices: 5, candidates: 4, idle: false }), ({ own, matters }) => {
        const { picks, alike, loose } = solved(own, matters);
        const { least, among } = best(own, matters);
        expect(compare(counted(picks, own, matters), least)).toBe(0);
        expect(loose.size).toBe(0);
        for (const [choice, pick] of picks.entries())
          expect(new Set([pick, ...(alike[choice] as number[])])).toEqual(among[choice]);
      }),
      { seed, numRuns: 300 },
    );
  });

  test('is found where what fails was computed from much that makes no difference, or it is told that it is not certain', () => {
    let certain = 0;
    fc.assert(
      fc.property(drawn({ choices: 7, candidates: 4, idle: true }), ({ own, matters }) => {
        const { picks, loose } = solved(own, matters, (counts) => -counts.reduce((sum, by) => sum + by, 0));
        if (loose.size > 0) return;
        certain++;
        expect(compare(counted(picks, own, matters), best(own, matters).least)).toBe(0);
      }),
      { seed, numRuns: 60 },
    );
    expect(certain).toBeGreaterThan(20);
  });
});
