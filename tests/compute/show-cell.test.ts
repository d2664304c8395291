import { describe, expect, test } from 'vitest';
import { cellAt } from '../../language/answers/derivation.ts';
import { type Cell, cellOf } from '../../language/compute/cell.ts';
import {
  alongsideOf,
  extremesOf,
  literalOf,
  pathOfCell,
  showAlongside,
  showCell,
  showTogether,
  typeOfCell,
  unitsAlongside,
  valueOver,
  valuesOf,
  whereOf,
} from '../../language/compute/show-cell.ts';
import { Bounds, Money, Range, Sides, Unknown, type Value } from '../../language/values/value.ts';
import { machineIn } from '../support.ts';

const kinds = `kind hall {
  toplevel
  has lamp*
  width: Length default 4 m
  air: Temperature default 20 degC
  price: Price default 8 EUR
  size: Length x Length default 2 m x 300 mm
  mode: one of dim, bright default dim
  lit: YesNo default yes
  share: Ratio default 0.25
  gap: Length? {
    shown um
  }
  doubled: Length = 2 * width
  cost: Price = price * (width / 1 m)
  mixed: Mass = if width > 4 m then load else 5 kg
  load: Mass = sum(l.mass for l in every lamp)
  left: Mass = width * 1 kg/m - load
  worst: YesNo = width > 4 m
  bill: Price = if width > 4 m then sum(l.price for l in every lamp) else 5 EUR
  flat: Length = width * 0 + 1 m
  turns: Count default 3
  loose: Length = if width > 4 m then gap else width
  at(share: Ratio): Length = width * share
  rim(share: Ratio, by: Length): Length = width * share + by
  asked: Length = rim(50 %, 1 m)
}
kind lamp {
  price: Price?
  mass: Mass
}
`;
const machine = (lines = '') => machineIn(`${kinds}hall H {\n${lines}\n}\n`);
const cell = (of: ReturnType<typeof machine>, name: string) => cellOf(of.tree, name) as Cell;

describe('a value over all ends', () => {
  const ranged = machine('width = 3 m .. 5 m\nlamp a {\n  mass = 1 kg\n}\nlamp b');
  const over = (name: string) => valueOver(cell(ranged, name), ranged);

  test('is itself where it is the same at all, and a range where it is not', () => {
    expect(over('air')).toBe(293.15);
    expect(over('doubled')).toEqual(new Range(6, 10));
    expect(over('price')).toEqual(new Money(8, 'EUR'));
  });

  test('of prices is what lies between the least and the greatest', () => {
    expect(over('cost')).toEqual(new Bounds(24, 40, [], 'EUR'));
  });

  test('that is missing at one end is missing, and one that is no number is told at the first', () => {
    expect(over('loose')).toBeInstanceOf(Unknown);
    expect(over('worst')).toBeTypeOf('boolean');
    expect(over('load')).toMatchObject({ low: 1, high: undefined });
  });

  test('with bounds has the bounds of all', () => {
    const bounds = machine('lamp a {\n  mass = 1 kg .. 2 kg\n}\nlamp b');
    expect(valueOver(cell(bounds, 'load'), bounds)).toMatchObject({
      low: 1,
      high: undefined,
      missing: [{ name: 'mass' }],
    });
  });

  test('with bounds at one end, and a number at the other, has the bounds of both', () => {
    // 1 kg and what is not known of the other lamp, or 5 kg: at least 1 kg.
    expect(over('mixed')).toMatchObject({ low: 1, high: undefined, missing: [{ name: 'mass' }] });
  });

  test('with a price at one end, and at the other what is known of one from below, is told from below', () => {
    const of = machine('width = 3 m .. 5 m\nlamp a {\n  price = 8 EUR\n}\nlamp b');
    expect(valueOver(cell(of, 'bill'), of)).toMatchObject({
      low: 5,
      high: undefined,
      code: 'EUR',
      missing: [{ name: 'price' }],
    });
  });

  test('that is known from above alone, at one end or at all, is not known from below', () => {
    const bounds = (lines: string) => {
      const of = machine(lines);
      return valueOver(cell(of, 'left'), of);
    };
    // At most 4 kg less than 1 kg, and at most 5 kg less than that: at most 4 kg.
    expect(bounds('width = 4 m .. 5 m\nlamp a {\n  mass = 1 kg\n}\nlamp b')).toMatchObject({ low: undefined, high: 4 });
    expect(bounds('width = 5 m\nlamp a {\n  mass = 1 kg .. 3 kg\n}\nlamp b')).toMatchObject({
      low: undefined,
      high: 4,
    });
    expect(bounds('width = 4 m .. 5 m\nlamp a {\n  mass = 1 kg\n}')).toEqual(new Range(3, 4));
  });

  test('where it is least and greatest is told', () => {
    expect(extremesOf(cell(ranged, 'doubled'), ranged)).toEqual({ least: 'at width 3 m', greatest: 'at width 5 m' });
    expect(extremesOf(cell(ranged, 'cost'), ranged)).toEqual({ least: 'at width 3 m', greatest: 'at width 5 m' });
    expect(extremesOf(cell(ranged, 'air'), ranged)).toBeUndefined();
    expect(extremesOf(cell(ranged, 'flat'), ranged)).toBeUndefined();
    expect(extremesOf(cell(ranged, 'worst'), ranged)).toBeUndefined();
    const scenario = ranged.engine.corners(cell(ranged, 'air')).tried[0];
    expect(whereOf(scenario as never, cell(ranged, 'air'), ranged)).toBeUndefined();
  });
});

