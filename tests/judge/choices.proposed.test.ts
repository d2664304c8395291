import { describe, expect, test } from 'vitest';
import { answerTo } from '../../language/judge/choices.ts';
import { bench, findingsOf, fixed, machineIn, mistakesIn, shown, toldOf } from '../support.ts';

const kinds = `/// Shelf sizes.
sizes planks: Length = [30 mm, 10 mm, 20 mm, thick = 40 mm] {
  source practice "a test"
}
/// A room of shelves.
kind room {
  toplevel
  has shelf*
  has hook*
  /// The price of all.
  paid: Price = sum(h.cost for h in every hook) {
    source defined "a test"
  }
}
/// A shelf.
kind shelf {
  /// What it bears.
  load: Mass
  plank: Length {
    sizes planks
  }
  /// Longest that it may be.
  span: Length default 1 m
  finish: one of raw, oiled, painted default raw
  hung_on: hook?
}
/// A hook.
kind hook {
  good_for: Mass
  cost: Price?
  weight: Mass?
  colour: one of black, white default black
  order cost, weight
}
/// It bears its load.
rule shelf_bends on shelf {
  holds plank >= load / 1 kg * 1 mm
  warning "{name} of {plank} bears {load}"
  source practice "a test"
  remedy plank
}
/// Thick ones look heavy.
rule shelf_heavy on shelf {
  holds plank < 15 mm
  advice "{name} looks heavy"
  source practice "a test"
}
/// Oil for thick ones.
rule shelf_dry on shelf {
  when plank > 25 mm
  holds finish != raw
  warning "{name} dries out"
  source practice "a test"
}
/// It holds what hangs on it.
rule hook_breaks on hook {
  holds all(s.load <= good_for for s in every shelf where s.hung_on == self)
  error "{name} breaks"
  source practice "a test"
}
part small_hook is hook {
  good_for = 5 kg
  cost = 1 EUR
}
part large_hook is hook {
  good_for = 50 kg
  cost = 4 EUR
  weight = 2 kg
}
part light_hook is hook {
  good_for = 50 kg
  cost = 4 EUR
  weight = 1 kg
}
part dear_hook is hook {
  good_for = 50 kg
  cost = 9 EUR
}
part gift_hook is hook {
  good_for = 50 kg
}
`;
const room = (body: string) => `${kinds}room R {\n  ${body.replaceAll('\n', '\n  ')}\n}\n`;
const shelf = (lines: string) => room(`shelf {\n  ${lines.replaceAll('\n', '\n  ')}\n}`);
const chosen = (text: string) =>
  machineIn(text).choices.map(({ name, proposed }) => `${name} ${proposed?.text ?? 'none'}`);

test('the kinds of these tests have no mistake', () => {
  expect(toldOf(shelf('load = 1 kg\nplank = 10 mm'))).toEqual([]);
});

