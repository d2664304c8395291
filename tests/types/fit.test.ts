import { describe, expect, test } from 'vitest';
import { mistakesIn } from '../support.ts';

/** What is said of one value of a kind that has a turn, a period and a crate which may be a lamp. */
const said = (value: string) =>
  mistakesIn(`/// A crate.
kind crate_of_tests {
  inside machine
}
/// A lamp.
kind lamp is crate_of_tests {
  power: Power
}
/// Twice as much.
function twice(of: Length): Length = 2 * of {
  source defined "a test"
}
/// Asks.
kind asker {
  inside machine
  turn: Angle
  period: Time
  held: crate_of_tests
  asked: ${value} {
    source defined "a test"
  }
}
`).map((line) => line.replace(/^\d+: /, ''));

describe('types agree', () => {
  test.each([
    'Frequency = 2 / period',
    'Time = period / 2',
    'Time = 2 * period',
    'Ratio = 2 ^ 3',
    'YesNo = held is lamp and held.power > 1 W',
    'Power = if held is lamp then held.power else 0 W',
  ])('%s is well typed', (value) => expect(said(value)).toEqual([]));

  test.each([
    ['Time = 2 / period', /^Expected a time, this is a frequency/],
    ['Ratio = 2 ^ turn', /^A power is a plain number/],
    ['YesNo = held is lamp or held.power > 1 W', /has nothing called power/],
  ])('%s is not', (value, message) => expect(said(value)).toEqual([expect.stringMatching(message)]));

  test('of too many arguments with wrong names only these are told, not what is missing as well', () => {
    expect(said('Length = twice(off: 1 mm, from: 2 mm)').filter((line) => line.includes('also needs'))).toEqual([]);
    expect(said('Length = twice()')).toEqual(['twice also needs of; write twice(of: …).']);
  });
});