test('a value in the units that its declaration asks for', () => {
  expect(showCell(cell(machine('gap = 2 mm'), 'gap'), machine())).toBe('2000 µm');
});

test('the path of a value, with what it is called with', () => {
  const of = machine('lamp a {\n  mass = 1 kg\n}');
  const path = (of_: string) => pathOfCell(cellAt(of_, of) as Cell, of);
  expect(path('a.mass')).toBe('a.mass');
  expect(path('width')).toBe('width');
  const called = of.engine.under(of.engine.low, () => {
    of.engine.value(cell(of, 'asked'));
    return of.engine.inputs(cell(of, 'asked'))[0] as Cell;
  });
  expect(pathOfCell(called, of)).toBe('rim(share: 50 %, by: 1 m)');
  expect(typeOfCell(called)).toMatchObject({ is: 'quantity', named: { name: 'Length' } });
  expect(showCell(called, of)).toBe('3 m');
});

test('every value that takes no arguments, by its place in the tree', () => {
  const of = machine('lamp a {\n  mass = 1 kg\n}');
  const before: string[] = [];
  const values = [...valuesOf(of, (each) => before.push(each.name))];
  expect(values.map((each) => each.cell.name)).toEqual(before);
  expect(before).toContain('doubled');
  expect(before.at(-1)).toBe('mass');
  expect(before).not.toContain('rim');
  expect(before).not.toContain('lamp');
  expect(values.at(-1)?.value).toBe(1);
});

describe('a value as text that the language reads', () => {
  const of = machine();
  test.each([
    ['width', '4 m'],
    ['air', '20 degC'],
    ['price', '8 EUR'],
    ['size', '2 m x 300 mm'],
    ['mode', 'dim'],
    ['lit', 'yes'],
    ['share', '25 %'],
    ['turns', '3'],
  ])('%s: %s', (name, text) => {
    expect(literalOf(valueOver(cell(of, name), of), cell(of, name), of)).toBe(text);
  });

  test('of sides each in the unit that its declaration asks for, whatever the type is taken to be', () => {
    expect(literalOf(new Sides([1.5, 0.25]), cell(of, 'size'), of)).toBe('1.5 m x 250 mm');
    expect(literalOf(new Sides([0.002, 0.003]), cell(of, 'gap'), of)).toBe('2000 um x 3000 um');
  });

  test('to so many digits, and none where it has none', () => {
    expect(literalOf(1.23456, cell(of, 'width'), of)).toBe('1.23 m');
    expect(literalOf(1.23456, cell(of, 'width'), of, 5)).toBe('1.2346 m');
    expect(literalOf(new Money(8.126, 'EUR'), cell(of, 'price'), of)).toBe('8.13 EUR');
    expect(literalOf(false, cell(of, 'lit'), of)).toBe('no');
    expect(literalOf(new Unknown([]), cell(of, 'width'), of)).toBeUndefined();
    expect(literalOf(0.002, cell(of, 'gap'), of)).toBe('2000 um');
  });
});

