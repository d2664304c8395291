import { describe, expect, test } from 'vitest';
import { bench, findingsOf, fixed, machineIn, mistakesIn, shown } from '../support.ts';

const without = (name: string) => bench.replace('    sensor is ntc_100k\n', `    sensor is ntc_100k\n    no ${name}\n`);
/** The bench with its cutoff neither there nor in a path. */
const bare = bench.replace('    cutoff is thermal_link_133c\n', '').replace('bed.cutoff, ', '');

describe('what is deliberately not there', () => {
  test('is decided on by rules as what is not said: what protects is not there', () => {
    const said = bare.replace('    sensor is ntc_100k\n', '    sensor is ntc_100k\n    no cutoff\n');
    expect(mistakesIn(said)).toEqual([]);
    const rules = (text: string) => findingsOf(machineIn(text)).map((line) => line.split(':')[0]);
    expect(rules(said)).toEqual(rules(bare));
    expect(rules(said).length).toBeGreaterThan(0);
  });

  test('a value that has a default is then not given, and explain says why', () => {
    expect(shown(machineIn(bench), 'psu.limit')).toBe('70 °C');
    const machine = machineIn(bench.replace('is supply_24v_450w', 'is supply_24v_450w {\n    no limit\n  }'));
    expect(machine.tree.children.get('psu')?.saysNo('limit')).toBeDefined();
    expect(shown(machine, 'psu.limit')).toBe('not known');
  });

  test('what a part has not is there again where a block gives it, and that is no contradiction', () => {
    const text = `part bare_supply is supply_24v_450w {\n  no limit\n}\n${bench.replace('is supply_24v_450w', 'is bare_supply { limit = 60 degC }')}`;
    const machine = machineIn(text);
    expect(machine.tree.children.get('psu')?.saysNo('limit')).toBeUndefined();
    expect(shown(machine, 'psu.limit')).toBe('60 °C');
  });

  test('the nearest text has the last word: a variant gives again what its base has not', () => {
    const chain = `${bench}
machine Bare is Bench {
  bed {
    no surface
    no heater
  }
  no bed_power
}
machine Again is Bare {
  bed {
    heater {
      power = 200 W
      voltage = 24 V
    }
  }
}
`;
    expect(mistakesIn(chain).filter((line) => !line.includes('Not given yet'))).toEqual([]);
    const heaters = ['Bench', 'Bare', 'Again'].map((name) => {
      const bed = machineIn(chain, name).tree.children.get('bed');
      return [...(bed?.children.keys() ?? [])].includes('heater');
    });
    expect(heaters).toEqual([true, false, true]);
    // What was taken away is gone, and not only covered: the new one says all that is said of it.
    expect(shown(machineIn(chain, 'Again'), 'bed.heater.power')).toBe('200 W');
  });

  test('by the name of a role or a kind all that fill it are taken away', () => {
    const chain = `${bench}
machine Unfused is Bench {
  no circuit
}
`;
    expect(mistakesIn(chain)).toEqual([]);
    const { children } = machineIn(chain, 'Unfused').tree;
    expect([...children.keys()]).toContain('psu');
    expect([...children.keys()]).not.toContain('bed_power');
  });

  test('a value in one text is either given or not there', () => {
    const text = bench.replace('{ own_plug = yes }', '{\n    own_plug = yes\n    no limit\n    limit = 60 degC\n  }');
    expect(mistakesIn(text)).toEqual([
      '6: limit is given in this block, and said to be not there: take one of the two away.',
    ]);
  });
});

describe('what cannot be not there', () => {
  test('a value that is needed, has a default, or is computed', () => {
    expect(mistakesIn(without('target'))).toContain(
      '17: target is needed, and is never not there: give it its value, such as target = …',
    );
    expect(mistakesIn(without('air_movement'))).toContain(
      '17: air_movement has a value in any case, and is never not there: give it its value, such as air_movement = …',
    );
    expect(mistakesIn(without('height'))).toContain(
      '17: height is computed, and is never not there: give it its value, such as height = …',
    );
  });

  test('what has no such name, with the nearest that has', () => {
    expect(mistakesIn(without('shet'))).toEqual([
      '17: A bed has nothing called shet, and what it starts from gives no such block: there is nothing to be without. Did you mean sheet?',
    ]);
    expect(mistakesIn(without('sheet'))).toEqual([]);
  });
});

test('the old word is understood, and rewritten by its fix', () => {
  const variant = `${bench}
machine Other is Bench {
  remove bed_power
}
`;
  expect(mistakesIn(variant)[0]).toBe(
    '32: What is deliberately not there is said by no, whether a base gives it or not.',
  );
  const mended = fixed(variant).get('Write no') as string;
  expect(mended).toContain('  no bed_power\n');
  expect(machineIn(variant, 'Other').tree.children.has('bed_power')).toBe(false);
  expect(mistakesIn(mended).filter((line) => line.includes('said by no'))).toEqual([]);
});
