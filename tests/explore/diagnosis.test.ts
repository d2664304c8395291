import { describe, expect, test } from 'vitest';
import { DiagnosisError, diagnose, machineAt, symptomsOf, symptomsShown } from '../../language/explore/diagnosis.ts';
import { read } from '../support.ts';

/** A stove of 50 W that warms by 100 K; its lid may stand open, its flue be blocked. */
const stove = (more = '') => `kind stove {
  toplevel
  /// How warm the room is.
  room: Temperature default 20 degC
  /// What it gives.
  power: Power {
    varies 10 %
    how "Measure what {name} draws"
    reads current
  }
  /// How well it holds heat.
  resistance: ThermalResistance default 2 K/W {
    source recalled "stoves of that sort"
  }
  /// How much it warms.
  rise: TemperatureDifference = power * resistance {
    source defined "R P"
  }
  /// How hot it gets.
  hot: Temperature = room + rise {
    source defined "room and rise"
  }
  /// What it draws.
  current: Current = power / 10 V {
    source defined "P / U"
  }
  /// It burns what is put on it
  symptom burns {
    shows rise > 200 K
  }
  /// Its lid is open
  defect lid_open {
    alters resistance = 20 % * resistance .. 60 % * resistance
    odds 5 %
    how "Look at the lid of {name}"
  }
  /// Its flue is blocked
  defect flue_blocked {
    when power > 10 W
    alters resistance = 3 K/W .. 5 K/W
    odds 2 %
    how "Look into the flue: {resistance}"
    reads hot
  }
  /// It is switched to little
  defect turned_down {
    alters power = 30 W
    odds 1 %
    how "Look at its switch"
  }
}
stove s {
  power = 50 W
${more}}
`;
const of = (text: string) => ({ ...read(text), machine: 's' });
const paths = (seen: readonly string[], text = stove(), at: readonly string[] = []) =>
  diagnose(of(text), seen, at).causes.map(({ path }) => path);

