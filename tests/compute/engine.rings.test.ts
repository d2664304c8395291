import { describe, expect, test } from 'vitest';
import { type Cell, cellOf, cellsOf, computedCell } from '../../language/compute/cell.ts';
import { IncrementalEngine } from '../../language/compute/engine.ts';
import { evaluateCell } from '../../language/compute/evaluate-cells.ts';
import type { Declaration } from '../../language/grammar/generated/ast.ts';
import type { Instance } from '../../language/machine/tree.ts';
import { Opaque, Span } from '../../language/values/span.ts';
import { Fault, Range, type Value } from '../../language/values/value.ts';
import { machineIn } from '../support.ts';

// Values that lead back to themselves, calls within calls, and what is read while ranges are anywhere: cells that say what they read.

const machine = machineIn(`kind hall {
  toplevel
  has lamp*
  wind: Speed
  gust: Speed
  still: Length default 1 m
  posts: Count default 4
  sway: Length = wind * 1 s
}
kind lamp {
  power: Power default 1 W
  rate: Ratio default 1
}
hall H {
  wind = 1 m/s .. 3 m/s
  gust = 10 m/s .. 20 m/s
  posts = 3 .. 6
  lamp a { rate = 1 .. 4 }
}
`);
const { tree, scope } = machine;
const lamp = tree.children.get('a') as Instance;
const made = (name: string, compute: (engine: IncrementalEngine) => Value, at = tree): Cell =>
  computedCell(at, name, scope, (engine) => compute(engine as IncrementalEngine));
const fresh = () => new IncrementalEngine(evaluateCell);

/** Cells of which each says which others it reads, by their names; one that reads none is 1. */
function reading(reads: Readonly<Record<string, readonly string[]>>, at: (name: string) => Instance = () => tree) {
  const cells = new Map<string, Cell>();
  for (const [name, others] of Object.entries(reads)) {
    const read = (engine: IncrementalEngine): Value => {
      for (const other of others) {
        const value = engine.value(cells.get(other) as Cell);
        if (value instanceof Fault) return value;
      }
      return 1;
    };
    cells.set(name, made(name, read, at(name)));
  }
  const engine = fresh();
  const told = (name: string) => {
    const value = engine.value(cells.get(name) as Cell);
    return value instanceof Fault ? value.message : value;
  };
  return { engine, cells, told };
}

const chain = (count: number, last: string) =>
  Object.fromEntries(Array.from({ length: count }, (_, i) => [`v${i}`, [i === count - 1 ? last : `v${i + 1}`]]));
const arrows = (...names: string[]) => `this value depends on itself: ${names.join(' → ')}`;

describe('values that lead back to themselves', () => {
  const ring = { lead: ['c'], a: ['b'], b: ['c'], c: ['a'] };

  test('tell of it from the same one on, whichever was asked for, and without what led there', () => {
    for (const asked of ['a', 'b', 'c', 'lead']) {
      const { told } = reading(ring);
      expect(told(asked), asked).toBe(arrows('a', 'b', 'c', 'a'));
      // The others then read that.
      expect(Object.keys(ring).map(told)).toEqual(Object.keys(ring).map(() => arrows('a', 'b', 'c', 'a')));
    }
    expect(reading({ a: ['a'] }).told('a')).toBe(arrows('a', 'a'));
  });

  test('are told of at the place of the first', () => {
    const { engine, cells } = reading(ring);
    const node = {} as never;
    const a = cells.get('a') as Cell;
    a.definition = { ...a.definition, node };
    const fault = engine.value(cells.get('b') as Cell) as Fault;
    expect([fault.node, fault.ring]).toEqual([node, true]);
    expect(engine.value(a)).toBe(fault);
  });

  test('of a block are called with its name', () => {
    const at = (name: string) => (name === 'b' ? lamp : tree);
    expect(reading({ b: ['c'], c: ['b'] }, at).told('c')).toBe(arrows('a.b', 'c', 'a.b'));
  });

  test('are named twelve, and of more the rest is left out', () => {
    const round = (count: number) => reading(chain(count, 'v0')).told('v3');
    const names = (count: number) => Array.from({ length: count }, (_, i) => `v${i}`);
    expect(round(10)).toBe(arrows(...names(10), 'v0'));
    // In the order of the letters: v0, v1, v10, …
    expect(round(12)).toBe(arrows(...names(12), 'v0'));
    expect(round(13)).toBe(arrows(...names(12), '…', 'v0'));
  });

  test('are found far down as well, without what led there', () => {
    for (const asked of ['v0', 'v250', 'v399', 'lead']) {
      const { told } = reading({ ...chain(400, 'v0'), lead: ['v300'], out: ['lead'] });
      expect(told(asked), asked).toBe(arrows(...Array.from({ length: 12 }, (_, i) => `v${i}`), '…', 'v0'));
      expect([told('out'), told('v7')]).toEqual([told(asked), told(asked)]);
    }
    const { told } = reading({ ...chain(400, 'x'), x: ['y'], y: ['x'] });
    expect([told('v0'), told('v399')]).toEqual([arrows('x', 'y', 'x'), arrows('x', 'y', 'x')]);
  });

  test('are computed once they lead elsewhere', () => {
    const reads: Record<string, string[]> = { ...ring, c: [...ring.c] };
    const { engine, cells, told } = reading(reads);
    expect(told('lead')).toBe(arrows('a', 'b', 'c', 'a'));
    reads.c?.pop();
    engine.touch([cells.get('c') as Cell]);
    expect(Object.keys(reads).map(told)).toEqual([1, 1, 1, 1]);
  });
});