describe('a standard size', () => {
  test('is the least that no rule rejects, by size and not by the order it is declared in', () => {
    expect(chosen(shelf('load = 5 kg\nplank = ?'))).toEqual(['plank 10 mm']);
    expect(chosen(shelf('load = 10 kg\nplank = ?'))).toEqual(['plank 10 mm']);
    expect(chosen(shelf('load = 11 kg\nplank = ?'))).toEqual(['plank 20 mm']);
  });

  test('goes by its name, where it has one', () => {
    expect(chosen(shelf('load = 35 kg\nplank = ?\nfinish = oiled'))).toEqual(['plank thick']);
  });

  test('says what ruled out the one before it', () => {
    const [choice] = machineIn(shelf('load = 11 kg\nplank = ?')).choices;
    expect(choice?.obstacles.map((o) => `${o.candidate.text} ${o.rule}: ${o.message}`)).toEqual([
      '10 mm shelf_bends: shelf of 10 mm bears 11 kg',
    ]);
  });

  test('says what ruled out the last three before it, of however many', () => {
    const text = shelf('load = 45 kg\nplank = ?\nfinish = oiled').replace('thick = 40 mm]', 'thick = 40 mm, 50 mm]');
    const [choice] = machineIn(text).choices;
    expect(choice?.proposed?.text).toBe('50 mm');
    expect(choice?.obstacles.map(({ candidate }) => candidate.text)).toEqual(['20 mm', '30 mm', 'thick']);
  });

  test('where each breaks a rule of its own block by a warning, the nearest is proposed with it', () => {
    const [choice] = machineIn(shelf('load = 55 kg\nplank = ?\nfinish = oiled')).choices;
    expect(choice && answerTo(choice)).toBe('10 mm proposed, the nearest: one warning speaks against it');
    expect(choice?.against.map(({ rule }) => rule)).toEqual(['shelf_bends']);
    expect(
      choice?.tryAll().map(({ candidate, failures }) => `${candidate.text} ${failures.map((f) => f.rule)}`),
    ).toEqual(['10 mm shelf_bends', '20 mm shelf_bends', '30 mm shelf_bends', 'thick shelf_bends']);
  });

  test('advice rejects none, and stays a finding beside the proposal', () => {
    const machine = machineIn(shelf('load = 20 kg\nplank = ?'));
    expect(machine.choices[0]?.proposed?.text).toBe('20 mm');
    expect(findingsOf(machine)).toEqual(['shelf_heavy: shelf looks heavy']);
  });

  test('tells of the rules that are not decided with it, and of none that have nothing to do with it', () => {
    const wanted = (lines: string) =>
      room(`shelf {\n  plank = ?\n  ${lines}\n}\nshelf other {\n}\nrequire shelf.plank >= 15 mm`);
    const [choice] = machineIn(wanted('finish = oiled')).choices;
    expect(choice?.undecided).toHaveLength(1);
    expect(choice && answerTo(choice)).toBe('20 mm proposed if 1 undecided rule holds');
    expect(machineIn(wanted('load = 5 kg')).choices[0]?.undecided).toEqual([]);
  });

  test('flows on to what depends on it', () => {
    expect(shown(machineIn(shelf('load = 11 kg\nplank = ?')), 'shelf.plank')).toBe('20 mm');
  });

  test('is passed over where a requirement would not hold', () => {
    expect(chosen(`${shelf('load = 5 kg\nplank = ?').replace(/}\n$/, '')}  require shelf.plank >= 15 mm\n}\n`)).toEqual(
      ['plank 20 mm'],
    );
  });

  test('is not proposed where nothing that depends on it can be decided', () => {
    expect(
      chosen(
        shelf('plank = ?')
          .replace(/rule shelf_heavy[\s\S]*?\n}\n/, '')
          .replace(/rule shelf_dry[\s\S]*?\n}\n/, ''),
      ),
    ).toEqual(['plank none']);
  });

  test('holds at both ends of a range', () => {
    expect(chosen(shelf('load = 5 kg .. 18 kg\nplank = ?'))).toEqual(['plank 20 mm']);
  });

  test('is written in place of its ?', () => {
    const text = shelf('load = 12 kg\nplank = 10 mm');
    expect(fixed(text).get('Take 20 mm for plank')).toBe(text.replace('plank = 10 mm', 'plank = 20 mm'));
  });
});

describe('one of several words', () => {
  test('none is proposed of those that fit alike: the order they are declared in says nothing', () => {
    const [choice] = machineIn(shelf('load = 5 kg\nplank = 30 mm\nfinish = ?')).choices;
    expect(choice && answerTo(choice)).toBe('2 fit alike: give a price or a requirement (oiled and painted)');
    const wanted = room('shelf {\n  load = 5 kg\n  plank = 30 mm\n  finish = ?\n  require finish == painted\n}');
    expect(chosen(wanted)).toEqual(['finish painted']);
    expect(chosen(shelf('load = 5 kg\nplank = 20 mm\nfinish = ?'))).toEqual(['finish none']);
  });
});

