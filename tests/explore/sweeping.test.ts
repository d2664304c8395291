import { describe, expect, test } from 'vitest';
import { Sweep, SweepError } from '../../language/explore/sweeping.ts';
import { bench, machineIn, read, shown } from '../support.ts';

const shelves = `kind shelf {
  toplevel
  /// What lies on it.
  load: Mass
  /// What it bears.
  limit: Mass
  /// Where it stands.
  spot: Temperature default 20 degC
  /// What it is of.
  of: one of oak, fir default oak
  /// What is left.
  rest: Mass = limit - load {
    source defined "their difference"
  }
}
part board is shelf {
  limit = 5 kg
}
part plank is shelf {
  limit = 9 kg
}
constant heap: Mass = 3 kg
rule shelf_overloaded on shelf {
  holds load <= limit
  error "too much"
  source practice "boards"
}
rule shelf_full on shelf {
  holds load <= limit * 0.9
  warning "nearly too much"
  source practice "boards"
}
kind hut {
  toplevel
  has shelf*
}
hut h {
  shelf one is board {
    load = 3 kg
    accept shelf_full because "seen"
  }
  shelf two is plank { load = 1 kg .. 2 kg }
  require one.load <= 7 kg
}
`;

const sweep = (over: string[], show: string[] = ['one.rest']) =>
  new Sweep({ ...read(shelves), machine: 'h' }, over, show);
const told = (over: string[], show?: string[]) =>
  [...sweep(over, show).points()].map(({ values, fails }) => [...values.map((value) => value.shown), fails.join(' ')]);

describe('a value', () => {
  test('in steps, both ends counted', () => {
    expect(told(['one.load = 4 kg .. 8 kg step 2 kg'])).toEqual([
      ['1 kg', ''],
      ['-1 kg', 'shelf_overloaded (one)'],
      ['-3 kg', 'shelf_overloaded (one) one.load <= 7 kg'],
    ]);
    expect(sweep(['one.load = 0 kg .. 1 kg step 0.1 kg']).count).toBe(11);
    expect(sweep(['one.load = 1 kg .. 2 kg']).count).toBe(11);
  });

  test('listed, in words, and a temperature in steps of a difference', () => {
    expect(told(['one.load = [1 kg, 2500 g]'])).toEqual([
      ['4 kg', ''],
      ['2.5 kg', ''],
    ]);
    expect(told(['one.of = [fir, oak]'], ['one.of'])).toEqual([
      ['fir', ''],
      ['oak', ''],
    ]);
    expect(told(['one.spot = 10 degC .. 30 degC step 10 K'], ['one.spot'])).toEqual([
      ['10 °C', ''],
      ['20 °C', ''],
      ['30 °C', ''],
    ]);
  });

  test('what is shown over a range has both ends', () => {
    const [point] = sweep(['one.load = [1 kg]'], ['two.rest']).points();
    expect(point?.values).toEqual([{ shown: '7 to 8 kg', ends: [7, 8] }]);
  });
});

test('what is known between two numbers has both as its ends, what is only known from below or above has none', () => {
  const text = shelves
    .replace(
      '  has shelf*\n}',
      `  has shelf*
  heavy: Count = count(s for s in every shelf where s.load > 2 kg) {
    source defined "a test"
  }
  total: Mass = sum(s.load for s in every shelf) {
    source defined "a test"
  }
  left: Mass = 20 kg - total {
    source defined "a test"
  }
}`,
    )
    .replace('  require one.load', '  shelf three is board\n  require one.load');
  const [point] = new Sweep(
    { ...read(text), machine: 'h' },
    ['two.load = [1 kg]'],
    ['heavy', 'total', 'left'],
  ).points();
  expect(point?.values).toEqual([
    { shown: 'at least 1, at most 2', ends: [1, 2] },
    { shown: 'at least 4 kg' },
    { shown: 'at most 16 kg' },
  ]);
});

test('a part that is pointed at', () => {
  const over = ['bed.plate.material = [cast_aluminium, spring_steel]'];
  const points = [...new Sweep({ ...read(bench), machine: 'Bench' }, over, ['bed.plate.mass']).points()];
  const [aluminium, steel] = points.map(({ values }) => values[0]?.ends?.[0] ?? 0);
  // From memory: steel is about 2.9 times as dense as aluminium.
  expect((steel ?? 0) / (aluminium ?? 1)).toBeCloseTo(2.9, 0);
});

