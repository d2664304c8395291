import { describe, expect, test } from 'vitest';
import { proposed } from '../support.ts';

const kinds = `kind hall {
  toplevel
  lit: YesNo default yes
  width: Length default 1 m
  has lamp*
}
kind lamp {
  power: Power
}
`;
const inHall = (line: string) => proposed(`${kinds}hall H {\n  ${line} <|>\n}\n`).join(', ');
const inKind = (line: string) => proposed(`${kinds}kind k is hall {\n  ${line} <|>\n}\n`).join(', ');
const atTop = (line: string) => proposed(`${kinds}${line} <|>\n`).join(', ');

describe('what joins what is typed to what comes next', () => {
  test.each([
    ['lamp a', 'is'],
    ['accept lamp_dark', 'at, because'],
    ['accept lamp_dark at 3 W', 'because'],
    ['accept lamp_dark because "x"', ''],
    ['measured width = 3 m', 'on'],
    ['measured width = 3 m on 2026-01-02', 'in place'],
    ['require lit', 'and, or, is, in'],
    ['require width > 1 m', 'and, or, is, in'],
    ['require any(l.power > 1 W', 'for, and, or, is, in'],
    ['require any(l.power > 1 W for l', 'in'],
    ['require any(l.power > 1 W for l in every lamp', 'where, of'],
    ['require any(l.power > 1 W for l in lamp', 'where'],
    ['require any(l.power > 1 W for l in every lamp where lit', 'and, or, is, in'],
    ['width = if lit', 'then, and, or, is, in'],
    ['width = if lit then 1 m', 'else'],
    ['width = if lit then 1 m else 2 m', ''],
    ['width = (if lit then 1 m else 2 m)', ''],
  ])('in a block, after %s: %s', (line, words) => expect(inHall(line)).toBe(words));

  test.each([
    ['a: Length', 'default'],
    ['a: one', 'of'],
    ['a: list', 'of'],
    ['a: Length = width', 'otherwise'],
    ['a: Length = max(width', 'for, otherwise'],
    ['has a: lamp', ''],
  ])('in a kind, after %s: %s', (line, words) => expect(inKind(line)).toBe(words));

  test.each([
    'require lit and',
    'require lit or',
    'require not',
    'require lit is',
    'require lit in',
    'require any(l.power > 1 W for',
    'require any(l.power > 1 W for l in',
    'require any(l.power > 1 W for l in every',
    'require any(l.power > 1 W for l in lamp where',
    'width = if',
    'width = if lit then',
    'width = if lit then 1 m else',
    'accept lamp_dark because',
    'measured width = 3 m on',
  ])('in a block, none after %s, which something is still to follow', (line) => {
    expect(inHall(line)).not.toMatch(/\band, or\b|\bfor, and\b|^(then|else|where|on|because|in)$/);
  });

  test('in a rule', () => {
    const rule = (line: string) => proposed(`${kinds}rule r on hall {\n  ${line} <|>\n}\n`).join(', ');
    expect(rule('holds lit')).toBe('and, or, is, in');
    expect(rule('when lit')).toBe('and, or, is, in');
    expect(rule('follows hall_wide')).toBe('of');
    expect(rule('follows hall_wide of self')).toBe('');
  });

  test.each([
    ['kind k', 'is'],
    ['part p', 'is'],
    ['rule r', 'on'],
    ['hall H', 'is'],
    ['rate 1 EUR = 2 USD', 'on'],
    ['rate 1 EUR = 2 USD on 2026-01-02', ''],
    ['function f', ''],
    ['constant c', ''],
  ])('at the top, after %s: %s', (line, words) => expect(atTop(line)).toBe(words));
});

test('none stands right behind a word, nor where an operand is expected', () => {
  expect(proposed(`${kinds}hall H {\n  require lit<|>\n}\n`)).not.toContain('and');
  for (const line of ['require lit and', 'require not', 'width = 3'])
    expect(inHall(line).split(', '), line).not.toEqual(expect.arrayContaining(['or']));
});
