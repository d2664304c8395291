import { describe, expect, test } from 'vitest';
import { symbolAt } from '../../language/answers/meaning.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { buildPart, ringOfBases } from '../../language/machine/tree.ts';
import { bench, findingsOf, fixed, machineIn, mistakesIn, read, shown } from '../support.ts';

const with_ = (...changes: [from: string, to: string][]) =>
  changes.reduce((text, [from, to]) => {
    if (!text.includes(from)) throw new Error(`the bench has no ${from}`);
    return text.replace(from, to);
  }, bench);

/** The bench's heater, called a mat. */
const mat: [string, string][] = [
  ['    heater {', '    heater mat {'],
  ['bed.heater]', 'bed.mat]'],
];

describe('a role without a name of its own', () => {
  test('is filled by the block of its kind, whatever that is called', () => {
    const bare: [string, string][] = [
      ['    cutoff is thermal_link_133c\n', ''],
      ['bed.cutoff, ', ''],
    ];
    const found = findingsOf(machineIn(with_(...bare)));
    expect(found.join()).toContain('stuck');
    const named = findingsOf(machineIn(with_(...bare, ...mat)));
    expect(named.map((line) => line.replaceAll('bed.mat', 'bed.heater'))).toEqual(found);
    const sensor = with_(['    sensor is', '    sensor bead is']);
    expect(findingsOf(machineIn(sensor))).toEqual([]);
    expect(machineIn(sensor).assessment.held).toBe(machineIn(bench).assessment.held);
  });

  test('leads there from formulas, paths and requirements', () => {
    const text = with_(...mat, [
      '  circuit bed_power',
      '  require bed.heater.power <= 260 W\n  circuit bed_power',
    ]).replace('bed.mat]', 'bed.heater]');
    expect(mistakesIn(text)).toEqual([]);
    const machine = machineIn(text);
    expect(machine.assessment.requirements.map((r) => r.holds)).toEqual([true]);
    expect(shown(machine, 'bed_power.load')).toBe('bed.mat');
    expect(findingsOf(machine)).toEqual([]);
  });

  test('is filled by a block of a subkind, which is typed as that', () => {
    const kinds = `kind pad is heater {\n  thickness_of_felt: Length\n}\n`;
    const text =
      kinds + with_(['    heater {', '    pad felt {\n      thickness_of_felt = 2 mm'], ['bed.heater]', 'bed.felt]']);
    const required = text.replace('  circuit', '  require bed.heater.thickness_of_felt > 1 mm\n  circuit');
    expect(mistakesIn(required)).toEqual([]);
    expect(machineIn(required).assessment.requirements.map((r) => r.holds)).toEqual([true]);
  });

  test('is not filled by a block of another kind that has its name', () => {
    const text = with_(
      ['    sensor is', '    sensor cutoff is'],
      ['    cutoff is', '    cutoff link is'],
      ['bed.cutoff,', 'bed.link,'],
    );
    expect(mistakesIn(text)).toEqual([]);
    expect(findingsOf(machineIn(text))).toEqual([]);
    expect(machineIn(text).assessment.held).toBe(machineIn(bench).assessment.held);
  });

  test('in parts, in variants, and taken away', () => {
    const part = `part warm_bed is bed {\n  heater mat {\n    power = 250 W\n    voltage = 24 V\n  }\n}\n`;
    const text =
      part +
      with_(
        ['  bed {', '  bed is warm_bed {'],
        ['    heater {\n      power = 250 W\n      voltage = 24 V\n    }\n', ''],
      );
    expect(mistakesIn(text)).toEqual([]);
    expect(findingsOf(machineIn(text))).toEqual([]);
    const variant = `${with_(...mat)}machine Other is Bench {\n  bed {\n    heater mat {\n      power = 240 W\n    }\n  }\n  require bed.heater.power < 245 W\n}\n`;
    expect(mistakesIn(variant)).toEqual([]);
    expect(machineIn(variant, 'Other').assessment.requirements.map((r) => r.holds)).toEqual([true]);
    const taken = `${with_(...mat)}machine Other is Bench {\n  bed {\n    no mat\n    heater plate_heater {\n      power = 200 W\n      voltage = 24 V\n    }\n  }\n  circuit bed_power {\n    path = [psu, fuse, wire, bed.cutoff, bed.heater]\n  }\n}\n`;
    expect(mistakesIn(taken)).toEqual([]);
    expect(shown(machineIn(taken, 'Other'), 'bed_power.load')).toBe('bed.plate_heater');
  });
});

