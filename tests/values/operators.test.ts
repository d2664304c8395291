import { describe, expect, test } from 'vitest';
import type { Binary } from '../../language/grammar/generated/ast.ts';
import { binary, junction, nearly, negate, not, range, sides } from '../../language/values/operators.ts';
import { Opaque, Span } from '../../language/values/span.ts';
import { Bounds, Fault, Money, Range, Sides, Unknown, type Value } from '../../language/values/value.ts';
import { findingsOf, machineIn, shown, toldOf } from '../support.ts';

/** A shelf of crates: what some weigh is not given, so that the sum lies between bounds. */
function shelf(condition: string, { known = '4 kg', beside = '' } = {}): string {
  return `/// Holds crates.
kind shelf {
  toplevel
  has crate*
  /// What it holds.
  load: Mass = sum(b.mass for b in every crate) {
    source defined "a test"
  }
  /// Crates of more than 3 kg.
  heavy: Count = count(b for b in every crate where b.mass > 3 kg) {
    source defined "a test"
  }
  /// A value that is known.
  own: Mass default 2 kg
  /// What is asked.
  answer: ${condition} {
    source defined "a test"
  }
}
/// A crate.
kind crate {
  mass: Mass
}
${beside}
shelf S {
  crate a {
    mass = ${known}
  }
  crate b {
  }
}
`;
}

const answer = (type: string, formula: string) => {
  const text = shelf(`${type} = ${formula}`);
  expect(toldOf(text).filter(({ severity }) => severity !== 'note')).toEqual([]);
  return shown(machineIn(text), 'answer');
};

test('a sum of which a part is not known is at least the rest, a count lies between two bounds', () => {
  expect(answer('Mass', 'load')).toBe('at least 4 kg');
  expect(answer('Count', 'heavy')).toBe('at least 1, at most 2');
});

describe('arithmetic keeps what is known of them', () => {
  test.each([
    ['Mass', 'load + own', 'at least 6 kg'],
    ['Mass', 'own + load', 'at least 6 kg'],
    ['Mass', 'load - own', 'at least 2 kg'],
    // What is subtracted may be any more: nothing is known from below.
    ['Mass', 'own - load', 'at most -2 kg'],
    ['Mass', 'load * 3', 'at least 12 kg'],
    ['Mass', '3 * load', 'at least 12 kg'],
    ['Mass', 'load / 2', 'at least 2 kg'],
    ['Count', 'heavy + 1', 'at least 2, at most 3'],
    ['Count', '5 - heavy', 'at least 3, at most 4'],
    ['Count', 'heavy - heavy', 'at least -1, at most 1'],
    ['Count', '2 * heavy', 'at least 2, at most 4'],
    // A bound scaled by what is negative would turn round: nothing is said of it.
    ['Count', 'heavy * -1', 'not known'],
    ['Count', '-1 * heavy', 'not known'],
    ['Count', 'heavy / -1', 'not known'],
    ['Count', '1 / heavy', 'not known'],
    ['Count', 'heavy * heavy', 'not known'],
    ['Count', 'heavy ^ 2', 'not known'],
    // Which of two is the least is known only where the bounds decide it.
    ['Mass', 'min(load, 3 kg)', '3 kg'],
    ['Mass', 'min(load, 5 kg)', 'not known'],
    ['Mass', 'min(5 kg, load)', 'not known'],
    ['Mass', 'max(load, 3 kg)', 'at least 4 kg'],
    ['Mass', 'max(5 kg, load)', 'not known'],
  ])('%s: %s is %s', (type, formula, expected) => expect(answer(type, formula)).toBe(expected));
});

