import { describe, expect, test } from 'vitest';
import { cellAt } from '../../language/answers/derivation.ts';
import type { Cell } from '../../language/compute/cell.ts';
import { rangeSuspect, rangesOf, suspectsOf } from '../../language/explore/suspects.ts';
import { machineIn } from '../support.ts';

const pump = `kind pump {
  toplevel
  /// How warm it is.
  warm: Temperature
  /// How hard it works.
  load: Power {
    varies 10 %
  }
  /// What is lost.
  lost: Ratio default 95 % {
    source recalled "pumps of that sort"
    within 0 .. 1
  }
  /// A limit that was read.
  exact: Ratio default 50 % {
    source read "a standard"
  }
  /// How it is mounted.
  upright: YesNo default yes
  /// What comes out.
  out: Power = load * lost * exact * (if upright then 1 else 0.5) {
    source defined "what is left"
  }
  /// What nothing asks for.
  idle: Power = load {
    source defined "the same"
  }
  /// It lies on its side
  defect fallen {
    alters upright = no
    alters lost = 50 %
    odds 3 %
    how "Look at {name}"
    reads self.out
  }
  /// It is worn
  defect worn {
    alters lost = 90 % .. 20 %
    odds 4 %
    how "Listen"
  }
  /// What it is not asked for
  defect elsewhere {
    alters warm = warm + 5 K
    odds 1 %
    how "Touch it"
  }
}
pump p {
  warm = 10 degC .. 30 degC
  load = 100 W
}
`;
const machine = machineIn(pump);
const cell = (path: string) => cellAt(path, machine) as Cell;
const suspects = machine.engine.under(machine.engine.low, () => suspectsOf([cell('out')], [], machine));
const named = (path: string) => {
  const found = suspects.find((each) => each.path === path);
  if (!found) throw new Error(`${path} is not suspected`);
  return found;
};

describe('what can be otherwise', () => {
  test('tolerances, what rests on memory, and defects that alter what a value rests on', () => {
    expect(suspects.map(({ by, path }) => `${by} ${path}`)).toEqual([
      'tolerance load',
      'doubt lost',
      'defect worn',
      'defect fallen',
    ]);
  });

  test('a tolerance reaches from its low end to its high one, nearest in its middle', () => {
    const load = named('load');
    expect([load.near, load.odds, load.isOne]).toEqual([0.5, 1, false]);
    expect([0, 1].map((place) => [...load.at(place).values()][0])).toEqual([90, 110]);
    expect(load.show(1)).toBe('load 110 W instead of 100 W');
    expect(load.title).toBe('load: how hard it works, within its tolerance');
    expect(load.reading.how).toBe('Find out load itself');
  });

  test('what rests on memory is a fifth off either way, and no more than can be meant', () => {
    const lost = named('lost');
    const [low, high] = [0, 1].map((place) => [...lost.at(place).values()][0]);
    expect(low).toBeCloseTo(0.76, 9);
    expect(high).toBe(1);
    expect(lost.odds).toBe(0.1);
    expect(lost.near).toBeCloseTo((0.95 - 0.76) / 0.24, 9);
  });

  test('a defect alters all that it says at once', () => {
    const fallen = named('fallen');
    expect([...fallen.at(0)].map(([of, value]) => [of.name, value])).toEqual([
      ['upright', false],
      ['lost', 0.5],
    ]);
    expect([fallen.isOne, fallen.odds, fallen.title]).toEqual([true, 0.03, 'It lies on its side']);
    expect(fallen.show(0)).toBe('upright no instead of yes, lost 50 % instead of 95 %');
    expect(fallen.reading.how).toBe('Look at p');
    expect(fallen.reading.show(25)).toBe('25 W');
    expect(fallen.reading.read?.()).toBeCloseTo(47.5, 9);
  });

  test('one of any amount is nearest where it is least', () => {
    const worn = named('worn');
    expect([worn.isOne, worn.near]).toEqual([false, 0]);
    expect([...worn.at(0.5).values()][0]).toBeCloseTo(0.55, 9);
    expect(worn.reading.read).toBeUndefined();
  });

  test('a range is anywhere between its ends', () => {
    expect(rangesOf([cell('out')], machine)).toEqual([]);
    expect(rangesOf([cell('warm')], machine)).toEqual([cell('warm')]);
    const warm = rangeSuspect(cell('warm'), machine);
    expect([warm.near, warm.title, warm.show(1)]).toEqual([0.5, 'warm is not known', 'warm 30 °C']);
    const without = machine.engine.under(machine.engine.low, () => suspectsOf([cell('out')], [cell('load')], machine));
    expect(without.map(({ path }) => path)).not.toContain('load');
  });
});

