import { expect, test } from 'vitest';
import { atOnce, type Stepwise } from '../../language/compute/stepwise.ts';

test('each step is done before the next one is asked for, and the end is what the work comes to', () => {
  const done: string[] = [];
  function* work(): Stepwise<string> {
    yield () => done.push('first');
    done.push('between');
    yield () => done.push('second');
    return done.join();
  }
  expect(atOnce(work())).toBe('first,between,second');
});