describe('a role for one block that two fill', () => {
  test('is an error that names both', () => {
    const two = with_([
      '    heater {',
      '    heater second {\n      power = 900 W\n      voltage = 230 V\n    }\n    heater {',
    ]);
    expect(mistakesIn(two)).toEqual([
      expect.stringMatching(
        /^16: A bed has one heater, and here second and heater are each one\. Take one of them away\.$/,
      ),
    ]);
  });

  test('in a variant it says how to mean what is there already', () => {
    const text = `${with_(...mat)}machine Other is Bench {\n  bed {\n    heater second {\n      power = 240 W\n    }\n  }\n}\n`;
    expect(mistakesIn(text).filter((m) => !m.includes('Not given'))).toEqual([
      expect.stringContaining('To say more of what is there already, write heater mat;'),
    ]);
  });

  test('two roles that one block could fill are an error where the kind is declared', () => {
    const kinds = `kind warmer is component {\n}\nkind strong_warmer is warmer {\n}\nkind room is component {\n  inside machine\n  has warmer?\n  has strong_warmer?\n}\n`;
    expect(mistakesIn(kinds)).toEqual([
      '8: A room has the roles strong_warmer and warmer, and a block of kind strong_warmer could fill either: give one of them a name of its own, as in has NAME: warmer.',
    ]);
    expect(mistakesIn(kinds.replace('has warmer?', 'has spare: warmer'))).toEqual([]);
    expect(mistakesIn(kinds.replace('has warmer?', 'has warmer*'))).toEqual([]);
  });
});

const kindsOfMotors = `kind wheel {
  inside machine
  turns: Count?
}
kind gear is wheel {
  teeth: Count?
}
kind lamp {
  inside machine
}
part small_gear is gear {
  teeth = 12
}
machine Base {
  gear drive {
    teeth = 20
  }
  require drive.teeth > 10
}
`;
const errorsIn = (text: string) => mistakesIn(text).filter((told) => !told.includes('Not given'));
const variant = (body: string, base = kindsOfMotors) => `${base}machine Other is Base {\n  ${body}\n}\n`;

describe('what is there already keeps its kind', () => {
  test.each([
    ['by a kind that it descends from', 'wheel drive { teeth = 30 }'],
    ['by its name alone', 'drive { teeth = 30 }'],
    ['by its kind alone', 'gear { teeth = 30 }'],
    ['by a wider kind alone', 'wheel { teeth = 30 }'],
  ])('%s more is said of it', (_, body) => {
    const text = variant(`${body}\n  require drive.teeth == 30`);
    expect(errorsIn(text)).toEqual([]);
    const { tree, assessment } = machineIn(text, 'Other');
    expect(tree.children.get('drive')?.kind.name).toBe('gear');
    expect([...tree.children.keys()].filter((name) => name !== 'place')).toContain('drive');
    expect(tree.children.has('gear') || tree.children.has('wheel')).toBe(false);
    expect(assessment.requirements.map((r) => r.holds)).toEqual([true, true]);
  });

  test('an unrelated kind, and a narrower one, are errors that name both', () => {
    expect(errorsIn(variant('lamp drive { }'))).toEqual([
      '21: drive is a gear, and a lamp is something else. To say more of it, write gear drive; what it starts from is changed with is, as in gear drive is PART.',
    ]);
    const wider = kindsOfMotors.replace('gear drive {\n    teeth = 20', 'wheel drive {').replace(/ *require.*\n/, '');
    const [told] = errorsIn(variant('gear drive { }', wider));
    expect(told).toContain('drive is a wheel, and not every wheel is a gear. To say more of it, write wheel drive;');
    const [fix] = fixed(variant('lamp drive { }')).entries();
    expect(fix?.[0]).toBe('Write gear');
    expect(errorsIn(fix?.[1] as string)).toEqual([]);
  });

  test('`is` changes it', () => {
    const wider = kindsOfMotors.replace('gear drive {\n    teeth = 20', 'wheel drive {').replace(/ *require.*\n/, '');
    for (const body of ['wheel drive is small_gear', 'drive is small_gear', 'drive is gear { teeth = 12 }']) {
      const text = variant(`${body}\n  require drive.teeth == 12`, wider);
      expect(errorsIn(text)).toEqual([]);
      expect(machineIn(text, 'Other').tree.children.get('drive')?.kind.name).toBe('gear');
    }
    expect(errorsIn(variant('lamp drive is small_gear', wider))).toEqual([
      '19: small_gear is a gear; expected a lamp.',
    ]);
  });

  test('a kind alone that could mean several is an error that names them', () => {
    const two = kindsOfMotors.replace('  require', '  gear idler { }\n  require');
    const text = variant('gear { teeth = 30 }', two);
    expect(errorsIn(text)).toEqual([
      '22: Which gear is meant is not said: there are drive and idler already. Write gear drive or gear idler, or give this one a name of its own.',
    ]);
    expect([...fixed(text).keys()]).toEqual(['Write gear drive', 'Write gear idler']);
    expect(errorsIn(variant('gear third { teeth = 30 }', two))).toEqual([]);
  });

  test('what a text itself puts beside another is a block of its own', () => {
    expect(errorsIn(kindsOfMotors.replace('  require', '  gear { }\n  require'))).toEqual([]);
  });
});

