import { describe, expect, test } from 'vitest';
import { type Cell, cellOf, computedCell } from '../../language/compute/cell.ts';
import { IncrementalEngine } from '../../language/compute/engine.ts';
import { evaluateCell } from '../../language/compute/evaluate-cells.ts';
import type { Instance } from '../../language/machine/tree.ts';
import type { Scope } from '../../language/names/scope.ts';
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

test('what names led to is the same as long as each leads there, in every file', () => {
  const engine = new IncrementalEngine(evaluateCell);
  const declared = new Map<string, object>([
    ['one', {}],
    ['two', {}],
  ]);
  const scope = (shared: boolean) =>
    ({ shared: shared ? {} : undefined, find: (name: string) => ({ node: declared.get(name) }) }) as never as Scope;
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
  declared.set('two', two);
  expect(engine.holds()).toBe(true);
  declared.set('one', {});
  expect(engine.holds()).toBe(false);
});
