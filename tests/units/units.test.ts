import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Declaration } from '../../language/grammar/generated/ast.ts';
import { parse } from '../../language/grammar/parser.ts';
import { libraryFiles } from '../../language/library/generated/library.ts';
import { readLibrary } from '../../language/project.ts';
import { dimensionless, multiply, raise } from '../../language/units/dimension.ts';
import { baseText } from '../../language/units/display.ts';
import { clausesOf, isUnit, type Unit, UnitSystem, unitText } from '../../language/units/units.ts';

const { system } = readLibrary(libraryFiles).scope;
const unitOf = (text: string): Unit => {
  const unit = system.unit(text);
  if (!isUnit(unit)) throw new Error(`${unit.part} is not a unit`);
  return unit;
};
const near = (a: number, b: number) => Math.abs(a / b - 1) < 1e-12;

const plain = fc.constantFrom(...system.plainUnits().filter((u) => !u.currency && u.zero === undefined));
const simple = plain.map((unit) => unit.text);
const power = fc.integer({ min: -3, max: 3 }).filter((n) => n !== 0);

describe('units', () => {
  test('multiply, divide and are raised, factor and dimension alike', () => {
    fc.assert(
      fc.property(simple, simple, simple, power, (a, b, c, n) => {
        const [ua, ub, uc] = [unitOf(a), unitOf(b), unitOf(c)];
        const whole = unitOf(`${a}*${b}^${n}/(${c}*${a})`);
        expect(near(whole.factor, (ua.factor * ub.factor ** n) / (uc.factor * ua.factor))).toBe(true);
        expect(whole.dimension).toBe(multiply(raise(ub.dimension, n), uc.dimension, -1));
        // A quotient goes on from the left: a/b*c is (a/b)*c.
        expect(near(unitOf(`${a}/${b}*${c}`).factor, (ua.factor / ub.factor) * uc.factor)).toBe(true);
      }),
    );
  });

  test('are read back from what the text of a dimension says', () => {
    for (const named of system.dimensions.values()) {
      if (named.points || named.money || named.dimension === dimensionless) continue;
      const text = baseText(system, named.dimension);
      const unit = system.unit(text);
      expect(isUnit(unit) && { dimension: unit.dimension.key, factor: unit.factor }, `${named.name}: ${text}`).toEqual({
        dimension: named.dimension.key,
        factor: 1,
      });
    }
  });

  test('that a quantity is shown in are of its dimension', () => {
    for (const named of system.dimensions.values()) {
      for (const text of named.shown) {
        const unit = text === '1' ? undefined : unitOf(text);
        if (unit) expect(unit.dimension, `${named.name} shown in ${text}`).toBe(named.dimension);
      }
    }
  });

  test('have the dimension that they are declared with', () => {
    for (const unit of system.plainUnits()) expect(unit.of?.dimension, unit.text).toBe(unit.dimension);
  });

  test('are never two with one spelling, prefixes included', () => {
    const found = new Map<string, string>();
    for (const unit of system.plainUnits()) {
      for (const prefix of ['', ...system.prefixes.keys()]) {
        const read = system.unit(prefix + unit.text);
        if (!isUnit(read) || (read.of !== unit.of && prefix !== '')) continue;
        found.set(prefix + unit.text, `${prefix}|${unit.text}`);
        const factor = (system.prefixes.get(prefix)?.factor ?? 1) * unit.factor;
        // `min` is a minute and never a thousandth of an inch: a unit's own name comes first.
        if (!system.plainUnits().some((other) => other.text === prefix + unit.text && prefix)) {
          expect(near(read.factor, factor), prefix + unit.text).toBe(true);
        }
      }
    }
    expect(found.size).toBeGreaterThan(300);
  });

  test.each([
    ['v', 'V'],
    ['mm2', 'mm^2'],
    ['W/m2', 'W/m^2'],
    ['KG', 'kg'],
    ['Ohm', 'ohm'],
    ['furlongs', undefined],
  ])('%s is not one, and what is meant may be %s', (text, suggestion) => {
    const read = system.unit(text);
    expect(isUnit(read)).toBe(false);
    expect((read as { suggestion?: string }).suggestion).toBe(suggestion);
  });
});

