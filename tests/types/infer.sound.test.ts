import { describe, expect, test } from 'vitest';
import { cellAt } from '../../language/answers/derivation.ts';
import { machineIn, mistakesIn } from '../support.ts';
import { declaredName, randomFrom, type Sample, type Sort, sorts, Writer } from './expressions.ts';

/** A machine whose kind computes each expression, declared of its sort. */
function computing(samples: readonly { sort: Sort; text: string }[]): string {
  const values = samples.map(({ sort, text }, i) => `  v${i}: ${declaredName(sort)} = ${text}`);
  return `machine M {\n  ambient = 20 degC\n  asker {\n  }\n}
function same(of: any Q): Q = of
kind asker {\n  inside machine\n${values.join('\n')}\n}\n`;
}

/** Seeds are fixed, so that a failure can be seen again. */
function sampled(count: number, seed: number): { sort: Sort; seed: number; sample: Sample; literals: number }[] {
  return Array.from({ length: count }, (_, i) => {
    const writer = new Writer(randomFrom(seed + i));
    const sort = sorts[i % sorts.length] as Sort;
    const sample = writer.write(sort, 1 + (i % 4));
    return { sort, seed: seed + i, sample, literals: writer.literals };
  });
}

describe('types are sound', () => {
  test('600 random well-typed expressions have no mistake, and come to a value of the type declared', () => {
    const samples = sampled(600, 7000);
    const text = computing(samples.map(({ sort, sample }) => ({ sort, text: sample.text })));
    expect(mistakesIn(text)).toEqual([]);
    const machine = machineIn(text);
    for (const [i, { sample }] of samples.entries()) {
      const cell = cellAt(`asker.v${i}`, machine);
      const value = cell && machine.engine.value(cell);
      expect(typeof value, sample.text).toBe(typeof sample.value);
      if (typeof sample.value !== 'number') expect(value, sample.text).toBe(sample.value);
      else
        expect(Math.abs((value as number) - sample.value), sample.text).toBeLessThan(
          1e-9 + 1e-6 * Math.abs(sample.value),
        );
    }
  });

  test('1,000 expressions with one literal of another sort are all refused', () => {
    const faults = sampled(1000, 90_000).map(({ sort, seed, literals }, i) => {
      const writer = new Writer(randomFrom(seed), Math.floor(randomFrom(i)() * literals));
      return { sort, text: writer.write(sort, 1 + (i % 4)).text };
    });
    const wrong = mistakesIn(computing(faults)).map((mistake) => Number.parseInt(mistake, 10));
    const firstLine =
      computing([])
        .split('\n')
        .findIndex((line) => line.startsWith('  inside machine')) + 2;
    const passed = faults.filter((_, i) => !wrong.includes(firstLine + i));
    expect(passed.map(({ text }) => text)).toEqual([]);
  });
});
