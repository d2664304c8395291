import { describe, expect, test } from 'vitest';
import { cellOf } from '../../language/compute/cell.ts';
import { Allowance, IncrementalEngine } from '../../language/compute/engine.ts';
import { evaluateCell } from '../../language/compute/evaluate-cells.ts';
import type { Machine } from '../../language/compute/machine.ts';
import { showMargin } from '../../language/compute/margin.ts';
import type { Entry } from '../../language/grammar/generated/ast.ts';
import { rulesOn, verdictCell } from '../../language/judge/rule.ts';
import {
  blockAtPath,
  hasChoices,
  putInPlace,
  restsOnChoices,
  Trials,
  waitingBehind,
} from '../../language/judge/trials.ts';
import { buildTree, type PartChoices } from '../../language/machine/tree.ts';
import { read } from '../support.ts';

/** A pier with boats: what a rope bears rests on its size, what a buoy is good for on the part that is taken. */
const kinds = `sizes ropes: Length = [1 mm, 2 mm, 3 mm, 4 mm] {
  source practice "a test"
}
kind pier {
  toplevel
  has buoy*
  has boat*
  depth: Length default 5 m
  tide: Length?
}
kind boat {
  pull: Force default 2 kN
  rope: Length {
    sizes ropes
  }
  spare: Length default 2 mm {
    sizes ropes
  }
  wind: Speed?
  moored_to: buoy?
}
kind buoy {
  good_for: Force
  cost: Price?
  order cost
  has chain*
}
kind anchored is buoy {
  reach: Length
}
kind chain {
  rusty: YesNo default no
}
part small_buoy is buoy {
  good_for = 1 kN
  cost = 1 EUR
}
part chained_buoy is buoy {
  good_for = 3 kN
  cost = 2 EUR
  chain c {
    rusty = yes
  }
}
part anchored_buoy is anchored {
  good_for = 9 kN
  cost = 3 EUR
  reach = 4 m
}
rule rope_snaps on boat {
  holds rope >= pull * 1 mm/kN
  error "{name}: {rope} snaps at {pull}"
  source practice "a test"
  remedy pull = rope * 1 kN/mm
}
rule rope_thick on boat {
  holds rope <= 3 mm
  warning "{name}: {rope} is stiff"
  source practice "a test"
}
rule rope_ugly on boat {
  holds rope <= 0.5 mm
  advice "{name}: ugly"
  source practice "a test"
}
rule boat_drifts on boat {
  when given(moored_to)
  holds pull <= moored_to.good_for
  warning "{name} drifts"
  caution "A collision."
  source practice "a test"
}
rule anchor_short on anchored {
  holds 5 m <= reach
  error "{name} does not come to the ground"
  source practice "a test"
}
rule chain_breaks on chain {
  holds not rusty
  warning "{name} breaks"
  source practice "a test"
}
rule spare_thin on boat {
  holds spare >= 1.5 mm
  warning "{name}: spare"
  source practice "a test"
}
rule rope_sings on boat {
  holds rope * wind <= 0.01 m^2/s
  warning "{name} sings"
  source practice "a test"
}
rule wind_howls on boat {
  holds if wind > 20 m/s then rope > 2 mm else yes
  error "{name} howls"
  caution "A storm."
  source practice "a test"
}
rule pier_dry on pier {
  holds depth >= 6 m
  error "the pier falls dry"
  source practice "a test"
}
rule pier_silts on pier {
  holds tide >= 1 m
  error "it silts up"
  source practice "a test"
}
`;

