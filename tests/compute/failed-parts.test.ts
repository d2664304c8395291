import { describe, expect, test } from 'vitest';
import { failureWords } from '../../language/compute/failed-parts.ts';
import { machineIn } from '../support.ts';

const kinds = `kind hall {
  toplevel
  has lamp*
  width: Length default 4 m
  depth: Length default 2 m
  warm: Temperature default 60 degC
  lit: YesNo default no
  mode: one of dim, bright default dim
  size: Length x Length default 2 m x 3 m
  says: Text default "quiet"
  gap: Length?
  rim(by: Length): Length = width + by
}
kind lamp {
  power: Power default 5 W
  at(share: Ratio): Power = power * share
}
`;
const failed = (condition: string) =>
  machineIn(`${kinds}hall H {\n  lamp a\n  require ${condition}\n}\n`).assessment.requirements[0]?.failed ?? [];
const words = (condition: string) => failed(condition).map(({ message }) => message);

describe('what keeps a condition from holding', () => {
  test.each([
    ['width < 3 m', ['width is 4 m, the limit is 3 m (33 % short)']],
    ['width < depth', ['width is 4 m, depth is 2 m (100 % short)']],
    // A literal is told as the limit, on whichever side it stands.
    ['3 m > width', ['width is 4 m, the limit is 3 m (33 % short)']],
    ['5 m < 4 m', ['5 m is 5 m, the limit is 4 m (25 % short)']],
    ['width < -3 m', ['width is 4 m, the limit is -3 m (230 % short)']],
    ['width > -(-5 m)', ['width is 4 m, -(-5 m) is 5 m (20 % short)']],
    ['-width > -3 m', ['-width is -4 m (width is 4 m), the limit is -3 m (33 % short)']],
    ['width   +  depth < 5 m', ['width + depth is 6 m (width is 4 m, depth is 2 m), the limit is 5 m (20 % short)']],
    ['warm < 50 degC', ['warm is 60 °C, the limit is 50 °C (10 K short)']],
    ['width + depth < 5 m', ['width + depth is 6 m (width is 4 m, depth is 2 m), the limit is 5 m (20 % short)']],
    ['rim(1 m) < 4 m', ['rim(1 m) is 5 m, the limit is 4 m (25 % short)']],
    ['a.power > 6 W', ['a.power is 5 W, the limit is 6 W (17 % short)']],
    ['a.at(2) > 20 W', ['a.at(2) is 10 W, the limit is 20 W (50 % short)']],
    ['a.power + 1 W > 7 W', ['a.power + 1 W is 6 W (a.power is 5 W), the limit is 7 W (14 % short)']],
    // What it is called with is no part of its own.
    ['a.at(width / 1 m) > 40 W', ['a.at(width / 1 m) is 20 W, the limit is 40 W (50 % short)']],
    ['width < 1 m + 2 m', ['width is 4 m, 1 m + 2 m is 3 m (33 % short)']],
    ['size == 1 m x depth', ['size is 2 m x 3 m, 1 m x depth is 1 m x 2 m (depth is 2 m)']],
    // A name that stands twice is told once.
    ['width * width < 9 m^2', ['width * width is 16 m² (width is 4 m), the limit is 9 m² (78 % short)']],
    ['mode == bright', ['mode is dim, not bright']],
    ['mode != dim', ['mode is dim']],
    ['says == "loud"', ['says is quiet, not loud']],
    ['size == 1 m x 2 m', ['size is 2 m x 3 m, not 1 m x 2 m']],
    ['width == depth', ['width is 4 m, depth is 2 m']],
    ['width == 5 m', ['width is 4 m, not 5 m']],
    ['lit', ['lit is no']],
    ['lit == yes', ['lit is no, not yes']],
    ['lit != not yes', ['lit is no, not yes is no']],
    ['given(gap)', ['given(gap) is no']],
    ['any(l.power > 9 W for l in every lamp)', ['a: power is 5 W, the limit is 9 W (44 % short)']],
    ['not (width > 3 m)', ['width is 4 m, the limit is 3 m']],
    ['not (not lit)', ['lit is no']],
    ['lit otherwise yes', ['lit otherwise yes is no']],
    ['(width < 3 m)', ['width is 4 m, the limit is 3 m (33 % short)']],
    ['if lit then no else width < 3 m', ['width is 4 m, the limit is 3 m (33 % short)']],
    ['if width > 3 m then lit else yes', ['lit is no']],
    // Of a question nothing inside has a value of its own.
    [
      'sum(l.power for l in every lamp) > 9 W',
      ['sum(l.power for l in every lamp) is 5 W, the limit is 9 W (44 % short)'],
    ],
    [
      '(if lit then width else depth) > 3 m',
      ['(if lit then width else depth) is 2 m (width is 4 m, depth is 2 m), the limit is 3 m (33 % short)'],
    ],
    [
      'max(width, depth) < 3 m',
      ['max(width, depth) is 4 m (width is 4 m, depth is 2 m), the limit is 3 m (33 % short)'],
    ],
    ['abs(width - 9 m) < 3 m', ['abs(width - 9 m) is 5 m (width is 4 m), the limit is 3 m (67 % short)']],
  ])('%s', (condition, messages) => expect(words(condition)).toEqual(messages));

  test('of several every part that fails, and no other', () => {
    expect(words('width < 3 m and depth < 3 m')).toEqual(['width is 4 m, the limit is 3 m (33 % short)']);
    expect(words('width < 3 m and depth < 1 m')).toHaveLength(2);
    expect(words('width < 3 m or lit')).toEqual(['width is 4 m, the limit is 3 m (33 % short)', 'lit is no']);
    expect(words('not (width > 3 m or depth > 3 m)')).toEqual(['width is 4 m, the limit is 3 m']);
    expect(words('not (width > 3 m and depth > 1 m)')).toEqual([
      'width is 4 m, the limit is 3 m',
      'depth is 2 m, the limit is 1 m',
    ]);
  });

  test('where it would read alike more digits are shown', () => {
    expect(words('width < 3.9999 m')).toEqual(['width is 4 m, the limit is 3.9999 m (0.0025 % short)']);
  });

  test('is told with its operands, each with its value', () => {
    expect(failed('width + depth < 5 m')).toMatchObject([
      {
        condition: 'width + depth < 5 m',
        operands: [
          { expression: 'width + depth', value: 6, shown: '6 m' },
          { expression: 'width', value: 4, shown: '4 m' },
          { expression: 'depth', value: 2, shown: '2 m' },
          { expression: '5 m', value: 5, shown: '5 m' },
        ],
      },
    ]);
    // What is given as it is written has no names of its own.
    expect(failed('mode == bright')[0]?.operands.map(({ expression }) => expression)).toEqual(['mode', 'bright']);
  });

  test('a yes-or-no by itself is its own operand', () => {
    expect(failed('lit')).toMatchObject([{ condition: 'lit', operands: [{ expression: 'lit', value: false }] }]);
  });

  test('has a margin only where it is to be less or more than something', () => {
    expect(failed('width < 3 m')[0]).toHaveProperty('margin');
    expect(failed('not (width > 3 m)')[0]).not.toHaveProperty('margin');
    expect(failed('mode == bright')[0]).not.toHaveProperty('margin');
  });

  test('of what holds, or is not known, there is none', () => {
    expect(words('width < 5 m')).toEqual([]);
    expect(words('gap < 5 m')).toEqual([]);
    expect(words('width < 5 m and gap < 5 m')).toEqual([]);
  });
});

test('several parts in one sentence', () => {
  expect(failureWords([{ message: 'a is 1' }, { message: 'b is 2' }])).toBe('a is 1; b is 2');
  const words = (count: number) => failureWords(Array.from({ length: count }, (_, i) => ({ message: `p${i}` })));
  expect(words(6)).toBe('p0; p1; p2; p3; p4; p5');
  expect(words(8)).toBe('p0; p1; p2; p3; p4; p5; 2 more');
});
