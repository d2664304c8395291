import { describe, expect, test } from 'vitest';
import { evaluate } from '../../language/compute/evaluate.ts';
import { type Frame, Locals, withLocals } from '../../language/compute/frame.ts';
import type { Call, Entry, Expression } from '../../language/grammar/generated/ast.ts';
import { Project } from '../../language/project.ts';
import { library, machineIn, mistakesIn, shown } from '../support.ts';
import { meanings, text } from '../types/one-meaning.ts';

const kinds = `/// Holds lamps.
kind hall {
  toplevel
  shared mains: Voltage default 230 V
  width: Length default 4 m
  has lamp*
  has door {
    height = width / 2
  }
}
/// A lamp.
kind lamp {
  voltage: Voltage = mains {
    source defined "a test"
  }
  named: Text = holder.name {
    source defined "a test"
  }
  itself: YesNo = self.count == 2 {
    source defined "a test"
  }
  part_given: YesNo = given(part) {
    source defined "a test"
  }
  maker: Text = part otherwise "none" {
    source defined "a test"
  }
  reach: Length?
  lit: one of bright, dim default dim
}
/// A lamp of a maker.
part small_lamp is lamp {
  lit = bright
}
/// A door.
kind door {
  height: Length
}
`;
const hall = (body: string) => machineIn(`${kinds}hall H {\n${body}\n}\n`);

describe('a name comes to', () => {
  const machine = hall('  lamp a * 2\n  lamp b is small_lamp\n  width = 6 m');

  test('what the blocks around share', () => {
    expect(shown(machine, 'a.voltage')).toBe('230 V');
    expect(shown(hall('  mains = 120 V\n  lamp a'), 'a.voltage')).toBe('120 V');
  });

  test('a value of the kind around the block of a role', () => expect(shown(machine, 'door.height')).toBe('3 m'));

  test('the block itself, what holds it, and what every block has', () => {
    expect(shown(machine, 'a.named')).toBe('H');
    expect(shown(machine, 'a.itself')).toBe('yes');
    expect(shown(machine, 'b.itself')).toBe('no');
    expect(shown(machine, 'a.part_given')).toBe('no');
    expect(shown(machine, 'a.maker')).toBe('none');
    expect(shown(machine, 'b.maker')).toBe('small_lamp');
    expect(shown(machine, 'b.part_given')).toBe('yes');
  });

  test('a word that is expected there, though a block goes by it', () => {
    expect(shown(hall('  lamp bright\n  lamp a { lit = bright }'), 'a.lit')).toBe('bright');
  });

  test('a block around, by its name, in the text of a machine', () => {
    const beside = hall('  lamp a {\n    reach = 2 m\n  }\n  lamp b {\n    reach = 2 * a.reach\n  }');
    expect(shown(beside, 'b.reach')).toBe('4 m');
  });
});

describe('of what a name could mean, it comes to the first', () => {
  test.each(meanings)('$step', ({ value: [path, expected] }) => expect(shown(machineIn(text), path)).toBe(expected));

  test('and nothing of it is a mistake', () => expect(mistakesIn(text)).toEqual([]));
});

