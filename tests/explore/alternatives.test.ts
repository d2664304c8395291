import { describe, expect, test } from 'vitest';
import { AlternativesError, alternatives, headlinesAround } from '../../language/explore/alternatives.ts';
import { machineIn, read } from '../support.ts';

const text = `/// Anything that is bought.
kind thing {
  /// What it costs.
  price: Price?
  /// What it weighs.
  mass: Mass?
  /// How warm it may get.
  limit: Temperature?
}
/// A lath.
kind lath is thing {
  specified thick
  /// How thick it is.
  thick: Length
  /// What it bears.
  bears: Force = 1 N/mm^2 * thick ^ 2 { source defined "so be it" }
  headline bears
  /// It is whole
  check whole {
    when thick > 8 mm
    repeat each_year
    uncover "Take the books off"
    how "Look along it"
    source practice "laths crack"
  }
}
/// A lath that is lacquered.
kind lacquered_lath is lath {
  /// Its colour.
  colour: Text
}
/// Of something else.
kind peg is thing
part thin_lath is lath { thick = 5 mm  price = 1 EUR }
part stout_lath is lath {
  thick = 10 mm
  price = 3 EUR
  mass = 200 g
}
part red_lath is lacquered_lath {
  thick = 20 mm
  colour = "red"
}
part oak_peg is peg
/// It holds.
rule breaks on shelf {
  holds load <= lath.bears
  error "{name} breaks"
  source practice "so be it"
}
/// A shelf.
kind shelf {
  inside room
  has lath
  /// What lies on it.
  load: Force
  /// What is left.
  left: Force = lath.bears - load { source defined "the rest" }
  headline left
}
/// A room.
kind room {
  toplevel
  /// All that is left.
  sum_left: Force = sum(s.left for s in every shelf) { source defined "their sum" }
  headline sum_left
}
room r {
  shelf low {
    load = 60 N
    lath is thin_lath
  }
}
`.replace('thick = 5 mm  price', 'thick = 5 mm\n  price');
const side = { ...read(text), machine: 'r' };
const of = (path: string, show: readonly string[] = []) => alternatives(side, path, show);

describe('parts that could stand in a role', () => {
  test('each of its sort, with what it makes of the values around and what fails or no longer does', () => {
    const { rows, columns } = of('low.lath');
    expect(columns).toEqual([
      'low.lath.thick',
      'low.lath.price',
      'low.lath.mass',
      'low.lath.bears',
      'low.left',
      'sum_left',
    ]);
    expect(rows.map(({ part }) => part).toSorted()).toEqual(['red_lath', 'stout_lath', 'thin_lath']);
    const row = (part: string) => rows.find((each) => each.part === part);
    expect(row('thin_lath')).toEqual({
      part: 'thin_lath',
      isThere: true,
      values: ['5 mm', '1 EUR', '', '25 N', '-35 N', '-35 N'],
      fails: [],
      mends: [],
      uncover: [],
    });
    expect(row('stout_lath')).toMatchObject({
      isThere: false,
      values: ['10 mm', '3 EUR', '200 g', '100 N', '40 N', '40 N'],
      mends: ['breaks (low)'],
      uncover: ['Take the books off'],
    });
    expect(row('red_lath')?.values).toEqual(['20 mm', '', '', '400 N', '340 N', '340 N']);
  });

  test('only the values that are asked for, where some are', () => {
    const { columns, rows } = of('low.lath', ['sum_left']);
    expect(columns).toEqual(['sum_left']);
    expect(rows.every(({ values }) => values.length === 1)).toBe(true);
  });

  test('a part that cannot stand there is told with why', () => {
    const open = text.replace('part oak_peg', 'part odd_lath is lath { thick = 5 V }\npart oak_peg');
    const { rows, others } = alternatives({ ...read(open), machine: 'r' }, 'low.lath', []);
    expect([...rows.map(({ part }) => part), ...others.map(({ part }) => part)]).toContain('odd_lath');
    // What is asked of it elsewhere only some can answer: the others are no rows of what could stand there.
    const own = text
      .replace('lath is thin_lath', 'lath is red_lath')
      .replace(/\}\n$/, '  require low.lath.colour == "red"\n}\n');
    const found = alternatives({ ...read(own), machine: 'r' }, 'low.lath', []);
    expect(found.rows.map(({ part }) => part)).toEqual(['red_lath']);
    expect(found.others.map(({ part }) => part).toSorted()).toEqual(['stout_lath', 'thin_lath']);
    for (const { because } of found.others) expect(because).toContain('colour');
  });

  test('nothing of it reaches the file', () => {
    of('low.lath');
    expect(side.file.parsed.text).toBe(text);
  });

  test('what is no block, or has no parts of its sort, is refused', () => {
    expect(() => of('low.nail')).toThrow(new AlternativesError('r has no block low.nail'));
    expect(() => of('low')).toThrow('there are no parts to put in place of low');
  });
});

test('what is worth showing of a block and of what holds it', () => {
  const { tree } = machineIn(text);
  expect(headlinesAround(tree.called('low'))).toEqual(['low.left', 'sum_left']);
  expect(headlinesAround(undefined)).toEqual([]);
});

test('what does not stand in a cell of a table is left out: blocks, lists of them, what takes an argument, and what is not there', () => {
  const { tree } = machineIn(`kind yard {
  toplevel
  has post*
  width: Length default 1 m
  named: list of Text = ["a"]
  near: list of post = each(p for p in every post)
  first_post: post?
  at(by: Length): Length = width + by
  headline width, named, near, first_post, at, post, nothing
}
kind post {
}
yard Y {
  post p
}
`);
  expect(headlinesAround(tree)).toEqual(['width', 'named', 'first_post']);
});

test('values that every thing of its sort has are told where they are quantities that are given', () => {
  const shop = `kind thing {
  mass: Mass?
  warm: Temperature?
  colour: Text?
  twice: Mass = mass * 2
  grown(by: Ratio): Mass = mass * by
  inner: other?
}
kind other {
}
kind lath is thing {
  specified thick, colour
  thick: Length
  bears: Force = 1 N
  headline bears, thick
}
part one is lath {
  thick = 1 m
}
kind room {
  toplevel
  has lath
}
room r {
  lath is one
}
`;
  expect(alternatives({ ...read(shop), machine: 'r' }, 'lath', []).columns).toEqual([
    'lath.thick',
    'lath.colour',
    'lath.mass',
    'lath.bears',
  ]);
});
