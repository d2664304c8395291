import { describe, expect, test } from 'vitest';
import { nearestThatHold, type Scale } from '../../language/judge/nearest.ts';

const plain: Scale = { factor: 1, zero: 0, isWhole: false, isPoint: false };
const millimetres: Scale = { ...plain, factor: 1e-3 };
const celsius: Scale = { ...plain, zero: 273.15, isPoint: true };
const whole: Scale = { ...plain, isWhole: true };
const found = (now: number, holds: (value: number) => boolean, scale: Scale = plain) => [
  ...nearestThatHold(now, holds, scale),
];

describe('numbers with which something holds', () => {
  test('the nearest first, upward and downward, in as few digits as hold', () => {
    expect(found(4, (x) => x >= 5)[0]).toBe(5);
    expect(found(4, (x) => x >= 5.03)[0]).toBe(5.1);
    expect(found(4, (x) => x <= 3.21)[0]).toBe(3.2);
    expect(found(4, (x) => x >= 4.001)[0]).toBe(4.1);
  });

  test('then some further on the same side, all of which hold', () => {
    const all = found(4, (x) => x >= 4.5);
    expect(all.length).toBeGreaterThan(2);
    expect(all.toSorted((a, b) => a - b)).toEqual(all);
    expect(all.every((x) => x >= 4.5)).toBe(true);
    const below = found(4, (x) => x <= 3.6);
    expect(below.toSorted((a, b) => b - a)).toEqual(below);
  });

  test('rounded in the unit in which they are written', () => {
    expect(found(0.004, (x) => x >= 0.00503, millimetres)[0]).toBeCloseTo(0.0051, 12);
    expect(found(333.15, (x) => x <= 328.2, celsius)[0]).toBeCloseTo(328.15, 9);
    expect(found(333.15, (x) => x <= 328.1, celsius)[0]).toBeCloseTo(327.15, 9);
  });

  test('of a count by ones, and never less than one', () => {
    expect(found(2, (x) => x >= 4, whole)).toEqual([4, 5, 6]);
    expect(found(3, (x) => x <= 1, whole)[0]).toBe(1);
    expect(found(2, (x) => x <= 0, whole)).toEqual([]);
  });

  test('none where nothing near holds, and a number above zero stays so', () => {
    expect(found(4, () => false)).toEqual([]);
    expect(found(4, (x) => x > 100)).toEqual([]);
    expect(found(4, (x) => x < 0)).toEqual([]);
    expect(found(333.15, (x) => x > 700, celsius)).toEqual([]);
  });

  test('where an island lies between two that fail', () => {
    const [first] = found(4, (x) => x > 4.8 && x < 5.3);
    expect(first).toBeGreaterThan(4.8);
    expect(first).toBeLessThan(5.3);
  });
});