describe('values that lead back to themselves too deeply for one go', () => {
  /** Cells that read each other from within so many calls, and one that leads there. */
  const deep = (calls: number) => {
    const leads = { lead: 'a', a: 'b', b: 'c', c: 'a' } as Record<string, string | undefined>;
    const cells: Record<string, Cell> = {};
    const call = { name: { text: 'f' } } as Declaration;
    for (const name of Object.keys(leads)) {
      const read = (by: IncrementalEngine) => (leads[name] ? by.value(cells[leads[name]] as Cell) : 1);
      const within = (by: IncrementalEngine, left: number): Value =>
        left === 0 ? read(by) : by.calling(call, () => within(by, left - 1));
      cells[name] = made(name, (by) => within(by, name === 'lead' ? 0 : calls));
    }
    const engine = fresh();
    const told = (name: string) => {
      const value = engine.value(cells[name] as Cell);
      return value instanceof Fault ? value.message : value;
    };
    return { engine, leads, cells, told };
  };

  test.each([30, 50, 80])('are named once each, from within %i calls', (calls) => {
    for (const asked of ['lead', 'a', 'b', 'c']) {
      const { told } = deep(calls);
      expect(told(asked), asked).toBe(arrows('a', 'b', 'c', 'a'));
      expect(['c', 'b', 'a', 'lead'].map(told)).toEqual(Array.from({ length: 4 }, () => told(asked)));
    }
  });

  test('are computed once one of them leads elsewhere', () => {
    for (const turned of ['a', 'b', 'c'])
      for (const asked of ['lead', 'a', 'b', 'c']) {
        const { engine, leads, cells, told } = deep(80);
        expect(told(asked)).toBe(arrows('a', 'b', 'c', 'a'));
        leads[turned] = undefined;
        engine.touch([cells[turned] as Cell]);
        expect([asked, 'a', 'b', 'c', 'lead'].map(told), `${turned} ${asked}`).toEqual([1, 1, 1, 1, 1]);
      }
  });
});

test('what is long is computed, each once, and again where its far end changes', () => {
  let times = 0;
  let end = 1;
  const cells: Cell[] = [];
  for (let i = 0; i < 1000; i++)
    cells.push(
      made(`v${i}`, (engine) => {
        if (i === 999) return end;
        const value = engine.value(cells[i + 1] as Cell) as number;
        times++;
        return value + 1;
      }),
    );
  const engine = fresh();
  const [first, last] = [cells[0] as Cell, cells[999] as Cell];
  expect([engine.value(first), times]).toEqual([1000, 999]);
  end = 2;
  engine.touch([last]);
  expect([engine.value(first), times]).toEqual([1001, 2 * 999]);
  engine.touch([last]);
  expect([engine.value(first), times]).toEqual([1001, 2 * 999]);
  // What was thrown in it is thrown on, and nothing is left half computed.
  const bad = made('bad', () => {
    throw new Error('given up');
  });
  const reader = made('reader', (by) => by.value(bad));
  expect(() => engine.value(reader)).toThrow('given up');
  expect([bad.computing, reader.computing]).toEqual([false, false]);
  expect(engine.value(first)).toBe(1001);
});

