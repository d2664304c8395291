import { describe, expect, test } from 'vitest';
import { compare } from '../../language/judge/joint.ts';

describe('two scores', () => {
  test.each([
    [[1, 2], [1, 3], -1],
    [[2], [1, 9], 1],
    [[1], [1, 2], -1],
    [[1, 2], [1], 1],
    [[1], [1, 0], 0],
    [[], [], 0],
  ] as [number[], number[], number][])('%j against %j: what is not counted is nothing', (one, other, sign) => {
    expect(Math.sign(compare(one as never, other as never))).toBe(sign);
  });
});
