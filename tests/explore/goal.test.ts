import { expect, test } from 'vitest';
import { GoalError, goalOf } from '../../language/explore/goal.ts';
import { Sweep } from '../../language/explore/sweeping.ts';
import { bench, read } from '../support.ts';

const side = () => ({ ...read(bench), machine: 'Bench' });

test('the greatest value at which nothing fails is the last of those that are counted out', () => {
  const { text, answer, stops } = goalOf(side(), 'bed.heater.power', 'greatest');
  const over = ['bed.heater.power = 250 W .. 300 W step 2 W'];
  const points = [...new Sweep(side(), over, ['bed.heater.power']).points()];
  const first = points.findIndex(({ fails }) => fails.length > 0);
  const counted = 250 + 2 * (first - 1);
  const found = Number(text?.replace(' W', ''));
  expect([found >= counted, found < counted + 2]).toEqual([true, true]);
  expect(answer).toContain('the greatest that holds');
  expect(points[first]?.fails.some((name) => name.startsWith(stops[0]?.rule ?? '?'))).toBe(true);
});

test('what cannot be asked for is told', () => {
  const refused = (path: string) => {
    try {
      goalOf(side(), path, 'least');
    } catch (error) {
      if (error instanceof GoalError) return error.message;
      throw error;
    }
    return '';
  };
  expect(refused('bed.heater.powr')).toBe('Bench has no value bed.heater.powr that could be given');
  expect(refused('bed_power.current')).toContain('computed');
  expect(refused('bed_power.fuse')).toContain('has no value');
});