test('numbers are told in the units that the kind of the whole asks for besides, where they are of that dimension', () => {
  const hall = machineIn(
    `${kinds.replace('kind hall {', 'kind hall {\n  more: list of Text = ["in", "ft", "degF", "nothing"]\n  alongside more\n  warming: TemperatureDifference default 10 K')}hall H {\n  air = 15 degC .. 25 degC\n}\n`,
  );
  const beside = (name: string) => showAlongside(cellOf(hall.tree, name) as Cell, hall);
  // NIST SP 811, appendix B.8: an inch is 25.4 mm, a foot 304.8 mm, t/°F = 1.8 t/°C + 32.
  expect(beside('width')).toBe(' (13.1 ft)');
  expect(beside('size')).toBe(' (78.7 in x 11.8 in)');
  expect(beside('air')).toBe(' (59 to 77 °F)');
  const alongside = (name: string) => unitsAlongside(typeOfCell(cellOf(hall.tree, name) as Cell), hall);
  expect(alongside('air').map(({ text }) => text)).toEqual(['degF']);
  expect(alongside('width').map(({ text }) => text)).toEqual(['in', 'ft']);
  expect(alongside('warming')).toEqual([]);
  for (const name of ['warming', 'price', 'mode', 'share', 'gap']) expect(beside(name), name).toBe('');
  const plain = machineIn(`${kinds}hall H {\n}\n`);
  expect(showAlongside(cellOf(plain.tree, 'width') as Cell, plain)).toBe('');
});

test('beside a number stands the unit in which it is no more than a hundred, and nothing where it is nothing, or needs an exponent', () => {
  const hall = machineIn(
    `${kinds.replace('kind hall {', 'kind hall {\n  more: list of Text = ["in", "ft", "degF"]\n  alongside more')}hall H {\n  air = -20 degC\n}\n`,
  );
  const type = (name: string) => typeOfCell(cellOf(hall.tree, name) as Cell);
  const width = (value: Value) => alongsideOf(value, type('width'), hall);
  // NIST SP 811, appendix B.8: an inch is 25.4 mm, a foot 0.3048 m, t/°F = 1.8 t/°C + 32.
  expect(width(2.5)).toBe(' (98.4 in)');
  expect(width(25.7)).toBe(' (84.3 ft)');
  expect(width(new Range(0.5, 30))).toBe(' (1.64 to 98.4 ft)');
  expect(width(-25.7)).toBe(' (-84.3 ft)');
  expect(alongsideOf(new Sides([25.7, 0.5]), type('size'), hall)).toBe(' (84.3 ft x 1.64 ft)');
  expect(width(2.54e-6)).toBe(' (0.0001 in)');
  expect(width(5e-7)).toBe('');
  expect(width(0)).toBe('');
  expect(width(new Range(0, 0.0254))).toBe(' (0 to 1 in)');
  expect(alongsideOf(0, type('air'), hall)).toBe(' (-460 °F)');
});

test('several values of a cell are told in the unit of the greatest', () => {
  const hall = machineIn(`${kinds}hall H {\n}\n`);
  const cell = (name: string) => cellOf(hall.tree, name) as Cell;
  expect(showTogether(cell('width'), hall, [0.4, 1.2])).toEqual(['0.4 m', '1.2 m']);
  expect(showTogether(cell('width'), hall, [-1.2, 0.4])).toEqual(['-1.2 m', '0.4 m']);
  expect(showTogether(cell('share'), hall, [0.4, 1.2])).toEqual(['0.4', '1.2']);
});
