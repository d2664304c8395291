// Which rules hold with the least to spare, of kinds of the test's own.
import { describe, expect, test } from 'vitest';
import { showMargin } from '../../language/compute/margin.ts';
import { textOf } from '../../language/grammar/syntax.ts';
import { decisive, marginsOf, weakest } from '../../language/judge/weakest.ts';
import { machineIn } from '../support.ts';

const kinds = `kind hall {
  toplevel
  has crate*
}
kind crate {
  load: Mass
  bears: Mass default 10 kg
  warmth: Temperature default 20 degC
  lamps: Count default 3
  locked: YesNo default yes
  has lid?
}
kind lid {
  opens: Length
}
rule crate_overloaded on crate {
  holds load <= bears
  error "{name} bears {bears}, and carries {load}"
}
rule crate_hot on crate {
  holds warmth <= 60 degC
  warning "{name} is at {warmth}"
}
rule crate_dark on crate {
  holds lamps >= 3
  advice "{name} has {lamps}"
}
rule crate_open on crate {
  holds load <= 1 g or locked
  advice "{name} is open"
}
rule lid_short on lid {
  when opens > 1 mm
  holds opens >= 10 mm
  warning "{name} opens {opens}"
}
`;
const weak = (lines: string, most = 10) => {
  const machine = machineIn(`${kinds}hall H {\n${lines}\n}\n`);
  return weakest(marginsOf(machine), machine, most).map(
    ({ rule, instance, value, limit, margin, worst }) =>
      `${instance.label} ${rule.name}: ${value.text} ${value.shown}, ${limit.shown}: ${showMargin(margin)}${worst ? ` ${worst}` : ''}`,
  );
};

const decidedIn = (machine: ReturnType<typeof machineIn>) => decisive(marginsOf(machine), machine);

describe('the weakest points', () => {
  test('are none where a rule holds by another way, at the very limit of what it compares', () => {
    const strict = (load: string) => {
      const rule = 'rule crate_shut on crate {\n  holds locked or load > 10 kg\n  advice "{name} is open"\n}\n';
      const machine = machineIn(`${kinds}${rule}hall H {\n  crate a {\n    load = ${load}\n  }\n}\n`);
      return marginsOf(machine).flatMap(({ rule: { name }, margin }) => (name === 'crate_shut' ? margin.amount : []));
    };
    expect(strict('10 kg')).toEqual([]);
    expect(strict('12 kg')).toEqual([expect.closeTo(0.2, 9)]);
  });

  test('are ranked by what is left, kelvins as if 100 K were the whole', () => {
    expect(weak('  crate a {\n    load = 8 kg\n    warmth = 50 degC\n  }')).toEqual([
      'a crate_hot: warmth 50 °C, 60 °C: 10 K to spare',
      'a crate_overloaded: load 8 kg, 10 kg: 20 % to spare',
    ]);
  });

  test('tell of one rule on several blocks the weakest', () => {
    expect(weak('  crate a {\n    load = 8 kg\n  }\n  crate b {\n    load = 9 kg\n  }', 1)).toEqual([
      'b crate_overloaded: load 9 kg, 10 kg: 10 % to spare',
    ]);
  });

  test('tell over ranges the worst, and where it lies', () => {
    expect(weak('  crate a {\n    load = 2 kg .. 9 kg\n    warmth = 0 degC\n  }')[0]).toBe(
      'a crate_overloaded: load 9 kg, 10 kg: 10 % to spare at a.load 9 kg',
    );
  });

  test('are none that fail, that do not apply, that wait for something, or that hold by another way than what is compared', () => {
    const lines = (load: string, more = '') => `  crate a {\n    load = ${load}\n    warmth = 20 degC\n${more}  }`;
    expect(weak(lines('12 kg'))).toEqual(['a crate_hot: warmth 20 °C, 60 °C: 40 K to spare']);
    // One that fails at one end of a range alone fails.
    expect(weak(lines('8 kg .. 12 kg'))).toEqual(weak(lines('12 kg')));
    expect(weak(lines('2 kg', '    lid {\n      opens = 0.5 mm\n    }\n'))).not.toContainEqual(
      expect.stringContaining('lid_short'),
    );
    expect(weak(lines('2 kg', '    lid {\n    }\n'))).not.toContainEqual(expect.stringContaining('lid_short'));
    expect(weak(lines('2 kg', '    lid {\n      opens = 11 mm\n    }\n'))[0]).toBe(
      'a.lid lid_short: opens 11 mm, 10 mm: 10 % to spare',
    );
    // Where it applies at one end of a range alone, what is told is how it stands there.
    expect(weak(lines('2 kg', '    lid {\n      opens = 0.5 mm .. 11 mm\n    }\n'))[0]).toBe(
      'a.lid lid_short: opens 11 mm, 10 mm: 10 % to spare at a.lid.opens 11 mm',
    );
  });

  test('tell of two rules that compare the same numbers one, of a share as of a quantity, and of as many as are asked for', () => {
    const twice = kinds
      .replace(
        'rule crate_hot',
        'rule crate_full on crate {\n  holds load <= bears\n  warning "full"\n}\nrule crate_damp on crate {\n  holds damp <= 80 %\n  warning "damp"\n}\nrule crate_hot',
      )
      .replace('  lamps: Count', '  damp: Ratio default 20 %\n  lamps: Count');
    const machine = machineIn(`${twice}hall H {\n  crate a {\n    load = 8 kg\n    warmth = 50 degC\n  }\n}\n`);
    const names = (most: number) => weakest(marginsOf(machine), machine, most).map(({ rule }) => rule.name);
    expect(names(10)).toEqual(['crate_hot', 'crate_overloaded', 'crate_damp']);
    expect(names(2)).toEqual(['crate_hot', 'crate_overloaded']);
    expect(names(0)).toEqual([]);
    const [first] = weakest(marginsOf(machine), machine, 1);
    expect(first && textOf(first.place)).toBe('a');
  });

  test('are none where nobody has said what is compared, and what stands in for it is its limit', () => {
    const told = kinds
      .replace('  load: Mass\n', '  load: Mass default bears\n  box: Length x Length default 1 m x 1 m\n')
      .replace(
        'rule crate_hot',
        'rule crate_wide on crate {\n  holds box.width <= 1 m\n  warning "wide"\n}\nrule crate_hot',
      );
    const names = (lines: string) => {
      const machine = machineIn(`${told}hall H {\n  crate a {\n${lines}\n  }\n}\n`);
      return weakest(marginsOf(machine), machine, 10).map(({ rule, margin }) => `${rule.name} ${margin.amount}`);
    };
    expect(names('')).toEqual(['crate_hot 40']);
    // Said, it is at its limit because somebody wants it so.
    expect(names('    load = 10 kg')).toEqual(['crate_overloaded 0', 'crate_hot 40']);
    expect(names('    box = 1 m x 2 m')).toEqual(['crate_wide 0', 'crate_hot 40']);
  });

  test('are none where a limit is widened for rounding alone, and no more than that is to spare', () => {
    const told = kinds.replace('holds load <= bears', 'holds load <= bears + 1 g');
    const names = (load: string) => {
      const machine = machineIn(`${told}hall H {\n  crate a {\n    load = ${load}\n  }\n}\n`);
      return weakest(marginsOf(machine), machine, 10).map(({ rule }) => rule.name);
    };
    expect(names('10 kg')).toEqual(['crate_hot']);
    expect(names('9.99 kg')).toEqual(['crate_overloaded', 'crate_hot']);
  });

  test('are none of counts, which are met exactly as often as not', () => {
    const told = kinds.replace('lamps >= 3', 'lamps >= least').replace('  lamps:', '  least: Count\n  lamps:');
    const machine = machineIn(`${told}hall H {\n  crate a {\n    lamps = 4\n    least = 4\n  }\n}\n`);
    expect(marginsOf(machine).map(({ rule }) => rule.name)).toEqual(['crate_hot']);
  });

  test('tell what is compared on one line, however it is written', () => {
    const broken = kinds.replace('holds load <= bears', 'holds (load\n    + 0 kg) <= bears');
    const machine = machineIn(`${broken}hall H {\n  crate a {\n    load = 8 kg\n  }\n}\n`);
    expect(weakest(marginsOf(machine), machine, 10).map(({ value, limit }) => [value.text, limit.text])).toEqual([
      ['(load + 0 kg)', 'bears'],
      ['warmth', '60 degC'],
    ]);
  });
});