describe('calls', () => {
  const called = (name: string) => ({ name: { text: name } }) as Declaration;
  const [f, g] = [called('f'), called('g')];
  const down =
    (engine: IncrementalEngine, deep: number, which: (deep: number) => Declaration = () => f) =>
    (): Value =>
      deep === 0 ? 7 : engine.calling(which(deep), down(engine, deep - 1, which));
  const said = (value: Value) => (value instanceof Fault ? value.message : value);

  test('within each other are a hundred at most, in a value and outside of one', () => {
    for (const run of [
      (engine: IncrementalEngine, work: () => Value) => engine.value(made('x', work)),
      (_: IncrementalEngine, work: () => Value) => work(),
    ]) {
      const engine = fresh();
      expect(run(engine, down(engine, 100))).toBe(7);
      expect(said(run(engine, down(engine, 101)))).toBe('f calls itself without end');
      // One after the other there may be any number.
      const often = () => {
        let sum = 0;
        for (let i = 0; i < 300; i++) sum += engine.calling(f, () => 1) as number;
        return sum;
      };
      expect(run(engine, often)).toBe(300);
      const failing = () =>
        engine.calling(f, () => {
          throw new Error('given up');
        });
      for (let i = 0; i < 150; i++) expect(() => run(engine, failing)).toThrow('given up');
      expect(run(engine, down(engine, 100))).toBe(7);
    }
  });

  test('of a value are not those of another that it reads', () => {
    const engine = fresh();
    const inner: Cell = made('inner', (by) => down(by, 60)());
    const outer = made('outer', (by) => {
      const deep = (left: number): Value => (left === 0 ? by.value(inner) : by.calling(g, () => deep(left - 1)));
      return deep(60);
    });
    expect(engine.value(outer)).toBe(7);
  });

  test('of several in a ring are named from the same one on', () => {
    const engine = fresh();
    const turn = (deep: number) => (deep % 2 === 0 ? f : g);
    for (const deep of [200, 201])
      expect(said(down(engine, deep, turn)())).toBe('f calls itself without end: f → g → f');
    // What is called only on the way there is no part of it.
    expect(said(down(engine, 150, (left) => (left === 150 ? f : g))())).toBe('g calls itself without end');
  });

  test('and steps are so many at most for one value, and begin anew with the next', () => {
    const engine = fresh();
    const stepping = (steps: number) => () => {
      for (let i = 0; i < steps; i++) {
        const spent = engine.step();
        if (spent) return spent;
      }
      return 1;
    };
    const told = 'it takes too long to compute: more than 200000 steps';
    expect(engine.value(made('x', stepping(200_000)))).toBe(1);
    expect(said(engine.value(made('y', stepping(200_001))))).toBe(told);
    expect(engine.value(made('z', stepping(200_000)))).toBe(1);
    // Outside of a value there is no limit.
    expect(stepping(200_001)()).toBe(1);
    const calling = () => {
      for (let i = 0; i < 200_000; i++) engine.step();
      return engine.calling(f, () => 1);
    };
    expect(said(engine.value(made('w', calling)))).toBe(told);
    const { spent } = engine.allowance;
    expect([engine.step(), engine.allowance.spent - spent]).toEqual([undefined, 1]);
  });
});

