import { describe, expect, test } from 'vitest';
import { type Differences, differences } from '../../language/answers/compare.ts';
import { machineIn } from '../support.ts';

const kinds = `/// What is bought.
kind thing {
  /// What it costs.
  price: Price?
  /// How many.
  number: Count default 1
}
/// A shelf.
kind shelf is thing {
  /// What lies on it.
  load: Mass
  /// What it bears.
  limit: Mass
  /// Where it stands.
  spot: Temperature default 20 degC
  /// How much more it bears.
  rest: Mass = limit - load {
    source defined "their difference"
  }
  headline rest, spot
}
part board is shelf {
  limit = 5 kg
}
part plank is shelf {
  limit = 9 kg
}
kind hut {
  toplevel
  has shelf*
  /// What is bought.
  bought: list of thing = each(t for t in every thing) {
    source defined "all of it"
    shown number, price
  }
  report "To buy", bought
  /// What lies in it.
  total: Mass = sum(s.load for s in every shelf) {
    source defined "the sum"
  }
  headline total
}
rule shelf_overloaded on shelf {
  holds load <= limit
  error "{load} lies on {name}, which bears {limit}"
  caution "Falls: it breaks."
  source practice "boards"
}
rule shelf_bends on shelf {
  holds load <= limit * 0.9
  warning "{name} bends"
  source practice "boards"
  follows shelf_overloaded of self
}
`;

const hut = (inside: string) => machineIn(`${kinds}\nhut h {\n${inside}\n}\n`);
const between = (a: string, b: string, names: Record<string, string> = {}, least = 0): Differences =>
  differences(hut(a), hut(b), new Map(Object.entries(names)), least);
const shelf = (load: string, name = 'one', part = 'board') => `shelf ${name} is ${part} { load = ${load} }`;

describe('what turned', () => {
  test('a rule that fails, with what follows from it, and its caution', () => {
    expect(between(shelf('3 kg'), shelf('6 kg')).turns).toMatchObject([
      {
        code: 'shelf_overloaded',
        path: 'one',
        before: 'holds',
        after: 'fails',
        severity: 'error',
        message: '6 kg lies on one, which bears 5 kg',
        caution: 'Falls: it breaks.',
        follows: false,
      },
      { code: 'shelf_bends', before: 'holds', after: 'fails', follows: true },
    ]);
  });

  test('what follows from what failed before has turned by itself', () => {
    const { turns } = between(shelf('4.8 kg'), shelf('6 kg'));
    expect(turns.map(({ code, before, after }) => [code, before, after])).toEqual([
      ['shelf_overloaded', 'holds', 'fails'],
    ]);
  });

  test('it holds again, is no longer there, or waits', () => {
    const of = (a: string, b: string) => between(a, b).turns.map(({ code, before, after }) => [code, before, after]);
    expect(of(shelf('4.8 kg'), shelf('3 kg'))).toEqual([['shelf_bends', 'fails', 'holds']]);
    expect(of(shelf('4.8 kg'), '')).toEqual([['shelf_bends', 'fails', 'absent']]);
    expect(of(shelf('3 kg'), 'shelf one is board')).toEqual([
      ['safety_not_judged', 'absent', 'fails'],
      ['shelf_overloaded', 'holds', 'undecided'],
      ['shelf_bends', 'holds', 'undecided'],
    ]);
  });

  test('an acceptance is a turn, and so is its end', () => {
    const accepted = `shelf one is board {\n  load = 4.8 kg\n  accept shelf_bends because "seen"\n}`;
    expect(between(shelf('4.8 kg'), accepted).turns).toMatchObject([{ before: 'fails', after: 'accepted' }]);
    expect(between(accepted, shelf('4.8 kg')).turns).toMatchObject([{ before: 'accepted', after: 'fails' }]);
  });

  test('a requirement is the same with another limit, and none that holds is told', () => {
    const required = (limit: string) => `${shelf('3 kg')}\nrequire total <= ${limit}`;
    expect(between(required('4 kg'), required('2 kg')).turns).toMatchObject([
      { code: 'total <= 2 kg', path: '', before: 'holds', after: 'fails', severity: 'warning' },
    ]);
    expect(between(required('4 kg'), required('5 kg')).turns).toEqual([]);
    expect(between(shelf('3 kg'), required('5 kg')).turns).toEqual([]);
    expect(between(shelf('3 kg'), required('2 kg')).turns).toMatchObject([{ before: 'absent', after: 'fails' }]);
  });

  test('a block that is called otherwise is the same', () => {
    expect(between(shelf('6 kg'), shelf('6 kg', 'upper'), { upper: 'one' }).turns).toEqual([]);
    const states = between(shelf('6 kg'), shelf('6 kg', 'upper')).turns.map(({ path, after }) => `${path} ${after}`);
    expect(new Set(states)).toEqual(new Set(['upper fails', 'one absent']));
  });
});