test('of each block the rule that leaves it the least to spare decided it; one that leaves more than half did not', () => {
  const decided = (lines: string) =>
    decidedIn(machineIn(`${kinds}hall H {\n${lines}\n}\n`)).map(
      ({ rule, instance, margin }) => `${instance.label} ${rule.name}: ${showMargin(margin)}`,
    );
  const both = '  crate a {\n    load = 8 kg\n    warmth = 50 degC\n  }\n  crate b {\n    load = 6 kg\n  }';
  expect(decided(both)).toEqual(['a crate_hot: 10 K to spare', 'b crate_overloaded: 40 % to spare']);
  expect(decided('  crate a {\n    load = 5 kg\n    warmth = 0 degC\n  }')).toEqual([
    'a crate_overloaded: 50 % to spare',
  ]);
  expect(decided('  crate a {\n    load = 4 kg\n    warmth = 0 degC\n  }')).toEqual([]);
});

test('what is its limit in any case decided nothing: what nobody has said, what may be nothing, and is; the next rule did', () => {
  const told = kinds
    .replace('  load: Mass\n', '  load: Mass default bears\n  dent: Length default 0 mm\n')
    .replace(
      'rule crate_hot',
      'rule crate_dented on crate {\n  holds dent <= 0 m\n  warning "dented"\n}\nrule crate_hot',
    );
  const decided = (lines: string) =>
    decidedIn(machineIn(`${told}hall H {\n  crate a {\n${lines}\n  }\n}\n`)).map(({ rule }) => rule.name);
  expect(decided('    warmth = 50 degC')).toEqual(['crate_hot']);
  expect(decided('    dent = 0 mm\n    warmth = 50 degC')).toEqual(['crate_hot']);
  expect(decided('    load = 10 kg\n    warmth = 50 degC')).toEqual(['crate_overloaded']);
  expect(decided('')).toEqual(['crate_hot']);
});

test('what is compared and its limit are told in one unit, as it is one number that both are about', () => {
  const told = kinds
    .replace('  opens: Length', '  opens: Length { shown um, mm }')
    .replace('opens >= 10 mm', 'opens >= least');
  const machine = machineIn(
    `${told
      .replace('kind lid {', 'kind lid {\n  least: Length default 0.1 mm { shown mm }')
      .replace(
        'opens > 1 mm',
        'opens > 1 um',
      )}hall H {\n  crate a {\n    load = 1 kg\n    warmth = 0 degC\n    lid {\n      opens = 110 um\n    }\n  }\n}\n`,
  );
  expect(weakest(marginsOf(machine), machine, 1).map(({ value, limit }) => [value.shown, limit.shown])).toEqual([
    ['110 µm', '100 µm'],
  ]);
});