test('a text that is no unit: the part at fault is named', () => {
  const part = (text: string) => {
    const read = system.unit(text);
    return isUnit(read) ? `${text} is one` : read.part;
  };
  expect(['m*furlong', 'kg/furlong^2', '(m*s', 'm)', 'm^', 'm*', '', 'm^x'].map(part)).toEqual([
    'furlong',
    'furlong',
    '(m*s is one',
    ')',
    '^',
    'm*',
    '',
    '^x',
  ]);
});

test('a quotient keeps its brackets in what people read, and a power its sign', () => {
  expect(unitOf('W/(m*K)').symbol).toBe('W/(m*K)');
  expect(unitOf('kg*m^2/s^2').symbol).toBe('kg*m^2/s^2');
  expect(unitOf('1/s').symbol).toBe('1/s');
  expect(unitOf('s^-1').factor).toBe(1);
  expect(unitOf('mm^-2').factor).toBeCloseTo(1e6, 3);
  expect(unitOf('um').symbol).toBe('µm');
});

test('a price per something keeps its currency, and something per price as well', () => {
  const { currency } = unitOf('EUR');
  expect(currency).toBe('EUR');
  expect(unitOf('EUR/m').currency).toBe('EUR');
  expect(unitOf('h*EUR').currency).toBe('EUR');
});

test('a prefix stands only before a unit that takes it', () => {
  expect(isUnit(system.unit('kPa'))).toBe(true);
  expect(isUnit(system.unit('kdegC'))).toBe(false);
  expect(isUnit(system.unit('kmin'))).toBe(false);
});

test('a symbol is read as its unit, and how it is to be typed is told', () => {
  expect(unitOf('°C')).toMatchObject({ of: unitOf('degC').of, zero: 273.15 });
  expect(system.asWritten('°C')).toBe('degC');
  expect(['degC', 'mm', '%', 'nothing'].map((text) => system.asWritten(text))).toEqual([
    undefined,
    undefined,
    undefined,
    undefined,
  ]);
});

test('a unit written as an expression is read back as its text', () => {
  const { items } = parse('kind k {\n  headline mm^2, W/(m*K), s^-1, 1\n}\n').file;
  const [clause] = clausesOf(items[0] as Declaration, 'headline');
  expect(clause?.values.map(unitText)).toEqual(['mm^2', 'W/(m*K)', 's^-1', '1']);
  expect(unitText(undefined)).toBe('');
});

test('are declared by numbers that are reckoned, and by units that stand before', () => {
  const declared = parse(`dimension Length {
  base
  shown furlong, 1/m
}
dimension Area = Length ^ 2 {
}
dimension Ratio = (Length / Length) {
}
prefix kilo = 10 ^ 3 {
  symbol "k"
}
prefix small = (2 + 3) / 10 - 1/4 - -1 {
}
unit m: Length
unit yard: Length = 0.9 m {
  prefixes small
}
unit furlong: Length = 10 * (22 * yard) {
  prefixes all
}
unit acre: Area = 4840 * yard ^ 2
unit lost: Nothing = 3 m
unit many: Ratio = 2 ^ (3 + 1)
`).file.items as Declaration[];
  const own = new UnitSystem(declared);
  const factor = (text: string) => {
    const unit = own.unit(text);
    return isUnit(unit) ? unit.factor : undefined;
  };
  expect(factor('furlong')).toBeCloseTo(198, 9);
  expect(factor('kfurlong')).toBeCloseTo(198_000, 6);
  expect(factor('kilofurlong')).toBeCloseTo(198_000, 6);
  expect(own.prefixes.get('small')?.factor).toBeCloseTo(1.25, 12);
  expect(factor('smallyard')).toBeCloseTo(1.125, 9);
  expect(factor('kyard')).toBeUndefined();
  expect(factor('acre')).toBeCloseTo(4840 * 0.81, 6);
  expect(factor('lost')).toBeUndefined();
  expect(factor('many')).toBe(16);
  expect(own.dimensions.get('Ratio')?.dimension).toBe(dimensionless);
  expect(own.dimensions.get('Length')?.shown).toEqual(['furlong', '1/m']);
  expect(own.plainUnits().map(({ text }) => text)).toEqual(['m', 'yard', 'furlong', 'acre', 'many']);
});

test('of a dimension that has no name there are none', () => {
  expect(system.named(unitOf('kg^5').dimension)).toEqual([]);
  expect(system.named(unitOf('J').dimension).map(({ name }) => name)).toContain('Torque');
});