describe('what moved', () => {
  test('margins, by how near they are to failing and not by how many times they are met', () => {
    const both = (one: string, other: string) => `${shelf(one)}\n${shelf(other, 'two', 'plank')}`;
    const { margins } = between(both('3 kg', '0.01 kg'), both('4 kg', '0.005 kg'));
    expect(margins[0]).toMatchObject({ path: 'one', before: '33 % to spare', after: '11 % to spare' });
    expect(margins[0]?.change).toBeCloseTo(-1 / 4.5, 9);
  });

  test("the machine's own values first, and of temperatures a kelvin is a hundredth", () => {
    const spot = (at: string) => `shelf one is board {\n  load = 3 kg\n  spot = ${at}\n}`;
    expect(between(spot('20 degC'), spot('23 degC')).values).toEqual([
      { path: 'one.spot', before: '20 °C', after: '23 °C', change: expect.closeTo(0.03, 9), own: false },
    ]);
    expect(between(shelf('3 kg'), shelf('4 kg')).values).toMatchObject([
      { path: 'total', before: '3 kg', after: '4 kg', own: true },
      { path: 'one.rest', before: '2 kg', after: '1 kg', change: 0.5, own: false },
    ]);
    expect(between(spot('20 degC'), spot('23 degC'), {}, 0.04).values).toEqual([]);
  });

  test('what is no longer known', () => {
    expect(between(shelf('3 kg'), 'shelf one is board').values).toMatchObject([
      { path: 'total', before: '3 kg', after: 'not known' },
    ]);
  });
});

describe('what is bought', () => {
  test('comes, goes, and is of another number', () => {
    const bought = (part: string, number: number) => `shelf one is ${part} {\n  load = 3 kg\n  number = ${number}\n}`;
    expect(between(bought('board', 1), bought('plank', 1)).parts).toEqual([
      { name: 'plank', is: 'comes' },
      { name: 'board', is: 'goes' },
    ]);
    expect(between(bought('board', 1), bought('board', 3)).parts).toEqual([
      { name: 'board', is: 'changes', what: 'number 1 → 3' },
    ]);
  });

  test('a part is bought as before, whatever its block is called, and whatever stands beside it', () => {
    const bought = (name: string) => `shelf ${name} is board {\n  load = 3 kg\n  number = 2\n}`;
    expect(between(bought('one'), bought('upper')).parts).toEqual([]);
    // What each block is is only told in a list in which one is more than the list says.
    const own = kinds.replace(
      'list of thing = each(t for t in every thing)',
      'list of shelf = each(s for s in every shelf)',
    );
    const bare = 'shelf bare {\n  load = 3 kg\n  number = 2\n}';
    const of = (inside: string) => machineIn(`${own}\nhut h {\n${inside}\n}\n`);
    expect(differences(of(bare), of(`${bare}\n${bought('one')}`), new Map(), 0).parts).toEqual([
      { name: 'board', is: 'comes' },
    ]);
  });
});