describe('a part', () => {
  const hung = (load: string, part = '?') =>
    room(`hook h is ${part}\nshelf {\n  load = ${load}\n  plank = 10 mm\n  hung_on = h\n}`);

  test('is the first that passes, by what its kind is ranked by', () => {
    expect(chosen(hung('3 kg'))).toEqual([' small_hook']);
    // Of two that cost the same the lighter; that whose price is not known comes last.
    expect(chosen(hung('10 kg'))).toEqual([' light_hook']);
  });

  test('says what ruled out the one before it, and flows on', () => {
    const machine = machineIn(hung('10 kg'));
    expect(machine.choices[0]?.obstacles.map((o) => `${o.candidate.text} ${o.rule}`)).toEqual([
      'small_hook hook_breaks',
    ]);
    expect(shown(machine, 'h.good_for')).toBe('50 kg');
    expect(shown(machine, 'paid')).toBe('4 EUR');
  });

  test('a value that the block itself gives stays', () => {
    const machine = machineIn(hung('10 kg').replace('hook h is ?', 'hook h is ? {\n    cost = 2 EUR\n  }'));
    expect(machine.choices[0]?.proposed?.text).toBe('light_hook');
    expect(shown(machine, 'paid')).toBe('2 EUR');
  });

  test('counts with the blocks that it brings', () => {
    const rings = `/// A ring.
kind ring {
}
/// A holder of rings.
kind ringbar {
  has ring*
  cost: Price?
  order cost
}
part bare is ringbar {
  cost = 1 EUR
}
part one_ring is ringbar {
  cost = 2 EUR
  ring a
}
part two_rings is ringbar {
  cost = 3 EUR
  ring a
  ring b
}
/// A wall.
kind ringwall {
  toplevel
  has ringbar
}
/// Enough of them.
rule ringwall_empty on ringwall {
  holds count(r for r in every ring) >= 1
  warning "{name} has few"
  source practice "a test"
}
`;
    const wall = (lines: string) => `${rings}ringwall W {\n  ringbar is ?\n${lines}}\n`;
    expect(chosen(wall(''))).toEqual([' one_ring']);
    expect(chosen(wall('  require count(r for r in every ring) >= 2\n'))).toEqual([' two_rings']);
    expect(findingsOf(machineIn(wall('')))).toEqual([]);
  });

  test('is the first by what its kind is ranked by where no rule speaks of it', () => {
    const lamps = `kind lamp {
  weight: Mass?
  order weight
}
part heavy_lamp is lamp {
  weight = 2 kg
}
part light_lamp is lamp {
  weight = 1 kg
}
kind cellar {
  toplevel
  has lamp?
}
cellar C {
  lamp is ?
}
`;
    expect(chosen(lamps)).toEqual([expect.stringContaining('light_lamp')]);
  });

  test('over a block that goes by the name of another kind, is one of the block’s own', () => {
    const named = `${kinds}kind lamp {
  weight: Mass?
  order weight
}
part small_lamp is lamp {
  weight = 1 kg
}
room R {
  hook lamp is large_hook
}
room V is R {
  lamp is ?
}
`;
    const [choice] = machineIn(named, 'V').choices;
    expect(choice?.candidates.map(({ text }) => text)).not.toContain('small_lamp');
    expect(choice?.candidates.map(({ text }) => text)).toContain('small_hook');
  });

  test('counts as often as it is bought, where one of two must be the dearer', () => {
    const text = room('hook many * 10 is ?\nhook single is ?\nrequire max(many.good_for, single.good_for) >= 50 kg');
    expect(chosen(text)).toEqual([' small_hook', ' light_hook']);
    expect(chosen(text.replace('many * 10', 'many').replace('single is', 'single * 10 is'))).toEqual([
      ' light_hook',
      ' small_hook',
    ]);
  });

  test('where none fits, nothing is proposed', () => {
    const machine = machineIn(hung('60 kg'));
    const [choice] = machine.choices;
    expect(choice && answerTo(choice)).toBe('nothing fits; small_hook comes nearest');
    // Where it is not certain that no other combination comes out better, nothing is said to fit nowhere.
    expect(choice && answerTo({ ...choice, isBestFound: true })).toBe(
      'nothing was found that fits; small_hook comes nearest',
    );
    expect(choice?.obstacles).toHaveLength(3);
    expect(choice?.tryAll().map(({ failures }) => failures.map((f) => f.rule))).toEqual(Array(5).fill(['hook_breaks']));
  });

  test('of one’s own kind alone', () => {
    expect(machineIn(hung('3 kg')).choices[0]?.proposed?.text).toBe('small_hook');
    const other =
      '/// A ring.\nkind ring is hook {\n}\npart cheap_ring is ring {\n  good_for = 50 kg\n  cost = 0.50 EUR\n}\n';
    expect(machineIn(`${other}${hung('3 kg')}`).choices[0]?.proposed?.text).toBe('cheap_ring');
    const lamp = '/// A lamp.\nkind bulb {\n  cost: Price?\n}\npart cheap_bulb is bulb {\n  cost = 0.50 EUR\n}\n';
    expect(machineIn(`${lamp}${hung('3 kg')}`).choices[0]?.proposed?.text).toBe('small_hook');
  });
});