function trialsOf(body: string, takesIn = true) {
  const { file, project } = read(`${kinds}pier P {\n  ${body.replaceAll('\n', '\n  ')}\n}\n`);
  expect(project.mistakes(file)).toEqual([]);
  const entry = file.parsed.file.items.find((item) => item.$type === 'Entry') as Entry;
  const machineWith = (parts?: PartChoices): Machine => {
    const tree = buildTree(entry, file.scope, parts);
    if (!tree) throw new Error('there is no kind');
    return { entry, scope: file.scope, tree, engine: new IncrementalEngine(evaluateCell, new Allowance()) };
  };
  let rebuilt = 0;
  const machine = machineWith();
  if (!takesIn) machine.engine.takeIn = () => false;
  const trials = new Trials(machine, new Map(), (parts) => {
    rebuilt++;
    return machineWith(parts);
  });
  return { trials, machine, rebuilt: () => rebuilt };
}

/** What a generator comes to in the end. */
function ended<T>(run: Generator<void, T>): T {
  for (;;) {
    const { done, value } = run.next();
    if (done) return value;
  }
}

const boat = 'boat b {\n  rope = ?\n}';
const moored = 'buoy y is ?\nboat b {\n  rope = ?\n  moored_to = y\n}';
const key = (path: string, rule: string) => `${path}\nrule ${rule}`;

describe('what is open', () => {
  test('parts first, then values, each with its candidates in their order', () => {
    const { trials, machine } = trialsOf(moored);
    expect(trials.places.map(({ path, name, candidates }) => [path, name, candidates.map(({ text }) => text)])).toEqual(
      [
        ['y', '', ['small_buoy', 'chained_buoy', 'anchored_buoy']],
        ['b', 'rope', ['1 mm', '2 mm', '3 mm', '4 mm']],
      ],
    );
    expect(hasChoices(machine)).toBe(true);
    expect(hasChoices(trialsOf('boat b {\n  rope = 1 mm\n}').machine)).toBe(false);
    expect(hasChoices(trialsOf('buoy y is ?').machine)).toBe(true);
  });

  test('a part that stands brings open parts of its own into the question', () => {
    const { trials } = trialsOf('buoy y is ?\nbuoy z is ?');
    expect(trials.places.map(({ path }) => path)).toEqual(['y', 'z']);
    expect([...trials.parts.keys()]).toEqual(['y', 'z']);
  });

  test('in a variant that says more of a block, its part is as open as it was', () => {
    const { file, project } = read(
      `${kinds}pier P {\n  buoy y is ?\n}\npier Q is P {\n  y {\n    cost = 2 EUR\n  }\n}\n`,
    );
    const machine = project.machines(file).find(({ tree }) => tree.name === 'Q');
    expect(machine && hasChoices(machine)).toBe(true);
    expect(machine?.choices.map(({ proposed }) => proposed?.text)).toEqual(['small_buoy']);
  });

  test('what a candidate counts by itself: its price in whole millionths, its size by its place', () => {
    const { trials } = trialsOf('buoy y * 3 is ?\nboat b {\n  rope = ?\n}');
    expect(trials.own[0]?.map((score) => score[4])).toEqual([3e6, 6e6, 9e6]);
    expect(trials.own[1]?.map((score) => score.at(-1))).toEqual([0, 1, 2, 3]);
  });

  test('of what nothing can be taken for there is one way, which counts nothing', () => {
    const { trials } = trialsOf('boat b {\n  rope = 1 mm\n  pull = greatest ?\n}');
    expect(trials.places.map(({ name, candidates }) => [name, candidates.length])).toEqual([['pull', 0]]);
    expect(trials.own).toEqual([[[0, 0]]]);
  });

  test('blocks by their paths, the machine by its name', () => {
    const { machine } = trialsOf(boat);
    expect(blockAtPath(machine, 'P')).toBe(machine.tree);
    expect(blockAtPath(machine, 'b')?.name).toBe('b');
    expect(blockAtPath(machine, 'b.c')).toBeUndefined();
    expect(blockAtPath(machine, 'x')).toBeUndefined();
  });
});

