import { describe, expect, test } from 'vitest';
import { compare, type Puzzle, solve } from '../../language/judge/joint.ts';

describe('two scores', () => {
  test.each([
    [[1, 2], [1, 3], -1],
    [[2], [1, 9], 1],
    [[1], [1, 2], -1],
    [[1, 2], [1], 1],
    [[1], [1, 0], 0],
    [[], [], 0],
  ] as [number[], number[], number][])('%j against %j: what is not counted is nothing', (one, other, sign) => {
    expect(Math.sign(compare(one as never, other as never))).toBe(sign);
  });
});

describe('choices that bear on each other', () => {
  /** One thing that fails by so much, and rests on all of them. */
  function solved(
    choices: number,
    candidates: number,
    costOf: (picks: readonly number[]) => number,
    ownOf = (pick: number) => [0, pick],
  ) {
    const standing = Array<number>(choices).fill(0);
    const asked = new Set<string>();
    const puzzle: Puzzle = {
      own: standing.map(() => Array.from({ length: candidates }, (_, pick) => ownOf(pick))),
      *failures(picks) {
        yield;
        return costOf(picks) > 0 ? ['one'] : [];
      },
      ask(_, picks) {
        for (const [choice, pick] of picks.entries()) if (pick !== undefined) standing[choice] = pick;
        // What was answered with all of them in place is never asked again.
        if (!picks.includes(undefined)) expect(asked).not.toContain(picks.join());
        asked.add(picks.join());
        return { score: [costOf(standing)], rests: [...standing.keys()], standing: [...standing] };
      },
    };
    const run = solve(puzzle);
    for (;;) {
      const { done, value } = run.next();
      if (done) return value;
    }
  }

  test('a few of them settle at the best of all combinations', () => {
    // The least sum of picks with which they come to seven in all: one way or another it counts seven.
    const { picks, loose } = solved(3, 4, (by) => Math.abs(by.reduce((a, b) => a + b, 0) - 7));
    expect(picks.reduce((a, b) => a + b, 0)).toBe(7);
    expect(loose.size).toBe(0);
    expect(solved(3, 4, ([a = 0, b = 0, c = 0]) => Math.abs(a - 3) + Math.abs(b - 1) + Math.abs(c - 2)).picks).toEqual([
      3, 1, 2,
    ]);
  });

  test('where there are too many combinations one at a time is changed while that makes it better, and this is told', () => {
    const found = solved(
      10,
      3,
      (by) => by.filter((pick) => pick === 0).length,
      () => [0],
    );
    // Of two candidates that nothing tells apart the one that stands stays.
    expect(found.picks).toEqual(Array(10).fill(1));
    expect(found.loose.size).toBe(10);
  });

  /** Many choices of which each holds up a little of one load, the more the later its candidate; how far it falls short is told. */
  function carried(shareOf: (pick: number, choice: number) => number, load: number, isTold: boolean, first = 1) {
    const [choices, candidates] = [8, 5];
    const standing = Array<number>(choices).fill(0);
    const short = () => Math.min(0, standing.reduce((sum, pick, choice) => sum + shareOf(pick, choice), 0) - load);
    const puzzle: Puzzle = {
      own: standing.map((_, choice) =>
        Array.from({ length: candidates }, (_, pick) => [0, pick * (choice === 0 ? first : 1)]),
      ),
      *failures(picks) {
        for (const [choice, pick] of picks.entries()) standing[choice] = pick;
        yield;
        return short() < 0 ? ['short'] : [];
      },
      ask(_, picks) {
        for (const [choice, pick] of picks.entries()) if (pick !== undefined) standing[choice] = pick;
        const rests = [...standing.keys()];
        return {
          score: [short() < 0 ? 1 : 0],
          rests,
          standing: [...standing],
          ...(isTold && { margin: short() / load }),
        };
      },
    };
    const run = solve(puzzle);
    for (;;) {
      const { done, value } = run.next();
      if (done) return value;
    }
  }
  /** The first carries nearly all of it, the others hardly anything. */
  const mostly = (pick: number, choice: number) => (choice === 0 ? 10 * pick : 0.001 * pick);

  test('where all others together would not save what counts less, it is certain that nothing is better', () => {
    const { picks, loose } = carried(mostly, 25, true);
    expect(picks).toEqual([3, 0, 0, 0, 0, 0, 0, 0]);
    expect(loose.size).toBe(0);
  });

  test('where nothing tells how far it falls short, it is only the best found', () => {
    const { picks, loose } = carried(mostly, 25, false);
    expect(picks).toEqual([3, 0, 0, 0, 0, 0, 0, 0]);
    expect(loose).toContain(0);
  });

  test('what no other choice saves by itself is found where several together do', () => {
    // A step of the first counts ten steps of others, of which five together do what it would do.
    const share = (pick: number, choice: number) => (choice === 0 ? 10 * pick : 0.01 * pick);
    const { picks } = carried(share, 20.05, true, 10);
    expect(picks[0]).toBe(2);
    expect(picks.reduce((a, b) => a + b, 0)).toBe(7);
  });
});