describe('a comparison is decided only where both bounds decide it', () => {
  test.each([
    ['load > 3 kg', 'yes'],
    ['load >= 4 kg', 'yes'],
    ['load > 4 kg', 'not known'],
    ['load < 4 kg', 'no'],
    ['load <= 4 kg', 'not known'],
    ['load <= 3 kg', 'no'],
    ['load < 9 kg', 'not known'],
    ['3 kg < load', 'yes'],
    ['3 kg > load', 'no'],
    ['heavy <= 2', 'yes'],
    ['heavy < 2', 'not known'],
    ['heavy < 3', 'yes'],
    ['heavy >= 1', 'yes'],
    ['heavy > 1', 'not known'],
    ['heavy > 2', 'no'],
    ['heavy >= 3', 'no'],
    ['heavy == 1', 'not known'],
    ['heavy != 2', 'not known'],
    ['heavy == 5', 'no'],
    ['heavy != 5', 'yes'],
    ['heavy == 0', 'no'],
    ['load == 3 kg', 'no'],
    ['load == 9 kg', 'not known'],
  ])('%s: %s', (formula, expected) => expect(answer('YesNo', formula)).toBe(expected));
});

describe('a rule over a sum that is partly unknown', () => {
  const rule = (holds: string) => `/// Bears it.
rule shelf_bends on shelf {
  holds ${holds}
  error "{name} holds {load}"
  source defined "a test"
}
`;
  const judged = (holds: string, known?: string) =>
    machineIn(shelf('Mass = own', { known, beside: rule(holds) })).assessment;

  test('is broken where what is known breaks it alone', () => {
    const machine = machineIn(shelf('Mass = own', { known: '12 kg', beside: rule('load <= 10 kg') }));
    expect(findingsOf(machine)).toEqual(['shelf_bends: S holds at least 12 kg']);
  });

  test('is undecided where what is missing could break it, and names what is missing', () => {
    const { undecided, findings, held } = judged('load <= 10 kg');
    expect(findings).toEqual([]);
    expect(held).toBe(0);
    expect(undecided.map(({ rule: name, missing }) => [name, missing])).toEqual([['shelf_bends', ['b.mass']]]);
  });

  test('holds where nothing that is missing could break it', () => {
    expect(judged('load >= 4 kg').held).toBe(1);
  });
});

test('how far a requirement is from failing is told of the bound that fails first', () => {
  const margin = (condition: string) => {
    const text = shelf('Mass = own').replace('shelf S {', `shelf S {\n  require ${condition}`);
    return machineIn(text).assessment.requirements[0]?.margin?.amount;
  };
  // At least 4 kg: the least that the limit can be, and the least that the value can be.
  expect(margin('own <= load')).toBeCloseTo(0.5, 9);
  expect(margin('load >= own')).toBeCloseTo(1, 9);
});

describe('blocks that stand for several, each with bounds of its own', () => {
  const racks = (count: number) => `/// Holds racks.
kind store {
  toplevel
  has rack*
  /// What all hold.
  load: Mass = sum(r.load for r in every rack) {
    source defined "a test"
  }
}
/// Holds crates.
kind rack {
  has crate*
  /// What it holds.
  load: Mass = sum(b.mass for b in every crate of self) {
    source defined "a test"
  }
}
/// A crate.
kind crate {
  mass: Mass
}
store S {
  rack r * ${count} {
    crate a {
      mass = 4 kg
    }
    crate b {
    }
  }
}
`;
  test.each([
    [1, 'at least 4 kg'],
    [3, 'at least 12 kg'],
  ])('%i of at least 4 kg: %s', (count, expected) => expect(shown(machineIn(racks(count)), 'load')).toBe(expected));
});