describe('what fails with candidates', () => {
  test('rests on a choice: what fails whatever is chosen, and advice, is not among it', () => {
    const { trials } = trialsOf(boat);
    expect(ended(trials.failures([0]))).toEqual([key('b', 'rope_snaps')]);
    expect(ended(trials.failures([1]))).toEqual([]);
    expect(ended(trials.failures([3]))).toEqual([key('b', 'rope_thick')]);
    expect([...trials.failingKeys()].sort()).toEqual([key('P', 'pier_dry'), key('b', 'rope_thick')]);
  });

  test('what is set apart does not fail', () => {
    const { trials } = trialsOf(boat);
    trials.apart.add(key('b', 'rope_snaps'));
    expect(ended(trials.failures([0]))).toEqual([]);
  });

  test('counts as an error or a warning, with how far it falls short; what holds counts nothing', () => {
    const { trials } = trialsOf(moored);
    const snaps = trials.ask(key('b', 'rope_snaps'), [0, 0]);
    expect(snaps).toMatchObject({ score: [1, 0], rests: [1], standing: [0, 0] });
    expect(snaps.margin).toBeLessThan(0);
    const stiff = trials.ask(key('b', 'rope_thick'), [0, 3]);
    expect(stiff).toMatchObject({ score: [0, 1], rests: [1], standing: [0, 3] });
    expect(trials.ask(key('b', 'rope_snaps'), [0, 3])).toMatchObject({ score: [0, 0], margin: 0 });
    // About people's safety, and so as grave as an error.
    expect(trials.ask(key('b', 'boat_drifts'), [0, 3])).toMatchObject({ score: [1, 0], rests: [0] });
    expect(trials.ask(key('b', 'boat_drifts'), [1, 3])).toMatchObject({ score: [0, 0], rests: [0] });
  });

  test('falls short by more where more is asked, and by nothing that is told where it compares no numbers', () => {
    const { trials } = trialsOf(moored.replace('moored_to = y', 'moored_to = y\n  pull = 4 kN'));
    const short = (pick: number) => trials.ask(key('b', 'rope_snaps'), [2, pick]).margin ?? 0;
    expect(short(0)).toBeLessThan(short(1));
    expect(short(1)).toBeLessThan(short(2));
    expect(trials.ask(key('y.c', 'chain_breaks'), [1, 3])).toMatchObject({ score: [0, 1], margin: undefined });
  });

  test('a choice without a pick stays as it stands', () => {
    const { trials } = trialsOf(moored);
    trials.stand([1, 2]);
    expect(trials.ask(key('b', 'rope_snaps'), [undefined, 0]).standing).toEqual([1, 0]);
    expect(trials.parts.get('y')?.node.name?.text).toBe('chained_buoy');
  });

  test('a rule of a kind that only some parts are of rests on the part; so does one on a block that some bring', () => {
    const { trials } = trialsOf(moored);
    expect(ended(trials.failures([2, 1]))).toEqual([key('y', 'anchor_short')]);
    expect(trials.ask(key('y', 'anchor_short'), [2, 1])).toMatchObject({ score: [1, 0], rests: [0] });
    expect(trials.ask(key('y.c', 'chain_breaks'), [1, 1])).toMatchObject({ score: [0, 1], rests: [0] });
    // With another part there is nothing to fail, which rests on the part all the same.
    expect(trials.ask(key('y', 'anchor_short'), [0, 1])).toMatchObject({ score: [0, 0], margin: 0, rests: [0] });
    expect(trials.ask(key('y.c', 'chain_breaks'), [0, 1])).toMatchObject({ score: [0, 0], margin: 0, rests: [0] });
    expect(trials.ask(key('x', 'rope_snaps'), [0, 1])).toMatchObject({ score: [0, 0], rests: [] });
  });

  test('a requirement is asked by its text', () => {
    const { trials } = trialsOf('boat b {\n  rope = ?\n  require rope >= 3 mm\n}');
    expect(ended(trials.failures([1]))).toEqual(['b\nrequire rope >= 3 mm']);
    const told = trials.ask('b\nrequire rope >= 3 mm', [1]);
    expect(told).toMatchObject({ score: [0, 1], rests: [0] });
    expect(trials.failuresOn(0)).toMatchObject([
      { rule: 'requirement', severity: 'warning', grave: false, message: 'rope >= 3 mm would not hold', changes: [] },
    ]);
    expect(trials.failuresOn(0)[0]?.margin).toBeDefined();
  });
});

