import { describe, expect, test } from 'vitest';
import { findingsOf, machineIn } from '../support.ts';

/** What a rule's message says in a hall. */
const said = (message: string, { holds = 'width < 1 m', lines = '' } = {}) =>
  findingsOf(
    machineIn(`kind hall {
  toplevel
  width: Length default 4 m
  share: Ratio default 25 %
  gap: Length? {
    shown um
  }
  play: Length default 0.05 mm
  mass: Mass?
  lit: YesNo default yes
  mode: one of dim, very_bright default very_bright
  tags: list of Text default ["thin", "long"]
  broken: Length = width / 0
  note: Text?
  area(by: Length): Area = width * by
}
rule hall_wide on hall {
  holds ${holds}
  error "${message}"
}
hall H {
${lines}
}
`),
  )
    .filter((finding) => finding.startsWith('hall_wide'))
    .map((finding) => finding.replace('hall_wide: ', ''));

describe('a message shows values', () => {
  test.each([
    ['{width} wide', '4 m wide'],
    ['{width}, {share} and {mode}', '4 m, 25 % and very bright'],
    ['{width / 2} half', '2 m half'],
    ['{area(2 m)}', '8 m²'],
    ['write `floor = {area(2 m)}`, for {area(2 m)}', 'write `floor = 8 m^2`, for 8 m²'],
    ['{1 W/(m*K)}', '1 W/(m·K)'],
    ['set `heat = {20 degC}`', 'set `heat = 20 degC`'],
    ['{lit}', 'yes'],
    ['as {tags}; write `{tags}`', 'as thin, long; write `[thin, long]`'],
    ['{name}', 'H'],
    ['plain', 'plain'],
  ])('%s: %s', (message, text) => expect(said(message)).toEqual([text]));

  test('in the units that a value asks for', () =>
    expect(said('{gap}', { lines: '  gap = 2 mm' })).toEqual(['2000 µm']));

  test('where one is not known, what it would be', () => {
    expect(said('{mass} heavy')).toEqual(['a mass that is not given heavy']);
    expect(said('{gap} apart')).toEqual(['a length that is not given apart']);
    expect(said('{note}')).toEqual(['something that is not given']);
    expect(said('{broken} there')).toEqual(['a length that cannot be computed there']);
  });
});

describe('a value and its limit are told apart', () => {
  const apart = (limit: string, message = '{width} of {limit}') =>
    said(message.replaceAll('{limit}', `{${limit}}`), { holds: `width < ${limit}` });

  test('by as many digits as that takes', () => {
    expect(apart('3 m')).toEqual(['4 m of 3 m']);
    expect(apart('3.999 m')).toEqual(['4 m of 3.999 m']);
    expect(apart('3.99999 m')).toEqual(['4 m of 3.99999 m']);
  });

  test('in one unit, that of the greater', () => {
    const gaps = (holds: string, lines: string) => said('{gap}; the limit is {play}', { holds, lines: `  ${lines}` });
    expect(gaps('gap <= play', 'gap = 0.205 mm')).toEqual(['205 µm; the limit is 50 µm']);
    expect(gaps('play > gap', 'gap = 0.205 mm')).toEqual(['205 µm; the limit is 50 µm']);
  });

  test('but each in its own where they are far apart', () =>
    expect(said('{gap}; the limit is {width}', { holds: 'gap >= width', lines: '  gap = 2 mm' })).toEqual([
      '2000 µm; the limit is 4 m',
    ]));

  test('but where six do not: then by three', () => {
    expect(apart('3.999999 m')).toEqual(['4 m of 4 m']);
    expect(apart('3.99999999 m')).toEqual(['4 m of 4 m']);
  });
});

// Absolute zero is -273.15 °C: SI Brochure, 9th edition (2019), 2.3.1.
describe('no message names a limit that nothing can keep to', () => {
  const inKiln = (holds: string, message: string, wayOut: string, lines: string) =>
    machineIn(`kind kiln {
  toplevel
  warm: Temperature default 150 degC
  bears: Temperature default 90 degC
  excess: TemperatureDifference default 380 K
  long: Length default 30 mm
  room: Length = 20 mm - used
  used: Length default 50 mm
  at: Length default -12 mm {
    within -1 m .. 1 m
  }
}
rule kiln_fits on kiln {
  holds ${holds}
  error "${message}"
  remedy "${wayOut}"
}
kiln K {
${lines}
}
`).assessment.findings.flatMap(({ rule, message, waysOut }) => (rule === 'kiln_fits' ? [message, ...waysOut] : []));

  test('nothing is colder than absolute zero, wherever it is told', () => {
    const said = (lines: string) =>
      inKiln(
        'warm <= bears - excess - 10 K',
        '{warm}; the limit is {bears - excess - 10 K}, {bears - excess} less 10 K',
        'stay below {bears - excess}',
        lines,
      );
    expect(said('')).toEqual([
      '150 °C; the limit is no possible temperature, no possible temperature less 10 K',
      'stay below no possible temperature',
    ]);
    expect(said('  excess = 340 K')).toEqual(['150 °C; the limit is -260 °C, -250 °C less 10 K', 'stay below -250 °C']);
  });

  test('no length is below nothing, where it is a limit or what something is to be', () => {
    expect(inKiln('long <= room', '{long} in {room}', 'take one of {room - 1 mm}', '')).toEqual([
      '30 mm in no possible length',
      'take one of no possible length',
    ]);
    expect(inKiln('long <= room', '{long} in {room}', 'take one of {room - 1 mm}', '  used = 5 mm')).toEqual([
      '30 mm in 15 mm',
      'take one of 14 mm',
    ]);
  });

  test('but what has a place on either side is told with its sign', () => {
    expect(inKiln('at >= 0 mm', 'lies at {at}, {room} from there', 'set it to {at}', '')).toEqual([
      'lies at -12 mm, -30 mm from there',
      'set it to -12 mm',
    ]);
  });
});

test('what the block around has, where a kind does not say which that is, is told with its unit', () => {
  const machine = machineIn(`kind lamp { on: YesNo default yes }
kind hall {
  toplevel
  width: Length default 4 m
  area: Area = width * width
  has lamp
}
rule lamp_off on lamp {
  holds not on
  error "lit for {holder.area}, {holder.width} wide"
}
hall H {
  lamp { on = yes }
}
`);
  expect(findingsOf(machine)).toContain('lamp_off: lit for 16 m², 4 m wide');
});