describe('what would explain a measured value', () => {
  test('a value within a tolerance is told as that, and where it would have to be', () => {
    const [first] = diagnose(of(stove()), ['rise = 105 K'], []).causes;
    expect(first).toMatchObject({
      by: 'tolerance',
      path: 'power',
      explains: true,
      change: 'power 52.5 W instead of 50 W',
    });
    expect(first).toMatchObject({ how: 'Measure what s draws', reads: '5.25 A', asWritten: '5 A', seen: ['105 K'] });
  });

  test('causes are weighed as Bayes’ rule has it, in closed form', () => {
    // Of Student's t with three degrees of freedom the antiderivative is known; both inputs move the value in a straight line.
    const area = (z: number) => (z / (1 + z ** 2 / 3) + Math.sqrt(3) * Math.atan(z / Math.sqrt(3))) / 2;
    const error = 0.02 * 105;
    const within = (low: number, high: number) =>
      (area((high - 105) / error) - area((low - 105) / error)) / ((high - low) / error);
    const { causes } = diagnose(of(stove()), ['rise = 105 K'], []);
    const weight = (path: string) => causes.find((cause) => cause.path === path)?.weight ?? Number.NaN;
    const asWritten = (1 + (5 / error) ** 2 / 3) ** -2;
    expect(weight('power') / weight('resistance')).toBeCloseTo(within(90, 110) / (0.1 * within(80, 120)), 1);
    const told = causes.reduce((sum, cause) => sum + cause.weight, 0);
    expect(weight('power') / (1 - told)).toBeCloseTo(within(90, 110) / asWritten, 1);
  });

  test('beyond what tolerances explain a defect is, at the amount that it would take', () => {
    const { causes, observed, tried } = diagnose(of(stove()), ['rise = 50 K'], []);
    expect(causes[0]).toMatchObject({
      by: 'defect',
      path: 'lid_open',
      title: 'Its lid is open',
      change: 'resistance 1 K/W instead of 2 K/W',
      how: 'Look at the lid of s',
    });
    expect(causes[0]?.reads).toBeUndefined();
    expect(causes.filter(({ explains }) => explains)).toHaveLength(1);
    expect(observed).toEqual([{ what: 'rise 50 K', computed: '100 K', isAsComputed: false }]);
    expect(tried).toBe(5);
  });

  test('a defect with one amount explains only that', () => {
    expect(paths(['rise = 60 K', 'current = 3 A'])[0]).toBe('turned_down');
    expect(diagnose(of(stove()), ['rise = 70 K', 'current = 3 A'], []).causes[0]?.explains).toBe(false);
  });

  test('a second reading tells causes apart that one does not', () => {
    expect(paths(['rise = 60 K']).slice(0, 2)).toEqual(['turned_down', 'lid_open']);
    expect(paths(['rise = 60 K', 'current = 5 A'])[0]).toBe('lid_open');
    expect(paths(['rise = 115 K', 'current = 5 A'])[0]).toBe('resistance');
  });

  test('readings that two causes share are told', () => {
    const { causes } = diagnose(of(stove()), ['hot = 170 degC'], ['room = 20 degC']);
    const blocked = causes.find(({ path }) => path === 'flue_blocked');
    expect(blocked).toMatchObject({ reads: '170 °C', asWritten: '120 °C', alike: [], explains: true });
    const { causes: both } = diagnose(of(stove()), ['rise = 105 K'], []);
    expect(both.find(({ path }) => path === 'power')?.alike).not.toContain('turned_down');
    expect(both.find(({ path }) => path === 'resistance')?.alike).toEqual([]);
  });

  test('causes that read alike where it is looked are told of each other', () => {
    const both = stove()
      .replace('how "Look at its switch"', 'how "Look at its switch"\n    reads hot')
      .replace('how "Look at the lid of {name}"', 'how "Look at the lid of {name}"\n    reads hot');
    const { causes } = diagnose(of(both), ['rise = 60 K'], []);
    const alike = (path: string) => causes.find((cause) => cause.path === path)?.alike;
    expect(alike('turned_down')).toEqual(['lid_open']);
    expect(alike('lid_open')).toContain('turned_down');
    expect(causes.find(({ path }) => path === 'turned_down')).toMatchObject({ reads: '80 °C', asWritten: '120 °C' });
  });

  test('a temperature is as computed within a kelvin, another reading within two hundredths, and nothing is read exactly', () => {
    const isAsComputed = (seen: string) => diagnose(of(stove()), [seen], []).observed[0]?.isAsComputed;
    expect(isAsComputed('hot = 120.9 degC')).toBe(true);
    expect(isAsComputed('hot = 121.1 degC')).toBe(false);
    expect(isAsComputed('rise = 101.9 K')).toBe(true);
    expect(isAsComputed('rise = 102.1 K')).toBe(false);
    const { causes } = diagnose(of(stove()), ['rise = 0 K'], []);
    expect(causes.length).toBeGreaterThan(0);
    expect(causes.every(({ weight }) => Number.isFinite(weight))).toBe(true);
  });

  test('spaces around what was said are nothing', () => {
    expect(paths([' rise  =  60 K '])).toEqual(paths(['rise = 60 K']));
    expect(paths([' burns '])).toEqual(paths(['burns']));
  });

  test('a defect of which one end cannot be computed is looked at in between', () => {
    const divided = stove()
      .replace('= power * resistance {', '= power / (1 / resistance) {')
      .replace('20 % * resistance .. 60 % * resistance', '0 K/W .. 2 K/W');
    const [first] = diagnose(of(divided), ['rise = 50 K'], []).causes;
    expect(first).toMatchObject({ path: 'lid_open', explains: true, change: 'resistance 1 K/W instead of 2 K/W' });
  });

  test('a reading that is no other than as it is written says nothing, and no cause is alike in that', () => {
    const same = stove().replace('how "Look at its switch"', 'how "Look at its switch"\n    reads room');
    const { causes } = diagnose(of(same), ['rise = 60 K'], []);
    const found = (path: string) => causes.find((cause) => cause.path === path);
    expect(found('turned_down')).not.toHaveProperty('reads');
    expect(found('turned_down')).not.toHaveProperty('asWritten');
    // Nor does one without a reading read like the others.
    expect(found('lid_open')?.alike).toEqual([]);
    expect(found('lid_open')).not.toHaveProperty('reads');
    // Twice the reading's own error of 3 in a hundred apart tells them apart; within it nothing does.
    expect(diagnose(of(stove()), ['rise = 101 K'], []).causes.find(({ path }) => path === 'power')).not.toHaveProperty(
      'reads',
    );
  });

  test('of eight at most it is told, those that explain it first', () => {
    const many = stove().replace(
      '  /// Its flue',
      `${Array.from({ length: 9 }, (_, i) => `  /// Crack ${i}\n  defect crack_${i} {\n    alters resistance = ${1 + i / 10} K/W\n    odds ${i + 1} %\n  }\n`).join('')}  /// Its flue`,
    );
    const { causes, tried } = diagnose(of(many), ['rise = 65 K'], []);
    expect([causes.length, tried]).toEqual([8, 14]);
    const explaining = causes.map(({ explains }) => explains);
    expect(explaining).toEqual(explaining.toSorted((a, b) => Number(b) - Number(a)));
    expect(causes.filter(({ explains }) => explains).map(({ weight }) => weight)).toEqual(
      causes
        .filter(({ explains }) => explains)
        .map(({ weight }) => weight)
        .toSorted((a, b) => b - a),
    );
  });

  test('where a defect cannot be, it is not told', () => {
    expect(paths(['rise = 30 K'], stove().replace('power = 50 W', 'power = 8 W'))).not.toContain('flue_blocked');
  });

  test('what is measured as it is computed is said to be so', () => {
    expect(diagnose(of(stove()), ['rise = 101 K'], []).observed[0]?.isAsComputed).toBe(true);
  });

  test('a range is taken in its middle, is a cause itself, and none once it is said', () => {
    const ranged = stove('  room = 10 degC .. 30 degC\n');
    const found = diagnose(of(ranged), ['hot = 113 degC'], []);
    expect(found.at).toEqual(['room 20 °C']);
    expect(found.causes[0]).toMatchObject({ by: 'range', path: 'room', change: 'room 13 °C' });
    const said = diagnose(of(ranged), ['hot = 113 degC'], ['room = 20 degC']);
    expect(said.at).toEqual([]);
    expect(said.causes.map(({ by }) => by)).not.toContain('range');
  });

  test('without anything said, what the text measured and differs is asked about', () => {
    const noted = stove('  measured rise = 50 K on 2026-01-02\n  measured current = 5 A on 2026-01-02\n');
    expect(diagnose(of(noted), [], []).observed.map(({ what }) => what)).toEqual(['rise 50 K']);
    expect(diagnose(of(noted), ['hot = 120 degC'], []).observed.map(({ what }) => what)).toEqual(['hot 120 °C']);
  });
});