describe('what fails, in words', () => {
  test('with its numbers, what would have to be another, and what to mind; what is grave first', () => {
    const { trials } = trialsOf(moored.replace('moored_to = y', 'moored_to = y\n  pull = 5 kN'));
    trials.stand([0, 3]);
    expect(trials.failuresOn(1).map(({ rule, grave, severity }) => [rule, grave, severity])).toEqual([
      ['rope_snaps', true, 'error'],
      ['rope_thick', false, 'warning'],
    ]);
    expect(trials.failuresOn(1)[0]).toMatchObject({
      key: key('b', 'rope_snaps'),
      message: 'b: 4 mm snaps at 5 kN',
      changes: ['b.pull 5 kN → 4 kN'],
      caution: undefined,
    });
    expect(trials.failuresOn(0)).toMatchObject([{ rule: 'boat_drifts', grave: true, caution: 'A collision.' }]);
  });

  test('of two as grave that of the choice’s own block first', () => {
    const { trials } = trialsOf(moored);
    trials.stand([2, 1]);
    // The boat's is before the buoy's in no order but this.
    expect(trials.failuresOn(0).map(({ rule }) => rule)).toEqual(['anchor_short']);
    const both = trialsOf('boat b {\n  pull = 20 kN\n  rope = 4 mm\n  moored_to = y\n}\nbuoy y is ?').trials;
    both.stand([2]);
    expect(both.failuresOn(0).map(({ rule }) => rule)).toEqual(['anchor_short', 'boat_drifts']);
  });

  test('some of it by its keys, without those that are told already', () => {
    const { trials } = trialsOf(moored.replace('moored_to = y', 'moored_to = y\n  pull = 5 kN'));
    trials.stand([0, 3]);
    const keys = trials.failingOn(1);
    expect([...keys]).toEqual([
      [key('b', 'rope_snaps'), true],
      [key('b', 'rope_thick'), false],
    ]);
    expect(trials.failuresWith(keys, []).map(({ rule }) => rule)).toEqual(['rope_snaps', 'rope_thick']);
    expect(trials.failuresWith(keys, [key('b', 'rope_snaps')]).map(({ rule }) => rule)).toEqual(['rope_thick']);
    expect(trials.failuresWith(new Map(), [])).toEqual([]);
  });

  test('of what is said of other open blocks nothing, where a choice is looked at alone', () => {
    const { trials } = trialsOf('buoy y is ?\nboat b {\n  rope = 2 mm\n  moored_to = y\n}\nboat c {\n  rope = ?\n}');
    trials.stand([0, 0]);
    expect([...trials.failingOn(1, 'said of others').keys()]).toEqual([key('c', 'rope_snaps')]);
    expect([...trials.failingOn(0, 'said of others').keys()]).toEqual([key('b', 'boat_drifts')]);
    const two = trialsOf('boat b {\n  rope = ?\n  spare = ?\n}').trials;
    two.stand([0, 0]);
    expect([...two.failingOn(0).keys()]).toEqual([key('b', 'rope_snaps')]);
    expect([...two.failingOn(1).keys()]).toEqual([key('b', 'spare_thin')]);
    expect([...two.failingOn(0, 'said of others').keys()]).toEqual([]);
  });

  test('the least margin of a rule, over its parts and the ends of ranges, and of a requirement; none of what is not there', () => {
    const { trials } = trialsOf('boat b {\n  rope = ?\n  pull = 1 kN .. 2 kN\n  require rope <= 8 mm\n}');
    trials.stand([3]);
    const of = (what: string) => {
      const margin = trials.marginOf(what);
      return margin && showMargin(margin);
    };
    expect(of(key('b', 'rope_snaps'))).toBe('100 % to spare');
    expect(of('b\nrequire rope <= 8 mm')).toBe('50 % to spare');
    expect(of(key('x', 'rope_snaps'))).toBeUndefined();
    expect(of(key('b', 'none'))).toBeUndefined();
  });

  test('what is said of a block, or of one in it', () => {
    const { trials } = trialsOf(moored);
    expect(trials.isOwn(key('y', 'anchor_short'), 0)).toBe(true);
    expect(trials.isOwn(key('y.c', 'chain_breaks'), 0)).toBe(true);
    expect(trials.isOwn(key('yy', 'anchor_short'), 0)).toBe(false);
    expect(trials.isOwn(key('b', 'rope_snaps'), 0)).toBe(false);
    expect(trials.isOwn('y\nrequire cost <= 1 EUR', 0)).toBe(false);
    expect(trials.isWithin(key('y.c', 'chain_breaks'), key('y', 'anchor_short'))).toBe(true);
    expect(trials.isWithin(key('y', 'anchor_short'), key('y.c', 'chain_breaks'))).toBe(false);
    expect(trials.isWithin(key('y', 'anchor_short'), key('P', 'pier_dry'))).toBe(false);
    expect(trials.isWithin('y\nrequire cost <= 1 EUR', key('y', 'anchor_short'))).toBe(false);
  });
});

