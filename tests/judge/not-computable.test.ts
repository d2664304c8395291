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