describe('what would explain a symptom', () => {
  test('the least that makes it show', () => {
    const { causes, observed } = diagnose(of(stove()), ['burns'], []);
    expect(observed[0]).toMatchObject({ computed: 'it does not show, 50 % from where it does' });
    expect(causes[0]).toMatchObject({ path: 'flue_blocked', explains: true, seen: ['it shows'] });
    expect(Number(/resistance ([\d.]+) K/.exec(causes[0]?.change ?? '')?.[1])).toBeCloseTo(4, 1);
  });

  test('where nothing explains it, what comes nearest is told as that', () => {
    const without = stove().replace(/ {2}\/\/\/ Its flue[\s\S]*?\n {2}\}\n/, '');
    const { causes } = diagnose(of(without), ['burns'], []);
    expect(causes.every(({ explains }) => !explains)).toBe(true);
    expect(causes[0]?.path).toBe('resistance');
  });

  test('the symptoms that there are, with their blocks', () => {
    expect(symptomsOf(of(stove()))).toEqual([{ name: 'burns', doc: 'It burns what is put on it', blocks: ['s'] }]);
  });

  const smoking = stove().replace(
    '  /// Its lid is open',
    `  /// It reeks
  symptom reeks {
    when room > 15 degC
    shows rise >= 80 K
    how "It smells in {room}"
  }
  /// Its lid is open`,
  );

  test('those of a kind stand in the order of their names', () => {
    expect(symptomsOf(of(smoking.replaceAll('burns', 'scorches'))).map(({ name }) => name)).toEqual([
      'reeks',
      'scorches',
    ]);
  });

  test('one that has a condition shows only where that is met, and says how it is noticed', () => {
    const shown = (room: string) => {
      const [reeks] = symptomsShown('reeks', machineAt(of(smoking), [`room = ${room}`]));
      return [reeks?.path, reeks?.what(), reeks?.margin()];
    };
    // By hand: 100 K are a fifth of themselves above 80 K.
    expect(shown('20 degC')).toEqual(['s', 'It smells in 20 °C', expect.closeTo(0.25, 6)]);
    expect(shown('10 degC')).toEqual(['s', 'It smells in 10 °C', undefined]);
    const [burns] = symptomsShown('burns', machineAt(of(smoking), []));
    expect([burns?.what(), burns?.margin()]).toEqual(['It burns what is put on it', expect.closeTo(-0.5, 6)]);
    expect(() => diagnose(of(smoking), ['reeks'], ['room = 10 degC'])).toThrow('whether reeks shows is not known');
  });

  test('one that shows already is as it is computed', () => {
    const { observed } = diagnose(of(smoking), ['reeks'], []);
    expect(observed).toEqual([{ what: 'reeks', computed: 'it shows', isAsComputed: true }]);
  });

  test('on whichever of several blocks it shows, or on the one that is named', () => {
    const two = `${stove()
      .replace('toplevel', 'inside yard')
      .replace(
        /stove s \{[\s\S]*/,
        '',
      )}kind yard {\n  toplevel\n}\nyard s {\n  stove a { power = 50 W }\n  stove b { power = 60 W }\n}\n`;
    expect(diagnose(of(two), ['burns'], []).causes[0]?.path).toBe('b.flue_blocked');
    expect(diagnose(of(two), ['a.burns'], []).causes[0]?.path).toBe('a.flue_blocked');
  });
});