describe('what rests on what', () => {
  const reached = (body: string, path: string, rule: string) => {
    const { trials } = trialsOf(body);
    trials.stand(trials.places.map(() => 0));
    const { machine } = trials;
    const instance = blockAtPath(machine, path);
    const found = instance && rulesOn(instance.kind, machine.scope).find(({ name }) => name === rule);
    if (!instance || !found) throw new Error('there is no such rule');
    const cell = verdictCell(found, instance);
    machine.engine.corners(cell);
    return trials.reaches(cell);
  };

  test('a bit for each choice that a verdict was computed from', () => {
    expect(reached(moored, 'b', 'rope_snaps')).toBe(0b10n);
    expect(reached(moored, 'b', 'boat_drifts')).toBe(0b01n);
    expect(reached(moored, 'P', 'pier_dry')).toBe(0n);
    const both = moored.replace('moored_to = y', 'moored_to = y\n  pull = rope * 1 kN/mm');
    expect(reached(both, 'b', 'boat_drifts')).toBe(0b11n);
  });

  test('how many blocks there are rests on the parts that bring them', () => {
    const counting = `${moored}\nrequire count(c for c in every chain) == 0`;
    const { trials } = trialsOf(counting);
    expect(ended(trials.failures([1, 1]))).toContain('P\nrequire count(c for c in every chain) == 0');
    expect(trials.ask('P\nrequire count(c for c in every chain) == 0', [1, 1]).rests).toEqual([0]);
    const others = trialsOf(`${moored}\nrequire count(c for c in every boat) == 0`).trials;
    expect(others.ask('P\nrequire count(c for c in every boat) == 0', [1, 1]).rests).toEqual([]);
  });

  test('what a machine’s cells were computed from what is open', () => {
    const { machine } = trialsOf(moored);
    const rests = restsOnChoices(machine);
    const cell = (path: string, name: string) => {
      const found = cellOf(blockAtPath(machine, path), name);
      if (!found) throw new Error(`there is no ${name}`);
      machine.engine.value(found);
      return found;
    };
    expect(rests(cell('y', 'good_for'))).toBe(true);
    expect(rests(cell('b', 'rope'))).toBe(true);
    expect(rests(cell('b', 'pull'))).toBe(false);
    expect(rests(cell('P', 'depth'))).toBe(false);
  });

  test('choices on which nothing rests that can be decided are left open, parts never', () => {
    const { trials } = trialsOf('buoy y is ?\nboat b {\n  rope = ?\n  spare = ?\n}');
    trials.stand([0, 0, 0]);
    expect([...trials.decided()]).toEqual([0, 1, 2]);
    const idle = trialsOf('buoy y is ?\nboat b {\n  rope = 1 mm\n}').trials;
    expect([...idle.decided()]).toEqual([0]);
  });
});

