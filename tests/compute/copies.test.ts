import { expect, test } from 'vitest';
import { type Cell, cellOf } from '../../language/compute/cell.ts';
import { copyMeant, scenariosApart, severalAround, tellApart } from '../../language/compute/copies.ts';
import { machineIn } from '../support.ts';

const row = () => {
  const { engine, tree } = machineIn(`kind spring {
  /// How long it is.
  length: Length
}
kind pair {
  has spring*
}
kind row {
  toplevel
  has pair*
  /// All of them.
  total: Length = sum(s.length for s in every spring) {
    source defined "their sum"
  }
  least: Length = min(s.length for s in every spring)
  most: Length = max(s.length for s in every spring)
  some: YesNo = any(s.length > 4.5 m for s in every spring)
  each_of_them: YesNo = all(s.length > 0.5 m for s in every spring)
  long_ones: Count = count(s.length > 3.5 m for s in every spring)
}
row r {
  pair p * 2 {
    spring s * 3 { length = 10 mm }
  }
}
`);
  const pair = tree.children.get('p');
  const spring = pair?.children.get('s');
  if (!pair || !spring) throw new Error('the blocks are not there');
  return { engine, tree, pair, spring };
};

test('what stands for several is found around a block, outermost first', () => {
  const { tree, pair, spring } = row();
  expect(severalAround(spring)).toEqual([pair, spring]);
  expect(severalAround(tree)).toEqual([]);
});

test('each copy of each is meant once, and a sum goes through all six', () => {
  const { engine, tree, pair, spring } = row();
  for (const each of [pair, spring]) tellApart(each, engine);
  const digits = engine.copies.get(spring);
  // Once is enough.
  tellApart(spring, engine);
  expect(engine.copies.get(spring)).toBe(digits);
  expect([pair, spring].map((each) => engine.copies.get(each)?.length)).toEqual([1, 2]);
  const scenarios = scenariosApart([pair, spring], engine);
  const meant = scenarios.map((scenario) =>
    engine.under(scenario, () => engine.aside(() => copyMeant(spring, engine))),
  );
  expect(meant).toEqual([0, 1, 2, 3, 4, 5]);
  const length = cellOf(spring, 'length');
  const total = cellOf(tree, 'total');
  if (!length || !total) throw new Error('the values are not there');
  length.compute = () => copyMeant(spring, engine);
  engine.renew([length]);
  expect(engine.value(total)).toBe(15);
  const asked = (name: string) => engine.value(cellOf(tree, name) as Cell);
  expect(['least', 'most', 'some', 'each_of_them', 'long_ones'].map(asked)).toEqual([0, 5, true, false, 2]);
  // Two digits tell three copies apart: what they could say beyond means the last.
  expect(engine.corners(length).values.toSorted()).toEqual([0, 1, 2, 2, 3, 4, 5, 5]);
});