describe('choices with too many combinations to try all', () => {
  const [choices, candidates] = [4, 6];
  const all = Array.from({ length: candidates ** choices }, (_, n) =>
    Array.from({ length: choices }, (_, i) => Math.floor(n / candidates ** i) % candidates),
  );

  function random(from: number): () => number {
    let state = from;
    return () => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return state / 2 ** 32;
    };
  }

  /** Candidates that carry the more, the more they count, and loads on all of them together, each wanting more of some and less of others. */
  function puzzleOf(number: number) {
    const next = random(number * 7919);
    const inOrder = (most: number) => Array.from({ length: candidates }, () => next() * most).sort((a, b) => a - b);
    const counts = Array.from({ length: choices }, () => inOrder(20).map(Math.floor));
    const carries = Array.from({ length: choices }, () => inOrder(1));
    const loads = Array.from({ length: 3 }, () => {
      const shares = counts.map(() => (next() < 0.5 ? -1 : 1) * next());
      return { shares, least: shares.reduce((a, b) => a + b) / 2 + (next() - 0.3) * 0.6, grave: next() < 0.6 };
    });
    const marginOf = (load: number, picks: readonly number[]) => {
      const { shares = [], least = 0 } = loads[load] ?? {};
      return picks.reduce((sum, pick, i) => sum + (shares[i] ?? 0) * (carries[i]?.[pick] ?? 0), -least);
    };
    const counted = (picks: readonly number[]) => {
      const failing = loads.filter((_, load) => marginOf(load, picks) < 0);
      const grave = failing.filter((load) => load.grave).length;
      return [grave, failing.length - grave, picks.reduce((sum, pick, i) => sum + (counts[i]?.[pick] ?? 0), 0)];
    };
    const standing = Array<number>(choices).fill(0);
    const put = (picks: readonly (number | undefined)[]) => {
      for (const [choice, pick] of picks.entries()) if (pick !== undefined) standing[choice] = pick;
    };
    let asked = 0;
    const puzzle: Puzzle = {
      own: counts.map((some) => some.map((count) => [0, 0, count])),
      *failures(picks) {
        put(picks);
        yield;
        return loads.flatMap((_, load) => (marginOf(load, standing) < 0 ? [`${load}`] : []));
      },
      ask(key, picks) {
        asked++;
        put(picks);
        const margin = Math.min(0, marginOf(Number(key), standing));
        const score = margin === 0 ? [0, 0] : loads[Number(key)]?.grave ? [1, 0] : [0, 1];
        return { score, margin, rests: [...standing.keys()], standing: [...standing] };
      },
    };
    const run = solve(puzzle);
    for (;;) {
      const { done, value } = run.next();
      if (done) return { ...value, asked, counted };
    }
  }

  test('what is said to be certain is the best of all, after a few of the questions that counting out would take', () => {
    const solved = Array.from({ length: 80 }, (_, number) => puzzleOf(number + 1));
    let asked = 0;
    for (const { picks, loose, counted, asked: questions } of solved) {
      asked += questions;
      if (loose.size > 0) continue;
      const least = all.map(counted).reduce((best, each) => (compare(each, best) < 0 ? each : best));
      expect(counted(picks)).toEqual(least);
    }
    expect(solved.filter(({ loose }) => loose.size === 0).length).toBeGreaterThan(5);
    // Three loads, each with all combinations.
    expect(asked / solved.length).toBeLessThan((3 * all.length) / 12);
  });
});