describe('what stands in place of a choice', () => {
  test('is taken back to what stood before', () => {
    const { trials, machine } = trialsOf(moored);
    const rope = cellOf(blockAtPath(machine, 'b'), 'rope');
    if (!rope) throw new Error('there is no rope');
    trials.stand([2, 3]);
    trials.markAs(1, true);
    expect(trials.cellAt(1)).toMatchObject({ trial: 0.004, tentative: true });
    expect(trials.cellAt(0)).toBeUndefined();
    trials.undo();
    expect(trials.parts.size).toBe(0);
    expect(trials.cellAt(1)).toMatchObject({ trial: undefined, tentative: false });
    expect(blockAtPath(trials.machine, 'y')?.part).toBeUndefined();
  });

  test('is kept by a block that is made anew for another part', () => {
    const { trials } = trialsOf(moored);
    trials.stand([0, 2]);
    trials.stand([1, undefined]);
    expect(trials.cellAt(1)?.trial).toBe(0.003);
    trials.leaveOpen(1);
    expect(trials.cellAt(1)?.trial).toBeUndefined();
    trials.stand([2, 2]);
    expect(trials.cellAt(1)?.trial).toBe(0.003);
  });

  test('where a block cannot be taken into the tree, the machine is built anew with all that stands', () => {
    const { trials, rebuilt } = trialsOf(moored, false);
    trials.stand([1, 2]);
    expect(rebuilt()).toBeGreaterThan(0);
    expect(trials.cellAt(1)?.trial).toBe(0.003);
    expect(blockAtPath(trials.machine, 'y')?.children.get('c')).toBeDefined();
    expect(ended(trials.failures([1, 2]))).toEqual([key('y.c', 'chain_breaks')]);
  });

  test('a number that is looked for stands until it is taken back', () => {
    const { trials } = trialsOf('boat b {\n  rope = 1 mm\n  pull = greatest ?\n}');
    trials.putNumber(0, 5000);
    expect(trials.cellAt(0)?.trial).toBe(5000);
    expect([...trials.failingOn(0).keys()]).toEqual([key('b', 'rope_snaps')]);
    trials.putNumber(0, undefined);
    expect(trials.cellAt(0)?.trial).toBeUndefined();
  });
});

describe('rules that wait behind a choice', () => {
  test('those that are computed from it, and those that speak of it and are not come to it yet', () => {
    const { trials } = trialsOf(boat);
    trials.stand([1]);
    const [waiting] = trials.waiting();
    expect(waiting?.map(({ code, caution }) => [code, caution])).toEqual([
      ['rope_sings', undefined],
      ['wind_howls', 'A storm.'],
    ]);
    expect(waiting?.[0]?.missing.join()).toContain('wind');
  });

  test('of a value by itself the same', () => {
    const { trials } = trialsOf(boat);
    trials.stand([1]);
    const { machine } = trials;
    const names = (name: string) => {
      const cell = cellOf(blockAtPath(machine, 'b'), name);
      return cell && waitingBehind(cell, machine).map(({ code }) => code);
    };
    expect(names('rope')).toEqual(['rope_sings', 'wind_howls']);
    expect(names('wind')).toEqual(['rope_sings', 'wind_howls']);
    expect(names('spare')).toEqual([]);
    const tide = cellOf(machine.tree, 'tide');
    expect(tide && waitingBehind(tide, machine).map(({ code }) => code)).toEqual(['pier_silts']);
  });

  test('what is put in place of a value reaches what is computed from it', () => {
    const { machine } = trialsOf('boat b {\n  rope = 1 mm\n}');
    const [pull] = [cellOf(blockAtPath(machine, 'b'), 'pull')];
    if (!pull) throw new Error('there is no pull');
    expect(machine.engine.value(pull)).toBe(2000);
    putInPlace(pull, 500, machine.engine, true);
    expect(machine.engine.value(pull)).toBe(500);
    expect(pull.tentative).toBe(true);
    putInPlace(pull, undefined, machine.engine);
    expect([machine.engine.value(pull), pull.tentative]).toEqual([2000, false]);
  });
});