test('a kind stands before the name, and a part behind `is`', () => {
  const text = kindsOfMotors.replace('gear drive {', 'wheel drive is gear {');
  expect(errorsIn(text)).toEqual([
    '15: gear is a kind, and stands before the name: gear drive. Behind is stands a part, or what changes the kind of a block that is there already.',
  ]);
  expect(fixed(text).get('Write gear drive')).toBe(kindsOfMotors);
});

test('a machine starts from a machine', () => {
  expect(errorsIn(`${kindsOfMotors}machine Other is small_gear {\n}\n`)).toEqual([
    '20: small_gear is a gear; expected a machine.',
  ]);
  expect(errorsIn(`${kindsOfMotors}machine Other is lamp {\n}\n`)).toEqual(['20: lamp is a lamp; expected a machine.']);
  const site = `${kindsOfMotors}site Yard {\n  machine first is Base\n}\n`;
  expect(errorsIn(site)).toEqual([]);
  expect(errorsIn(`${site}machine Other is Yard {\n}\n`)).toEqual(['23: Yard is a site; expected a machine.']);
});

const lists = `kind weight is component {
  grams: Mass
}
kind heavy is weight {
}
kind tray is component {
  inside machine
  has left: heavy
  has weight*
  has heavy*
  /// All.
  all_of_it: Mass = sum(w.grams for w in weight) + sum(w.grams for w in heavy) {
    source defined "each once"
  }
  /// Whether any stands in it.
  has_heavy: YesNo = given(heavy) {
    source defined "any"
  }
}
machine M {
  tray {
    weight a {
      grams = 1 g
    }
    weight weight {
      grams = 10 g
    }
    heavy b * 2 {
      grams = 100 g
    }
    heavy left {
      grams = 1 kg
    }
  }
}
`;

describe('roles for any number of blocks', () => {
  test('are lists; a block that a narrow and a wide one would take counts once, in the narrow one', () => {
    expect(shown(machineIn(lists), 'tray.all_of_it')).toBe('211 g');
    expect(shown(machineIn(lists), 'tray.has_heavy')).toBe('yes');
    const none = lists.replace(/ {4}heavy b[^}]*}\n/, '');
    expect(shown(machineIn(none), 'tray.all_of_it')).toBe('11 g');
    expect(shown(machineIn(none), 'tray.has_heavy')).toBe('no');
  });

  test('a role with a name of its own is filled by that name only', () => {
    const without = lists.replace('heavy left', 'heavy right');
    expect(mistakesIn(without)).toContain('21: Not given yet: left. What depends on it is not known.');
    expect(shown(machineIn(without), 'tray.all_of_it')).toBe('1.21 kg');
  });
});

test('an edit that renames a block, or adds one of its kind, reaches what rests on the role', () => {
  const { project, file } = read(with_(...mat));
  const power = () => shown(project.machines(file)[0] as Parameters<typeof shown>[0], 'bed.heater.power');
  expect(power()).toBe('250 W');
  project.update(
    file.uri,
    with_(...mat)
      .replaceAll('mat {', 'pad {')
      .replace('bed.mat', 'bed.pad')
      .replace('250 W', '240 W'),
  );
  expect(power()).toBe('240 W');
});

test('the name of a role leads to the block that fills it, and to the role', () => {
  const { file } = read(with_(...mat).replace('bed.mat]', 'bed.heater]'));
  const { text } = file.parsed;
  const meaning = symbolAt(file, text.indexOf('bed.heater]') + 5);
  expect(meaning?.instance?.name).toBe('mat');
  const [first, role] = meaning?.declarations ?? [];
  expect(first && rangeOf(first).start).toBe(text.indexOf('mat {'));
  expect(role && role !== first).toBe(true);
});

