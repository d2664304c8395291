import { describe, expect, test } from 'vitest';
import { cellOf } from '../../language/compute/cell.ts';
import { Fault } from '../../language/values/value.ts';
import { mistakesIn, read } from '../support.ts';

/** One line of a machine with a mistake, what is said of it, and what the fix makes of the line (where there is one). */
const cases: [line: string, message: string, fixed?: string][] = [
  [
    'ambient = 20',
    'Expected a temperature, this is a bare number: write it with its unit, such as 20 degC.',
    'ambient = 20 degC',
  ],
  ['mains = 230V', 'Write a blank between the number and its unit: 230 V.', 'mains = 230 V'],
  ['mains = 230 v', 'v is not a unit; did you mean V?', 'mains = 230 V'],
  ['mains = 230,5 V', 'Decimals are written with a point: 230.5 V.', 'mains = 230.5 V'],
  ['mains = 230 W', 'Expected a voltage, this is a power: divide by a current?'],
  ['mains = 230 Ohm', 'Ohm is not a unit; did you mean ohm?', 'mains = 230 ohm'],
  ['ambient = 20 K', 'Expected a temperature, in degC; this is a difference, in K.', 'ambient = 20 degC'],
  [
    'ambient = 20 degC + 5 degC',
    'Two points of temperature cannot be added. A rise is a difference, in K: 60 degC + 20 K.',
  ],
  ['ambient = 20 degC + 5 W', 'A power cannot be added to a temperature.'],
  ['mains = 2.5 mm^2 + 1 m', 'A length cannot be added to an area.'],
  [
    'mains = 10 V*x',
    'x is not a unit. Without blanks V*x reads as one unit; to multiply, write 10 V * x.',
    'mains = 10 V * x',
  ],
  ['mains = ambiant', 'Nothing is called ambiant here. Did you mean ambient?', 'mains = ambient'],
  ['mains = ambient', 'Expected a voltage, this is a temperature.'],
  ['mains = yes', 'Expected a voltage, this is yes or no.'],
  [
    'require mains <= 250',
    'Expected a voltage, this is a bare number: write it with its unit, such as 250 V.',
    'require mains <= 250 V',
  ],
  ['require cost <= 300', 'Expected a price, this is a bare number: a price carries its currency, such as 12.50 EUR.'],
];

test.each(cases)('%s', (line, message, fixed) => {
  const text = `machine M {\n  ${line}\n}\n`;
  expect(mistakesIn(text).filter((m) => !m.includes('Not given yet'))).toEqual([`2: ${message}`]);
  if (fixed === undefined) return;
  const { project, file } = read(text);
  const fixes = project.mistakes(file).flatMap((m) => m.fixes);
  const written = fixes.map((fix) => fix.edits.reduce((t, e) => t.slice(0, e.start) + e.text + t.slice(e.end), text));
  expect(written).toContain(text.replace(line, fixed));
});

test('a torque is not an energy, a rotation not a frequency, and rpm converts', () => {
  const text = `/// A test's own kind.
kind spindle is component {
  torque: Torque default 3 J
  spin: RotationSpeed default 50 Hz
  turns: RotationSpeed default 600 rpm
  same: YesNo = turns == 10 rev/s {
    source defined "60 s in a minute"
  }
}
`;
  expect(mistakesIn(text)).toEqual([
    '3: Expected a torque, this is an energy: they are not the same. Write it in N*cm or N*m.',
    '4: Expected a rotation speed, this is a frequency: they are not the same. Write it in rpm.',
  ]);
});

test('an angle can be had back from its sine, and no sine is greater than 1', () => {
  const text = `/// A test's own kind.
kind wedge {
  toplevel
  /// Its height.
  height: Length
  /// Its long side.
  side: Length
  /// Its angle.
  angle: Angle = asin(height / side) {
    source defined "the sine's inverse"
  }
}
wedge steep {
  height = 1 mm
  side = 2 mm
}
wedge impossible {
  height = 3 mm
  side = 2 mm
}
`;
  const { project, file } = read(text);
  expect(mistakesIn(text)).toEqual([]);
  const angles = project.machines(file).map(({ tree, engine }) => {
    const cell = cellOf(tree, 'angle');
    return cell && engine.value(cell);
  });
  expect(angles[0]).toBeCloseTo(Math.PI / 6, 12);
  expect(angles[1]).toBeInstanceOf(Fault);
});

describe('a power', () => {
  const told = (formula: string, type: string) =>
    mistakesIn(
      `kind hall {\n  toplevel\n  width: Length default 4 m\n  many: Count default 2\n  price: Price default 2 EUR\n  asked: ${type} = ${formula}\n}\n`,
    ).map((mistake) => mistake.replace(/^\d+: /, ''));

  test.each([
    ['width ^ 2', 'Area'],
    ['width ^ (4 / 2)', 'Area'],
    ['(width ^ 2) ^ (1/2)', 'Length'],
    ['1 / width ^ -2', 'Area'],
    ['width ^ -(-2)', 'Area'],
    ['many ^ many', 'Count'],
    ['(width / 1 m) ^ (many / 3)', 'Ratio'],
  ])('%s is a %s', (formula, type) => expect(told(formula, type)).toEqual([]));

  test.each([
    ['width ^ many', 'A quantity with a unit can only be raised to a plain number, such as 2 or (1/4).'],
    ['width ^ (1 + 1)', 'A quantity with a unit can only be raised to a plain number, such as 2 or (1/4).'],
    ['width ^ (1 / 0)', 'A quantity with a unit can only be raised to a plain number, such as 2 or (1/4).'],
    ['width ^ (1 m)', 'A power is a plain number, such as 2 or (1/4).'],
    ['price ^ 2', 'A price cannot be raised to a power.'],
  ])('%s: %s', (formula, message) => expect(told(formula, 'Area')).toEqual([message]));
});

test('formulas and curves are never compared', () => {
  const told = (formula: string) =>
    mistakesIn(
      `kind hall {\n  toplevel\n  course: curve of Time, Speed?\n  f(at: Time): Speed = at * 1 m/s^2\n  asked: YesNo = ${formula}\n}\n`,
    );
  expect(told('f == f')).toEqual([
    expect.stringContaining('Only quantities can be compared by size; this is a formula that takes'),
  ]);
  expect(told('course != course')).toEqual([expect.stringContaining('this is a curve of speed over time')]);
});
