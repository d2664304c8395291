import { describe, expect, test } from 'vitest';
import { findingsOf, machineIn, undecidedOf } from '../support.ts';
import { beam, kinds, yard } from './yard.ts';

describe('what cannot be computed', () => {
  test('says why, where something cannot be computed, and that is a finding', () => {
    const machine = machineIn(yard(beam('a', 'load = 10 N / (1 - 1)')));
    expect(undecidedOf(machine)).toEqual(['beam_bends: it cannot be computed: this divides by zero']);
    expect(findingsOf(machine)).toEqual(['not_computable: a.load cannot be computed: this divides by zero']);
  });

  test('what people’s safety rests on and cannot be computed stands by itself, other values under an error of their block', () => {
    const wide = `rule lamp_wide on lamp {\n  holds limit <= 1 W\n  error "{name} is wide"\n  source practice "a test"\n}\n`;
    const lamp = (lines: string) => machineIn(`${kinds}${wide}yard Y {\n  lamp l {\n    ${lines}\n  }\n}\n`);
    expect(findingsOf(lamp('heat = 10 W / (1 - 1)'))).toEqual([
      'lamp_wide: l is wide',
      'not_computable: l.heat cannot be computed: this divides by zero; what rests on it cannot be judged: lamp burns',
    ]);
    const seen = kinds.replace('  stands_on: beam?', '  stands_on: beam?\n  glow: Power?');
    expect(
      findingsOf(machineIn(`${seen}${wide}yard Y {\n  lamp l {\n    heat = 2 W\n    glow = 10 W / (1 - 1)\n  }\n}\n`)),
    ).toEqual(['lamp_wide: l is wide -> not_computable']);
    // What is wrong with one block explains nothing of another.
    const two =
      'lamp l {\n    heat = 2 W\n  }\n  lamp m {\n    heat = 1 W\n    limit = 3 W\n    glow = 10 W / (1 - 1)\n  }';
    expect(findingsOf(machineIn(`${seen}${wide.replace('1 W', '5 W')}yard Y {\n  ${two}\n}\n`))).toEqual([
      'lamp_wide: l is wide',
      'not_computable: m.glow cannot be computed: this divides by zero',
    ]);
    // A warning explains nothing.
    expect(findingsOf(machineIn(yard(beam('a', 'depth = 30 mm\nload = 10 N / (1 - 1)'))))).toEqual([
      'beam_thin: a is 30 mm thick',
      'not_computable: a.load cannot be computed: this divides by zero',
    ]);
  });
});

test('what people’s safety rests on is told under an error that judges what it is computed from, and no other', () => {
  const lamp = (heat: string, gap: string) => `kind lamp {
  toplevel
  heat: Power
  glow: Power = heat * 2
  gap: Length
  risk: Ratio = glow / 1 W / (gap / 1 m - gap / 1 m)
}
rule lamp_hot on lamp {
  holds glow <= 3 W
  error "hot"
  caution "Fire: keep away."
  source practice "a test"
}
rule lamp_risky on lamp {
  holds risk <= 1
  error "risky"
  caution "Fire: keep away."
  source practice "a test"
}
rule lamp_far on lamp {
  holds gap <= 0.5 m
  error "far"
  caution "Fire: keep away."
  source practice "a test"
}
lamp L {
  heat = ${heat}
  gap = ${gap}
}
`;
  const alone =
    'not_computable: risk cannot be computed: this divides by zero; what rests on it cannot be judged: lamp risky';
  expect(findingsOf(machineIn(lamp('1 W', '0.1 m')))).toEqual([alone]);
  expect(findingsOf(machineIn(lamp('2 W', '0.1 m')))).toEqual(['lamp_hot: hot -> not_computable']);
  // That the lamp is far away tells of a value that is given, and not of the one that is divided.
  expect(findingsOf(machineIn(lamp('1 W', '1 m')))).toEqual(['lamp_far: far', alone]);
});