describe('a tree', () => {
  const kinds = `kind hall {
  toplevel
  inside hall
  has lamp*
}
kind item {
  inside hall
}
kind lamp {
  power: Power
}
kind box is item {
  has fill: item {
  }
}
part bright is lamp {
  power = 10 W
}
part deep is box {
  fill is deep
}
`;
  const hall = (body: string, more = '') =>
    machineIn(`${kinds}hall H {\n${body}\n}\n${more}`, more ? undefined : 'H').tree;

  test('knows the part that a block starts from, the nearest where several do', () => {
    const parts = 'part brighter is bright {\n}\n';
    const { children } = machineIn(
      `${parts}${kinds}hall H {\n  lamp a\n  lamp b is bright\n  lamp c is brighter\n}\n`,
    ).tree;
    expect(['a', 'b', 'c'].map((name) => children.get(name)?.part?.name?.text)).toEqual([
      undefined,
      'bright',
      'brighter',
    ]);
  });

  test('of a part that stands for itself starts from what that starts from', () => {
    const { file } = read(`${kinds}part brighter is bright {\n}\n`);
    const stands = (name: string) => {
      const node = file.scope.find(name)?.node;
      return node?.$type === 'Declaration' ? buildPart(node, file.scope) : undefined;
    };
    expect(stands('brighter')).toMatchObject({
      name: 'brighter',
      kind: { name: 'lamp' },
      part: { name: { text: 'bright' } },
    });
    expect(stands('bright')?.part).toBeUndefined();
  });

  test('a kind alone means the block that was put there by a part alone', () => {
    const variant = (body: string) =>
      machineIn(`${kinds}hall Base {\n  a is bright\n}\nhall H is Base {\n${body}\n}\n`, 'H').tree.children;
    expect([...variant('  lamp {\n    power = 3 W\n  }').keys()]).toEqual(['a']);
    expect([...variant('  item {\n  }').keys()]).toEqual(['item', 'a']);
  });

  test('a machine on a site with nothing more said of it is that machine, with more it is a variant', () => {
    const of = (site: string) => {
      const text = `${kinds}hall Base {\n  lamp a is bright\n}\nhall Site {\n${site}\n}\n`;
      const base = machineIn(text, 'Site').tree.children.get('b');
      return base?.layers.map(({ elsewhere }) => elsewhere ?? false);
    };
    expect(of('  hall b is Base')).toEqual([false, false]);
    expect(of('  hall b is Base {\n  }')).toEqual([false, false]);
    expect(of('  hall b is Base {\n    lamp c\n  }')).toEqual([false, true]);
  });

  test('a block of a wider kind is what its part is', () => {
    const { children } = hall('  item b is deep');
    expect(children.get('b')?.kind.name).toBe('box');
    expect(hall('  lamp').children.get('lamp')?.kind.name).toBe('lamp');
    expect(hall('  nothing n').children.has('n')).toBe(false);
  });

  test('a kind alone in a variant means what was there without a part, too', () => {
    const text = `${kinds}hall Base {\n  lamp a\n}\nhall H is Base {\n  lamp {\n    power = 3 W\n  }\n}\n`;
    expect([...machineIn(text, 'H').tree.children.keys()]).toEqual(['a']);
  });

  test('of two blocks of one name the first counts', () => {
    const { children } = hall('  lamp a is bright\n  lamp a * 3 {\n    power = 1 W\n  }');
    expect(children.get('a')).toMatchObject({ count: 1, layers: [{}, {}] });
    expect(children.size).toBe(1);
  });

  test('that starts from itself ends there: what would fill its role is not put there either', () => {
    const { children } = hall('  box b is deep');
    const box = children.get('b');
    expect([...(box?.children.keys() ?? [])]).toEqual([]);
    expect([...(box?.endless ?? [])]).toEqual(['fill']);
    expect([...(box?.broken ?? [])]).toEqual(['fill']);
    // The good neighbour: what is always there is.
    expect([...(hall('  box b').children.get('b')?.children.keys() ?? [])]).toEqual(['fill']);
  });

  test('names its blocks by their path, and all of them outermost first', () => {
    const tree = hall('  hall inner {\n    lamp a\n  }\n  lamp b * 2');
    expect(tree.all().map(({ path, label, count }) => [path, label, count])).toEqual([
      ['H', 'H', 1],
      ['H.inner', 'inner', 1],
      ['H.inner.a', 'inner.a', 1],
      ['H.b', 'b', 2],
    ]);
    expect(tree.children.get('inner')?.children.get('a')?.root).toBe(tree);
  });

  test('ring of bases is named from its beginning, and what leads into one is none itself', () => {
    const { file } = read(
      `${kinds}hall A is B {\n}\nhall B is C {\n}\nhall C is A {\n}\nhall D is A {\n}\nhall E {\n}\n`,
    );
    const rings = file.parsed.file.items.flatMap((item) =>
      item.$type === 'Entry' ? [ringOfBases(item, file.scope)?.join(' ')] : [],
    );
    expect(rings).toEqual(['A B C A', 'B C A B', 'C A B C', undefined, undefined]);
  });
});