describe('a block that gives way to one of another kind', () => {
  test('comes back with what was computed of it, where such a part is tried again', () => {
    const { trials, rebuilt } = trialsOf('buoy y is ?\nboat b {\n  rope = 2 mm\n  moored_to = y\n}');
    const stood = () => blockAtPath(trials.machine, 'y');
    const plain = stood();
    expect([...trials.failingKeys()]).toContain(key('b', 'boat_drifts'));
    trials.stand([2]);
    const anchored = stood();
    expect(anchored?.kind.name).toBe('anchored');
    expect([...trials.failingKeys()]).toEqual(expect.arrayContaining([key('y', 'anchor_short')]));
    // Of the same kind as the first: that block again, with another part in it.
    trials.stand([1]);
    expect(stood()).toBe(plain);
    expect(stood()?.part?.name?.text).toBe('chained_buoy');
    expect([...trials.failingKeys()]).toContain(key('y.c', 'chain_breaks'));
    expect([...trials.failingKeys()]).not.toContain(key('b', 'boat_drifts'));
    trials.stand([2]);
    expect(stood()).toBe(anchored);
    const made = new Set(trials.machine.tree.everMade());
    expect([plain, anchored].map((each) => each && made.has(each))).toEqual([true, true]);
    expect([...made].filter(({ label, open }) => label === 'y' && !open).length).toBe(2);
    expect(trials.machine.tree.all().map(({ label }) => label)).toEqual(['P', 'y', 'b']);
    trials.stand([0]);
    expect([...trials.failingKeys()].filter((each) => each.startsWith('y.'))).toEqual([]);
    expect(rebuilt()).toBe(0);
  });

  test('leaves its role free, where the other fills another', () => {
    const { file, project } = read(`kind house {
  toplevel
  has pump*
  has spare: hand_pump {
    gives = 1 m
  }
}
kind pump {
  gives: Length default 1 m
}
kind hand_pump is pump {
}
kind motor_pump is pump {
}
part old is hand_pump {
  gives = 2 m
}
part new_one is motor_pump {
  gives = 3 m
}
rule pumps_dry on house {
  holds spare.gives >= 3 m
  warning "{name} runs dry"
  source practice "a test"
}
house H {
  pump first is ? of [old, new_one]
}
`);
    const entry = file.parsed.file.items.find((item) => item.$type === 'Entry') as Entry;
    expect(project.mistakes(file)).toEqual([]);
    const engine = new IncrementalEngine(evaluateCell, new Allowance());
    const machine = { entry, scope: file.scope, tree: buildTree(entry, file.scope) as never, engine };
    const trials = new Trials(machine, new Map(), () => undefined);
    const names = (): string[] => trials.machine.tree.all().map(({ label, kind }) => `${label}: ${kind.name}`);
    const asBuilt = (part: string) =>
      buildTree(entry, file.scope, new Map([['first', file.scope.find(part) as never]]))
        ?.all()
        .map(({ label, kind }) => `${label}: ${kind.name}`);
    for (const pick of [0, 1, 0, 1]) {
      trials.stand([pick]);
      expect(names()).toEqual(asBuilt(['old', 'new_one'][pick] as string));
    }
  });
});