describe('parts and combinations', () => {
  test('a part is written in place of the one that stands there, whichever axis was named first', () => {
    const over = ['one.load = 4 kg .. 6 kg step 2 kg', 'one is [board, plank]'];
    expect(sweep(over).axes.map(({ path }) => path)).toEqual(['one', 'one.load']);
    expect(told(over)).toEqual([
      ['1 kg', ''],
      ['-1 kg', 'shelf_overloaded (one)'],
      ['5 kg', ''],
      ['3 kg', ''],
    ]);
  });

  test('a stretch of points is the same as these of all', () => {
    const over = ['one is [board, plank]', 'one.load = 1 kg .. 9 kg step 1 kg'];
    const all = [...sweep(over).points()];
    expect(all).toHaveLength(18);
    expect([...sweep(over).points(7, 13)]).toEqual(all.slice(7, 13));
  });
});

// Each point against the machine as it is found where the values are written.
test('what comes of each point is what comes of a text that says it', () => {
  const over = ['bed.heater.power = 150 W .. 450 W step 100 W', 'bed_power.fuse is [blade_10a, blade_15a]'];
  const points = [...new Sweep({ ...read(bench), machine: 'Bench' }, over, ['bed_power.current']).points()];
  const counted = ['blade_10a', 'blade_15a'].flatMap((fuse) =>
    [150, 250, 350, 450].map((power) => {
      const machine = machineIn(bench.replace('250 W', `${power} W`).replace('blade_15a', fuse));
      const found = machine.assessment.findings
        .flatMap((each) => [each, ...each.consequences])
        .filter(({ severity }) => severity !== 'advice');
      return [
        shown(machine, 'bed_power.current'),
        ...found.map(({ rule, instance }) => `${rule} (${instance.label})`).toSorted(),
      ];
    }),
  );
  expect(points.map(({ values, fails }) => [values[0]?.shown, ...fails.toSorted()])).toEqual(counted);
  expect(counted.some((each) => each.length > 2)).toBe(true);
});

test('what cannot be gone through or shown is told', () => {
  const refused = (over: string[], show?: string[]) => {
    try {
      sweep(over, show);
    } catch (error) {
      if (error instanceof SweepError) return error.message;
      throw error;
    }
    return '';
  };
  expect(refused(['one.lod = 1 kg .. 2 kg'])).toBe('h has no value one.lod');
  expect(refused(['one.load = 1 m .. 2 m'])).toContain('one.load = 1 m: Expected a mass');
  expect(refused(['one.load = 1 kg .. 2 kg step 1 m'])).toContain('one.load = 1 kg + 1 m: ');
  expect(refused(['one.load = 2 kg .. 1 kg step 1 kg'])).toContain('one does not come to 1 kg');
  expect(refused(['one.load = 1 kg .. 2 kg step 0 kg'])).toContain('one does not come to 2 kg');
  expect(refused(['one.load = 1 kg .. 2 kg step 0.000001 kg'])).toContain('values');
  expect(refused(['one.load = 1 kg .. 2 kg step 0.00002 kg', 'one is [board, plank, board]'])).toContain(
    '100000 at most',
  );
  expect(refused(['one.rest = [1 kg]'])).toContain('computed');
  expect(refused([' '])).toContain('does not say what is gone through');
  expect(refused(['one.lod'])).toBe('h has no value one.lod');
  expect(refused(['one.name'])).toContain('one.name');
  expect(refused(['one.load = 3 kg'])).toContain('lists no values');
  expect(refused(['one is board'])).toContain('lists no parts');
  expect(refused(['one is [shelf]'])).toContain('there is no part called shelf');
  expect(refused(['three is [board]'])).toContain('h has no block three');
  expect(refused(['one.load = [1 kg]'], ['one.rst'])).toBe('h has no value one.rst');
});

test('a value alone is gone through what it can be: its options, or from half of it to twice as much', () => {
  const stops = (path: string) => sweep([path]).axes[0]?.stops.map((stop) => stop.shown);
  expect(stops('one.of')).toEqual(['oak', 'fir']);
  expect(stops('one.load')).toHaveLength(11);
  expect([stops('one.load')?.[0], stops('one.load')?.at(-1)]).toEqual(['1.5 kg', '6 kg']);
  expect([stops('one.spot')?.[0], stops('one.spot')?.at(-1)]).toEqual(['-10 °C', '50 °C']);
});

