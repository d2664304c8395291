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
