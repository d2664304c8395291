import { describe, expect, test } from 'vitest';
import { symbolAt } from '../../language/answers/meaning.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { bench, findingsOf, machineIn, mistakesIn, read, shown } from './support.ts';

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
    const taken = `${with_(...mat)}machine Other is Bench {\n  bed {\n    remove mat\n    heater plate_heater {\n      power = 200 W\n      voltage = 24 V\n    }\n  }\n  circuit bed_power {\n    path = [psu, fuse, wire, bed.cutoff, bed.heater]\n  }\n}\n`;
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
    const text = `${with_(...mat)}machine Other is Bench {\n  bed {\n    heater {\n      power = 240 W\n    }\n  }\n}\n`;
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
