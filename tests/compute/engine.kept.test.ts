import { describe, expect, test } from 'vitest';
import { type Cell, cellOf, computedCell } from '../../language/compute/cell.ts';
import { IncrementalEngine } from '../../language/compute/engine.ts';
import { evaluateCell } from '../../language/compute/evaluate-cells.ts';
import { Instance } from '../../language/machine/tree.ts';
import type { Scope } from '../../language/names/scope.ts';
import { Range } from '../../language/values/value.ts';
import { machineIn } from '../support.ts';

// What is kept of what was computed, and when it is let go of.

const hall = `kind hall {
  toplevel
  has lamp*
  wind: Speed
  gust: Speed
  still: Length default 1 m
  sway: Length = wind * 1 s + gust * 1 s + still
  twice: Length = 2 * sway
}
kind lamp {
  wide: Length default 1 m
  high: Length default 2 m
  area: Area = wide * high
}
hall H {
  wind = 1 m/s .. 3 m/s
  gust = 10 m/s .. 20 m/s
  lamp plain
  lamp ranged { wide = 1 m .. 2 m }
}
`;
const made = () => {
  const machine = machineIn(hall);
  const engine = machine.engine as IncrementalEngine;
  const cell = (name: string, at: Instance = machine.tree) => cellOf(at, name) as Cell;
  const lamp = (name: string) => machine.tree.called(name) as Instance;
  /** A cell that counts how often it is computed. */
  const counted = (read: (names: (name: string) => unknown) => unknown) => {
    const times = { n: 0 };
    const of = computedCell(machine.tree, 'counted', machine.scope, (by) => {
      times.n++;
      return read((name) => by.value(cell(name))) as never;
    });
    return { of, times };
  };
  return { machine, engine, cell, lamp, counted };
};

describe('a value', () => {
  test('is computed once for each place of the ranges that it rests on, and no other', () => {
    const { engine, cell, counted } = made();
    const { of, times } = counted((read) => read('wind'));
    const [wind, gust] = [cell('wind'), cell('gust')];
    const at = (ranges: Cell[]) => engine.under(engine.atHighEnds(ranges), () => engine.value(of));
    expect([at([]), at([wind]), at([gust]), at([wind, gust]), at([]), at([wind])]).toEqual([1, 3, 1, 3, 1, 3]);
    expect(times.n).toBe(2);
    expect(engine.restsOf(of, engine.low).ranges).toEqual([wind]);
    expect(of.results).toHaveLength(2);
  });

  test('is computed again where what it read gives another, and only then', () => {
    const { engine, cell, counted } = made();
    const { of, times } = counted((read) => read('still'));
    expect(engine.value(of)).toBe(1);
    // Touched, but as before.
    engine.touch([cell('still')]);
    expect([engine.value(of), times.n]).toEqual([1, 1]);
    cell('still').trial = 5;
    engine.touch([cell('still')]);
    expect([engine.value(of), times.n]).toEqual([5, 2]);
    // What was not read makes no difference.
    engine.touch([cell('gust')]);
    expect([engine.value(of), times.n]).toEqual([5, 2]);
  });

  test('that rests on other ranges than before has one result for each place', () => {
    const { engine, cell, counted } = made();
    const { of } = counted((read) => ((read('still') as number) > 1 ? 0 : read('wind')));
    const [wind, still] = [cell('wind'), cell('still')];
    const at = (ranges: Cell[]) => engine.under(engine.atHighEnds(ranges), () => engine.value(of));
    expect([at([]), at([wind]), of.results.length]).toEqual([1, 3, 2]);
    // Computed anew in one place, it stands in the other.
    still.trial = 0.5;
    engine.touch([still]);
    expect([at([]), of.results.length]).toEqual([1, 2]);
    still.trial = 2;
    engine.touch([still]);
    expect([at([]), of.results.length]).toEqual([0, 1]);
    still.trial = 1;
    engine.touch([still]);
    expect([at([wind]), at([]), of.results.length]).toEqual([3, 1, 2]);
  });

  test('reads what it was computed from, and no more than that', () => {
    const { engine, cell } = made();
    engine.value(cell('twice'));
    expect(engine.inputs(cell('twice'))).toEqual([cell('sway')]);
    expect(new Set(engine.inputs(cell('sway')))).toEqual(new Set([cell('wind'), cell('gust'), cell('still')]));
    expect([...(cell('sway').readers ?? [])]).toContain(cell('twice'));
  });

  test('does not rest on what was only asked aside', () => {
    const { engine, cell, counted } = made();
    const { of } = counted((read) => {
      engine.aside(() => read('wind'));
      return read('still');
    });
    expect(engine.value(of)).toBe(1);
    expect(engine.inputs(of)).toEqual([cell('still')]);
    expect(engine.restsOf(of, engine.low).ranges).toEqual([]);
  });
});

