import { describe, expect, test } from 'vitest';
import { fixed, mistakesIn } from '../support.ts';

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

describe('what is written as elsewhere has a fix', () => {
  const mended = (line: string) =>
    [
      ...fixed(
        `machine M {\n  ambient = 20 degC\n  wire w {\n    ${line}\n  }\n  bed {\n    target = 60 C\n  }\n}\n`,
      ).values(),
    ].map((text) => text.split('\n')[3]?.trim());
  test.each([
    ['insulation = "silicone"', 'insulation = silicone'],
    ['laying = "on_panel"', 'laying = on_panel'],
    ['is_cable = "yes"', 'is_cable = yes'],
    ['is_cable = true', 'is_cable = yes'],
    ['held_at_both_ends = false', 'held_at_both_ends = no'],
  ])('%s', (line, better) => expect(mended(line)).toContain(better));

  test('a word in quotes that is no part, or another word, has none', () => {
    expect(mended('insulation = "gold leaf"').filter((line) => line !== 'insulation = "gold leaf"')).toEqual([]);
    expect(mended('laying = "in_the_sea"').filter((line) => line !== 'laying = "in_the_sea"')).toEqual([]);
  });

  test('degrees that are written as a charge', () => {
    const titles = [...fixed('machine M {\n  ambient = 20 C\n}\n')];
    expect(titles.map(([, text]) => text)).toContain('machine M {\n  ambient = 20 degC\n}\n');
    expect(mistakesIn('machine M {\n  ambient = 20 C\n}\n').join()).toContain('degrees are written 20 degC');
  });
});
