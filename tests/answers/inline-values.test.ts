import { describe, expect, test } from 'vitest';
import { inlineValues } from '../../language/answers/inline-values.ts';
import { machineIn } from '../support.ts';

const kinds = `sizes widths: Length = [1 m, 2 m, 3 m]
kind hall {
  toplevel
  has lamp*
  width: Length default 4 m {
    sizes widths
  }
  depth: Length default 2 m
  area: Area = width * depth
  total: Power = sum(l.power for l in every lamp)
  gap: Length?
  slit: Length = gap / 2
  lamps: list of lamp = each(l for l in every lamp)
  headline area, total, slit, lamps, width
}
kind lamp {
  power: Power default 5 W
}
rule wide_enough on hall {
  holds width >= 1.5 m
  error "{width}"
}
`;

/** What stands at the ends of lines, each with its line. */
const lines = (body: string, more = '', name = 'H') => {
  const text = `${kinds}hall H {\n${body}\n}\n${more}`;
  return inlineValues(machineIn(text, name)).map(({ kind, offset, text: shown }) => {
    const start = text.lastIndexOf('\n', offset - 1) + 1;
    return `${text.slice(start, offset).trim()} <- ${kind} ${shown}`;
  });
};

describe('headlines', () => {
  test('stand behind the last line of their block that they depend on', () => {
    expect(lines('  width = 3 m\n  depth = 1 m  // deep\n  lamp a')).toEqual([
      'hall H { <- headline total 5 W',
      'depth = 1 m <- headline area 3 m²',
    ]);
  });

  test('go by their names in words', () => {
    const named = kinds.replaceAll('area', 'floor_area_inside');
    const machine = machineIn(`${named}hall H {\n  lamp a\n}\n`);
    expect(inlineValues(machine).map(({ text }) => text)).toEqual([expect.stringMatching(/^floor area inside 8 m²,/)]);
  });

  test('or behind its opening line, several together, before a comment', () => {
    expect(lines('  // nothing\n  lamp a')).toEqual(['hall H { <- headline area 8 m², total 5 W, 1 more']);
  });

  test('what is given, not known, or a list is none', () => {
    expect(lines('  width = 3 m\n  gap = 1 m')).toEqual([
      'hall H { <- headline total 0 W',
      'width = 3 m <- headline area 6 m²',
      'gap = 1 m <- headline slit 500 mm',
    ]);
  });

  test('of a variant stand in its own text', () => {
    expect(lines('  width = 3 m', 'hall V is H {\n  depth = 5 m\n}\n', 'V')).toContain(
      'depth = 5 m <- headline area 15 m²',
    );
  });
});

test('requirements with their margin, or that they are not decided', () => {
  expect(
    lines('  require area <= 10 m^2\n  require area <= 4 m^2\n  require gap < 1 m\n  require area == 8 m^2').filter(
      (line) => line.includes('requirement'),
    ),
  ).toEqual([
    'require area <= 10 m^2 <- requirement 8 m², 20 % to spare',
    'require area <= 4 m^2 <- requirement 8 m², 100 % short',
    'require gap < 1 m <- requirement undecided',
  ]);
});

test('proposals and measurements, each at its own line', () => {
  expect(
    lines('  width = ?\n  measured area = 5 m^2 on 2026-01-02').filter((line) => !line.includes('headline')),
  ).toEqual([
    expect.stringMatching(/^width = \? <- proposal .*2 m/),
    'measured area = 5 m^2 on 2026-01-02 <- measurement computed 4 m², measured 25 % more',
  ]);
});