describe('what is touched', () => {
  test('is an edit where it is none that is only tried', () => {
    const { engine, cell } = made();
    engine.value(cell('twice'));
    const [before, revision] = [cell('twice').edited, engine.revision];
    engine.touch([cell('still')], true);
    expect([cell('twice').edited, cell('still').edited]).toEqual([before, before]);
    expect([cell('twice').touched, cell('still').touched]).toEqual([revision + 1, revision + 1]);
    engine.touch([cell('still')]);
    expect([cell('twice').edited, cell('still').edited]).toEqual([revision + 2, revision + 2]);
    // What does not rest on it is left alone.
    expect(cell('wind').touched).toBeLessThan(revision + 1);
  });

  test('is renewed whole where it differs in other places than before', () => {
    const { engine, cell } = made();
    engine.value(cell('twice'));
    engine.renew([cell('still')]);
    expect([cell('still').results, cell('sway').results, cell('twice').results]).toEqual([[], [], []]);
    expect(cell('wind').results).not.toEqual([]);
    expect(engine.value(cell('twice'))).toBe(24);
  });

  test('lets go of what was worked out from it, and of the combinations of ends that were tried', () => {
    const { engine, cell } = made();
    let works = 0;
    const note = (key: unknown) => engine.noted(cell('twice'), key, () => ++works);
    expect([note('a'), note('a'), note('b'), note('b')]).toEqual([1, 1, 2, 2]);
    const corners = engine.corners(cell('twice'));
    expect(engine.corners(cell('twice'))).toBe(corners);
    expect(corners.values).toHaveLength(4);
    engine.touch([cell('gust')]);
    expect(note('b')).toBe(3);
    expect(engine.corners(cell('twice'))).not.toBe(corners);
  });
});

