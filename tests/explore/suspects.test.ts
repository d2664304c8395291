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
