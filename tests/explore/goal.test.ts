import { expect, test } from 'vitest';
import { GoalError, goalOf } from '../../language/explore/goal.ts';
import { Sweep } from '../../language/explore/sweeping.ts';
import { bench, read } from '../support.ts';
import { shelf } from './shelf.ts';

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

test('of a small machine: what is found, what would be written, and what stops it', () => {
  const of = (path: string, direction: 'greatest' | 'least' = 'greatest', text = shelf, machine = 's') =>
    goalOf({ ...read(text), machine }, path, direction);
  expect(of('load')).toMatchObject({
    text: '100 N',
    stops: [{ rule: 'breaks', path: '', message: 's breaks' }],
  });
  // In a variant it is asked of that, and not of what it starts from.
  expect(of('load', 'greatest', `${shelf}shelf t is s {\n  lath is thin_lath\n  load = 1 N\n}\n`, 't').text).toBe(
    '25 N',
  );
  const inside = shelf
    .replace('toplevel', 'inside room')
    .replace('shelf s {', 'kind room {\n  toplevel\n}\nroom r {\n  shelf s {')
    .replace(/\}\n$/, '}\n}\n');
  expect(of('s.load', 'greatest', inside, 'r').stops).toEqual([{ rule: 'breaks', path: 's', message: 's breaks' }]);
});

test('where nothing stops it, there is none to write', () => {
  const free = shelf.replace('holds load <= lath.bears', 'holds load >= 0 N * (load / 1 N)');
  expect(goalOf({ ...read(free), machine: 's' }, 'load', 'greatest')).toEqual({
    answer: 'nothing stops it up to 1000 kN, the greatest that can be meant; it holds everywhere',
    text: undefined,
    stops: [],
  });
});

test('a machine that is not there has no value', () => {
  expect(() => goalOf({ ...read(shelf), machine: 'nobody' }, 'load', 'greatest')).toThrow('nobody has no value load');
});
