import { describe, expect, test } from 'vitest';
import { symbolAt } from '../../language/answers/meanings-at.ts';
import type { Entry } from '../../language/grammar/generated/ast.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import {
  blockMadeAnew,
  buildPart,
  buildTree,
  type Instance,
  isRoleList,
  namesPutInto,
  noBlocks,
  type PartChoices,
  ringOfBases,
} from '../../language/machine/tree.ts';
import type { Member } from '../../language/names/kind.ts';
import type { Scope } from '../../language/names/scope.ts';
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
    const unnamed = kindsOfMotors.replace('gear drive {', 'gear {').replace('drive.teeth', 'gear.teeth');
    expect(errorsIn(variant('lamp gear { }', unnamed))[0]).toContain(
      'To say more of it, write gear; what it starts from is changed with is, as in gear is PART.',
    );
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

  /** The tree of an entry that stands alone, built by itself. */
  const built = (text: string, name: string, choices?: (scope: Scope) => PartChoices) => {
    const { file } = read(text);
    const entry = file.parsed.file.items.find((item) => item.$type === 'Entry' && item.name?.text === name);
    const tree = entry?.$type === 'Entry' && buildTree(entry, file.scope, choices?.(file.scope));
    if (!tree) throw new Error(`${name} makes no tree`);
    return { tree, entry, scope: file.scope };
  };
  const partOf = (scope: Scope, name: string) => {
    const found = scope.find(name);
    if (found?.node.$type !== 'Declaration') throw new Error(`there is no part ${name}`);
    return { node: found.node, scope: found.scope };
  };

  test('takes the part that stands in for an open choice, by its path below the machine', () => {
    const text = `${kinds}hall H {\n  lamp a is ?\n  lamp b is ?\n  hall inner {\n    lamp a is ?\n  }\n}\n`;
    const choices = (scope: Scope) => new Map([['inner.a', partOf(scope, 'bright')]]);
    const { tree, scope } = built(text, 'H', choices);
    const chosen = tree.children.get('inner')?.children.get('a');
    expect(chosen).toMatchObject({ open: false, part: { name: { text: 'bright' } } });
    expect(tree.children.get('a')).toMatchObject({ open: true, part: undefined });
    // A block made anew with another choice is the same block, and the old one stays as it was.
    const again = blockMadeAnew(tree, new Map([['a', partOf(scope, 'bright')]]));
    expect(again.children.get('a')).toMatchObject({ open: false, part: { name: { text: 'bright' } } });
    expect(again.children.get('b')?.open).toBe(true);
    expect(again).toMatchObject({ name: 'H', count: 1, open: false, layers: tree.layers });
    expect(tree.children.get('a')?.open).toBe(true);
  });

  test('a part that cannot be found is open as well: it may bring what is left out', () => {
    const { children } = hall('  lamp a is missing\n  lamp b is bright\n  lamp c');
    expect(['a', 'b', 'c'].map((name) => children.get(name)?.open)).toEqual([true, false, false]);
  });

  test('what stands alone and is put into another as it is is named, at any depth; a variant of it is not', () => {
    const text = `${kinds}hall H {\n  hall one is A\n  hall two is B {\n    lamp more\n  }\n  hall three {\n    hall four is C {\n    }\n  }\n  lamp d is ?\n}\n`;
    const { entry } = built(text, 'H');
    expect(namesPutInto(entry as Entry)).toEqual(['A', 'C']);
  });

  test('on another sees what that shares around it, and is no block of it', () => {
    const [{ tree }, { tree: ground }] = [
      built(`${kinds}hall H {\n}\n`, 'H'),
      built(`${kinds}hall G {\n  lamp a\n}\n`, 'G'),
    ];
    expect(tree.around).toBeUndefined();
    expect(tree.allWithGround()).toEqual([tree]);
    tree.ground = ground;
    expect(tree.around).toBe(ground);
    expect(tree.allWithGround().map(({ label }) => label)).toEqual(['H', 'G', 'a']);
    expect(blockMadeAnew(tree, new Map()).ground).toBe(ground);
    expect(ground.children.get('a')?.around).toBe(ground);
  });

  test('whose blocks come or go is asked anew which there are, also by what holds it', () => {
    const { tree } = built(`${kinds}hall H {\n  hall inner {\n    lamp a\n  }\n}\n`, 'H');
    const inner = tree.children.get('inner') as Instance;
    const lamp = inner.member('lamp') as Member;
    const [lamps, all] = [inner.filling(lamp), tree.all()];
    expect([lamps.length, all.length]).toEqual([1, 3]);
    expect(isRoleList(lamps)).toBe(true);
    expect(isRoleList([...lamps])).toBe(false);
    inner.children.delete('a');
    // Until it is told, it answers as before.
    expect([inner.filling(lamp), tree.all()]).toEqual([lamps, all]);
    inner.reshaped();
    expect(inner.filling(lamp)).toBe(noBlocks);
    expect(tree.all()).toHaveLength(2);
  });

  test('a block in the role that is always there brings what the role says of it, whoever writes it', () => {
    const filled = `kind crate is item {
  has fill: item {
    weight = 2 kg
  }
}
kind heap is item {
  weight: Mass
}
`;
    const kindsWithWeight = `${kinds.replace('kind item {\n  inside hall\n', 'kind item {\n  inside hall\n  weight: Mass?\n')}${filled}`;
    const weight = (body: string) => shown(machineIn(`${kindsWithWeight}hall H {\n${body}\n}\n`, 'H'), 'c.fill.weight');
    expect(weight('  crate c')).toBe('2 kg');
    expect(weight('  crate c {\n    item fill {\n    }\n  }')).toBe('2 kg');
    // By its name alone, and by a narrower kind.
    expect(weight('  crate c {\n    fill {\n    }\n  }')).toBe('2 kg');
    expect(weight('  crate c {\n    heap fill {\n    }\n  }')).toBe('2 kg');
    expect(weight('  crate c {\n    fill {\n      weight = 1 kg\n    }\n  }')).toBe('1 kg');
    // A block of a kind that does not fill the role takes nothing from it, and neither do those beside it.
    const { children } = machineIn(
      `${kindsWithWeight}hall H {\n  crate c {\n    lamp fill {\n    }\n    item other\n  }\n}\n`,
      'H',
    ).tree;
    const layers = (name: string) =>
      children
        .get('c')
        ?.children.get(name)
        ?.layers.map(({ mode }) => mode);
    expect([layers('fill'), layers('other')]).toEqual([['block'], ['block']]);
  });

  test('a value that is written as a block is none', () => {
    const { children } = hall(
      '  lamp a {\n    power {\n    }\n  }\n  lamp b {\n    power is bright\n  }\n  lamp c {\n    lamp power\n  }',
    );
    const names = (of: string) => [...(children.get(of)?.children.keys() ?? [])];
    expect([names('a'), names('b')]).toEqual([[], []]);
    // One with a kind before its name is a block, and that it has the name of a value is told elsewhere.
    expect(names('c')).toEqual(['power']);
  });

  test('what a text says of a role alone speaks of the block in it; who it means is kept', () => {
    const text = `${kinds}hall Base {\n  lamp a\n}\nhall H is Base {\n  lamp {\n    power = 3 W\n  }\n}\nhall Two is Base {\n  lamp b\n}\nhall Three is Two {\n  lamp {\n  }\n}\n`;
    const { tree, entry } = built(text, 'H');
    const said = (entry as Entry).body?.members[0] as Entry;
    expect(tree.meant.get(said)).toBe('a');
    expect(tree.nameFor(said)).toBe('a');
    expect(tree.blockOf(said)).toBe(tree.children.get('a'));
    const three = built(text, 'Three');
    const unclear = (three.entry as Entry).body?.members[0] as Entry;
    expect(three.tree.unclear.get(unclear)).toEqual(['a', 'b']);
    expect(three.tree.blockOf(unclear)).toBeUndefined();
  });

  test('what is taken away by the name of its role goes, though the file that does so knows no such kind', () => {
    const files = {
      'c.gusset': 'use "./b.gusset"\nyard Bare is Base {\n  no buoy\n}\nyard Kept is Base {\n  no mast\n}\n',
      'b.gusset': 'use "./a.gusset"\nyard Base {\n  buoy red\n  mast tall\n  bell buoy_bell\n}\n',
      'a.gusset':
        'kind yard {\n  toplevel\n  has buoy*\n  has mast*\n  has bell?\n}\nkind buoy {\n}\nkind mast {\n}\nkind bell {\n}\n',
    };
    const left = (name: string) => [...machineIn(files, name).tree.children.keys()].toSorted();
    expect(left('Bare')).toEqual(['buoy_bell', 'tall']);
    expect(left('Kept')).toEqual(['buoy_bell', 'red']);
  });
});