describe('an edit that was adopted', () => {
  test('is taken in where no range is gone with its block', () => {
    const { engine, machine, lamp, cell } = made();
    for (const each of [lamp('plain'), lamp('ranged')]) engine.value(cell('area', each));
    const gone = (...names: string[]) => ({ changed: new Set<Cell>(), gone: new Set(names.map(lamp)) });
    expect(engine.takeIn(gone('plain'), machine.tree, true)).toBe(true);
    expect(cell('area', lamp('plain')).edited).toBeLessThan(Number.POSITIVE_INFINITY);
    expect(engine.takeIn(gone('plain'), machine.tree)).toBe(true);
    // No edit reaches it any more.
    expect(cell('area', lamp('plain')).edited).toBe(Number.POSITIVE_INFINITY);
    expect(cell('area', lamp('ranged')).edited).toBeLessThan(Number.POSITIVE_INFINITY);
    expect(engine.takeIn(gone('ranged'), machine.tree)).toBe(false);
    const changed = { changed: new Set([cell('still')]), gone: new Set<Instance>() };
    const { revision } = engine;
    expect(engine.takeIn(changed, machine.tree)).toBe(true);
    expect([engine.revision, cell('still').edited]).toEqual([revision + 1, revision + 1]);
  });

  test('is not taken in where more sets of ranges are kept than are worth it', () => {
    const { machine } = made();
    const engine = new IncrementalEngine(evaluateCell);
    const nothing = { changed: new Set<Cell>(), gone: new Set<Instance>() };
    const ranges = Array.from({ length: 16 }, (_, i) => ({ path: `r${i}`, instance: machine.tree }) as Cell);
    const combinations = (count: number) => {
      for (let n = 1; n < count; n++) engine.atHighEnds(ranges.filter((_, i) => n & (1 << i)));
    };
    // Of none there is one already.
    combinations(50_000);
    expect(engine.takeIn(nothing, machine.tree)).toBe(true);
    combinations(50_001);
    expect(engine.takeIn(nothing, machine.tree)).toBe(false);
  });

  test('lets go of what was computed in blocks that are gone once these are many', () => {
    const { engine, machine, cell, lamp } = made();
    const { tree, scope } = machine;
    const standing = lamp('plain');
    tree.children.delete('plain');
    tree.reshaped();
    engine.standing.set('part', standing).set('nothing', undefined);
    const reads = [cell('still'), cell('wide', standing), cell('high', standing)];
    const reader = (at: Instance) => {
      const made = computedCell(at, 'reader', scope, (by) => {
        for (const read of reads) by.value(read);
        return 1;
      });
      engine.value(made);
      return made;
    };
    const another = () => new Instance('gone', standing.kind, undefined, 1, []);
    const gone = Array.from({ length: 201 }, another);
    const readers = [gone[0] as Instance, gone[200] as Instance, tree].map(reader);
    const [first, last, stays] = readers as [Cell, Cell, Cell];
    const knows = () => reads.map((read) => readers.map((each) => read.readers?.has(each)));
    const takeIn = (blocks: Instance[]) => engine.takeIn({ changed: new Set(), gone: new Set(blocks) }, tree, true);
    expect(takeIn(gone.slice(0, 200))).toBe(true);
    expect([knows(), first.edited]).toEqual([reads.map(() => [true, true, true]), 0]);
    expect(takeIn(gone.slice(200))).toBe(true);
    expect(knows()).toEqual(reads.map(() => [false, false, true]));
    // No edit reaches them any more.
    expect([first, last, stays].map(({ edited }) => edited)).toEqual([
      Number.POSITIVE_INFINITY,
      Number.POSITIVE_INFINITY,
      0,
    ]);
    // And those that are gone are counted anew.
    engine.value(reader(gone[1] as Instance));
    expect(takeIn(gone.slice(1, 200))).toBe(true);
    expect(reads[0]?.readers?.size).toBeGreaterThan(1);
  });
});

describe('what is only supposed', () => {
  test('leaves what was worked out before as it was, and what came to read it meanwhile to be computed anew', () => {
    const { engine, cell } = made();
    const [still, sway, twice] = [cell('still'), cell('sway'), cell('twice')];
    engine.value(twice);
    const [corners, note] = [engine.corners(twice), engine.noted(twice, 'key', () => ({}))];
    const results = [still, sway, twice].map((each) => each.results);
    const before = engine.putAside;
    const late = computedCell(twice.instance, 'late', twice.definition.scope, (by) => by.value(twice));
    const seen = engine.supposing(new Map([[still, 3]]), () => [
      engine.value(late),
      engine.corners(twice) === corners,
      engine.noted(twice, 'key', () => ({})) === note,
      engine.supposing(new Map([[still, 5]]), () => engine.value(late)),
      engine.value(late),
    ]);
    expect(seen).toEqual([28, false, false, 32, 28]);
    // The three of them, and with the fourth once more.
    expect(engine.putAside - before).toBe(3 + 4);
    expect([still, sway, twice].map((each) => each.results)).toEqual(results);
    expect([engine.corners(twice), engine.noted(twice, 'key', () => 0)]).toEqual([corners, note]);
    expect([still.trial, late.results, late.corners, late.note]).toEqual([undefined, [], undefined, undefined]);
    expect(engine.value(late)).toBe(24);
  });

  test('as a range is none afterwards', () => {
    const { engine, cell, lamp, machine } = made();
    const plain = lamp('plain');
    const area = cell('area', plain);
    const values = engine.supposing(
      new Map([[cell('wide', plain), new Range(1, 4)]]),
      () => engine.corners(area).values,
    );
    expect(values).toEqual([2, 8]);
    expect(engine.restsOf(area, engine.low).ranges).toEqual([]);
    expect(engine.takeIn({ changed: new Set(), gone: new Set([plain]) }, machine.tree)).toBe(true);
  });

  test('and what fails meanwhile leaves the scenario and what is read as they were', () => {
    const { engine, cell, counted } = made();
    const fail = () => {
      throw new Error('given up');
    };
    expect(() => engine.under(engine.everywhere, fail)).toThrow('given up');
    expect(engine.scenario).toBe(engine.low);
    const { of } = counted((read) => {
      expect(() => engine.aside(fail)).toThrow('given up');
      return read('still');
    });
    engine.value(of);
    expect(engine.inputs(of)).toEqual([cell('still')]);
  });
});

