import { expect, test } from 'vitest';
import { sampled, sampledFromStart } from '../../language/numerics/sample.ts';
import { type Curve, Fault, Formula, Unknown } from '../../language/values/value.ts';

const square = new Formula('square', (x) => (x as number) ** 2);

test('evenly spaced points, both ends among them', () => {
  const { x, y } = sampled(square, 2, 8) as Curve;
  expect(x).toHaveLength(61);
  expect([x[0], x[1], x[30], x[60]]).toEqual([2, 2.1, 5, 8]);
  expect(y).toEqual(x.map((at) => at ** 2));
});

test('few points, of which the distance from the start grows with the square', () => {
  const { x, y } = sampledFromStart(square, 2, 10) as Curve;
  expect(x).toHaveLength(21);
  expect([x[0], x[1], x[10], x[20]]).toEqual([2, 2 + 8 / 400, 4, 10]);
  expect(y).toEqual(x.map((at) => at ** 2));
});

test('what is not known stays so, and what cannot be computed is the result', () => {
  const unknown = new Unknown([]);
  const fault = new Fault('not there');
  for (const sample of [sampled, sampledFromStart]) {
    expect(sample(unknown, 2, 8)).toBe(unknown);
    expect(sample(square, unknown, 8)).toBe(unknown);
    expect(sample(square, 2, unknown)).toBe(unknown);
    expect(sample(3, 2, 8)).toEqual(new Unknown([]));
    expect(sample(square, true, 8)).toEqual(new Unknown([]));
    expect(sample(square, 2, true)).toEqual(new Unknown([]));
    expect(sample(new Formula('f', (x) => ((x as number) > 7 ? fault : x)), 2, 8)).toBe(fault);
  }
});