describe('what is listed behind the question', () => {
  const hung = (load: string, among: string) =>
    room(`hook h is ? of ${among}\nshelf {\n  load = ${load}\n  plank = 10 mm\n  hung_on = h\n}`);

  test('is all that is chosen among', () => {
    expect(chosen(hung('3 kg', '[dear_hook, large_hook]'))).toEqual([' large_hook']);
    expect(chosen(shelf('load = 5 kg\nplank = ? of [30 mm, 20 mm]'))).toEqual(['plank 20 mm']);
    expect(chosen(shelf('load = 5 kg\nplank = ? of [17 mm, thick]'))).toEqual(['plank 17 mm']);
    expect(chosen(shelf('load = 5 kg\nplank = 30 mm\nfinish = ? of [raw, painted]'))).toEqual(['finish painted']);
    const [none] = machineIn(hung('10 kg', '[small_hook]')).choices;
    expect(none && answerTo(none)).toBe('nothing fits; small_hook comes nearest');
  });

  test('is checked as what is written there', () => {
    expect(mistakesIn(hung('3 kg', '[dear_hok]')).join()).toContain('Did you mean dear_hook?');
    expect(mistakesIn(hung('3 kg', '[3 mm]')).join()).toContain('the names of parts');
    expect(mistakesIn(shelf('load = 5 kg\nplank = ? of [3 kg]')).join()).toContain('Expected a length');
    expect(mistakesIn(shelf('load = 5 kg\nplank = ? of')).join()).toContain('in brackets: ? of [a, b]');
    expect(chosen(shelf('load = 5 kg\nplank = ? of [3 kg]'))).toEqual(['plank none']);
  });
});

test('the user’s own part comes before one of the library, though that is as good', () => {
  const own = `part drawer_fuse is blade_20a {\n  rated_current = 15 A\n}\n${bench.replace('fuse is blade_15a', 'fuse is ?')}`;
  expect(machineIn(own).choices[0]?.proposed?.text).toBe('drawer_fuse');
});

test('the order in which rules and parts are declared changes nothing', () => {
  const texts = [
    room('hook h is ?\nshelf {\n  load = 60 kg\n  plank = ?\n  finish = ?\n  hung_on = h\n}'),
    shelf('load = 25 kg\nplank = ?\nfinish = ?'),
  ];
  for (const text of texts) {
    const [, before = '', declared = '', after = ''] =
      /^([\s\S]*?)(\/\/\/ It bears[\s\S]*)(room R[\s\S]*)$/.exec(text) ?? [];
    const items = declared.split(/(?=^(?:\/\/\/|part ))/m);
    const said = (of: string) => {
      const machine = machineIn(of);
      const sorted = (lines: readonly string[]) => lines.toSorted();
      return [
        machine.choices.map((c) => [answerTo(c).replace(/\(.*/, ''), sorted(c.ties.map((each) => each.text))]),
        sorted(findingsOf(machine)),
      ];
    };
    expect(items.length).toBeGreaterThan(8);
    expect(said(before + items.toReversed().join('') + after)).toEqual(said(text));
  }
});

describe('several choices', () => {
  test('that bear on each other settle together', () => {
    expect(chosen(shelf('load = 25 kg\nplank = ?\nfinish = ?'))).toEqual(['plank 30 mm', 'finish none']);
    const wanted = room('shelf {\n  load = 25 kg\n  plank = ?\n  finish = ?\n  require finish == raw\n}');
    const machine = machineIn(wanted);
    // Nothing is both thick and raw without a warning: the requirement is the least of what could give.
    expect(machine.choices.map(answerTo)).toEqual([
      '10 mm proposed, the nearest: one warning speaks against it',
      'raw proposed',
    ]);
  });

  test('that do not, each go by themselves', () => {
    const two = room('shelf a {\n  load = 5 kg\n  plank = ?\n}\nshelf b {\n  load = 15 kg\n  plank = ?\n}');
    expect(chosen(two)).toEqual(['plank 10 mm', 'plank 20 mm']);
  });
});
