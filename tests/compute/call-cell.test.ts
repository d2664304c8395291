import { expect, test } from 'vitest';
import { cellAt } from '../../language/answers/derivation.ts';
import { callCell } from '../../language/compute/call-cell.ts';
import type { Cell } from '../../language/compute/cell.ts';
import { Curve, Money, Sides } from '../../language/values/value.ts';
import { machineIn } from '../support.ts';

const rod = () =>
  machineIn(`/// A rod.
kind rod {
  toplevel
  length: Length default 2 m
  portion(share: Ratio): Length = length * share {
    source defined "a test"
  }
}
rod R {
}
`);
const machine = rod();
const cell = cellAt('portion', machine) as Cell;

test('the same arguments lead to the same cell, others to another', () => {
  const half = callCell(cell, [0.5]);
  expect(half && machine.engine.value(half)).toBe(1);
  expect(callCell(cell, [0.5])).toBe(half);
  expect(callCell(cell, [0.25])).not.toBe(half);
});

test('lists, sizes, prices and blocks are told apart, a curve from nothing', () => {
  const { tree } = machine;
  const { tree: sameName } = rod();
  const keys = [
    [[1, 2]],
    [[1, 3]],
    [[12]],
    [new Sides([1, 12])],
    [new Sides([11, 2])],
    [new Money(2, 'EUR')],
    [new Money(2, 'USD')],
    [tree],
    [sameName],
    [1, 23],
    [12, 3],
  ];
  const cells = keys.map((args) => callCell(cell, args));
  expect(new Set(cells).size).toBe(keys.length);
  expect(cells).not.toContain(undefined);
  expect(callCell(cell, [tree])).toBe(callCell(cell, [tree]));
  expect(callCell(cell, [new Curve([0], [1])])).toBeUndefined();
  expect(callCell(cell, [[new Curve([0], [1])]])).toBeUndefined();
});