describe('how it is looked whether something is so', () => {
  /** A pump with a gauge, and one defect that is looked for in this way. */
  const looked = (how: string, lines = '') => {
    const of = machineIn(`kind pump {
  toplevel
  has gauge?
  /// How hard it works. As said
  load: Power {
    varies 10 %
    how "Read {name}"
    reads load / 2
  }
  /// How it stands.
  mode: one of slow, fast default slow
  out: Power = load * 1
  /// It leaks
  defect leaks {
    alters load = 50 W
    odds 3 %
    ${how}
  }
}
kind gauge {
  shows: Power default 7 W
}
pump p {
  load = 100 W
${lines}}
`);
    const out = cellAt('out', of) as Cell;
    const found = of.engine.under(of.engine.low, () => suspectsOf([out], [], of));
    return { of, leaks: found.find(({ path }) => path === 'leaks'), load: found.find(({ path }) => path === 'load') };
  };
  const read = (how: string, lines?: string) => {
    const { of, leaks } = looked(how, lines);
    return of.engine.under(of.engine.low, () => {
      const value = leaks?.reading.read?.();
      return value === undefined ? undefined : leaks?.reading.show(value);
    });
  };

  test('by a value of the block, of one in it, or by what is computed of them, each as it is shown', () => {
    expect(read('reads load')).toBe('100 W');
    expect(read('reads load / 4')).toBe('25 W');
    expect(read('reads load + 1 kW')).toBe('1.1 kW');
    expect(read('reads gauge.shows', '  gauge\n')).toBe('7 W');
    expect(read('reads mode')).toBe('slow');
    expect(read('reads gauge.shows')).toBe('not known');
    expect(read('how "Listen"')).toBeUndefined();
  });

  test('as the kind of a value says, and else by finding it out', () => {
    const { of, load, leaks } = looked('how "Listen to {name} at {load}"');
    expect([load?.reading.how, leaks?.reading.how]).toEqual(['Read p', 'Listen to p at 100 W']);
    const value = of.engine.under(of.engine.low, () => load?.reading.read?.());
    expect(load?.reading.show(value ?? '')).toBe('50 W');
    expect(load?.title).toBe('load: how hard it works, within its tolerance');
    expect(looked('reads load').leaks?.reading.how).toBe('');
  });
});