test('the combinations of ends are looked for anew where what they were measured by is touched', () => {
  const { engine, cell } = made();
  const [twice, by] = [cell('twice'), cell('still')];
  const what = engine.corners(twice);
  const kept = () => {
    twice.corners = { at: engine.revision, by, what };
    return () => engine.corners(twice) === what;
  };
  expect(kept()()).toBe(true);
  const touched = kept();
  engine.touch([cell('wide', cell('still').instance.children.get('plain'))]);
  expect(touched()).toBe(true);
  const measured = kept();
  by.touched = engine.revision + 1;
  expect(measured()).toBe(false);
  by.touched = 0;
  const own = kept();
  twice.touched = engine.revision + 1;
  expect(own()).toBe(false);
});

test('deeper is searched once', () => {
  const { engine, cell } = made();
  const twice = cell('twice');
  for (const _ of engine.searchDeeper(twice));
  const deeper = engine.corners(twice);
  expect(deeper.points).toBeGreaterThan(0);
  for (const _ of engine.searchDeeper(twice));
  expect(engine.corners(twice)).toBe(deeper);
  engine.touch([twice]);
  expect(engine.corners(twice).points).toBeUndefined();
});

test('what was computed inside ranges is let go of, and its cells stay', () => {
  const { engine, cell, machine } = made();
  const [twice, wind, gust] = [cell('twice'), cell('wind'), cell('gust')];
  const inside = engine.atHighEnds([wind, gust]).placed([0.5, 0.25]);
  // In the order of their names: a gust of 15 m/s, a wind of 1.5 m/s, and a metre, twice.
  expect(engine.under(inside, () => engine.value(twice))).toBe(35);
  expect(twice.results).toHaveLength(1);
  engine.letGo([inside]);
  expect(twice.results).toHaveLength(1);
  engine.letGo([]);
  expect(twice.results).toEqual([]);
  expect(cellOf(machine.tree, 'twice')).toBe(twice);
  expect(engine.value(twice)).toBe(24);
});

test('what was computed inside ranges is let go of where something else is kept for longer', () => {
  const { engine, cell } = made();
  const [twice, wind] = [cell('twice'), cell('wind')];
  const inside = engine.atHighEnds([wind]).placed([0.5]);
  engine.value(twice);
  engine.under(inside, () => engine.value(twice));
  for (const [kept, left] of [
    [[inside], 2],
    [[], 1],
  ] as const) {
    engine.letGo(kept);
    expect(twice.results).toHaveLength(left);
  }
});

test('what names led to is the same as long as each leads there, in every file', () => {
  const engine = new IncrementalEngine(evaluateCell);
  const declared = new Map<string, object>([
    ['one', {}],
    ['two', {}],
  ]);
  const scope = (shared: boolean) =>
    ({
      shared: shared ? {} : undefined,
      find: (name: string) => (declared.has(name) ? { node: declared.get(name) } : undefined),
    }) as never as Scope;
  const [mine, other, library] = [scope(true), scope(true), scope(false)];
  engine.lookedUp('one', mine, declared.get('one'));
  engine.lookedUp('two', mine, declared.get('two'));
  engine.lookedUp('none', mine, undefined);
  engine.lookedUp('two', other, declared.get('two'));
  // The library's never change.
  engine.lookedUp('one', library, {});
  expect(engine.holds()).toBe(true);
  const two = declared.get('two') as object;
  declared.set('two', {});
  expect(engine.holds()).toBe(false);
  declared.delete('two');
  expect(engine.holds()).toBe(false);
  declared.set('two', two);
  expect(engine.holds()).toBe(true);
  declared.set('one', {});
  expect(engine.holds()).toBe(false);
});