test('a value alone is gone through as far as it can be meant', () => {
  const text = shelves.replace(
    '  /// What is left.',
    '  /// How full it is.\n  full: Ratio default 80 % {\n    within 50 % .. 1\n  }\n  /// What is left.',
  );
  const [axis] = new Sweep({ ...read(text), machine: 'h' }, ['one.full'], []).axes;
  expect([axis?.stops[0]?.shown, axis?.stops.at(-1)?.shown, axis?.now]).toEqual(['50 %', '1', '80 %']);
});

test('which stop is nearest to what is written', () => {
  const nearest = (over: string) => sweep([over]).axes[0]?.nearest;
  expect(nearest('one.load = [1 kg, 4 kg, 8 kg]')).toBe(1);
  expect(nearest('one.load = [8 kg, 1 kg, 4 kg]')).toBe(2);
  // Of two that are as near the first.
  expect(nearest('one.load = [4 kg, 2 kg]')).toBe(0);
  expect(nearest('one.of = [fir, oak]')).toBe(1);
  // A range is no number.
  expect(nearest('two.load = [1 kg, 4 kg]')).toBe(0);
  expect(nearest('one is [plank, board]')).toBe(1);
});

test('a block that is no part has none to begin with; money and sizes are put in place as numbers are', () => {
  const text = shelves
    .replace(
      '  /// What is left.',
      '  /// What it costs.\n  price: Price default 5 EUR\n  /// Its face.\n  face: Length x Length default 1 m x 2 m\n  /// What is left.',
    )
    .replace('  require one', '  shelf three {\n    load = 1 kg\n    limit = 2 kg\n  }\n  require one');
  const gone = (over: string[], show: string[] = []) => new Sweep({ ...read(text), machine: 'h' }, over, show);
  expect(gone(['three is [board]']).axes[0]).toMatchObject({ now: 'none', isWritten: true, isPart: true });
  const swept = gone(
    ['one.price = [6 EUR, 7 EUR]', 'one.load = [2 kg, 3 kg]', 'one.face = [1 m x 1 m]'],
    ['one.price', 'one.rest'],
  );
  expect(swept.axes.map(({ path, isWritten, isPart }) => [path, isWritten, isPart])).toEqual([
    ['one.price', false, false],
    ['one.load', false, false],
    ['one.face', false, false],
  ]);
  const points = [...swept.points()];
  expect(points.map(({ values }) => values.map((value) => value.shown).join())).toEqual([
    '6 EUR,3 kg',
    '6 EUR,2 kg',
    '7 EUR,3 kg',
    '7 EUR,2 kg',
  ]);
  expect(points[2]?.values.map(({ ends }) => ends)).toEqual([
    [7, 7],
    [3, 3],
  ]);
  expect(points.map(({ at }) => at.join())).toEqual(['0,0,0', '0,1,0', '1,0,0', '1,1,0']);
});

test('advice fails nothing, nor does what is accepted; a rule of the machine itself has no block', () => {
  const text = `${shelves}rule hut_bare on hut {
  holds count(s for s in every shelf) > 2
  warning "bare"
  source practice "huts"
}
rule shelf_light on shelf {
  holds load > 2 kg
  advice "light"
  source practice "shelves"
}
`;
  const swept = new Sweep({ ...read(text), machine: 'h' }, ['one.load = [1 kg, 4.8 kg]'], []);
  expect([...swept.points()].map(({ fails }) => fails)).toEqual([['hut_bare'], ['hut_bare']]);
});

test('a machine is judged whole at some stops, the others as it is written', () => {
  const gone = sweep(['one.load = 4 kg .. 8 kg step 2 kg', 'one is [board, plank]']);
  expect(gone.axes.map(({ path, now, nearest }) => [path, now, nearest])).toEqual([
    ['one', 'board', 0],
    ['one.load', '3 kg', 0],
  ]);
  const found = (at: (number | undefined)[]) => {
    const machine = gone.judgedAt(at);
    return [shown(machine, 'one.rest'), machine.assessment.findings.map(({ rule }) => rule).join()];
  };
  expect(found([])).toEqual(['2 kg', '']);
  expect(found([undefined, 1])).toEqual(['-1 kg', 'shelf_overloaded,shelf_full']);
  expect(found([1, 1])).toEqual(['3 kg', '']);
  expect(found([undefined, undefined])).toEqual(['2 kg', '']);
});