describe('a defect', () => {
  const found = (body: string, of: 'out' | 'idle' = 'out') => {
    const machine = machineIn(`kind yard {
  toplevel
  has pump*
}
kind pump {
  load: Power default 100 W
  warm: Temperature default 20 degC
  up: YesNo default yes
  mode: one of slow, fast default slow
  other: Power?
  best: pump?
  out: Power = load * (if up and mode == slow then 1 else 2)
  idle: Power = 2 W + other
${body}
}
yard Y {
  pump p
}
`);
    const asked = cellAt(`p.${of}`, machine) as Cell;
    return machine.engine.under(machine.engine.low, () => suspectsOf([asked], [], machine));
  };
  const one = (body: string) => found(body)[0];

  test('of a block goes by the block and its own name, and by what it is in words, where that is said', () => {
    expect(one('  /// It is tired.\n  defect tired {\n    alters load = 50 W\n    odds 1 %\n  }')).toMatchObject({
      path: 'p.tired',
      title: 'p: It is tired',
      odds: 0.01,
      isOne: true,
      near: 0,
    });
    expect(one('  defect so_tired {\n    alters load = 50 W\n  }')).toMatchObject({ title: 'p: so tired', odds: 0 });
  });

  test('is there where all its conditions are met, and something that is asked rests on what it alters', () => {
    const paths = (lines: string, of?: 'out' | 'idle') =>
      found(`  defect tired {\n${lines}\n    odds 1 %\n  }`, of).map(({ path }) => path);
    expect(paths('    alters load = 50 W')).toEqual(['p.tired']);
    expect(paths('    alters load = 50 W', 'idle')).toEqual([]);
    expect(paths('    alters warm = 50 degC')).toEqual([]);
    expect(paths('    alters warm = 50 degC\n    alters load = 50 W')).toEqual(['p.tired']);
    expect(paths('    when up\n    alters load = 50 W')).toEqual(['p.tired']);
    expect(paths('    when up\n    when mode == fast\n    alters load = 50 W')).toEqual([]);
    expect(paths('    when other > 1 W\n    alters load = 50 W')).toEqual([]);
    // What it would be is not known.
    expect(paths('    alters load = other')).toEqual([]);
    expect(paths('    alters load = 50 W .. other')).toEqual([]);
    expect(paths('')).toEqual([]);
  });

  test('is nearest where it is least, at whichever of its ends', () => {
    const near = (range: string) => one(`  defect tired {\n    alters load = ${range}\n    odds 1 %\n  }`)?.near;
    expect(near('110 W .. 190 W')).toBe(0);
    expect(near('10 W .. 90 W')).toBe(1);
    expect(near('90 W .. 10 W')).toBe(0);
    // As far from it at both: the first is no nearer.
    expect(near('50 W .. 150 W')).toBe(1);
    expect(near('50 W .. 50 W')).toBe(0);
  });

  test('can alter a word, or whether something is so, one way alone', () => {
    const word = one('  defect fast {\n    alters mode = fast\n    alters up = no\n    odds 1 %\n  }');
    expect([word?.isOne, word?.near, word?.show(0)]).toEqual([
      true,
      0,
      'p.mode fast instead of slow, p.up no instead of yes',
    ]);
    const both = one('  defect fast {\n    alters mode = fast\n    alters load = 10 W .. 90 W\n    odds 1 %\n  }');
    expect([both?.isOne, both?.near]).toEqual([false, 0]);
    expect([...(both?.at(0.25).values() ?? [])]).toEqual(['fast', 30]);
  });
});

describe('what is doubted', () => {
  const doubted = (line: string, use = 'it * 1') => {
    const machine = machineIn(`kind pump {
  toplevel
  /// How much. And more
  it: ${line}
  other: Power?
  asked: ${/^\w+/.exec(line)?.[0]} = ${use}
}
pump p {
}
`);
    const asked = cellAt('asked', machine) as Cell;
    const found = machine.engine.under(machine.engine.low, () => suspectsOf([asked], [], machine));
    return found.map((each) => [each.by, ...[0, 1].map((at) => [...each.at(at).values()][0]), each.near]);
  };
  const memory = '{\n    source recalled "pumps"\n  }';
  test.each([
    [`Power default 10 W ${memory}`, 'it * 1', [['doubt', 8, 12, expect.closeTo(0.5, 9)]]],
    [`Energy default -10 J ${memory}`, 'it * 1', [['doubt', -12, -8, expect.closeTo(0.5, 9)]]],
    // What stands in for nothing, a point of temperature, and what is no number are left alone.
    [`Power default 0 W ${memory}`, 'it * 1', []],
    [`Temperature default 10 degC ${memory}`, 'it + 0 K', []],
    [`YesNo default yes ${memory}`, 'not it', []],
    [`Power default other ${memory}`, 'it * 1', []],
    [`Price default 3 EUR ${memory}`, 'it * 1', []],
    [`Power default 10 W {\n    source read "a standard"\n  }`, 'it * 1', []],
  ])('%s', (line, use, expected) => expect(doubted(line, use)).toEqual(expected));
});