describe('while ranges are anywhere', () => {
  const anywhere = <T>(by: IncrementalEngine, work: () => T) => by.under(by.everywhere, work);

  test('a range is its bounds, and what rests on none is the number that it is', () => {
    const by = fresh();
    const [wind, still] = ['wind', 'still'].map((name) => cellOf(tree, name) as Cell) as [Cell, Cell];
    const span = anywhere(by, () => by.value(wind)) as Span;
    expect(span).toBeInstanceOf(Span);
    expect([span.low, span.high, ...span.slopes]).toEqual([1, 3, [wind, { low: 2, high: 2 }]]);
    expect(anywhere(by, () => by.value(still))).toBe(1);
    expect(by.value(wind)).toBe(1);
  });

  test('what bounds do not tell is so for all that read it, and is tried once', () => {
    const by = fresh();
    let times = 0;
    const wind = cellOf(tree, 'wind') as Cell;
    const untold = made('untold', (inside) => {
      times++;
      const value = inside.value(wind);
      if (value instanceof Span) throw new Opaque();
      return value;
    });
    const reader = made('reader', (inside) => inside.value(untold));
    for (const cell of [untold, reader, untold, reader])
      expect(() => anywhere(by, () => by.value(cell))).toThrow(Opaque);
    expect(times).toBe(1);
    expect([by.value(reader), times]).toEqual([1, 2]);
    // Where no range was read it is a mistake of ours, which is not kept.
    let thrown = 0;
    const mistaken = made('mistaken', () => {
      thrown++;
      throw new Opaque();
    });
    for (const each of [1, 2]) {
      expect(() => anywhere(by, () => by.value(mistaken))).toThrow(Opaque);
      expect(thrown).toBe(each);
    }
  });

  test('what comes out the same everywhere is that number', () => {
    const by = fresh();
    const wind = cellOf(tree, 'wind') as Cell;
    const flat = made('flat', (inside) => {
      const value = inside.value(wind);
      return value instanceof Span ? new Span(4.9, 5.1, new Map([[wind, { low: 0, high: 0 }]])) : 5;
    });
    expect(anywhere(by, () => by.value(flat))).toBe(5);
    expect(flat.computing).toBe(false);
    const steep = made('steep', (inside) => inside.value(wind));
    expect(anywhere(by, () => by.value(steep))).toBeInstanceOf(Span);
  });
});

describe('between its ends', () => {
  const at = (name: string, share: number, of: Instance = tree) => {
    const by = fresh();
    const cell = cellOf(of, name) as Cell;
    return by.under(by.atHighEnds([cell]).placed([share]), () => by.value(cell));
  };

  test('a range is so far from its low end', () => {
    expect([0.25, 0.5, 1].map((share) => at('wind', share))).toEqual([1.5, 2, 3]);
    expect(fresh().value(cellOf(tree, 'wind') as Cell)).toBe(1);
  });

  test('what is counted stays whole where both ends are, and other numbers do not', () => {
    expect([0.2, 0.5, 0.9].map((share) => at('posts', share))).toEqual([4, 5, 6]);
    expect([0.2, 0.5].map((share) => at('rate', share, lamp))).toEqual([1.6, 2.5]);
    // Of what no kind declares it is not known how it is shown.
    const by = fresh();
    const undeclared = made('x', () => new Range(1, 4));
    expect(by.under(by.atHighEnds([undeclared]).placed([0.5]), () => by.value(undeclared))).toBe(2.5);
  });
});

describe('what is let go of', () => {
  test('are calls of which nothing is kept that nothing reads, and no others', () => {
    const by = fresh();
    const wind = cellOf(tree, 'wind') as Cell;
    const inside = by.atHighEnds([wind]).placed([0.5]);
    const values = cellsOf(tree).values;
    const call = (name: string, read: (engine: IncrementalEngine) => Value) => {
      const cell = made(name, read);
      cell.called = { cell: wind, args: [] };
      values.set(name, cell);
      return cell;
    };
    const passing = call('passing()', (engine) => engine.value(wind));
    const kept = call('kept()', (engine) => engine.value(wind));
    const read = call('read()', (engine) => engine.value(wind));
    const plain = made('plain', (engine) => engine.value(wind));
    values.set('plain', plain);
    let turned = false;
    const reader = made('reader', (engine) => (turned ? 3 : engine.value(read)));
    by.value(reader);
    by.value(kept);
    by.under(inside, () => [passing, kept, plain, reader].map((cell) => by.value(cell)));
    read.results = read.results.filter(({ ends }) => ends.isInside);
    by.letGo([]);
    expect(['passing()', 'kept()', 'read()', 'plain'].map((name) => values.has(name))).toEqual([
      false,
      true,
      true,
      true,
    ]);
    expect([passing, kept, plain].map(({ results }) => results.length)).toEqual([0, 1, 0]);
    // What read it once does so no longer.
    turned = true;
    by.touch([reader]);
    reader.results = [];
    by.under(inside, () => by.value(read));
    read.results = read.results.filter(({ ends }) => ends.isInside);
    by.letGo([]);
    expect(values.has('read()')).toBe(false);
    for (const name of ['kept()', 'plain']) values.delete(name);
  });
});