describe('a role, and what several blocks share', () => {
  const yards = `kind yard {
  toplevel
  shared air: Temperature default 20 degC
  has shed*
}
kind shed {
  toplevel
  has lamp*
  has door?
  has lock: door
  lamps: Count = count(l for l in lamp)
  lamps_at_once: Count = count(lamp)
  lamps_listed: Count = count([first(l for l in lamp)])
  has_door: YesNo = given(door)
  tall: Length = door.height otherwise 9 m
  lock_tall: Length = lock.height
  air_known: YesNo = given(air)
  warm: Temperature = air otherwise 5 degC
}
kind lamp {
  around: Text = holder.name
}
kind door {
  height: Length default 2 m
}
part tall_shed is shed {
  door { height = 3 m }
}
sizes heights: Length = [low = 1 m, high = 2 m]
constant far: Length = 2 * high
`;
  const of = (text: string, name?: string) => machineIn(yards + text, name);
  const all = (machine: ReturnType<typeof of>, ...paths: string[]) => paths.map((path) => shown(machine, path));

  test('of any number comes to the blocks in it, of one to that, and to nothing where it is not filled', () => {
    const empty = of('shed S {\n}\n');
    expect(all(empty, 'lamps', 'has_door', 'tall')).toEqual(['0', 'no', '9 m']);
    const full = of('shed S {\n  lamp a\n  lamp b * 2\n  door front { height = 4 m }\n}\n');
    expect(all(full, 'lamps', 'has_door', 'tall')).toEqual(['3', 'yes', '4 m']);
    // Each as often as it is there, however it is asked; a list that is written holds what it names.
    expect(all(full, 'lamps_at_once', 'lamps_listed')).toEqual(['3', '1']);
    // By its own name in the text of a machine, by its role in a kind's.
    const named = of('shed S {\n  door front { height = 4 m }\n  lock { height = front.height / 2 }\n}\n');
    expect(all(named, 'tall', 'lock_tall')).toEqual(['4 m', '2 m']);
  });

  test('is filled by what the part brings that a block starts from', () => {
    expect(all(of('yard Y {\n  shed s is tall_shed\n}\n'), 's.has_door', 's.tall')).toEqual(['yes', '3 m']);
  });

  test('what is shared is left out where nothing around shares it', () => {
    expect(all(of('shed S {\n}\n'), 'air_known', 'warm')).toEqual(['no', '5 °C']);
    const yard = of('yard Y {\n  air = 30 degC\n  shed s\n}\n');
    expect(all(yard, 's.air_known', 's.warm')).toEqual(['yes', '30 °C']);
  });

  test('a holder is asked as far as there is one', () => {
    const one = of('shed S {\n  lamp a\n}\n');
    expect(all(one, 'a.around')).toEqual(['S']);
    const two = of('yard Y {\n  shed s {\n    lamp a\n  }\n}\n');
    expect(all(two, 's.a.around')).toEqual(['s']);
  });

  test('a size and a constant come to what they are declared with', () => {
    const sized = of('shed S {\n  door { height = low }\n  lock { height = far }\n}\n');
    expect(all(sized, 'tall', 'lock_tall')).toEqual(['1 m', '4 m']);
  });
});

test('a name that is declared otherwise after an edit means that, in a text that stays as it is', () => {
  const project = new Project(library, { read: () => undefined });
  const area = (constant: string) => {
    const text = `kind hall {
  toplevel
  area: Length = 2 m * factor
}
${constant}
hall H {
}
`;
    const [machine] = project.machines(project.update('file:///hall.gusset', text));
    return machine && shown(machine, 'area');
  };
  expect(area('constant factor: Ratio = 2')).toBe('4 m');
  expect(area('constant factor: Ratio = 3')).toBe('6 m');
  expect(area('constant other: Ratio = 3')).toBe('not known');
  expect(area('constant factor: Ratio = 4')).toBe('8 m');
});

test('the same name is what a question goes through, and by itself what its block has', () => {
  const { tree, engine } = machineIn(
    'kind hall {\n  toplevel\n  width: Length default 4 m\n  total: Length = sum(width for width in [1 m, 2 m])\n}\nhall H {\n}\n',
  );
  const total = tree.kind.members.get('total') as { node: unknown };
  const name = ((total.node as Entry).value as Call).arguments[0]?.value as Expression;
  const alone: Frame = { engine, self: tree, scope: tree.kind.scope, mode: 'kind' };
  const asked = withLocals(alone, new Locals(['width'], [1]));
  expect([alone, asked, alone, asked].map((frame) => evaluate(name, frame))).toEqual([4, 1, 4, 1]);
});

test('a name of a function of the language is what the block around has, where nothing is called', () => {
  const machine = machineIn(
    'kind hall {\n  toplevel\n  shared first: Length default 3 m\n  has lamp\n}\nkind lamp {\n  reach: Length = first * 2\n}\nhall H {\n  lamp\n}\n',
  );
  expect(shown(machine, 'lamp.reach')).toBe('6 m');
});