describe('two values meet', () => {
  const kinds = 'kind hall {\n  toplevel\n}\n';
  const machine = machineIn(`rate 1 EUR = 2 USD on 2026-03-02\n${kinds}hall H {\n}\n`);
  const at = { self: machine.tree, scope: machine.scope };
  const node = { $type: 'Binary' } as Binary;
  const of = (operator: Binary['operator'], a: Value, b: Value) => binary(operator, a, b, at, node);
  const [eur, usd] = ['EUR', 'USD'].map((code) => (amount: number) => new Money(amount, code)) as [
    (amount: number) => Money,
    (amount: number) => Money,
  ];
  const lacking = new Unknown([{ instance: machine.tree, name: 'width' }]);
  const fault = new Fault('why');

  test.each<[Value, Binary['operator'], Value, Value]>([
    [7, '+', 2, 9],
    [7, '-', 2, 5],
    [7, '*', 2, 14],
    [7, '/', 2, 3.5],
    [7, '^', 2, 49],
    [7, '==', 7 * (1 + 1e-12), true],
    [7, '!=', 7 * (1 + 1e-12), false],
    [7, '<', 7 * (1 + 1e-12), false],
    [7 * (1 + 1e-12), '>', 7, false],
    [7 * (1 + 1e-12), '<=', 7, true],
    [7, '>=', 7 * (1 + 1e-12), true],
    [7, '==', 7.001, false],
    [7, '!=', 7.001, true],
    [7, '<', 7.001, true],
    [7.001, '>', 7, true],
    [7.001, '<=', 7, false],
    [7, '>=', 7.001, false],
    // Words, yes and no, blocks.
    ['a', '==', 'a', true],
    ['a', '==', 'b', false],
    ['a', '!=', 'b', true],
    [true, '!=', true, false],
    [machine.tree, '==', machine.tree, true],
    [eur(2), '==', eur(2 * (1 + 1e-12)), true],
    [eur(2), '==', eur(3), false],
    [eur(2), '==', usd(2), false],
    [eur(2), '!=', eur(2), false],
    // Prices, in one currency or by the stated rate: the first says which.
    [eur(2), '+', eur(3), eur(5)],
    [eur(2), '+', usd(4), eur(4)],
    [usd(2), '-', eur(1), usd(0)],
    [eur(6), '/', usd(4), 3],
    [eur(2), '<', usd(5), true],
    [eur(2), '*', 3, eur(6)],
    [3, '*', eur(2), eur(6)],
    [eur(6), '/', 3, eur(2)],
    // Ranges by a number, the low end first.
    [new Range(1, 2), '*', 3, new Range(3, 6)],
    [new Range(1, 2), '*', -3, new Range(-6, -3)],
    [6, '/', new Range(2, 3), new Range(2, 3)],
    [5, '-', new Range(1, 2), new Range(3, 4)],
    // Members.
    ['a', 'in', ['b', 'a'], true],
    ['a', 'in', ['b'], false],
    ['a', 'in', 'a', true],
    ['a', 'in', ['b', lacking], lacking],
    ['a', 'in', ['a', lacking], true],
    ['a', 'in', lacking, lacking],
    [fault, 'in', ['a'], fault],
    // What is missing outranks, a fault most.
    [lacking, '+', 1, lacking],
    [1, '==', lacking, lacking],
    [lacking, '*', fault, fault],
    ['a', '+', 'b', new Unknown([])],
    [eur(2), '*', 'a', new Unknown([])],
  ])('%o %s %o is %o', (a, operator, b, expected) => expect(of(operator, a, b)).toEqual(expected));

  test('what cannot be is a fault that says why', () => {
    expect(of('/', 1, 0)).toMatchObject({ message: 'this divides by zero' });
    expect(of('^', -8, 0.5)).toMatchObject({ message: 'a negative number has no such power' });
    for (const [a, operator, b] of [
      [1e308, '*', 10],
      [1e308, '+', 1e308],
      [-1e308, '-', 1e308],
      [10, '^', 400],
      [1e300, '/', 1e-300],
    ] as const)
      expect(of(operator, a, b)).toMatchObject({ message: 'this comes to a number too large to compute with' });
    expect(of('+', eur(1), new Money(1, 'CHF'))).toMatchObject({
      message: 'EUR and CHF meet here without a stated rate: write "rate 1 EUR = … CHF on DATE"',
    });
    expect(of('*', new Range(1, 2), Number.POSITIVE_INFINITY)).toBeInstanceOf(Fault);
    expect(range(3, 2, node)).toMatchObject({ message: 'the high end of this range is below its low end' });
  });

  test('bounds of prices meet by their currency', () => {
    const { missing } = lacking;
    const bounds = new Bounds(4, 6, missing, 'EUR');
    expect(of('+', bounds, usd(2))).toEqual(new Bounds(5, 7, missing, 'EUR'));
    expect(of('-', bounds, eur(1))).toEqual(new Bounds(3, 5, missing, 'EUR'));
    expect(of('*', bounds, 2)).toEqual(new Bounds(8, 12, missing, 'EUR'));
    expect(of('/', bounds, 2)).toEqual(new Bounds(2, 3, missing, 'EUR'));
    expect(of('<=', bounds, eur(6))).toBe(true);
    expect(of('<', bounds, eur(6))).toEqual(new Unknown(missing));
    expect(of('>', bounds, usd(14))).toBe(false);
    expect(of('+', bounds, 'a')).toEqual(new Unknown([]));
    expect(of('+', bounds, new Money(1, 'CHF'))).toEqual(new Unknown([]));
    const other = new Bounds(1, 1, [{ instance: machine.tree, name: 'depth' }], 'EUR');
    expect((of('+', bounds, other) as Bounds).missing.map(({ name }) => name)).toEqual(['width', 'depth']);
  });

  test('spans: with numbers and each other alone', () => {
    const p = {};
    const span = new Span(1, 2, new Map([[p, { low: 1, high: 1 }]]));
    expect(of('+', span, 1)).toMatchObject({ low: expect.closeTo(2, 9), high: expect.closeTo(3, 9) });
    expect(of('-', 1, span)).toMatchObject({ low: expect.closeTo(-1, 9), high: expect.closeTo(0, 9) });
    expect(of('<=', span, 2)).toBe(true);
    expect(of('<', span, 3)).toBe(true);
    expect(of('>', span, 3)).toBe(false);
    expect(of('>=', 2, span)).toBe(true);
    expect(of('+', span, lacking)).toEqual(lacking);
    for (const [a, b] of [
      [span, 'a'],
      ['a', span],
      [[span], 1],
      [span, eur(1)],
    ] as const)
      expect(() => of('+', a as Value, b as Value)).toThrow(Opaque);
    expect(() => of('==', span, 1)).toThrow(Opaque);
    expect(negate(span)).toMatchObject({ low: -2, high: -1 });
    expect(() => sides(span, 1)).toThrow(Opaque);
    expect(() => range(span, 1, node)).toThrow(Opaque);
  });

  test('one value', () => {
    expect([negate(3), negate(eur(3)), negate(lacking), negate('a')]).toEqual([-3, eur(-3), lacking, new Unknown([])]);
    expect([not(true), not(false), not(lacking), not(3)]).toEqual([false, true, lacking, new Unknown([])]);
    expect(sides(1, 2)).toEqual(new Sides([1, 2]));
    expect(sides(new Sides([1, 2]), 3)).toEqual(new Sides([1, 2, 3]));
    expect(sides(lacking, 3)).toEqual(lacking);
    expect(range(2, 3, node)).toEqual(new Range(2, 3));
    expect(range(2, 2, node)).toEqual(new Range(2, 2));
    expect(range(2, lacking, node)).toEqual(lacking);
    expect(range('a', 2, node)).toEqual(new Unknown([]));
    expect([nearly(0, 0), nearly(1, 1 + 1e-10), nearly(1, 1 + 1e-8), nearly(0, 1e-30), nearly(-1, 1)]).toEqual([
      true,
      true,
      false,
      false,
      false,
    ]);
  });

  test('and, or: a side that decides is enough, and the other is not asked', () => {
    const never = () => {
      throw new Error('asked');
    };
    expect(junction('and', () => false, never)).toBe(false);
    expect(junction('or', () => true, never)).toBe(true);
    expect(
      junction(
        'and',
        () => lacking,
        () => false,
      ),
    ).toBe(false);
    expect(
      junction(
        'or',
        () => lacking,
        () => true,
      ),
    ).toBe(true);
    expect(
      junction(
        'and',
        () => true,
        () => lacking,
      ),
    ).toEqual(lacking);
    expect(
      junction(
        'or',
        () => lacking,
        () => false,
      ),
    ).toEqual(lacking);
    expect([
      junction(
        'and',
        () => true,
        () => true,
      ),
      junction(
        'or',
        () => false,
        () => false,
      ),
    ]).toEqual([true, false]);
  });
});