describe('what cannot be asked', () => {
  const refused = (seen: readonly string[], at: readonly string[] = [], text = stove()) => {
    try {
      diagnose(of(text), seen, at);
    } catch (error) {
      if (error instanceof DiagnosisError) return error.message;
      throw error;
    }
    return undefined;
  };
  test('each says why', () => {
    expect(refused([])).toBe(
      'nothing was measured of s that differs: say what was seen, such as a value = what was read, or a symptom: burns',
    );
    expect(refused(['smokes'])).toBe('s has no symptom called smokes. It has burns');
    expect(refused(['rise = '])).toBe('rise =  says nothing: expected PATH = VALUE');
    expect(refused(['rise = 5 V'])).toMatch(/^rise = 5 V: /);
    expect(refused(['size = 5 V'])).toMatch(/^size = 5 V: /);
    expect(refused(['burns'], ['wind = 3 m'])).toBe('s has no value wind');
    expect(refused(['burns'], [], stove().replace('  power = 50 W\n', ''))).toBe(
      'whether burns shows is not known: not known',
    );
    expect(refused(['rise = 5 K'], [], stove().replace('  power = 50 W\n', ''))).toBe(
      'rise 5 K: what is computed of it is not known',
    );
    expect(() => diagnose({ ...of(stove()), machine: 't' }, ['burns'], [])).toThrow('there is no machine t');
  });
});

test('a machine is taken where it is said to be, beside the one that is there', () => {
  const side = of(stove());
  const machine = machineAt(side, ['room = 5 degC']);
  expect(machine.tree.name).toBe('s');
  expect(side.file.parsed.text).not.toContain('5 degC');
});
