import { afterEach, expect, test, vi } from 'vitest';
import { today } from '../../server/day.ts';

afterEach(() => void vi.useRealTimers());

test('the day by the clock of this place, with two digits for month and day', () => {
  vi.useFakeTimers({ now: new Date(2026, 2, 2, 23, 59) });
  expect(today()).toBe('2026-03-02');
  vi.setSystemTime(new Date(2026, 10, 30, 0, 0));
  expect(today()).toBe('2026-11-30');
});
